/* SPDX-License-Identifier: MIT */
/* States of the well: their rules, and what a new one takes over. */
#include "coretally/act/numbered.h"
#include "coretally/base/limits.h"
#include "coretally/state/lag_hole.h"

static enum status check(struct state *state, const struct numbered_place *place, const void *item,
                         struct numbered_found *out, struct err *err)
{
    const struct geometry *well = item;
    const struct target *const target = place->target;
    const struct geometry *others = place->set.items;
    struct segments split;
    if (target->hole.returns == RETURNS_SEAFLOOR) {
        err_set(err, STATUS_RULE, target->hole_name,
                "mud returns to the seafloor here (riserless): nothing comes up to lag");
        return err_hint(err, "once the riser is on: coretally hole amend %s --returns ship --reason ...",
                        target->hole_name);
    }
    for (size_t at = 0; at < place->set.count; at++)
        if (others[at].number != well->number && !others[at].withdrawn && others[at].from.utc_us == well->from.utc_us) {
            err_set(err, STATUS_EXISTS, target->hole_name, "the well is already recorded from this very time");
            return err_hint(err, "amend that state (its number is %d), or type another --from", (int)others[at].number);
        }
    TRY(well_check(well, err));
    if (well->bore_count && well->bores[0].kind == BORE_RISER && well->inlet_um != LENGTH_NONE &&
        well->inlet_um > well->bores[0].bottom_um) {
        err_set(err, STATUS_RULE, "inlet", "the booster enters at %s m, below the riser, which ends at %s m",
                length_text(well->inlet_um, UNIT_M, 2).text, length_text(well->bores[0].bottom_um, UNIT_M, 2).text);
        return err_hint(err, "it enters at the foot of the riser or above");
    }
    if (well->slip.method != SLIP_NONE) {
        double ignored = 0;
        TRY(slip_velocity(&well->slip, &ignored, NULL, err));
    }
    struct bore bores[BORES_MAX];
    const struct geometry narrow = geometry_vary(well, -1, bores); /* bounds are worked out with it, too */
    TRY(well_split(well, well_trial_bit(well), &split, err));
    TRY(well_split(&narrow, well_trial_bit(well), &split, err));
    time_check(RULE_TIME_FUTURE, "the time from which it holds", well->from, state->now.utc_us, AHEAD_US,
               &out->findings);
    time_check(RULE_TIME_FUTURE, "the time of cementing", well->cemented, state->now.utc_us, CLOCK_SLACK_US,
               &out->findings);
    return STATUS_OK;
}

static int order_states(const void *a, const void *b)
{
    const struct geometry *left = a;
    const struct geometry *right = b;
    return left->from.utc_us != right->from.utc_us ? (left->from.utc_us > right->from.utc_us ? 1 : -1)
                                                   : left->number - right->number;
}

void well_begin(const struct numbered_set *set, int64_t from_us, struct geometry *out)
{
    const struct geometry *recorded = set->items;
    size_t latest = geometry_at(recorded, set->count, from_us);
    if (latest == SIZE_MAX) /* before all others: like the next rather than like none */
        latest = geometry_at(recorded, set->count, INT64_MAX);
    if (latest == SIZE_MAX)
        return;
    *out = recorded[latest];
    out->from = (struct instant){0};
    out->remark = NULL;
    out->version = 0;
}

enum status well_follow(struct state *state, const struct geometry *before, const struct geometry *stated, size_t count,
                        struct geometry **out, struct err *err)
{
    struct geometry *wells = NULL;
    TRY(arena_take(state->arena, count, sizeof *wells, &wells, err));
    for (size_t at = 0; at < count; at++) {
        struct geometry *const well = &wells[at];
        *well = at ? wells[at - 1] : *before;
        well->from = stated[at].from;
        if (stated[at].bore_count) {
            well->bores = stated[at].bores;
            well->bore_count = stated[at].bore_count;
        }
        if (stated[at].part_count) {
            well->parts = stated[at].parts;
            well->part_count = stated[at].part_count;
        }
    }
    *out = wells;
    return STATUS_OK;
}

const struct numbered_act well_act = {
    .form = &well_form,
    .word = "well",
    .order = order_states,
    .check = check,
};
