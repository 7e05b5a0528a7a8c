/* SPDX-License-Identifier: MIT */
/* Which act put a record there: the oldest in the unbroken row of versions that equal the present one. At a join the
 * row goes on in the parent that already had the value; where it was put together from both, with each field in its
 * own. */
#include "coretally/state/origin.h"

#include <assert.h>
#include <string.h>

#include "coretally/domain/minted.h"
#include "coretally/state/read.h"
#include "coretally/state/stays.h"
#include "coretally/store/merge.h"

enum { FIELDS_MAX = 64 };

/* The fields that are asked for. */
typedef uint64_t field_bits;

/* A record as it was read once; NULL: absent, or not readable as one. */
struct once {
    const void *record;
    bool is_read;
};

/* The versions of one path as far as they were looked at: the inputs of one depth share the walk. */
struct version {
    struct trail_act act;
    struct once present;
    struct once before[TRAIL_LINES_MAX];
    unsigned seen; /* in which search */
};

struct origin {
    struct origin *next;
    const struct store *store; /* and the state at which it was opened */
    char state[COMMIT_ID_MAX];
    const char *path;
    const struct table *table;
    struct stays *history;
    struct version *versions;
    size_t count;
    size_t room;
    bool ended;
    unsigned searches;
};

void origins_close(struct state *state)
{
    for (struct origin *origin = state->shared->origins; origin; origin = origin->next)
        stays_close(origin->history);
    state->shared->origins = NULL;
}

static enum status origin_open(struct state *state, const struct record_at *at, struct origin **out, struct err *err)
{
    for (struct origin *origin = state->shared->origins; origin; origin = origin->next)
        if (strcmp(origin->path, at->path) == 0 && origin->store == state->store &&
            strcmp(origin->state, store_state(state->store)) == 0) {
            *out = origin;
            return STATUS_OK;
        }
    struct origin *origin = NULL;
    TRY(arena_take(state->arena, 1, sizeof *origin, &origin, err));
    TRY(arena_copy(state->arena, at->path, strlen(at->path), &origin->path, err));
    origin->store = state->store;
    origin->table = at->table;
    (void)snprintf(origin->state, sizeof origin->state, "%s", store_state(state->store));
    TRY(stays_open(state, at->path, &origin->history, err));
    origin->next = state->shared->origins;
    state->shared->origins = origin;
    *out = origin;
    return STATUS_OK;
}

enum status origin_tell_unreadable(struct state *state, const char *path, const struct commit *commit,
                                   const struct err *why, struct err *err)
{
    if (why->status == STATUS_SYSTEM) {
        *err = *why;
        return why->status;
    }
    state_tell(state, "note: %s cannot be read in commit %.10s: %s; who recorded what before that is not shown\n", path,
               commit->id, why->reason);
    return STATUS_OK;
}

/* One act further; false at the end of history. */
static enum status origin_extend(struct state *state, struct origin *origin, bool *more, struct err *err)
{
    struct version version = {.seen = 0};
    TRY(stays_next_act(origin->history, state->arena, &version.act, more, err));
    origin->ended = !*more;
    if (!*more)
        return STATUS_OK;
    TRY(arena_grow(state->arena, &origin->versions, origin->count, &origin->room, sizeof version, err));
    origin->versions[origin->count++] = version;
    return STATUS_OK;
}

static enum status read_once(struct state *state, const struct origin *origin, const char *id, const char *commit,
                             struct once *out, struct err *err)
{
    struct commit where = {.id = ""};
    struct err unreadable = {0};
    if (out->is_read)
        return STATUS_OK;
    out->is_read = true;
    const enum status status = state_version(state, id, origin->path, origin->table, &out->record, &unreadable);
    (void)snprintf(where.id, sizeof where.id, "%s", commit);
    return status == STATUS_OK ? STATUS_OK : origin_tell_unreadable(state, origin->path, &where, &unreadable, err);
}

/* The act of this id, which one after `after` is; SIZE_MAX: there is none. */
static enum status find_version(struct state *state, struct origin *origin, const char *id, size_t after, size_t *out,
                                struct err *err)
{
    bool more = true;
    *out = SIZE_MAX;
    for (size_t at = after + 1; *id && more; at++) {
        if (at == origin->count && !origin->ended)
            TRY(origin_extend(state, origin, &more, err));
        if (at >= origin->count)
            return STATUS_OK;
        if (strcmp(origin->versions[at].act.commit.id, id) == 0) {
            *out = at;
            return STATUS_OK;
        }
    }
    return STATUS_OK;
}

/* --- fields --- */

