/* SPDX-License-Identifier: MIT */
/* One field of one record that two sides set to different values, neither knowing of the other. The record has the
 * value of the later act, so that work goes on; the contradiction stands beside it until somebody decides.
 */
#ifndef CORETALLY_DOMAIN_CONTRADICTION_H
#define CORETALLY_DOMAIN_CONTRADICTION_H

#include <stdbool.h>
#include <stddef.h>

/* One of the values. */
struct claim {
    const char *value;  /* as it is typed (field_format); NULL: left out */
    const char *commit; /* the act that set it, 40 digits */
};

struct contradiction {
    const char *hole;  /* NULL: the expedition */
    const char *path;  /* of the record's file */
    const char *item;  /* what finds the record in its file: "3" of a section or of what has a number, "3W,45-47" of a
                        * sample; NULL: the file is the record */
    const char *field; /* its name; NULL: the file as a whole, a day of the pump log */
    struct claim *claims; /* the one that stands first; the later the act, the earlier in the list */
    size_t claim_count;
};

/* The name of its file, from where it lies: 16 hexadecimal digits. */
enum { CONTRADICTION_ID_MAX = 17 };
void contradiction_id(const struct contradiction *contradiction, char out[CONTRADICTION_ID_MAX]);

#endif
