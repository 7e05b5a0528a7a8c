/* SPDX-License-Identifier: MIT */
/* What the commands that change samples share. */
#ifndef CORETALLY_CMD_SAMPLE_ACT_H
#define CORETALLY_CMD_SAMPLE_ACT_H

#include "command.h"

/* "Sample 901-U0012A-12H-3W, 45-47 cm for isotopes (Tamm)". */
MUST_CHECK enum status sample_line(struct state *state, const struct target *target, const struct sample *sample,
                                   const char *what, const char **out, struct err *err);

/* Sort and commit the samples of the target's core. */
MUST_CHECK enum status sample_write(struct run *run, const struct target *target, const struct sample_set *set,
                                    const char *line, const char *sure, struct err *err);

/* The set with room for one more, so that samples of the target stay as they were read. */
MUST_CHECK enum status sample_copy_set(struct state *state, const struct target *target, struct sample_set *out,
                                       struct err *err);

/* "already recorded", with the commit. */
MUST_CHECK enum status sample_already(struct run *run, const struct target *target, const struct sample *present,
                                      struct err *err);

/* Its hole and core must stand, and no other sample may have its lab id. at: its own place in the set. */
MUST_CHECK enum status sample_check_standing(const struct target *target, const char *name,
                                             const struct sample_set *set, size_t at, const char *lab_id,
                                             struct err *err);

/* The depth for the label, at once. */
void sample_say_depth(struct run *run, const struct target *target, const struct sample *sample);

#endif