/* What is asked for: the named fields, or all but the lists of a core: that is not changed by an amended section. */
static field_bits asked_fields(const struct table *table, const char *const *only)
{
    field_bits asked = 0;
    assert(table->count <= FIELDS_MAX);
    for (size_t at = 0; at < table->count; at++) {
        const struct field *field = &table->fields[at];
        bool is_asked = !only && !(table == &core_table && field->type == FIELD_LIST);
        for (const char *const *name = only; name && *name; name++)
            is_asked = is_asked || strcmp(*name, field->name) == 0;
        asked |= is_asked ? UINT64_C(1) << at : 0;
    }
    return asked;
}

/* Those that are equal. */
static field_bits equal_fields(const struct table *table, field_bits asked, const void *a, const void *b)
{
    field_bits equal = 0;
    for (size_t at = 0; at < table->count; at++)
        if ((asked & (UINT64_C(1) << at)) && field_is_equal(&table->fields[at], a, b))
            equal |= UINT64_C(1) << at;
    return equal;
}

/* --- the search --- */

struct search {
    struct state *state;
    const struct record_at *at;
    struct origin *origin;
    const void *value; /* the part as it reads at the state */
};

/* What reads the same on a line behind a version. */
struct behind {
    size_t version; /* SIZE_MAX: nothing */
    field_bits equal;
};

static enum status look_behind(const struct search *search, size_t from, size_t line, field_bits asked,
                               struct behind *out, struct err *err)
{
    struct origin *origin = search->origin;
    struct version *version = &origin->versions[from];
    const struct trail_line *behind = &version->act.lines[line];
    struct once *once = &version->before[line];
    const void *part = NULL;
    char older[COMMIT_ID_MAX];
    *out = (struct behind){.version = SIZE_MAX};
    if (version->act.line_count > 1) /* whose numbers were taken, a join alone tells */
        TRY(read_once(search->state, origin, version->act.id, version->act.commit.id, &version->present, err));
    TRY(read_once(search->state, origin, behind->id, behind->older, once, err));
    TRY(record_at_then(search->state->store, search->at, version->present.record, once->record, behind->parent, &part,
                       err));
    if (part)
        out->equal = equal_fields(search->at->part, asked, search->value, part);
    if (!out->equal)
        return STATUS_OK;
    (void)snprintf(older, sizeof older, "%s", behind->older); /* the versions may move */
    return find_version(search->state, origin, older, from, &out->version, err);
}

static bool is_earlier(const struct commit *a, const struct commit *b)
{
    return a->when.utc_us != b->when.utc_us ? a->when.utc_us < b->when.utc_us : strcmp(a->id, b->id) < 0;
}

static void take_earlier(struct commit *best, const struct commit *found)
{
    if (*found->id && (!*best->id || is_earlier(found, best)))
        *best = *found;
}

static void take_later(struct commit *best, const struct commit *found)
{
    if (*found->id && (!*best->id || is_earlier(best, found)))
        *best = *found;
}

/* NOLINTNEXTLINE(misc-no-recursion): each time with fewer fields, of which a record has few */
static enum status search_from(const struct search *search, const size_t *starts, size_t count, field_bits asked,
                               struct commit *out, struct err *err);

/* Put together from both sides: the latest of the acts that its fields came from. A field that neither side has is the
 * join's own, such as a new number, and nobody's. */
/* NOLINTNEXTLINE(misc-no-recursion): as above */
static enum status split(const struct search *search, const struct behind *lines, struct commit *out, struct err *err)
{
    const size_t both[] = {lines[0].version, lines[1].version};
    struct commit found = {.id = ""};
    struct commit latest = {.id = ""};
    const field_bits shared = lines[0].equal & lines[1].equal;
    if (shared && both[0] != SIZE_MAX && both[1] != SIZE_MAX)
        TRY(search_from(search, both, 2, shared, &found, err));
    take_later(&latest, &found);
    for (size_t line = 0; line < TRAIL_LINES_MAX; line++) {
        found = (struct commit){.id = ""};
        if (lines[line].version != SIZE_MAX && (lines[line].equal & ~shared))
            TRY(search_from(search, &both[line], 1, lines[line].equal & ~shared, &found, err));
        take_later(&latest, &found);
    }
    *out = latest;
    return STATUS_OK;
}

/* One version: on to those behind it that read the same, or its own act is the answer. */
/* NOLINTNEXTLINE(misc-no-recursion): as above */
static enum status look_at(const struct search *search, size_t from, field_bits asked, size_t next[TRAIL_LINES_MAX],
                           size_t *next_count, struct commit *out, struct err *err)
{
    struct behind lines[TRAIL_LINES_MAX] = {{SIZE_MAX, 0}, {SIZE_MAX, 0}};
    const size_t line_count = search->origin->versions[from].act.line_count;
    *next_count = 0;
    *out = (struct commit){.id = ""};
    for (size_t line = 0; line < line_count; line++) {
        TRY(look_behind(search, from, line, asked, &lines[line], err));
        if (lines[line].version != SIZE_MAX && lines[line].equal == asked)
            next[(*next_count)++] = lines[line].version;
    }
    if (*next_count)
        return STATUS_OK;
    if (search->origin->versions[from].act.is_join)
        TRY(split(search, lines, out, err));
    if (!*out->id)
        *out = search->origin->versions[from].act.commit;
    return STATUS_OK;
}

