/* SPDX-License-Identifier: MIT */
/* Act by act from one state to the other. */
#include "coretally/ask/moved.h"

#include <string.h>

#include "coretally/store/merge.h"
#include "coretally/store/registry.h"

struct walk {
    struct state *state;
    const struct moved_asked *asked;
    struct names holes;      /* that are asked for, with those that they leave; none: all */
    struct store *stores[2]; /* before and after an act */
    struct moved_act act;    /* that is looked at */
    bool is_ends;            /* no act is: the two ends are */
    struct moved *out;
};

static bool is_among(const struct names *names, const char *hole)
{
    for (size_t at = 0; at < names->count; at++)
        if (strcmp(names->items[at], hole) == 0)
            return true;
    return !names->count;
}

/* --- from the files that differ to what they touch --- */

/* What is new moves nothing, but for corrections and what the lag of bags rests on: an import is not read. */
static bool can_move(const struct place_known *place, const struct difference *it)
{
    if (place->known->kind != KNOWN_RECORD)
        return place->known->kind == KNOWN_LOG_DAY;
    const struct table *table = place->known->table;
    const bool is_record = table == &hole_table || table == &core_table || table == &sample_set_table ||
                           table == &bag_set_table || table == &renaming_set_table;
    return table == &correction_table || table == &geometry_set_table || table == &pump_set_table ||
           table == &lag_check_set_table || (is_record && (*it->older || table == &renaming_set_table));
}

static enum status note_correction(struct walk *walk, const struct place_known *place, struct err *err)
{
    struct moved_act *act = &walk->act;
    if (walk->is_ends || place->known->table != &correction_table)
        return STATUS_OK;
    TRY(arena_grow(walk->state->arena, &act->corrections, act->correction_count, &act->correction_room,
                   sizeof *act->corrections, err));
    struct moved_correction *it = &act->corrections[act->correction_count++];
    *it = (struct moved_correction){.number = place->number};
    (void)snprintf(it->hole, sizeof it->hole, "%s", place->hole);
    return STATUS_OK;
}

static enum status keep_commit(struct arena *arena, const struct commit *commit, struct commit *out, struct err *err)
{
    const char **const texts[] = {&out->line, &out->author, &out->mail, &out->station, &out->reason};
    *out = *commit;
    for (size_t at = 0; at < sizeof texts / sizeof texts[0]; at++)
        if (*texts[at])
            TRY(arena_copy(arena, *texts[at], strlen(*texts[at]), texts[at], err));
    return STATUS_OK;
}

static void take_bounds(const struct hole *hole, int64_t out[MOVED_BOUNDS])
{
    out[0] = hole->tolerance_um;
    out[1] = hole->heave_um;
    out[2] = hole->tide_um;
}

/* A hole that is new has bounds, and changes none. */
static enum status note_bounds(struct walk *walk, const struct place_known *place, const struct difference *it,
                               struct state *after, struct err *err)
{
    struct moved *const out = walk->out;
    const char *const ids[] = {it->older, it->newer};
    struct moved_bounds bounds = {.commit = walk->act.commit};
    if (walk->is_ends || walk->act.is_join || place->known->kind != KNOWN_RECORD ||
        place->known->table != &hole_table || !*it->older || !*it->newer)
        return STATUS_OK;
    for (int side = 0; side < 2; side++) {
        const void *hole = NULL;
        TRY(state_version(after, ids[side], it->path, &hole_table, &hole, err));
        take_bounds(hole, bounds.um[side]);
    }
    if (memcmp(bounds.um[0], bounds.um[1], sizeof bounds.um[0]) == 0)
        return STATUS_OK;
    (void)snprintf(bounds.hole, sizeof bounds.hole, "%s", place->hole);
    TRY(keep_commit(walk->state->arena, &walk->act.commit, &bounds.commit, err));
    TRY(arena_grow(walk->state->arena, &out->bounds, out->bounds_count, &out->bounds_room, sizeof bounds, err));
    out->bounds[out->bounds_count++] = bounds;
    return STATUS_OK;
}

