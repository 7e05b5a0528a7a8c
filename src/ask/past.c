/* SPDX-License-Identifier: MIT */
/* A thing at an earlier state: found again under the names that it had, its depth worked out from what stood then. */
#include "coretally/ask/past.h"

#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/minted.h"
#include "coretally/state/bag.h"
#include "coretally/state/origin.h"
#include "coretally/state/span.h"
#include "coretally/store/walk.h"

static bool knows_hole(const struct past *past, const char *hole)
{
    for (size_t at = 0; at < past->hole_count; at++)
        if (strcmp(past->holes[at], hole) == 0)
            return true;
    return false;
}

/* The parents that a hole had in any of its versions. */
static enum status add_parents(struct state *state, struct past *past, const char *hole, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct history *history = NULL;
    enum status status = STATUS_OK;
    hole_path(hole, path);
    TRY(history_open(state->store, path, &history, err));
    for (bool more = true; status == STATUS_OK && more;) {
        struct commit commit = {0};
        char id[HASH_TEXT_MAX];
        const void *record = NULL;
        struct err why = {0};
        status = history_next(history, state->arena, &commit, id, &more, err);
        if (status != STATUS_OK || !more || !*id)
            continue;
        const enum status decoded = state_version(state, id, path, &hole_table, &record, &why);
        const struct hole *version = record;
        if (decoded == STATUS_SYSTEM) {
            *err = why;
            status = decoded;
        }
        if (decoded != STATUS_OK) /* a walk that comes back to this version stands at it and is refused there */
            continue;
        if (version->parent && !knows_hole(past, version->parent) && past->hole_count < PAST_HOLES_MAX)
            past->holes[past->hole_count++] = version->parent;
    }
    history_close(history);
    return status;
}

static enum status open_bag(struct state *state, const struct past_asked *asked, struct past *past,
                            struct target *target, struct err *err)
{
    struct bag_target at = {0};
    past->scale = asked->scale == SCALE_COUNT ? SCALE_DSF : asked->scale;
    if (!scale_is_drilled(past->scale)) {
        err_set(err, STATUS_RULE, asked->typed, "what is taken at the shaker has no %s", scale_words[past->scale]);
        return err_hint(err, "it has MRF, MSF, TVD and TVDSF");
    }
    struct bag_set *among = NULL;
    TRY(bag_read(state, target, past->name.bag, past->name.bag_number, &at, err));
    if (!at.bag)
        return err_set(err, STATUS_UNKNOWN, at.name, "it is not recorded");
    TRY(arena_take(state->arena, 1, sizeof *among, &among, err));
    *among = at.set;
    past->part = record_of_bag(target->hole_name, past->name.bag, at.bag);
    past->among = among;
    return STATUS_OK;
}

/* What the name names; its hole is found again in every state. */
static enum status open_thing(struct state *state, const struct past_asked *asked, struct past *past,
                              struct target *target, struct err *err)
{
    struct span *span = NULL;
    if (past->name.level == NAME_HOLE)
        return err_set(err, STATUS_INPUT, asked->typed, "this is a hole; a core, section, sample or bag has a depth");
    if (past->name.level == NAME_BAG) {
        TRY(resolve_hole(state, &past->name, target, err));
        return open_bag(state, asked, past, target, err);
    }
    TRY(arena_take(state->arena, 1, sizeof *span, &span, err));
    TRY(span_named(state, asked->typed, &past->name, span, err));
    *target = span->target;
    past->name = target->name;
    if (target->sample < target->samples.sample_count) {
        past->sample = &target->samples.samples[target->sample];
        past->part = record_of_sample(target->hole_name, target->name.core, past->sample);
        past->among = &span->target.samples;
    }
    return STATUS_OK;
}

enum status past_open(struct state *state, const struct past_asked *asked, struct past *out, struct err *err)
{
    struct target target = {.name = {.core = 0}};
    const char *hole = NULL;
    *out = (struct past){.scale = asked->scale == SCALE_COUNT ? SCALE_CSF_A : asked->scale};
    TRY(resolve_name(state, asked->typed, &out->name, err));
    TRY(open_thing(state, asked, out, &target, err));
    (void)snprintf(out->name.expedition, sizeof out->name.expedition, "%s", state->expedition.number);
    TRY(arena_copy(state->arena, target.hole_name, strlen(target.hole_name), &hole, err));
    out->holes[out->hole_count++] = hole;
    TRY(state_renamings(state, hole, &out->renamed, err));
    for (size_t at = 0; at < out->hole_count; at++)
        TRY(add_parents(state, out, out->holes[at], err));
    return STATUS_OK;
}

