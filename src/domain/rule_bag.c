/* SPDX-License-Identifier: MIT */
/* Rules for what is taken at the shaker. */
#include "coretally/domain/rule.h"

void bag_check(const struct bag *bag, const struct bag *others, size_t count, int64_t now_us, struct findings *findings)
{
    const int64_t end_us = bag->to.known ? bag->to.utc_us : bag->from.utc_us;
    if (end_us < bag->from.utc_us) {
        findings_add(findings, RULE_BAG_REVERSED, "its window ends %.0f s before it begins",
                     (double)(bag->from.utc_us - end_us) * 1e-6);
        findings_hint(findings, "type the time when collecting began first");
        return;
    }
    if (end_us > now_us) {
        findings_add(findings, RULE_BAG_FUTURE, "it was collected %.0f min after now", (double)(end_us - now_us) / 6e7);
        findings_hint(findings, "look at the date, the time and the ship's zone, or add --sure");
    }
    for (size_t at = 0; at < count; at++) {
        const struct bag *other = &others[at];
        if (other->withdrawn || other->number == bag->number || !other->to.known || !bag->to.known ||
            bag->from.utc_us >= other->to.utc_us || bag->to.utc_us <= other->from.utc_us)
            continue;
        findings_add(findings, RULE_BAG_OVERLAP, "its window overlaps that of number %d", (int)other->number);
        findings_hint(findings, "look at the times once more, or add --sure");
        break;
    }
    if (bag->bypassed)
        findings_add(findings, RULE_BAG_LATE, "taken late or past the shaker: its depth may be off by more than shown");
}