/* As a command would hand them out that did the same. */
static enum status read_changes(struct walk *walk, const struct differences *differences, struct state *after,
                                struct change **out, size_t *count, struct err *err)
{
    *count = 0;
    TRY(arena_take(after->arena, differences->count, sizeof **out, out, err));
    for (size_t at = 0; at < differences->count; at++) {
        const struct difference *it = &differences->items[at];
        struct place_known place;
        if (it->why)
            return err_set(err, STATUS_DAMAGED, it->path, "%s", it->why);
        if (!registry_place(it->path, &place) || !can_move(&place, it) || !is_among(&walk->holes, place.hole))
            continue;
        struct change *change = &(*out)[(*count)++];
        *change = (struct change){.path = it->path};
        if (*it->newer)
            TRY(store_bytes(after->store, it->newer, it->path, after->arena, &change->bytes, err));
        TRY(note_correction(walk, &place, err));
        TRY(note_bounds(walk, &place, it, after, err));
    }
    return STATUS_OK;
}

/* Of what is touched, the holes that are asked for. */
static size_t choose(const struct moved_asked *asked, struct touched *touched, size_t count)
{
    size_t kept = 0;
    for (size_t at = 0; at < count; at++)
        if (!asked->holes || is_among(asked->holes, touched[at].hole))
            touched[kept++] = touched[at];
    return kept;
}

static enum status take(void *context, const struct compare_change *change, struct err *err)
{
    const struct walk *walk = context;
    return walk->asked->take(walk->asked->context, walk->is_ends ? NULL : &walk->act, change, err);
}

/* Parts outlive the states that they were found in. */
static enum status keep_parts(struct arena *arena, const struct moves_parts *parts, struct moves_parts *out,
                              struct err *err)
{
    TRY(arena_take(arena, parts->count, sizeof *out->items, &out->items, err));
    for (size_t at = 0; at < parts->count; at++) {
        struct moves_part *part = &out->items[out->count++];
        *part = parts->items[at];
        if (part->reach.why)
            TRY(arena_copy(arena, part->reach.why, strlen(part->reach.why), &part->reach.why, err));
    }
    return STATUS_OK;
}

static enum status find_parts(struct walk *walk, struct state *const states[2], const struct differences *differences,
                              struct moves_parts *out, struct err *err)
{
    const struct moves_asked asked = {.no_labels = true,
                                      .has_runs = true,
                                      .each_scale = true,
                                      .take = walk->asked->take ? take : NULL,
                                      .context = walk};
    struct change *changes = NULL;
    size_t count = 0;
    struct touched *touched = NULL;
    size_t touched_count = 0;
    struct moves_parts parts;
    TRY(read_changes(walk, differences, states[1], &changes, &count, err));
    TRY(touched_find(states[0], changes, count, true, &touched, &touched_count, err));
    touched_count = choose(walk->asked, touched, touched_count);
    TRY(moves_find(states, &asked, touched, touched_count, &parts, err));
    return keep_parts(walk->state->arena, &parts, out, err);
}

/* Where the two stores stand. */
static enum status compare_stores(struct walk *walk, struct store *const stores[2], struct moves_parts *out,
                                  struct err *err)
{
    struct differences differences;
    struct state inner; /* what is read of them dies with it */
    struct state sides[2];
    struct state *const states[] = {&sides[0], &sides[1]};
    state_nest(walk->state, &inner);
    enum status status =
        store_differences(stores[0], store_state(stores[0]), store_state(stores[1]), inner.arena, &differences, err);
    for (int side = 0; side < 2; side++)
        state_at(&inner, stores[side], &sides[side]);
    if (status == STATUS_OK)
        status = find_parts(walk, states, &differences, out, err);
    state_leave(&inner);
    return status;
}

/* --- act by act --- */

/* The act against one of its parents. */
static enum status look_at_line(struct walk *walk, const struct commit *commit, const char *parent, bool is_join,
                                struct err *err)
{
    struct moved *out = walk->out;
    struct moved_act *const act = &walk->act;
    *act = (struct moved_act){.commit = *commit, .is_join = is_join};
    (void)snprintf(act->line, sizeof act->line, "%s", is_join ? parent : "");
    TRY(store_stand_at(walk->stores[0], parent, err));
    TRY(store_stand_at(walk->stores[1], commit->id, err));
    TRY(compare_stores(walk, walk->stores, &act->parts, err));
    if (!act->parts.count)
        return STATUS_OK;
    TRY(keep_commit(walk->state->arena, commit, &act->commit, err));
    TRY(arena_grow(walk->state->arena, &out->acts, out->count, &out->room, sizeof *act, err));
    out->acts[out->count++] = *act;
    return STATUS_OK;
}