static void add_path(struct past_path *out, size_t *count, enum past_part part, size_t hole, const char *path)
{
    out[*count].part = part;
    out[*count].hole = hole;
    (void)snprintf(out[*count].path, sizeof out[*count].path, "%s", path);
    (*count)++;
}

/* The files of its core under each number that it had. */
static void add_core_paths(const struct past *past, struct past_path *out, size_t *count)
{
    int32_t numbers[2 * CORE_STAYS_MAX];
    const struct core_id id = {past->name.core, past->name.type};
    const size_t stays = renamings_numbers(&past->renamed, id, numbers, sizeof numbers / sizeof numbers[0]);
    for (size_t at = 0; at < stays; at++) {
        char path[REGISTRY_PATH_MAX];
        bool is_known = false;
        for (size_t before = 0; before < at; before++)
            is_known = is_known || numbers[before] == numbers[at];
        if (is_known || *count + 2 > TRAIL_PATHS_MAX)
            continue;
        core_path(past->holes[0], numbers[at], path);
        add_path(out, count, PAST_CORE, 0, path);
        samples_path(past->holes[0], numbers[at], path);
        if (past->sample)
            add_path(out, count, PAST_SAMPLES, 0, path);
    }
}

size_t past_paths(const struct past *past, struct past_path out[TRAIL_PATHS_MAX])
{
    char path[REGISTRY_PATH_MAX];
    const char *hole = past->holes[0];
    size_t count = 0;
    for (size_t at = 0; at < past->hole_count; at++) {
        hole_path(past->holes[at], path);
        add_path(out, &count, PAST_HOLE, at, path);
        (void)snprintf(path, sizeof path, "holes/%.12s/corrections", past->holes[at]);
        add_path(out, &count, PAST_CORRECTIONS, at, path);
    }
    if (past->name.level != NAME_BAG) {
        add_core_paths(past, out, &count);
        return count;
    }
    well_path(hole, path);
    add_path(out, &count, PAST_WELL, 0, path);
    pumps_path(hole, path);
    add_path(out, &count, PAST_PUMPS, 0, path);
    lag_checks_path(hole, path);
    add_path(out, &count, PAST_CHECKS, 0, path);
    (void)snprintf(path, sizeof path, "holes/%.12s/log", hole);
    add_path(out, &count, PAST_LOG, 0, path);
    bags_path(hole, past->name.bag, bag_hundred(past->name.bag_number), path);
    add_path(out, &count, PAST_BAGS, 0, path);
    return count;
}

/* The number that the bag had then; 0: it was not there. A join may have given it another one, among another hundred.
 */
static enum status bag_number_then(struct state *state, const struct past *past, int32_t *out, struct err *err)
{
    const struct bag *present = past->part.present;
    char path[REGISTRY_PATH_MAX];
    struct bag_set set;
    const void *found = NULL;
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    bool there = false;
    bags_path(past->holes[0], past->name.bag, bag_hundred(present->number), path);
    TRY(state_read(state, path, &bag_set_table, &set, &there, err));
    if (there)
        TRY(record_at_then(state->store, &past->part, past->among, &set, store_state(state->store), &found, err));
    *out = found ? ((const struct bag *)found)->number : 0;
    if (found || !minted_former(present->was, &name, &len, commit))
        return STATUS_OK;
    TRY(store_descends(state->store, commit, &there, err));
    if (there && bag_hundred(minted_number(present->was)) != bag_hundred(present->number))
        *out = minted_number(present->was);
    return STATUS_OK;
}

static enum status look_at_bag(struct state *state, const struct past *past, struct moment *out, struct err *err)
{
    struct target target = {.name = past->name};
    struct bag_target at = {0};
    struct lag_hole lag;
    struct lag_depth depth;
    int32_t number = 0;
    (void)snprintf(target.hole_name, sizeof target.hole_name, "%s", past->holes[0]);
    target.hole = out->hole;
    TRY(bag_number_then(state, past, &number, err));
    if (!number)
        return STATUS_OK;
    TRY(bag_read(state, &target, past->name.bag, number, &at, err));
    (void)snprintf(out->name, sizeof out->name, "%s", at.name);
    if (!at.bag)
        return STATUS_OK;
    out->there = true;
    out->bag = at.bag;
    out->withdrawn = at.bag->withdrawn != NULL || out->hole.withdrawn != NULL;
    TRY(lag_hole_try(state, &at.target, &lag, err));
    const enum status status = bag_depth(state, &lag, at.set.kind, at.bag, &depth, err);
    lag_hole_close(&lag);
    TRY(status);
    struct depth ends[BAG_ENDS];
    bag_depths(&out->hole, &depth, past->scale, ends);
    out->top_um = ends[BAG_TOP].um;
    out->bottom_um = ends[BAG_BOTTOM].um;
    out->why = ends[BAG_TOP].why;
    return STATUS_OK;
}

