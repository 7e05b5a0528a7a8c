/* SPDX-License-Identifier: MIT */
/* The parts of a change: its hole, and what hangs on that; names that are watched in one of them. */
#include <string.h>

#include "coretally/ask/reach.h"
#include "coretally/state/span.h"

enum { HANGING_MAX = 64 }; /* the hole of a change and its sidetracks */

/* "correction 2", "corrections 1, 2": those in force in one and not in the other; "none". */
static enum status name_others(struct state *state, const struct hole *hole, const struct hole *less, const char **out,
                               struct err *err)
{
    struct text text;
    struct bytes bytes;
    size_t count = 0;
    text_init(&text, state->arena);
    for (size_t at = 0; at < hole->correction_count; at++) {
        const int32_t number = hole->corrections[at]->number;
        if (!correction_in_force(less, number))
            text_addf(&text, "%s%d", count++ ? ", " : "", (int)number);
    }
    TRY(text_done(&text, &bytes, err));
    if (!count)
        return STATUS_OK;
    text_init(&text, state->arena);
    text_addf(&text, "correction%s %s", count > 1 ? "s" : "", bytes.data);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

enum status reach_part_of(struct state *state, const struct correction_roll *roll, const struct correction *it,
                          struct reach_part *out, struct err *err)
{
    struct hole none;
    *out = (struct reach_part){.kind = it->kind, .target = roll->target, .with = roll->target.hole, .against = "none"};
    TRY(hole_without(state, roll, it, &out->without, err));
    if (!it->supersedes)
        return STATUS_OK;
    TRY(hole_without_line(state, roll, it, &none, err));
    return name_others(state, &out->without, &none, &out->against, err);
}

enum status reach_part_alone(struct state *state, const struct correction_roll *roll, const struct correction *it,
                             struct reach_part *out, bool *is_other, struct err *err)
{
    TRY(reach_part_of(state, roll, it, out, err));
    *is_other = strcmp(out->against, "none") != 0;
    out->against = "none";
    return *is_other ? hole_without_line(state, roll, it, &out->without, err) : STATUS_OK;
}

static enum status add(struct state *state, const struct reach_part *part, struct reach_parts *parts, struct err *err)
{
    struct reach_part *kept = NULL;
    TRY(arena_take(state->arena, 1, sizeof *kept, &kept, err)); /* sidetracks point to the holes of others */
    TRY(arena_grow(state->arena, &parts->items, parts->count, &parts->room, sizeof(void *), err));
    *kept = *part;
    parts->items[parts->count++] = kept;
    return STATUS_OK;
}

/* The hole of this name, where it leaves that of parent. */
static enum status add_sidetrack(struct state *state, const struct reach_part *parent, const char *name, size_t first,
                                 struct reach_parts *parts, struct err *err)
{
    struct reach_part child = {.kind = parent->kind, .against = parent->against};
    bool there = false;
    TRY(state_hole(state, name, &child.without, &there, err));
    if (!there || !child.without.parent || strcmp(child.without.parent, parent->target.hole_name) != 0)
        return STATUS_OK;
    TRY(name_parse(name, &child.target.name, err));
    (void)snprintf(child.target.hole_name, sizeof child.target.hole_name, "%s", name);
    child.target.hole = child.with = child.without;
    child.without.parent_hole = &parent->without;
    child.with.parent_hole = &parent->with;
    if (parts->count - first == HANGING_MAX)
        return err_set(err, STATUS_RULE, name, "more than %d sidetracks hang on one hole", (int)HANGING_MAX);
    return add(state, &child, parts, err);
}

enum status reach_parts_add(struct state *state, const struct reach_part *first, struct reach_parts *parts,
                            struct err *err)
{
    const size_t own = parts->count;
    struct names holes = {0};
    TRY(add(state, first, parts, err));
    if (!reach_of_kind(first->kind).has_bags) /* it moves neither the pipe, the seafloor nor the way of the hole */
        return STATUS_OK;
    TRY(state_holes(state, &holes, err));
    for (size_t parent = own; parent < parts->count; parent++) /* sidetracks leave sidetracks */
        for (size_t at = 0; at < holes.count; at++)
            TRY(add_sidetrack(state, parts->items[parent], holes.items[at], own, parts, err));
    return STATUS_OK;
}

void reach_watch_ahead(struct state *state, const char *typed)
{
    struct err unknown = {0};
    struct name name;
    struct sample_set samples;
    char hole[HOLE_TEXT_MAX];
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    if (name_parse(typed, &name, &unknown) != STATUS_OK || name.level < NAME_SECTION || name.level == NAME_BAG)
        return;
    name_hole(&name, hole);
    samples_path(hole, name.core, path);
    if (state_read(state, path, &sample_set_table, &samples, &there, &unknown) != STATUS_OK)
        return; /* whoever goes through the hole meets it, too */
}

enum status reach_watch(struct state *state, const struct reach_part *part, const char *typed, struct watched *out,
                        struct err *err)
{
    struct span span;
    struct depth before[2];
    struct depth after[2];
    struct name parsed;
    *out = (struct watched){.where = WATCHED_BAG};
    TRY(resolve_name(state, typed, &parsed, err));
    if (parsed.level == NAME_BAG)
        return STATUS_OK;
    TRY(span_read(state, typed, &span, err));
    out->where = WATCHED_ELSEWHERE;
    if (strcmp(span.target.hole_name, part->target.hole_name) != 0)
        return STATUS_OK;
    out->where = WATCHED_HERE;
    span.target.hole = part->without;
    span_depths(&span, part->reach.scale, &before[0], &before[1]);
    span.target.hole = part->with;
    span_depths(&span, part->reach.scale, &after[0], &after[1]);
    const int end = before[0].um == after[0].um && before[1].um != after[1].um; /* its lower end alone moves */
    memcpy(out->name, span.name, sizeof out->name);
    out->scale = scale_words[part->reach.scale];
    out->before_um = before[end].um;
    out->after_um = after[end].um;
    return STATUS_OK;
}
