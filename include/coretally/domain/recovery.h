/* SPDX-License-Identifier: MIT */
/* Recovery: 100 x recovered / advance, and totals as ratios of sums. */
#ifndef CORETALLY_DOMAIN_RECOVERY_H
#define CORETALLY_DOMAIN_RECOVERY_H

#include "coretally/domain/core.h"

struct recovery {
    int64_t advance_um;
    int64_t recovered_um;
    int32_t cores;   /* counted in the sums */
    int32_t unknown; /* left out: advance or recovered length not known */
    int32_t wide;    /* left out: wash, ghost and loose material, and withdrawn cores never come here */
};

/* Add a standing core. A core without advance (0) counts with what it recovered. */
void recovery_add(struct recovery *total, const struct core *core);

/* Per cent as a whole number of 10^-decimals (0 to 4), half away from zero on the exact ratio; LENGTH_NONE when the
 * advance is 0 or less, or the recovered length is not known. */
int64_t recovery_percent(int64_t recovered_um, int64_t advance_um, int decimals);

/* Percent with decimals (0 to 4), half away from zero on the exact ratio; "n/a" when the advance is 0 or less. */
enum { RECOVERY_TEXT_MAX = 32 };
void recovery_format(int64_t recovered_um, int64_t advance_um, int decimals, char out[RECOVERY_TEXT_MAX]);

#endif
