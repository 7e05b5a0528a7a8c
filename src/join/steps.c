/* SPDX-License-Identifier: MIT */
/* What each side did with names of cores, step by step, and in which order. */
#include <string.h>

#include "coretally/domain/name.h"
#include "names.h"

static bool parse(const char *text, struct core_id *out)
{
    return core_id_parse(text, strlen(text), out);
}

/* The core that has this name on a side in the end. */
static int32_t find_core(const struct named_cores *cores, int side, struct core_id id)
{
    for (size_t at = 0; at < cores->count; at++)
        if (cores->items[at].ids[side].number == id.number)
            return (int32_t)at;
    return -id.number;
}

static enum status read_line(struct joining *joining, const struct named_cores *cores, int side, struct both_lines *out,
                             struct err *err)
{
    const struct renaming_set *set = &cores->sets[side];
    struct line *line = &out->lines[side];
    TRY(arena_take(joining->arena, set->renaming_count - out->shared, sizeof *line->items, &line->items, err));
    for (size_t at = out->shared; at < set->renaming_count; at++) {
        struct step step = {.core = 0};
        if (!parse(set->renamings[at].from, &step.first) || !parse(set->renamings[at].to, &step.to))
            continue;
        struct core_id id = step.to;
        if (!renamings_carry(set, at + 1, set->renaming_count, &id)) /* no sound list */
            continue;
        step.core = find_core(cores, side, id);
        for (size_t before = line->count; before-- > 0;)
            if (line->items[before].core == step.core)
                step.first = line->items[before].first;
        line->items[line->count++] = step;
    }
    return STATUS_OK;
}

static bool is_same_step(const struct step *a, const struct step *b)
{
    return a->core == b->core && core_id_is(a->to, b->to);
}

/* In both lists although not at their beginning: something came in before it. */
static void pair_steps(struct line *first, struct line *second)
{
    size_t next = 0;
    for (size_t at = 0; at < first->count; at++)
        for (size_t other = next; other < second->count; other++) {
            if (!is_same_step(&first->items[at], &second->items[other]))
                continue;
            first->items[at].is_shared = second->items[other].is_shared = true;
            next = other + 1;
            break;
        }
}

static void take_act(struct line *line, const struct step *done, const struct act_at *act)
{
    for (size_t at = 0; at < line->count; at++) {
        struct step *step = &line->items[at];
        if (step->has_act || step->is_shared || !is_same_step(step, done))
            continue;
        step->has_act = true;
        step->act = *act;
        return;
    }
}

/* What the act did, its core by the name that it has on the side in the end. core is as find_core has it; false: it
 * renamed nothing that is there. */
static enum status read_step(struct joining *joining, const struct named_cores *cores, int side,
                             const struct touch *touch, struct step *out, bool *is_any, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct renaming_set set;
    struct core_id id;
    renamed_path(cores->hole, path);
    TRY(read_renamings(joining, touch->newer, path, &set, err));
    *is_any = set.renaming_count && parse(set.renamings[set.renaming_count - 1].to, &out->to);
    if (!*is_any)
        return STATUS_OK;
    id = out->to;
    *is_any = renamings_between(&set, &cores->sets[side], &id);
    out->core = find_core(cores, side, id);
    return STATUS_OK;
}

static int32_t part_of(struct core_id id, enum name_part part)
{
    return part == NAME_NUMBER ? id.number : id.type;
}

/* Recorded under it, and not renamed: what an act renamed to that number is another core. */
static enum status find_recorder(struct joining *joining, const struct named_cores *cores,
                                 const struct named_core *core, int side, const struct touch *touches, size_t count,
                                 struct act_at *out, struct err *err)
{
    struct spot_at spot = {.table = &core_table};
    struct commit_names renamers = {.count = count};
    struct blamed blamed;
    core_path(cores->hole, core->born ? core->born : core->ids[side].number, spot.path);
    TRY(arena_take(joining->arena, count, sizeof *renamers.items, &renamers.items, err));
    for (size_t at = 0; at < count; at++)
        renamers.items[at] = touches[at].act.id;
    TRY(side_blame(joining, side, &spot, NULL, &renamers, &blamed, err));
    *out = blamed.act;
    return STATUS_OK;
}

