/* SPDX-License-Identifier: MIT */
/* Labels as plain values: what was printed, the check character that guards a
 * name, the short text inside the symbol.
 *
 *     901-U0012A-12H-3W:45-47*K 104.450/104.470 CSF-A 0F3A9C21BD 2
 *     name             check    depth          scale state     copy
 *
 * Fields are separated by one space. Every character is of the alphanumeric
 * set of QR codes (ISO/IEC 18004), which has no comma and no '#': in the name ':' stands
 * for the comma and '$' for the '#'. Depths are metres, top/bottom, or '+' where none is known.
 * The state is the first ten digits of the commit that the depth was worked
 * out from. The copy is left out for the first.
 */
#ifndef CORETALLY_DOMAIN_LABEL_H
#define CORETALLY_DOMAIN_LABEL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "coretally/base/clock.h"
#include "coretally/base/err.h"
#include "coretally/base/limits.h"
#include "coretally/domain/bag.h"

enum { LABEL_STATE_DIGITS = 10, LABEL_SCALE_MAX = 8, SYMBOL_TEXT_MAX = NAME_TEXT_MAX + 80 };

/* One label of one thing. Printed anew it is a further copy; the earlier record stays. */
struct label {
    const char *name; /* as printed, compact: "901-U0012A-12H-3W,45-47" */
    int32_t copy;     /* 0 for the first; 2 and up: reprints */
    struct instant printed;
    const char *state; /* the commit that the depth was worked out from, 40 digits */
    const char *scale; /* as printed: a word of depth.h, or MRF, MSF for what came over the shaker */
    int64_t top_um;    /* as printed, rounded to what was printed; LENGTH_NONE: "not known" was */
    int64_t bottom_um;
    const char *hazard; /* the warning on it; NULL: none */
    const char *layout;
};

/* The labels of a core with its sections and samples, or of a file of bags (core 0 then), in the order of printing. */
struct label_set {
    const char *hole;
    int32_t core;
    enum bag_kind kind;
    int32_t hundred;
    struct label *labels;
    size_t label_count;
};

/* The number of a copy, from 1. */
int label_copy(const struct label *label);

/* The check character of a name in its compact form: ISO/IEC 7064 MOD 37,36 over its letters (upper case) and digits,
 * every other character counted as Z. Never '*', which stands between name and check character. */
char label_check_char(const char *compact);

/* "901-U0012A-12H-3W,45-47*K" */
enum { LABEL_ID_MAX = NAME_TEXT_MAX + 3 };
void label_id(const char *compact, char out[LABEL_ID_MAX]);

/* What a scanner or a hand gives: a name with or without its check character, or the whole text of a symbol. */
struct label_text {
    char name[NAME_TEXT_MAX];
    char check; /* 0: none given */
    bool is_symbol;
    int64_t top_um;
    int64_t bottom_um;
    char scale[LABEL_SCALE_MAX];
    char state[LABEL_STATE_DIGITS + 1]; /* lower case */
    int32_t copy;
};

/* Take it apart, any case. The check character is not checked against the name: the expedition may be missing in it
 * (label_text_check). STATUS_INPUT says what is wrong with a text that begins as a symbol. */
MUST_CHECK enum status label_text_read(const char *typed, struct label_text *out, struct err *err);

/* Does the check character fit the full name in its compact form? True when none was given. Read by eye, I and 1, O and
 * 0 cannot be told apart: typed for each other they are taken. A scanner can, so that in the text of a symbol they are
 * not. The name stays as it is typed; of its slips 1 in 300 passes for it that would not (4 of 36 names end in one of
 * the four, and then 1 of the 35 wrong characters is taken). */
bool label_text_fits(const struct label_text *text, const char *compact);

/* The text of the symbol of a label. */
void label_symbol(const struct label *label, char out[SYMBOL_TEXT_MAX]);

/* Decimals of a printed depth on this scale: 2 for what came over the shaker, else 3. */
int label_decimals(const char *scale);

/* Rounded as it is printed, half away from zero; LENGTH_NONE stays. */
int64_t label_rounded(int64_t um, int decimals);

#endif
