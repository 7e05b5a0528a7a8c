/* SPDX-License-Identifier: MIT */
/* Numbers of cores that were passed over: a slip of the pen, or a core that nobody wrote down. */
#include "coretally/domain/rule.h"

void core_number_check(const struct core *core, int32_t below, struct findings *findings)
{
    const int32_t first = below + 1;
    const int32_t last = core->number - 1;
    if (last < first)
        return;
    if (last == first)
        findings_add(findings, RULE_CORE_SKIPPED, "%s-%d is not recorded: number skipped?", core->hole, (int)first);
    else
        findings_add(findings, RULE_CORE_SKIPPED, "%s-%d %s %d are not recorded: numbers skipped?", core->hole,
                     (int)first, last == first + 1 ? "and" : "to", (int)last);
}
