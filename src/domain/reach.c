/* SPDX-License-Identifier: MIT */
/* Adding up what moves. */
#include "coretally/domain/reach.h"

#include "coretally/base/limits.h"
#include "coretally/base/quantity.h"

const char *const reach_words[] = {"cores", "sections", "samples", "bags", NULL};

struct reach reach_of_kind(enum correction_kind kind)
{
    static const enum scale scales[CORRECTION_KIND_COUNT] = {
        [CORRECTION_NONE] = SCALE_CSF_A,     [CORRECTION_READING] = SCALE_CSF_B,  [CORRECTION_TALLY] = SCALE_CSF_A,
        [CORRECTION_STRETCH] = SCALE_CSF_A,  [CORRECTION_TIDE] = SCALE_CSF_A,     [CORRECTION_SHIFT] = SCALE_CSF_A,
        [CORRECTION_SEAFLOOR] = SCALE_CSF_A, [CORRECTION_COMPOSITE] = SCALE_CCSF, [CORRECTION_GROWTH] = SCALE_CCSF_B,
        [CORRECTION_SPLICE] = SCALE_CCSF_D,  [CORRECTION_WIRELINE] = SCALE_WMSF,  [CORRECTION_SURVEY] = SCALE_TVD};
    return (struct reach){.scale = scales[kind],
                          .has_cores = kind != CORRECTION_NONE,
                          .has_bags = kind == CORRECTION_NONE ||
                                      (kind >= CORRECTION_TALLY && kind <= CORRECTION_TIDE) ||
                                      kind == CORRECTION_SEAFLOOR || kind == CORRECTION_SURVEY};
}

static void add(struct reach *reach, struct reach_count *count, const struct depth *before, const struct depth *after,
                size_t times)
{
    if (before->um == LENGTH_NONE || after->um == LENGTH_NONE) {
        count->found += before->um == LENGTH_NONE && after->um != LENGTH_NONE ? times : 0;
        if (before->um == LENGTH_NONE)
            return;
        count->lost += times;
        reach->why = after->why;
        return;
    }
    const int64_t shift_um = after->um - before->um;
    if (!shift_um || !times)
        return;
    count->least_um = !count->moved || shift_um < count->least_um ? shift_um : count->least_um;
    count->greatest_um = !count->moved || shift_um > count->greatest_um ? shift_um : count->greatest_um;
    count->sum_m += (double)shift_um * 1e-6 * (double)times;
    count->moved += times;
}

void reach_add(struct reach *reach, enum reach_item item, const struct depth *before, const struct depth *after,
               size_t times)
{
    add(reach, &reach->counts[item], before, after, times);
}

void reach_add_run(struct reach *reach, const struct depth *before, const struct depth *after)
{
    add(reach, &reach->runs, before, after, 1);
}

const char *reach_scale_word(const struct reach *reach, enum reach_item item)
{
    if (item != REACH_BAGS || scale_is_vertical(reach->scale))
        return scale_words[reach->scale];
    return reach->scale == SCALE_DRF ? "MRF" : "MSF";
}

bool reach_is_empty(const struct reach *reach)
{
    if (reach->runs.moved || reach->runs.lost || reach->runs.found)
        return false;
    for (int item = 0; item < REACH_ITEM_COUNT; item++)
        if (reach->counts[item].moved || reach->counts[item].lost || reach->counts[item].found)
            return false;
    return true;
}

int64_t reach_mean(const struct reach_count *count)
{
    const double mean_um = count->sum_m / (double)count->moved * 1e6;
    return count->moved ? (int64_t)(mean_um + (mean_um < 0 ? -0.5 : 0.5)) : LENGTH_NONE;
}

void reach_check(const struct reach *reach, const char *hole, struct findings *findings)
{
    size_t lost = reach->runs.lost;
    for (int item = 0; item < REACH_ITEM_COUNT; item++)
        lost += reach->counts[item].lost;
    if (reach_is_empty(reach) && reach->evened)
        findings_add(findings, RULE_CORRECTION_IDLE,
                     "no depth below the seafloor moves in hole %s: the seafloor moves as far", hole);
    else if (reach_is_empty(reach))
        findings_add(findings, RULE_CORRECTION_IDLE, "it moves nothing that is recorded so far in hole %s", hole);
    if (reach->upset_count) {
        findings_add(findings, RULE_CORRECTION_ORDER, "core %d would lie above the core before it%s",
                     (int)reach->upsets[0], reach->upset_count > 1 ? ", and so would others" : "");
        findings_hint(findings, "look at its range and sign; if it is right, add --sure");
    }
    if (reach->above_count) {
        findings_add(findings, RULE_ABOVE_SEAFLOOR, "core %d would lie more than %s m above the seafloor%s",
                     (int)reach->above, length_text(ABOVE_PLAIN_UM, UNIT_M, 0).text,
                     reach->above_count > 1 ? ", and so would others" : "");
        findings_hint(findings, "look at the number and its sign; if it is right, add --sure");
    }
    if (lost) {
        findings_add(findings, RULE_CORRECTION_LOST, "%zu would be left without a depth: %s", lost, reach->why);
        findings_hint(findings, "record what is missing first, or add --sure");
    }
}

void ties_apart_check(size_t apart, const char *first, struct findings *findings)
{
    if (!apart)
        return;
    findings_add(findings, RULE_TIES_APART,
                 apart > 1 ? "%zu ties of the composite do not meet: %s" : "%zu tie of the composite does not meet: %s",
                 apart, first);
    findings_hint(findings, "offsets do not follow: work the table out anew, with --supersedes standing");
}

void splice_joints_check(const struct splice_joint *joints, size_t count, struct findings *findings)
{
    for (size_t at = 1; at < count; at++) {
        const int64_t gap_um = joints[at].top_um - joints[at - 1].bottom_um;
        if (gap_um > SPLICE_SLACK_UM)
            findings_add(findings, RULE_SPLICE_GAP, "a gap of %s m in the splice, above %s at %s m CCSF",
                         length_text(gap_um, UNIT_M, 3).text, joints[at].name,
                         length_text(joints[at].top_um, UNIT_M, 3).text);
        else if (gap_um < -SPLICE_SLACK_UM) {
            findings_add(findings, RULE_SPLICE_OVERLAP, "the splice overlaps by %s m at %s, %s m CCSF",
                         length_text(-gap_um, UNIT_M, 3).text, joints[at].name,
                         length_text(joints[at].top_um, UNIT_M, 3).text);
            findings_hint(findings, "end the interval above it where this one begins, or add --sure");
        }
    }
}
