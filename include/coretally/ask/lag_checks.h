/* SPDX-License-Identifier: MIT */
/* The lag checks of a hole: what each one measured, and the act that it came with. */
#ifndef CORETALLY_ASK_LAG_CHECKS_H
#define CORETALLY_ASK_LAG_CHECKS_H

#include "coretally/ask/source.h"
#include "coretally/domain/lag_check.h"

struct lag_check_read {
    const struct lag_check *check;
    bool is_measured; /* false: it is withdrawn, or the lag of the hole cannot be worked out */
    struct lag_check_result result;
    struct source source;    /* behind what it says */
    struct source withdrawn; /* of one that is */
};

struct lag_checks {
    struct lag_check_read *items; /* by time of the tracer */
    size_t count;
    const char *why; /* why it is not known what they measure; NULL */
};

MUST_CHECK enum status lag_checks_find(struct state *state, const struct target *target, struct lag_checks *out,
                                       struct err *err);

#endif
