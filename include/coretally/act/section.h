/* SPDX-License-Identifier: MIT */
/* Sections of a core: lists of lengths, and sections added, amended and withdrawn. A target has the core and, where it
 * is recorded, the section. */
#ifndef CORETALLY_ACT_SECTION_H
#define CORETALLY_ACT_SECTION_H

#include "coretally/act/draft.h"
#include "coretally/state/resolve.h"

/* All sections of a core that has none yet, as sections_take has them. */
MUST_CHECK enum status sections_add(struct state *state, const struct target *target, const char *typed,
                                    struct draft *out, struct err *err);
/* STATUS_EXISTS where one of its number stands with other values. */
MUST_CHECK enum status section_add(struct state *state, const struct target *target, const struct section *section,
                                   struct draft *out, struct err *err);
/* changed: target->section with other readings. */
MUST_CHECK enum status section_amend(struct state *state, const struct target *target, const struct section *changed,
                                     struct draft *out, struct err *err);
MUST_CHECK enum status section_withdraw(struct state *state, const struct target *target, const char *reason,
                                        struct draft *out, struct err *err);

/* --- parts of these --- */

/* "6x1.5,0.93,cc:0.23": curated lengths in metres from the top; a number before ':' names the section. Added to the
 * core, sorted. */
MUST_CHECK enum status sections_take(struct state *state, const char *typed, struct core *core, struct err *err);

/* Put a section into the core at its place; STATUS_EXISTS when one with that number is there. */
MUST_CHECK enum status section_insert(struct state *state, struct core *core, const struct section *section,
                                      struct err *err);

#endif