enum status find_name_act(struct joining *joining, const struct named_cores *cores, const struct named_core *core,
                          int side, enum name_part part, struct act_at *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct touch *touches = NULL;
    size_t count = 0;
    bool is_found = false;
    int32_t before = core->born ? 0 : part_of(core->ids[VERSION_BASE], part);
    renamed_path(cores->hole, path);
    TRY(side_touches(joining, side, path, &touches, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct step step;
        bool is_any = false;
        TRY(read_step(joining, cores, side, &touches[at], &step, &is_any, err));
        if (!is_any || step.core < 0 || &cores->items[step.core] != core || part_of(step.to, part) == before)
            continue;
        before = part_of(step.to, part);
        *out = touches[at].act;
        is_found = true;
    }
    return is_found ? STATUS_OK : find_recorder(joining, cores, core, side, touches, count, out, err);
}

/* By which act. What no act did, a join did for what follows it, or at the end. */
static enum status find_acts(struct joining *joining, const struct named_cores *cores, int side, struct line *line,
                             struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct touch *touches = NULL;
    size_t count = 0;
    bool is_any = false;
    for (size_t at = 0; at < line->count; at++)
        is_any = is_any || !line->items[at].is_shared;
    if (!is_any)
        return STATUS_OK;
    renamed_path(cores->hole, path);
    TRY(side_touches(joining, side, path, &touches, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct step done;
        bool is_one = false;
        TRY(read_step(joining, cores, side, &touches[at], &done, &is_one, err));
        if (is_one)
            take_act(line, &done, &touches[at].act);
    }
    struct act_at follows = {.time_us = INT64_MAX};
    for (size_t at = line->count; at-- > 0;) {
        struct step *step = &line->items[at];
        if (step->is_shared)
            follows = (struct act_at){.time_us = INT64_MIN};
        else if (step->has_act)
            follows = step->act;
        else
            step->act = follows;
    }
    return STATUS_OK;
}

/* --- what joins did --- */

static enum status is_printed(struct joining *joining, const struct named_cores *cores, int side,
                              const struct step *step, bool *out, struct err *err)
{
    struct label_set set;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    core_labels_path(cores->hole, step->core < 0 ? -step->core : cores->items[step->core].ids[side].number, path);
    TRY(joining_read(joining, (enum version)side, path, &label_set_table, &set, &there, err));
    for (size_t at = 0; there && at < set.label_count && !*out; at++) {
        struct name name;
        struct err unread = {0};
        *out = name_parse(set.labels[at].name, &name, &unread) == STATUS_OK && name.core == step->to.number &&
               name.type == step->to.type;
    }
    return STATUS_OK;
}

typedef void core_file_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX]);

/* Has anybody recorded something under a number that a join alone gave? */
static enum status is_worked_on(struct joining *joining, const struct named_cores *cores, int side,
                                const struct line *line, int32_t number, bool *out, struct err *err)
{
    static core_file_path *const paths[] = {core_path, samples_path, core_labels_path};
    for (size_t at = 0; at < line->count; at++)
        if (line->items[at].has_act && line->items[at].to.number == number)
            return STATUS_OK;
    for (size_t at = 0; at < sizeof paths / sizeof paths[0] && !*out; at++) {
        char path[REGISTRY_PATH_MAX];
        struct touch *touches = NULL;
        size_t count = 0;
        paths[at](cores->hole, number, path);
        TRY(side_touches(joining, side, path, &touches, &count, err));
        *out = count > 0;
    }
    return STATUS_OK;
}

/* A name that a join gave goes where nobody used it: this join finds its own. So names do not depend on which of three
 * sides were joined first. */
static enum status drop_unused(struct joining *joining, const struct named_cores *cores, int side, struct line *line,
                               struct err *err)
{
    size_t kept = 0;
    for (size_t at = 0; at < line->count; at++) {
        const struct step step = line->items[at];
        bool is_used = step.has_act || step.is_shared;
        if (!is_used)
            TRY(is_printed(joining, cores, side, &step, &is_used, err));
        if (!is_used)
            TRY(is_worked_on(joining, cores, side, line, step.to.number, &is_used, err));
        if (is_used)
            line->items[kept++] = step;
    }
    line->count = kept;
    return STATUS_OK;
}

/* --- in which order --- */

/* Is the next step that of the first line? Of one that both have it is, and both go on. */
static bool is_first(const struct line *a, size_t left, const struct line *b, size_t right, bool *both)
{
    *both = false;
    if (left == a->count || right == b->count)
        return left < a->count;
    const struct step *one = &a->items[left];
    const struct step *other = &b->items[right];
    *both = one->is_shared && other->is_shared;
    if (one->is_shared || other->is_shared)
        return *both || other->is_shared;
    return !act_is_before(&other->act, &one->act);
}

/* Both lines keep their order; between what both have, the earlier act comes first. */
static enum status merge_lines(struct joining *joining, struct both_lines *out, struct err *err)
{
    const struct line *a = &out->lines[0];
    const struct line *b = &out->lines[1];
    size_t left = 0;
    size_t right = 0;
    TRY(arena_take(joining->arena, a->count + b->count, sizeof *out->steps, &out->steps, err));
    while (left < a->count || right < b->count) {
        bool both = false;
        const bool first = is_first(a, left, b, right, &both);
        out->steps[out->step_count++] = first ? a->items[left] : b->items[right];
        left += first;
        right += both || !first;
    }
    return STATUS_OK;
}

enum status read_lines(struct joining *joining, const struct named_cores *cores, struct both_lines *out,
                       struct err *err)
{
    *out = (struct both_lines){.shared = renamings_shared(&cores->sets[0], &cores->sets[1])};
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(read_line(joining, cores, side, out, err));
    pair_steps(&out->lines[0], &out->lines[1]);
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(find_acts(joining, cores, side, &out->lines[side], err));
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(drop_unused(joining, cores, side, &out->lines[side], err));
    return merge_lines(joining, out, err);
}
