/* SPDX-License-Identifier: MIT */
/* What the commands that change samples share. */
#ifndef CORETALLY_CMD_SAMPLE_ACT_H
#define CORETALLY_CMD_SAMPLE_ACT_H

#include "command.h"

/* "Sample 901-U0012A-12H-3W, 45-47 cm for isotopes (Tamm)". */
MUST_CHECK enum status sample_line(struct run *run, const struct target *target, const struct sample *sample,
                                   const char *what, const char **out, struct err *err);

/* Sort and commit the samples of the target's core. */
MUST_CHECK enum status sample_write(struct run *run, const struct target *target, const struct sample_set *set,
                                    const char *line, const char *sure, struct err *err);

#endif
