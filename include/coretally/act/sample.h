/* SPDX-License-Identifier: MIT */
/* Samples and sub-samples added, amended and withdrawn. A target has the core with its samples and, where the sample is
 * recorded, its place among them. The changed record of a draft is the sample as it shall be. */
#ifndef CORETALLY_ACT_SAMPLE_H
#define CORETALLY_ACT_SAMPLE_H

#include "coretally/act/draft.h"
#include "coretally/state/resolve.h"

struct sample_asked {
    const struct sample *of; /* its parent; NULL: a sample of a section */
    const char *of_typed;
    bool is_another; /* although an equal one is recorded */
};

/* typed: section, half, interval and readings; its number among those of the same interval is given to it. */
MUST_CHECK enum status sample_add(struct state *state, const struct target *target, const struct sample *typed,
                                  const struct sample_asked *asked, struct draft *out, struct err *err);
/* changed: the sample of the target with other readings; where its name changes, what was taken from it follows.
 * typed: how it was called, for refusals. */
MUST_CHECK enum status sample_amend(struct state *state, const struct target *target, const char *typed,
                                    const struct sample *changed, struct draft *out, struct err *err);
/* The same by somebody who is sure: also what is doubted since registries were joined is kept, and marked, although
 * nothing else may change. */
MUST_CHECK enum status sample_keep(struct state *state, const struct target *target, const char *typed,
                                   const struct sample *changed, struct draft *out, struct err *err);
MUST_CHECK enum status sample_withdraw(struct state *state, const struct target *target, const char *typed,
                                       const char *reason, struct draft *out, struct err *err);

/* --- parts of these --- */

/* Offsets from the top of the piece with this number, as typed, become offsets from that of the section. */
MUST_CHECK enum status sample_from_piece(const struct section *section, const char *typed, struct sample *sample,
                                         struct err *err);
/* The number of a new sample among those like it. */
void sample_number(const struct sample_set *set, struct sample *sample);
/* A new sample against its core, the samples that are there and the clock. parent: of a sub-sample, or NULL. */
void sample_hold(const struct core *core, const struct sample_set *set, const struct sample *sample,
                 const struct sample *parent, int64_t now_us, struct findings *findings);
/* The one that has this lab id, that at skip passed over; NULL: none, or no lab id. */
const struct sample *sample_with_lab_id(const struct sample_set *set, size_t skip, const char *lab_id);

#endif
