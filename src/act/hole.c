/* SPDX-License-Identifier: MIT */
/* Holes added, amended and withdrawn: held against the holes that they leave and the cores that they have. */
#include "coretally/act/hole.h"

#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"

static void find_doubts(const struct state *state, const struct hole *hole, struct findings *findings)
{
    hole_check(hole, findings);
    time_check(RULE_TIME_FUTURE, "the time when the seafloor was found", hole->seafloor_at, state->now.utc_us,
               CLOCK_SLACK_US, findings);
}

/* A copy that lasts. */
static enum status keep(struct state *state, const struct hole *hole, struct hole **out, struct err *err)
{
    TRY(arena_take(state->arena, 1, sizeof **out, out, err));
    **out = *hole;
    return STATUS_OK;
}

static enum status hole_write(struct state *state, const struct hole *hole, struct draft *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char name[HOLE_TEXT_MAX];
    struct hole *written = NULL;
    hole_text(hole, name);
    hole_path(name, path);
    TRY(keep(state, hole, &written, err));
    return draft_write(state, out, path, &hole_table, written, err);
}

static enum status hole_present(struct state *state, const char *name, const struct hole *hole, struct draft *out,
                                struct err *err)
{
    struct hole *present = NULL;
    TRY(keep(state, hole, &present, err));
    const struct record_at at = record_of_hole(name, present);
    return draft_present(state, out, name, &at, err);
}

/* The hole that a sidetrack leaves must be there, and be another one. */
static enum status check_parent(struct state *state, const char *name, const struct hole *hole, struct err *err)
{
    struct hole parent;
    bool there = false;
    if (!hole->parent)
        return STATUS_OK;
    TRY(state_hole(state, hole->parent, &parent, &there, err));
    int line = 1;
    for (const struct hole *above = there ? &parent : NULL; above; above = above->parent_hole) {
        char own[HOLE_TEXT_MAX];
        if (line++ == PARENTS_MAX)
            return err_set(err, STATUS_RULE, name,
                           "it would be a sidetrack in the %dth generation; at most %d are kept", PARENTS_MAX,
                           PARENTS_MAX - 1);
        hole_text(above, own);
        if (strcmp(own, name) == 0)
            return err_set(err, STATUS_RULE, name, "it would be a sidetrack of itself");
    }
    if (there && parent.withdrawn)
        return err_set(err, STATUS_RULE, name, "hole %s, which it leaves, is withdrawn: %s", hole->parent,
                       parent.withdrawn);
    if (there)
        return STATUS_OK;
    err_set(err, STATUS_UNKNOWN, hole->parent, "the hole that %s leaves is not recorded", name);
    return err_hint(err, "holes are listed by: coretally hole list");
}

static enum status add(struct state *state, const char *name, const struct hole *hole, struct draft *out,
                       struct err *err)
{
    struct hole present;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    TRY(check_parent(state, name, hole, err));
    hole_path(name, path);
    TRY(state_read(state, path, &hole_table, &present, &there, err));
    if (there && record_is_equal(&hole_table, hole, &present))
        return hole_present(state, name, &present, out, err);
    if (there) {
        err_set(err, STATUS_EXISTS, name, "this hole is already recorded, with other values");
        return err_hint(err, "coretally hole show %s; to change it: coretally hole amend %s --reason ...", name, name);
    }
    return hole_write(state, hole, out, err);
}

enum status hole_add(struct state *state, const struct hole *typed, struct draft *out, struct err *err)
{
    char name[HOLE_TEXT_MAX];
    draft_init(out);
    hole_text(typed, name);
    if (typed->returns == RETURNS_NONE) {
        err_set(err, STATUS_INPUT, name, "where the mud returns to is not stated");
        return err_hint(err, "add --returns seafloor (riserless) or --returns ship (riser)");
    }
    TRY(draft_copy(state, name, &out->name, err));
    find_doubts(state, typed, &out->findings);
    return add(state, name, typed, out, err) == STATUS_OK ? STATUS_OK : draft_refuse(state, out, err);
}

