/* SPDX-License-Identifier: MIT */
/* The field tables of signatures. */
#include <string.h>

#include "table_rows.h"

static bool is_hash(const char *string)
{
    return strspn(string, "0123456789abcdef") == 40 && !string[40];
}

#define STRUCT signature
static const struct field signature_fields[] = {
    TEXT(name, REQUIRED, "who signed"),
    TEXT(mail, REQUIRED, "mail, as in the commit"),
    PLAIN("time", at, FIELD_INSTANT, REQUIRED, "when"),
    FORMED(record, REQUIRED, "^[0-9a-f]{40}$", is_hash, "hash of the correction's file as it was signed"),
    TEXT(remark, OPTIONAL, "what was looked at"),
};
#undef STRUCT

#define STRUCT signature_set
static const struct field signature_set_fields[] = {
    TEXT(hole, REQUIRED, "the hole, site and letter"),
    COUNT(number, REQUIRED, 1, 9999, "number of the correction"),
    LIST(signatures, signature_count, signature_table, "those who signed, in the order of signing"),
};
#undef STRUCT

#define STRUCT signature
static const struct field act_signature_fields[] = {
    TEXT(name, REQUIRED, "who signed"),
    TEXT(mail, REQUIRED, "mail, as in the commit"),
    PLAIN("time", at, FIELD_INSTANT, REQUIRED, "when"),
    TEXT(remark, OPTIONAL, "what was looked at"),
};
#undef STRUCT

#define STRUCT act_signature_set
static const struct field act_signature_set_fields[] = {
    FORMED(act, REQUIRED, "^[0-9a-f]{40}$", is_hash, "the commit of the act"),
    LIST(signatures, signature_count, act_signature_table, "those who signed, in the order of signing"),
};
#undef STRUCT

TABLE(signature, "signature", false, "a person who looked at a correction and stands by it");
TABLE(signature_set, "signatures", true, "the signatures under a correction");
const struct table act_signature_table = {.kind = "act-signature",
                                          .size = sizeof(struct signature),
                                          .fields = act_signature_fields,
                                          .count = COUNT_OF(act_signature_fields),
                                          .meaning = "a person who looked at an act and stands by it"};
TABLE(act_signature_set, "act-signatures", true, "the signatures under an act");
