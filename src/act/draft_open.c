/* SPDX-License-Identifier: MIT */
/* What a draft decides of what is open: held against each record that it writes. */
#include <string.h>

#include "coretally/act/settle.h"
#include "coretally/kind/pair.h"

/* What becomes of an open field. */
enum fate_of_open { OPEN_STAYS, OPEN_DECIDED, OPEN_WITHDRAWN, OPEN_MOVES };

static const struct writing *find_writing(const struct draft *draft, const char *path)
{
    for (size_t at = 0; at < draft->writing_count; at++)
        if (strcmp(draft->writings[at].path, path) == 0)
            return &draft->writings[at];
    return NULL;
}

static bool is_removal(const struct writing *writing)
{
    return !writing->table && !writing->bytes.data;
}

/* Where the record stands in the draft: a core that gets another number leaves its path for the one that is written. */
static const struct writing *find_written(const struct draft *draft, const struct open_point *point)
{
    const struct writing *own = find_writing(draft, point->it.path);
    struct place_known place;
    if (!own || !is_removal(own) || !place_is_of_core(&point->at.known))
        return own;
    for (size_t at = 0; at < draft->writing_count; at++)
        if (draft->writings[at].table == point->at.known.known->table && draft->writings[at].record &&
            registry_place(draft->writings[at].path, &place) && strcmp(place.hole, point->at.known.hole) == 0)
            return &draft->writings[at];
    return own;
}

static enum fate_of_open judge(const struct open_point *point, const struct writing *written, const void **after)
{
    char item[SAMPLE_KEY_MAX];
    *after = NULL;
    if (!written->table) /* a day of the log that goes decides; one that grows does not */
        return !point->at.part && is_removal(written) ? OPEN_WITHDRAWN : OPEN_STAYS;
    if (written->table != point->at.known.known->table || !point->record)
        return OPEN_STAYS;
    *after = open_pick(&point->at, point->it.item, written->record);
    if (!*after)
        return OPEN_STAYS;
    if (point->at.field && !field_is_equal(point->at.field, point->record, *after))
        return OPEN_DECIDED;
    if ((item_is_withdrawn(point->at.part, *after) && !item_is_withdrawn(point->at.part, point->record)) ||
        (point->at.list && item_is_withdrawn(written->table, written->record)))
        return OPEN_WITHDRAWN;
    if (strcmp(written->path, point->it.path) != 0)
        return OPEN_MOVES;
    if (!point->at.list)
        return OPEN_STAYS;
    open_item_text(point->at.part, *after, item);
    return strcmp(item, point->it.item) != 0 ? OPEN_MOVES : OPEN_STAYS;
}

/* Under the name that its record has from now on. */
static enum status move_point(struct state *state, struct draft *draft, const struct open_point *point,
                              const struct writing *written, const void *after, struct err *err)
{
    struct contradiction *moved = NULL;
    char item[SAMPLE_KEY_MAX];
    char path[REGISTRY_PATH_MAX];
    const char *own_path = written->path; /* the writings may move when one is added */
    TRY(arena_take(state->arena, 1, sizeof *moved, &moved, err));
    *moved = point->it;
    moved->path = own_path;
    if (point->at.list) {
        open_item_text(point->at.part, after, item);
        TRY(draft_copy(state, item, &moved->item, err));
    }
    contradiction_path(moved, path);
    return draft_write(state, draft, path, &contradiction_table, moved, err);
}

static enum status close_point(struct state *state, struct draft *draft, const struct open_point *point,
                               struct text *notes, struct err *err)
{
    const struct writing *written = find_written(draft, point);
    const void *after = NULL;
    if (!written || find_writing(draft, point->path)) /* it decides by name */
        return STATUS_OK;
    const enum fate_of_open fate = judge(point, written, &after);
    if (fate == OPEN_STAYS)
        return STATUS_OK;
    if (fate == OPEN_MOVES)
        TRY(move_point(state, draft, point, written, after, err));
    else {
        text_addf(notes, "note: %s: this settles ", point->thing);
        open_add_claims(point, notes);
        text_add(notes, fate == OPEN_WITHDRAWN ? " (withdrawn)\n" : "\n");
    }
    return draft_remove(state, draft, point->path, err);
}

/* The hole that a writing belongs to; NULL: the expedition. false: what it writes has no fields that could be open. */
static bool hole_of(const struct writing *writing, struct place_known *place)
{
    return registry_place(writing->path, place) && place->known->kind != KNOWN_EVIDENCE &&
           place->known->table != &contradiction_table;
}

static bool was_before(const struct draft *draft, size_t at, const char *hole)
{
    struct place_known place;
    for (size_t other = 0; other < at; other++)
        if (hole_of(&draft->writings[other], &place) && strcmp(place.hole, hole) == 0)
            return true;
    return false;
}

enum status draft_close_open(struct state *state, struct draft *draft, struct err *err)
{
    const size_t count = draft->writing_count;
    struct text notes;
    struct bytes bytes;
    char last[HOLE_NAME_MAX] = "?";
    text_init(&notes, state->arena);
    text_add(&notes, draft->notes ? draft->notes : "");
    for (size_t at = 0; at < count; at++) {
        struct place_known place;
        struct open_points points;
        if (!hole_of(&draft->writings[at], &place) || strcmp(place.hole, last) == 0 ||
            was_before(draft, at, place.hole))
            continue;
        memcpy(last, place.hole, sizeof last);
        TRY(open_points_read(state, *place.hole ? place.hole : NULL, &points, err));
        for (size_t it = 0; it < points.count; it++)
            TRY(close_point(state, draft, &points.items[it], &notes, err));
    }
    TRY(text_done(&notes, &bytes, err));
    draft->notes = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}
