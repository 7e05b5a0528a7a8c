/* SPDX-License-Identifier: MIT */
/* Intervals drilled without coring: their rules, and what a new one takes over. */
#include "coretally/act/numbered.h"
#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"
#include "coretally/state/core_roll.h"

/* Cores that the interval meets, the first one named. */
static enum status check_cores(struct state *state, const char *hole, const struct drilled *interval,
                               struct findings *findings, struct err *err)
{
    int32_t *numbers = NULL;
    size_t count = 0;
    TRY(state_cores(state, hole, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct core core;
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        core_path(hole, numbers[at], path);
        TRY(state_read(state, path, &core_table, &core, &there, err));
        const int64_t bottom_um = core_bottom(&core);
        if (core.withdrawn || core_is_wide(&core) || core.datum != interval->datum || bottom_um == LENGTH_NONE ||
            interval->top_um >= bottom_um || interval->bottom_um <= core.top_um)
            continue;
        findings_add(findings, RULE_DRILLED_OVERLAP, "it overlaps core %d%c, %s to %s m", (int)core.number, core.type,
                     length_text(core.top_um, UNIT_M, 3).text, length_text(bottom_um, UNIT_M, 3).text);
        findings_hint(findings, "look at the depths once more, or add --sure");
        break;
    }
    return STATUS_OK;
}

/* The interval against its hole, the other intervals and the cores. */
static enum status check_interval(struct state *state, const struct numbered_place *place, const void *item,
                                  struct numbered_found *out, struct err *err)
{
    const struct drilled *interval = item;
    const int64_t seafloor_um = interval->datum == DATUM_SEAFLOOR ? 0 : hole_seafloor(&place->target->hole);
    struct findings *const findings = &out->findings;
    drilled_check(interval, place->set.items, place->set.count, findings);
    TRY(check_cores(state, place->target->hole_name, interval, findings, err));
    if (seafloor_um != LENGTH_NONE && interval->top_um < seafloor_um - DEPTH_SLACK_UM) {
        findings_add(findings, RULE_ABOVE_SEAFLOOR, "the top %s m lies above the seafloor at %s m",
                     length_text(interval->top_um, UNIT_M, 3).text, length_text(seafloor_um, UNIT_M, 3).text);
        findings_hint(findings, "depths below seafloor need --datum seafloor; otherwise add --sure");
    }
    return STATUS_OK;
}

enum status drilled_begin(struct state *state, const char *hole, struct drilled *out, struct err *err)
{
    struct core_neighbours around = {0};
    TRY(resolve_neighbours(state, hole, CORE_NUMBER_MAX, &around, err));
    out->datum = around.above ? around.above->datum : DATUM_RIG_FLOOR;
    return STATUS_OK;
}

const struct numbered_act drilled_act = {
    .form = &drilled_form,
    .word = "drilled",
    .check = check_interval,
};
