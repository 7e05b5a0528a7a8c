/* SPDX-License-Identifier: MIT */
/* What moved a thing since its label was printed. */
#ifndef CORETALLY_CMD_LABEL_SINCE_H
#define CORETALLY_CMD_LABEL_SINCE_H

#include "coretally/domain/depth.h"
#include "command.h"

/* Rows of six: what, moved m, commit, by, when, reason; the oldest first. Since the state; where the registry has no
 * such commit, since the time of printing, if that is known (told). */
enum { SINCE_COLUMNS = 6 };
MUST_CHECK enum status label_since(struct run *run, const char *since, struct instant printed, const char *name,
                                   enum scale scale, struct sheet *out, struct err *err);

#endif