/* Every version that reads the same is looked at once; of the acts at the ends of the rows the earliest counts. */
/* NOLINTNEXTLINE(misc-no-recursion): as above */
static enum status search_from(const struct search *search, const size_t *starts, size_t count, field_bits asked,
                               struct commit *out, struct err *err)
{
    struct origin *origin = search->origin;
    const unsigned mark = ++origin->searches;
    size_t few[8];
    size_t *open = few;
    size_t room = sizeof few / sizeof few[0];
    struct commit earliest = {.id = ""};
    memcpy(open, starts, count * sizeof *starts);
    while (count) {
        const size_t from = open[--count];
        size_t next[TRAIL_LINES_MAX];
        size_t next_count = 0;
        struct commit found;
        if (origin->versions[from].seen == mark)
            continue;
        origin->versions[from].seen = mark;
        TRY(look_at(search, from, asked, next, &next_count, &found, err));
        take_earlier(&earliest, &found);
        for (size_t at = 0; at < next_count; at++) {
            if (count == room)
                TRY(arena_grow(search->state->arena, &open, count, &room, sizeof *open, err));
            open[count++] = next[at];
        }
    }
    *out = earliest;
    return STATUS_OK;
}

/* What got another number in a join says which act recorded it; unless it was amended since, that is its act, whatever
 * number it had between two joins. */
static enum status follow_minted(const struct search *search, struct commit *found, struct err *err)
{
    const struct field *was = field_find(search->at->part, "was");
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    bool is_there = false;
    const struct field *version = field_find(search->at->part, "version");
    const bool is_as_recorded = version && field_is_absent(version, search->value);
    if ((strcmp(found->mail, JOIN_MAIL) != 0 && !is_as_recorded) || !was ||
        !minted_former(*(const char *const *)((const char *)search->value + was->offset), &name, &len, commit))
        return STATUS_OK;
    TRY(store_descends(search->state->store, commit, &is_there, err));
    return is_there ? store_commit(search->state->store, commit, search->state->arena, found, err) : STATUS_OK;
}

enum status origin_find(struct state *state, const struct record_at *at, const char *const *only, struct commit *out,
                        struct err *err)
{
    struct search search = {.at = at, .value = at->present};
    struct commit found = {.id = ""};
    struct state lasting = *state; /* other inputs of a depth share the walk, whoever asks for them */
    size_t newest = 0;
    bool more = true;
    lasting.arena = state->shared->arena;
    lasting.cache = &state->shared->cache;
    search.state = &lasting;
    TRY(origin_open(&lasting, at, &search.origin, err));
    if (!search.origin->count && !search.origin->ended)
        TRY(origin_extend(&lasting, search.origin, &more, err));
    if (search.origin->count) {
        const field_bits asked = asked_fields(at->part, only);
        struct version *first = &search.origin->versions[0];
        TRY(read_once(&lasting, search.origin, first->act.id, first->act.commit.id, &first->present, err));
        const void *record = first->present.record;
        const void *now = record ? record_at_pick(at, record) : NULL;
        if (now && equal_fields(at->part, asked, at->present, now) == asked)
            TRY(search_from(&search, &newest, 1, asked, &found, err));
    }
    if (!*found.id)
        return err_set(err, STATUS_DAMAGED, at->path, "the history of this record does not reach its present version");
    TRY(follow_minted(&search, &found, err));
    *out = found;
    return STATUS_OK;
}

static const char *const withdrawal[] = {"withdrawn", NULL};

enum status origin_said(struct state *state, const struct record_at *at, struct commit *out, struct err *err)
{
    const char *said[FIELDS_MAX + 1] = {NULL};
    size_t count = 0;
    assert(at->part->count <= FIELDS_MAX);
    for (size_t field = 0; field < at->part->count; field++) {
        const char *name = at->part->fields[field].name;
        if (strcmp(name, withdrawal[0]) != 0 && strcmp(name, "version") != 0) /* a withdrawal counts one, too */
            said[count++] = name;
    }
    return origin_find(state, at, said, out, err);
}

enum status origin_withdrawn(struct state *state, const struct record_at *at, struct commit *out, struct err *err)
{
    return origin_find(state, at, withdrawal, out, err);
}
