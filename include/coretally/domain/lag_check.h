/* SPDX-License-Identifier: MIT */
/* What a lag check measures, and how it recalibrates the well: the open hole
 * gets the one diameter with which the tracer would have come up just when it
 * was seen. It holds from the time when the tracer left the bit until the next
 * check, or until the bores change.
 */
#ifndef CORETALLY_DOMAIN_LAG_CHECK_H
#define CORETALLY_DOMAIN_LAG_CHECK_H

#include "coretally/domain/bag.h"
#include "coretally/domain/lag.h"
#include "coretally/domain/rule.h"

struct lag_check_result {
    int64_t at_bit_us;  /* tracer left the bit: supply line and string were pumped through */
    int64_t bit_um;     /* bit then */
    int64_t hole_um;    /* bottom of the hole then: cuttings from here on are recalibrated */
    size_t state;       /* geometry in force then */
    int64_t theory_us;  /* when it was due with the well as recorded; INT64_MIN: after the log ends */
    double theory_m3;   /* annulus as recorded */
    double measured_m3; /* annulus as measured; NAN without open hole */
    double nominal_m;   /* diameter of the open hole as recorded; NAN without */
    double effective_m; /* as measured */
    double strokes;     /* of the string's pumps from in to seen; NAN without counters */
};

/* STATUS_RULE with the reason where a check cannot be worked out: outside the log, no geometry, the inside of the
 * string not stated, seen before it can have come up or long after. The log covers both times. */
MUST_CHECK enum status lag_check_find(const struct lag_log *log, const struct lag_well *well,
                                      const struct lag_check *check, struct lag_check_result *out, struct err *err);

/* Against the other checks of the hole, and the diameter against the bit's. */
void lag_check_judge(const struct lag_check *check, const struct lag_check *others, size_t count,
                     const struct lag_check_result *result, struct findings *findings);

/* One state of the well as the lag uses it. */
struct lag_origin {
    int32_t geometry; /* number of the recorded state */
    int32_t check;    /* number of the lag check in it; 0: none */
};

/* The recorded states (by from, withdrawn ones left out by it) with the results of count checks (by time) put into
 * them. states, origins and bores: room for state_count + count, bores for BORES_MAX each of them. Returns how many. */
size_t lag_calibrate(const struct geometry *recorded, size_t state_count, const struct lag_check *checks,
                     const struct lag_check_result *results, size_t count, struct geometry *states,
                     struct lag_origin *origins, struct bore *bores);

#endif
