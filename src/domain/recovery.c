/* SPDX-License-Identifier: MIT */
/* Recovery percentages from exact ratios. */
#include "coretally/domain/recovery.h"

#include <inttypes.h>
#include <stdio.h>

#include "coretally/base/quantity.h"

void recovery_add(struct recovery *total, const struct core *core)
{
    const int64_t advance_um = core_advance(core);
    const int64_t recovered_um = core_recovered(core);
    if (core_is_wide(core)) {
        total->wide++;
        return;
    }
    if (advance_um == LENGTH_NONE || recovered_um == LENGTH_NONE) {
        total->unknown++;
        return;
    }
    total->advance_um += advance_um;
    total->recovered_um += recovered_um;
    total->cores++;
}

static int64_t power_of_ten(int exponent)
{
    int64_t power = 1;
    for (int digit = 0; digit < exponent; digit++)
        power *= 10;
    return power;
}

/* Definition: Recovery % = 100 * recovered / advance; definitions of both lengths as in IODP methods chapters (from
 * memory). Checked against ODP Leg 208 Site 1264 (61 cores). */
int64_t recovery_percent(int64_t recovered_um, int64_t advance_um, int decimals)
{
    if (advance_um <= 0 || recovered_um == LENGTH_NONE)
        return LENGTH_NONE;
    return length_scale(recovered_um, 100 * power_of_ten(decimals), advance_um);
}

void recovery_format(int64_t recovered_um, int64_t advance_um, int decimals, char out[RECOVERY_TEXT_MAX])
{
    const int64_t power = power_of_ten(decimals);
    const int64_t scaled = recovery_percent(recovered_um, advance_um, decimals);
    if (scaled == LENGTH_NONE)
        (void)snprintf(out, RECOVERY_TEXT_MAX, "n/a");
    else if (decimals == 0)
        (void)snprintf(out, RECOVERY_TEXT_MAX, "%" PRId64, scaled);
    else
        (void)snprintf(out, RECOVERY_TEXT_MAX, "%" PRId64 ".%0*" PRId64, scaled / power, decimals, scaled % power);
}
