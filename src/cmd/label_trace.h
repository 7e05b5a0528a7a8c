/* SPDX-License-Identifier: MIT */
/* Labels of the one thing that is traced: which were printed, whether the one in the hand still shows its depth, and
 * what happened since. */
#ifndef CORETALLY_CMD_LABEL_TRACE_H
#define CORETALLY_CMD_LABEL_TRACE_H

#include "coretally/view/sheet.h"
#include "label_things.h"

struct label_report {
    struct sheet labels; /* every label of the thing, the newest last */
    struct sheet since;  /* what moved it since the label in hand was printed */
    const char *verdict; /* a line a thing; NULL where there is nothing to say */
    bool is_stale;
};

/* typed: as scanned or typed; name: as resolved. */
MUST_CHECK enum status label_report(struct run *run, const char *typed, const struct name *name,
                                    struct label_report *out, struct err *err);

#endif