/* The span of the name in what stood then; STATUS_RULE where its place is outside of the section. */
static enum status span_then(struct state *state, const struct past *past, const struct moment *moment,
                             struct span *span, struct err *err)
{
    struct target *target = &span->target;
    char typed[NAME_TEXT_MAX];
    target->name = past->name;
    target->name.core = moment->core.number;
    target->name.type = moment->core.type;
    name_format(&target->name, NAME_PRINTED, typed);
    if (target->name.level >= NAME_SECTION)
        target->section = core_section(&target->core, moment->sample ? moment->sample->section : past->name.section);
    if (target->name.level >= NAME_SECTION && !target->section)
        return err_set(err, STATUS_RULE, typed, "its section is withdrawn, so it has no depth");
    return span_from(state, typed, moment->sample, span, err);
}

/* Is the part of the core that the name asks for recorded there? */
static bool has_part(const struct past *past, const struct core *core)
{
    return past->name.level < NAME_SECTION || section_in(core, past->name.section) != NULL;
}

/* The number that its core had then; 0: it was not there. */
static enum status number_then(struct state *state, const struct past *past, int32_t *out, struct err *err)
{
    struct core_id id = {past->name.core, past->name.type};
    struct renaming_set then = {0};
    *out = id.number;
    if (!past->renamed.renaming_count)
        return STATUS_OK;
    TRY(state_renamings(state, past->holes[0], &then, err));
    if (!renamings_between(&past->renamed, &then, &id))
        id.number = 0;
    *out = id.number;
    return STATUS_OK;
}

static enum status look_in_core(struct state *state, const struct past *past, struct moment *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    struct span *span = NULL;
    struct err refusal = {0};
    struct depth top;
    struct depth bottom;
    TRY(arena_take(state->arena, 1, sizeof *span, &span, err));
    struct target *target = &span->target;
    (void)snprintf(target->hole_name, sizeof target->hole_name, "%s", past->holes[0]);
    int32_t number = 0;
    TRY(number_then(state, past, &number, err));
    core_path(past->holes[0], number, path);
    if (number)
        TRY(state_read(state, path, &core_table, &target->core, &there, err));
    if (!there)
        return STATUS_OK;
    out->core = target->core;
    target->hole = out->hole;
    if (past->sample) {
        samples_path(past->holes[0], number, path);
        TRY(state_read(state, path, &sample_set_table, &target->samples, &there, err));
        const void *sample = NULL;
        TRY(record_at_then(state->store, &past->part, past->among, &target->samples, store_state(state->store), &sample,
                           err));
        out->sample = sample;
    }
    target->sample = target->samples.sample_count;
    out->there = past->sample ? out->sample != NULL : has_part(past, &target->core);
    if (!out->there)
        return STATUS_OK;
    out->withdrawn = target->core.withdrawn || target->hole.withdrawn || (out->sample && out->sample->withdrawn);
    const enum status status = span_then(state, past, out, span, &refusal);
    (void)snprintf(out->name, sizeof out->name, "%s", span->name);
    if (status == STATUS_RULE)
        return arena_copy(state->arena, refusal.reason, strlen(refusal.reason), &out->why, err);
    if (status != STATUS_OK) {
        *err = refusal;
        return status;
    }
    span_depths(span, past->scale, &top, &bottom);
    out->top_um = top.um;
    out->bottom_um = bottom.um;
    out->why = top.why;
    return STATUS_OK;
}

enum status past_look(struct state *state, const struct past *past, struct moment *out, struct err *err)
{
    bool there = false;
    memset(out, 0, sizeof *out);
    out->top_um = out->bottom_um = LENGTH_NONE;
    TRY(state_hole(state, past->holes[0], &out->hole, &there, err));
    for (size_t at = 0; at < past->hole_count; at++)
        TRY(state_corrections(state, past->holes[at], &out->corrections[at], &out->correction_counts[at], err));
    if (!there)
        return STATUS_OK;
    return past->name.level == NAME_BAG ? look_at_bag(state, past, out, err) : look_in_core(state, past, out, err);
}

bool past_differs(const struct moment *newer, const struct moment *older)
{
    return newer->there != older->there || newer->withdrawn != older->withdrawn || newer->top_um != older->top_um ||
           newer->bottom_um != older->bottom_um || strcmp(newer->name, older->name) != 0;
}
