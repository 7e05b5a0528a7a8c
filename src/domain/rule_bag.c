/* SPDX-License-Identifier: MIT */
/* Rules for what is taken at the shaker, for tracers and for pumps. */
#include <math.h>

#include "coretally/base/limits.h"
#include "coretally/domain/lag_check.h"

/* Wider than half as much again as recorded, or this much narrower, is rather a pump, a loss or a slip of a clock.
 * Common practice, no source. */
#define CHECK_WIDE 1.5
#define CHECK_NARROW 0.98

void bag_check(const struct bag *bag, const struct bag *others, size_t count, int64_t now_us, struct findings *findings)
{
    const int64_t end_us = bag->to.known ? bag->to.utc_us : bag->from.utc_us;
    if (end_us < bag->from.utc_us) {
        findings_add(findings, RULE_BAG_REVERSED, "its window ends %.0f s before it begins",
                     (double)(bag->from.utc_us - end_us) * 1e-6);
        findings_hint(findings, "type the time when collecting began first");
        return;
    }
    time_check(RULE_BAG_FUTURE, "the time when it was collected", bag->to.known ? bag->to : bag->from, now_us, 0,
               findings);
    if (end_us - bag->from.utc_us > BAG_LONG_US) {
        char span[SPAN_TEXT_MAX];
        char most[SPAN_TEXT_MAX];
        span_format(end_us - bag->from.utc_us, span);
        span_format(BAG_LONG_US, most);
        findings_add(findings, RULE_BAG_LONG, "it was collected for %s, longer than %s", span, most);
        findings_hint(findings, "look at both dates and times, or add --sure");
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

void lag_check_judge(const struct lag_check *check, const struct lag_check *others, size_t count,
                     const struct lag_check_result *result, struct findings *findings)
{
    for (size_t at = 0; at < count; at++)
        if (!others[at].withdrawn && others[at].number != check->number && others[at].in.utc_us == check->in.utc_us) {
            findings_add(findings, RULE_CHECK_TWICE, "lag check %d has the same tracer, in at the same time",
                         (int)others[at].number);
            findings_hint(findings, "amend that one, or withdraw it first");
        }
    if (isnan(result->effective_m) || (result->effective_m <= result->nominal_m * CHECK_WIDE &&
                                       result->effective_m >= result->nominal_m * CHECK_NARROW))
        return;
    findings_add(findings, RULE_CHECK_FAR, "the open hole would be %.1f mm wide, recorded is %.1f mm",
                 result->effective_m * 1000, result->nominal_m * 1000);
    findings_hint(findings, "check both times, the pumps' outputs, and whether mud is lost, or add --sure");
}

void pump_doubt(const struct pump *pump, struct findings *findings)
{
    if (pump->kind != PUMP_MEASURED || pump->output_m3 <= PUMP_OUTPUT_PLAIN_M3)
        return;
    findings_add(findings, RULE_PUMP_LARGE,
                 "an output of %g m3 a stroke is more than pumps deliver; it would fit barrels", pump->output_m3);
    findings_hint(findings, "type %gbbl/stk, or add --sure", pump->output_m3);
}

void log_check(int64_t last_us, int64_t now_us, struct findings *findings)
{
    const struct instant last = {.utc_us = last_us, .known = true};
    time_check(RULE_LOG_FUTURE, "its last row", last, now_us, LOG_CLOCK_SLACK_US, findings);
}
