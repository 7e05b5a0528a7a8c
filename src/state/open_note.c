/* SPDX-License-Identifier: MIT */
/* What is said of open fields: to whoever reads a record that has one, and in the notes of lists. */
#include <string.h>

#include "coretally/state/open.h"

enum { TOLD_ONE_BY_ONE = 4 }; /* of a hole; then all others in one line */

/* The open fields of a hole, read once. */
struct open_hole {
    char hole[HOLE_NAME_MAX];
    struct open_points points;
    size_t told;
};

static enum status find_hole(struct state *state, const char *hole, struct open_hole **out, struct err *err)
{
    struct open_shelf *shelf = &state->shared->open;
    struct state lasting = *state;
    for (size_t at = 0; at < shelf->count; at++)
        if (strcmp(shelf->holes[at].hole, hole) == 0) {
            *out = &shelf->holes[at];
            return STATUS_OK;
        }
    struct open_hole found = {.told = 0};
    (void)snprintf(found.hole, sizeof found.hole, "%s", hole);
    lasting.arena = state->shared->arena;
    lasting.cache = &state->shared->cache;
    TRY(open_points_read(&lasting, *hole ? hole : NULL, &found.points, err));
    TRY(arena_grow(lasting.arena, &shelf->holes, shelf->count, &shelf->room, sizeof found, err));
    shelf->holes[shelf->count] = found;
    *out = &shelf->holes[shelf->count++];
    return STATUS_OK;
}

/* The hole of a path; "": it is of none. */
static void hole_of(const char *path, char out[HOLE_NAME_MAX])
{
    static const char folder[] = "holes/";
    const char *hole = strncmp(path, folder, sizeof folder - 1) == 0 ? path + sizeof folder - 1 : "";
    (void)snprintf(out, HOLE_NAME_MAX, "%.*s", (int)strcspn(hole, "/"), hole);
}

/* Words beside the readings change no answer; who shows or lists them says that they are open. */
static bool is_aside(const struct field *field)
{
    return field && field->type == FIELD_TEXT && strcmp(field->name, "hazard") != 0 &&
           strcmp(field->name, "withdrawn") != 0;
}

static enum status tell(struct state *state, struct open_hole *hole, struct open_point *point, struct err *err)
{
    struct text text;
    struct bytes bytes;
    if (point->is_told)
        return STATUS_OK;
    point->is_told = true;
    if (hole->told++ == TOLD_ONE_BY_ONE)
        state_tell(state, "note: %zu fields of %s are not decided in all; coretally open %s\n", hole->points.count,
                   hole->hole, hole->hole);
    if (hole->told > TOLD_ONE_BY_ONE)
        return STATUS_OK;
    text_init(&text, state->arena);
    open_add_claims(point, &text);
    TRY(text_done(&text, &bytes, err));
    state_tell(state, "note: %s: %s, not decided; coretally open%s%s\n", point->thing, bytes.data,
               *hole->hole ? " " : "", hole->hole);
    return STATUS_OK;
}

/* Only where notes are told at all; others would take up the one time that it is told. */
static bool is_heard(const struct state *state)
{
    return state->open && state->sink;
}

enum status open_tell(struct state *state, const char *path, struct err *err)
{
    char name[HOLE_NAME_MAX];
    struct open_hole *hole = NULL;
    hole_of(path, name);
    if (!is_heard(state) || !*name) /* on the expedition's own words nothing rests */
        return STATUS_OK;
    TRY(find_hole(state, name, &hole, err));
    for (size_t at = 0; at < hole->points.count; at++)
        if (strcmp(hole->points.items[at].it.path, path) == 0 && !is_aside(hole->points.items[at].at.field))
            TRY(tell(state, hole, &hole->points.items[at], err));
    return STATUS_OK;
}

/* Is it a field of this record, or of an item of it? */
static bool is_of(const struct open_point *point, const struct record_at *at)
{
    char item[SAMPLE_KEY_MAX];
    char own[SAMPLE_KEY_MAX];
    if (strcmp(point->it.path, at->path) != 0)
        return false;
    if (at->part == at->table)
        return true;
    if (!point->record || point->at.part != at->part)
        return false;
    open_item_text(at->part, at->present, item);
    open_item_text(at->part, point->record, own);
    return strcmp(item, own) == 0;
}

enum status open_tell_record(struct state *state, const struct record_at *at, struct err *err)
{
    char name[HOLE_NAME_MAX];
    struct open_hole *hole = NULL;
    if (!is_heard(state))
        return STATUS_OK;
    hole_of(at->path, name);
    TRY(find_hole(state, name, &hole, err));
    for (size_t it = 0; it < hole->points.count; it++)
        if (is_of(&hole->points.items[it], at))
            TRY(tell(state, hole, &hole->points.items[it], err));
    return STATUS_OK;
}

/* One more open field in a note. is_of: with the record that it is of. */
static void add_open(const struct open_point *point, bool is_of, struct text *out)
{
    text_add(out, out->len ? ", " : "open: ");
    if (is_of)
        text_addf(out, "%s %s%s", point->at.part ? point->at.part->kind : "", point->it.item ? point->it.item : "",
                  point->it.item ? " " : "");
    text_add(out, point->it.field ? point->it.field : "all of it");
}

/* Behind what stands in the note before; nothing found: that alone. */
static enum status join_note(struct state *state, struct text *found, const char *before, const char **out,
                             struct err *err)
{
    struct text joined;
    struct bytes bytes;
    *out = before;
    if (!found->len)
        return STATUS_OK;
    TRY(text_done(found, &bytes, err));
    text_init(&joined, state->arena);
    text_addf(&joined, "%s%s%s", before ? before : "", before && *before ? "; " : "", bytes.data);
    TRY(text_done(&joined, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

enum status open_note(struct state *state, const struct record_at *at, const char *before, const char **out,
                      struct err *err)
{
    char name[HOLE_NAME_MAX];
    struct open_hole *hole = NULL;
    struct text text;
    *out = before;
    if (!state->open)
        return STATUS_OK;
    hole_of(at->path, name);
    TRY(find_hole(state, name, &hole, err));
    text_init(&text, state->arena);
    for (size_t it = 0; it < hole->points.count; it++) {
        const struct open_point *point = &hole->points.items[it];
        if (is_of(point, at))
            add_open(point, point->it.item && at->part == at->table, &text);
    }
    return join_note(state, &text, before, out, err);
}

/* On which fields of the hole do depths in one of its cores rest? Its own, those of its corrections, of the core and of
 * its sections. */
static bool is_below(const struct open_point *point, int32_t core)
{
    const struct place_known *known = &point->at.known;
    if (!known->known || is_aside(point->at.field))
        return false;
    return known->known->table == &hole_table || known->known->table == &correction_table ||
           (known->known->table == &core_table && known->number == core);
}

enum status open_note_depth(struct state *state, const char *hole_name, int32_t core, const char *before,
                            const char **out, struct err *err)
{
    struct open_hole *hole = NULL;
    struct text text;
    *out = before;
    if (!state->open)
        return STATUS_OK;
    TRY(find_hole(state, hole_name, &hole, err));
    text_init(&text, state->arena);
    for (size_t it = 0; it < hole->points.count; it++)
        if (is_below(&hole->points.items[it], core))
            add_open(&hole->points.items[it], true, &text);
    return join_note(state, &text, before, out, err);
}
