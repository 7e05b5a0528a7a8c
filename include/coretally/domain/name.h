/* SPDX-License-Identifier: MIT */
/* Names as printed in the field:
 *
 *     901-U0012A-12H-3W, 45-47 cm        901-U0012A-12H-CC        1264A-7H-2, 120 cm
 *
 * Grammar (published forms: Proc. IODP 318 Site U1359; ODP IR 202 chapter 12; the written grammar is ours):
 *
 *     name    = hole / bag / core
 *     hole    = [exp "-"] site 1*3ALPHA
 *     bag     = hole "-" ("BAG" / "GAS" / "MUD") 1*6DIGIT         taken at the shaker or the flowline; ours
 *     core    = hole "-" 1*4DIGIT ALPHA ["-" section [half] ["," (point / interval [again] [subs])]]
 *     exp     = 1*6DIGIT                 site    = [ALPHA] 1*5DIGIT
 *     section = 1*2DIGIT / "CC"          half    = "W" / "A" / "WR"
 *     point   = offset                   interval = offset "-" offset    offset = decimal number [unit]
 *     again   = "#" number               further samples of the same interval and half; ours
 *     subs    = 1*("/" number)           samples of a sample; ours
 *
 * Hyphen or en dash, any case, spaces around dashes, comma, marks and before a unit. A bare offset is centimetres from
 * the section top; in an interval a unit that is typed once holds for both ends.
 */
#ifndef CORETALLY_DOMAIN_NAME_H
#define CORETALLY_DOMAIN_NAME_H

#include "coretally/domain/bag.h"
#include "coretally/domain/hole.h"
#include "coretally/domain/sample.h"

enum name_level { NAME_HOLE, NAME_CORE, NAME_SECTION, NAME_POINT, NAME_SAMPLE, NAME_BAG };

struct name {
    enum name_level level;
    char expedition[8]; /* "" when left out */
    char site[8];
    char letter[4];
    int32_t core;
    char type;
    int32_t section;
    enum half half;
    int64_t top_um; /* from the section top */
    int64_t bottom_um;
    int32_t ordinal; /* 1 unless "#" */
    int32_t subs[SUBSAMPLE_DEPTH_MAX];
    int32_t sub_count;
    enum bag_kind bag; /* NAME_BAG */
    int32_t bag_number;
};

/* STATUS_INPUT: the reason says what stands at which character (counted from 1) and what was expected there. */
MUST_CHECK enum status name_parse(const char *string, struct name *out, struct err *err);

/* STATUS_INPUT: the interval ends above its beginning. No thing of its own is named so; an imported sample may be, for
 * archives have such rows, and then its name must find it (name_parse reads it). */
MUST_CHECK enum status name_check_order(const struct name *name, const char *typed, struct err *err);

/* An interval alone, "46-47" or "460-470mm", the right way round. */
MUST_CHECK enum status interval_parse(const char *string, int64_t *top_um, int64_t *bottom_um, struct err *err);

enum name_style {
    NAME_PRINTED, /* 901-U0012A-12H-3W, 45-47 cm */
    NAME_EN_DASH, /* the same with an en dash in the interval, as typeset */
    NAME_COMPACT  /* 901-U0012A-12H-3W,45-47 */
};
void name_format(const struct name *name, enum name_style style, char out[NAME_TEXT_MAX]);

/* Site and letter together: the hole's folder and how people say it, "U0012A". */
void name_hole(const struct name *name, char out[HOLE_TEXT_MAX]);

/* The key of the sample inside its core (sample.h); level NAME_SAMPLE. */
void name_sample_key(const struct name *name, char out[SAMPLE_KEY_MAX]);

/* Fill the sample part of a name from a sample of known section; keys with sub-samples included. */
void name_set_sample(struct name *name, const struct sample *sample);

/* A core inside of its hole, as a table or an option names it: "12H" or "12". */
struct core_word {
    int32_t number; /* 0: none */
    char type;      /* 0: not typed */
};
/* false: it is none. */
bool core_word_parse(const char *typed, struct core_word *out);

/* How far two words are apart: insertions, deletions, substitutions and swaps of neighbours (restricted
 * Damerau-Levenshtein), ignoring case; capped at 99. For "did you mean". */
int name_distance(const char *a, const char *b);

#endif