/* Cores that another seafloor would leave above it. */
static enum status check_cores(struct state *state, const char *name, const struct hole *hole,
                               struct findings *findings, struct err *err)
{
    int32_t *numbers = NULL;
    size_t count = 0;
    const int64_t seafloor_um = hole_seafloor(hole);
    TRY(state_cores(state, name, &numbers, &count, err));
    for (size_t at = 0; seafloor_um != LENGTH_NONE && at < count; at++) {
        struct core core;
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        core_path(name, numbers[at], path);
        TRY(state_read(state, path, &core_table, &core, &there, err));
        if (core.withdrawn || core.datum != DATUM_RIG_FLOOR || core.top_um >= seafloor_um)
            continue;
        findings_add(findings, RULE_ABOVE_SEAFLOOR, "the top of core %d%c, %s m, would lie above the seafloor at %s m",
                     (int)core.number, core.type, length_text(core.top_um, UNIT_M, 3).text,
                     length_text(seafloor_um, UNIT_M, 3).text);
        findings_hint(findings, "look at the seafloor once more, or add --sure");
        break;
    }
    return STATUS_OK;
}

enum status hole_amend(struct state *state, const struct target *target, const struct hole *changed, struct draft *out,
                       struct err *err)
{
    struct findings then = {0};
    struct hole hole = *changed;
    struct hole *before = NULL;
    draft_init(out);
    TRY(draft_copy(state, target->hole_name, &out->name, err));
    find_doubts(state, &hole, &out->findings);
    if (!target->hole.withdrawn)
        find_doubts(state, &target->hole, &then);
    findings_settle(&out->findings, &then);
    TRY(check_parent(state, target->hole_name, &hole, err));
    if (hole_seafloor(&hole) != hole_seafloor(&target->hole))
        TRY(check_cores(state, target->hole_name, &hole, &out->findings, err));
    if (record_is_equal(&hole_table, &hole, &target->hole))
        return hole_present(state, target->hole_name, &hole, out, err);
    hole.version = hole.version ? hole.version + 1 : 2;
    out->needs_reason = true;
    TRY(hole_write(state, &hole, out, err));
    TRY(keep(state, &target->hole, &before, err));
    out->changed = (struct changed){&hole_table, before, out->writings[0].record};
    return STATUS_OK;
}

/* Nothing may stand that hangs on it. */
static enum status check_free(struct state *state, const char *name, struct err *err)
{
    int32_t *numbers = NULL;
    size_t count = 0;
    struct names holes = {0};
    TRY(state_cores(state, name, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct core core;
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        core_path(name, numbers[at], path);
        TRY(state_read(state, path, &core_table, &core, &there, err));
        if (there && !core.withdrawn) {
            err_set(err, STATUS_RULE, name, "core %d%c of this hole still stands", (int)core.number, core.type);
            return err_hint(err, "withdraw its cores first");
        }
    }
    TRY(state_holes(state, &holes, err));
    for (size_t at = 0; at < holes.count; at++) {
        struct hole other;
        bool there = false;
        TRY(state_hole(state, holes.items[at], &other, &there, err));
        if (there && !other.withdrawn && other.parent && strcmp(other.parent, name) == 0)
            return err_set(err, STATUS_RULE, name, "%s, which leaves it, still stands", holes.items[at]);
    }
    return STATUS_OK;
}

enum status hole_withdraw(struct state *state, const struct target *target, const char *reason, struct draft *out,
                          struct err *err)
{
    struct hole hole = target->hole;
    draft_init(out);
    if (hole.withdrawn)
        return draft_withdrawn(state, out, target->hole_name, hole.withdrawn, err);
    TRY(draft_copy(state, target->hole_name, &out->name, err));
    TRY(check_free(state, target->hole_name, err));
    hole.withdrawn = reason;
    hole.version = hole.version ? hole.version + 1 : 2;
    out->needs_reason = true;
    return hole_write(state, &hole, out, err);
}
