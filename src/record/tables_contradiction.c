/* SPDX-License-Identifier: MIT */
/* The field tables of contradictions. */
#include <string.h>

#include "table_rows.h"

static bool is_commit(const char *string)
{
    return strspn(string, "0123456789abcdef") == 40 && !string[40];
}

#define STRUCT claim
static const struct field claim_fields[] = {
    TEXT(value, OPTIONAL, "the value as it is typed; left out: none"),
    FORMED(commit, REQUIRED, "^[0-9a-f]{40}$", is_commit, "the act that set it, 40 digits"),
};
#undef STRUCT

#define STRUCT contradiction
static const struct field contradiction_fields[] = {
    TEXT(hole, OPTIONAL, "the hole, site and letter; left out: the expedition"),
    TEXT(path, REQUIRED, "the file of the record"),
    TEXT(item, OPTIONAL, "which record of the file: its number or key; left out: the file is the record"),
    TEXT(field, OPTIONAL, "the field; left out: the file as a whole"),
    LIST(claims, claim_count, claim_table, "the values, that of the latest act first: it stands"),
};
#undef STRUCT

TABLE(claim, "claim", false, "a value that one side set");
TABLE(contradiction, "contradiction", true, "a field that two sides set to different values, until somebody decides");