static enum status look_at_act(struct walk *walk, const char *id, struct err *err)
{
    struct arena arena;
    struct act_told told;
    struct parents parents = {.count = 0};
    arena_init(&arena, walk->state->arena->limit);
    enum status status = store_act(walk->state->store, id, &arena, &told, err);
    if (status == STATUS_OK)
        status = store_parents(walk->state->store, id, &parents, err);
    for (size_t at = 0; status == STATUS_OK && at < parents.count; at++)
        status = look_at_line(walk, &told.commit, parents.ids[at], parents.count > 1, err);
    arena_clear(&arena);
    return status;
}

/* Those after the first state, the oldest first. */
static enum status list_acts(struct walk *walk, struct commits *out, struct err *err)
{
    struct arena *const arena = walk->state->arena;
    const struct commits *since = walk->asked->since;
    struct commits beyond = {.count = 0};
    size_t kept = 0;
    if (since && since->count == 1)
        return store_beyond(walk->state->store, since, arena, out, err);
    TRY(store_commits(walk->state->store, "", arena, out, err));
    if (out->broken)
        return err_set(err, STATUS_DAMAGED, out->broken, "%s", out->why);
    if (!since || !since->count)
        return STATUS_OK;
    TRY(store_beyond(walk->state->store, since, arena, &beyond, err));
    struct lineage after = {beyond.ids, beyond.count};
    lineage_sort(&after);
    for (size_t at = 0; at < out->count; at++)
        if (lineage_has(&after, out->ids[at]))
            memmove(out->ids[kept++], out->ids[at], sizeof *out->ids);
    out->count = kept;
    return STATUS_OK;
}

static enum status look_at_acts(struct walk *walk, struct err *err)
{
    struct commits acts = {.count = 0};
    int64_t next_ms = 0;
    TRY(list_acts(walk, &acts, err));
    walk->out->looked = acts.count;
    for (size_t at = 0; at < acts.count; at++) {
        state_progress(walk->state, "acts", at, acts.count, &next_ms);
        TRY(look_at_act(walk, acts.ids[at], err));
    }
    return STATUS_OK;
}

static enum status add_hole(struct walk *walk, const char *hole, size_t *room, struct err *err)
{
    struct names *const holes = &walk->holes;
    TRY(arena_grow(walk->state->arena, &holes->items, holes->count, room, sizeof(char *), err));
    holes->items[holes->count++] = hole;
    return STATUS_OK;
}

/* A sidetrack moves with what it leaves. */
static enum status find_holes(struct walk *walk, struct err *err)
{
    const struct names *asked = walk->asked->holes;
    size_t room = 0;
    for (size_t at = 0; asked && at < asked->count; at++) {
        struct hole hole;
        bool there = false;
        TRY(state_hole(walk->state, asked->items[at], &hole, &there, err));
        TRY(add_hole(walk, asked->items[at], &room, err));
        for (const struct hole *it = there ? &hole : NULL; it && it->parent; it = it->parent_hole)
            TRY(add_hole(walk, it->parent, &room, err));
    }
    return STATUS_OK;
}

enum status moved_find(struct state *state, const struct moved_asked *asked, struct moved *out, struct err *err)
{
    struct walk walk = {.state = state, .asked = asked, .out = out};
    *out = (struct moved){.count = 0};
    TRY(find_holes(&walk, err));
    enum status status = STATUS_OK;
    for (int side = 0; status == STATUS_OK && side < 2; side++)
        status = store_open_beside(state->store, NULL, &walk.stores[side], err);
    if (status == STATUS_OK)
        status = look_at_acts(&walk, err);
    store_close(walk.stores[0]);
    store_close(walk.stores[1]);
    walk.is_ends = true;
    struct store *const ends[] = {asked->from, state->store};
    if (status == STATUS_OK && asked->from)
        status = compare_stores(&walk, ends, &out->between, err);
    return status;
}
