/* SPDX-License-Identifier: MIT */
/* What moved a thing since a state of the registry. */
#ifndef CORETALLY_CMD_LABEL_SINCE_H
#define CORETALLY_CMD_LABEL_SINCE_H

#include "coretally/domain/depth.h"
#include "command.h"

/* Rows of six: what, moved m, commit, by, when, reason. Nothing where the state is not in this registry (told), or
 * where the thing was not there yet. */
MUST_CHECK enum status label_since(struct run *run, const char *state, const char *name, enum scale scale,
                                   struct sheet *out, struct err *err);

#endif
