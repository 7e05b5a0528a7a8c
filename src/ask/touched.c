/* SPDX-License-Identifier: MIT */
/* From the files that an act changes to what may move. */
#include "coretally/ask/touched.h"

#include <assert.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/record/log_day.h"
#include "coretally/state/lag_hole.h"
#include "coretally/state/numbered.h"

struct gather {
    struct state *state;
    bool with_corrections;
    struct touched *items;
    size_t count;
    size_t room;
};

static enum status take_hole(struct gather *gather, const char *hole, struct touched **out, struct err *err)
{
    for (size_t at = 0; at < gather->count; at++)
        if (strcmp(gather->items[at].hole, hole) == 0) {
            *out = &gather->items[at];
            return STATUS_OK;
        }
    TRY(arena_grow(gather->state->arena, &gather->items, gather->count, &gather->room, sizeof **out, err));
    *out = &gather->items[gather->count++];
    **out = (struct touched){.since_us = INT64_MAX};
    (void)snprintf((*out)->hole, sizeof(*out)->hole, "%s", hole);
    return STATUS_OK;
}

static enum status take_core(struct gather *gather, const struct place_known *place, struct err *err)
{
    struct touched *touched = NULL;
    TRY(take_hole(gather, place->hole, &touched, err));
    for (size_t at = 0; at < touched->core_count; at++) /* the core and its samples in one act */
        if (touched->cores[at] == place->number)
            return STATUS_OK;
    TRY(arena_grow(gather->state->arena, &touched->cores, touched->core_count, &touched->core_room, sizeof(int32_t),
                   err));
    touched->cores[touched->core_count++] = place->number;
    return STATUS_OK;
}

/* Bags from then on; none in the hole: nothing to move. */
static enum status take_bags(struct gather *gather, const char *hole, int64_t since_us, struct err *err)
{
    char folder[REGISTRY_PATH_MAX];
    struct known_files files = {0};
    struct touched *touched = NULL;
    (void)snprintf(folder, sizeof folder, "holes/%.12s/bags", hole);
    TRY(state_list(gather->state, folder, &files, err));
    if (!files.count)
        return STATUS_OK;
    TRY(take_hole(gather, hole, &touched, err));
    touched->bags = true;
    touched->since_us = since_us < touched->since_us ? since_us : touched->since_us;
    return STATUS_OK;
}

/* --- the lag: since when it is another --- */

/* A tracer that was seen later measures another well, or none any more, and what it measures holds from its start on.
 * Without the log of the time when cement was circulated no lag is known at all. */
static enum status look_at_checks(struct gather *gather, const char *hole, int64_t *since_us, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct lag_check_set checks;
    struct geometry_set wells;
    bool there = false;
    const int64_t changed_us = *since_us;
    lag_checks_path(hole, path);
    TRY(state_read(gather->state, path, &lag_check_set_table, &checks, &there, err));
    for (size_t at = 0; at < checks.check_count; at++)
        if (checks.checks[at].seen.utc_us >= changed_us && checks.checks[at].in.utc_us < *since_us)
            *since_us = checks.checks[at].in.utc_us;
    well_path(hole, path);
    TRY(state_read(gather->state, path, &geometry_set_table, &wells, &there, err));
    for (size_t at = 0; at < wells.state_count; at++)
        if (wells.states[at].cemented.known && wells.states[at].cemented.utc_us >= changed_us)
            *since_us = INT64_MIN;
    return STATUS_OK;
}

/* The first instant at which a state, a pump or a check of one set says something else than in the other. */
static void find_first(const struct table *item, const struct numbered_set *set, const struct numbered_set *other,
                       int64_t *first_us)
{
    const struct field *from = field_find(item, "from") ? field_find(item, "from") : field_find(item, "in");
    for (size_t at = 0; at < set->count; at++) {
        const char *it = (const char *)set->items + at * item->size;
        bool same = false;
        for (size_t twin = 0; !same && twin < other->count; twin++)
            same = record_is_alike(item, it, (const char *)other->items + twin * item->size);
        const struct instant *instant = (const void *)(it + from->offset);
        if (!same && instant->utc_us < *first_us)
            *first_us = instant->utc_us;
    }
}

static const struct field *list_of(const struct table *table)
{
    const struct field *list = NULL;
    for (size_t at = 0; at < table->count; at++)
        list = table->fields[at].type == FIELD_LIST ? &table->fields[at] : list;
    assert(list);
    return list;
}

static enum status take_set(struct gather *gather, const struct place_known *place, const void *before,
                            const void *after, struct err *err)
{
    const struct table *table = place->known->table;
    const struct table *item = list_of(table)->of;
    int64_t first_us = INT64_MAX;
    find_first(item, before, after, &first_us);
    if (table == &pump_set_table &&
        first_us != INT64_MAX) /* rows that count a pump that is gone spoil their whole day */
        first_us = INT64_MIN;
    find_first(item, after, before, &first_us);
    if (first_us == INT64_MAX)
        return STATUS_OK;
    TRY(look_at_checks(gather, place->hole, &first_us, err));
    return take_bags(gather, place->hole, first_us, err);
}

static bool is_changed_day(const struct change *changes, size_t count, const char *path)
{
    for (size_t at = 0; at < count; at++)
        if (strcmp(changes[at].path, path) == 0)
            return true;
    return false;
}

/* A bag that came up between two days may rest on the rows after it: the last day before the changed ones that stays as
 * it is, and what came up on it, count. */
static enum status take_days(struct gather *gather, const char *hole, const struct change *changes, size_t count,
                             struct err *err)
{
    struct gather *const it = gather;
    int64_t *days = NULL;
    size_t day_count = 0;
    int64_t first = INT64_MAX;
    int64_t since_us = INT64_MIN;
    for (size_t at = 0; at < count; at++) {
        struct place_known place;
        if (registry_place(changes[at].path, &place) && place.known->kind == KNOWN_LOG_DAY &&
            strcmp(place.hole, hole) == 0 && place.day < first)
            first = place.day;
    }
    TRY(state_log_days(it->state, hole, &days, &day_count, err));
    for (size_t at = 0; at < day_count && days[at] < first; at++) {
        char path[REGISTRY_PATH_MAX];
        log_day_path(hole, days[at], path);
        if (!is_changed_day(changes, count, path))
            since_us = days[at] * DAY_US;
    }
    TRY(look_at_checks(gather, hole, &since_us, err));
    return take_bags(gather, hole, since_us, err);
}

/* --- files --- */

static enum status decode(const struct table *table, struct bytes bytes, struct arena *arena, void **out,
                          struct err *err)
{
    TRY(arena_take(arena, 1, table->size, out, err));
    record_init(table, *out);
    return bytes.data ? record_decode(table, bytes, arena, *out, err) : STATUS_OK;
}

static enum status take_hole_record(struct gather *gather, const char *hole, const struct hole *before,
                                    const struct hole *after, struct err *err)
{
    struct touched *touched = NULL;
    const char *parents[] = {before->parent ? before->parent : "", after->parent ? after->parent : ""};
    TRY(take_hole(gather, hole, &touched, err));
    touched->whole = true;
    touched->way = before->kickoff_um != after->kickoff_um || strcmp(parents[0], parents[1]) != 0;
    return STATUS_OK;
}

/* The core that is renamed, under its new number. */
static enum status take_renamed(struct gather *gather, const struct place_known *place, const struct change *change,
                                struct err *err)
{
    struct renaming_set *set = NULL;
    void *record = NULL;
    struct place_known core = *place;
    struct core_id id = {0, '\0'};
    TRY(decode(&renaming_set_table, change->bytes, gather->state->arena, &record, err));
    set = record;
    if (!set->renaming_count)
        return STATUS_OK;
    const char *to = set->renamings[set->renaming_count - 1].to;
    (void)core_id_parse(to, strlen(to), &id);
    core.number = id.number;
    return take_core(gather, &core, err);
}

/* Are samples or bags but added? Both lists are in order. */
static bool is_grown(const struct table *table, const char *before, const char *after)
{
    const struct field *list = list_of(table);
    const char *const olds = *(char *const *)(before + list->offset);
    const char *const news = *(char *const *)(after + list->offset);
    const size_t old_count = *(const size_t *)(before + list->count_offset);
    const size_t new_count = *(const size_t *)(after + list->count_offset);
    size_t old = 0;
    for (size_t at = 0; old < old_count && at < new_count; at++)
        old += record_is_alike(list->of, olds + old * list->of->size, news + at * list->of->size);
    return old == old_count;
}

static bool is_same(const struct table *table, const void *before, const void *after)
{
    if (table == &sample_set_table || table == &bag_set_table)
        return is_grown(table, before, after);
    return record_is_alike(table, before, after);
}

/* New, changed or gone: all of its hole rests on it. Either version may be absent. */
static enum status take_correction(struct gather *gather, const char *hole, const struct correction *before,
                                   const struct correction *after, struct err *err)
{
    struct touched *touched = NULL;
    if (record_is_alike(&correction_table, before, after))
        return STATUS_OK;
    TRY(take_hole(gather, hole, &touched, err));
    touched->whole = true;
    touched->kinds |= UINT32_C(1) << before->kind | UINT32_C(1) << after->kind;
    touched->way = touched->way || before->kind == CORRECTION_SURVEY || after->kind == CORRECTION_SURVEY;
    return STATUS_OK;
}

static bool is_lag(const struct table *table)
{
    return table == &geometry_set_table || table == &pump_set_table || table == &lag_check_set_table;
}

static enum status take_versions(struct gather *gather, const struct place_known *place, struct bytes old,
                                 struct bytes new, struct arena *arena, struct err *err)
{
    const struct table *table = place->known->table;
    void *before = NULL;
    void *after = NULL;
    TRY(decode(table, old, arena, &before, err));
    TRY(decode(table, new, arena, &after, err));
    if (is_lag(table))
        return take_set(gather, place, before, after, err);
    if (table == &correction_table)
        return take_correction(gather, place->hole, before, after, err);
    if (is_same(table, before, after))
        return STATUS_OK;
    if (table == &hole_table)
        return take_hole_record(gather, place->hole, before, after, err);
    return table == &bag_set_table ? take_bags(gather, place->hole, INT64_MAX, err) : take_core(gather, place, err);
}

/* What is new moves nothing, but for what the lag of bags rests on. */
static enum status take_record(struct gather *gather, const struct place_known *place, const struct change *change,
                               struct err *err)
{
    const struct table *table = place->known->table;
    const bool is_correction = table == &correction_table && gather->with_corrections;
    struct bytes old = {0};
    struct state inner; /* an import may change a thousand files */
    if (table == &renaming_set_table)
        return take_renamed(gather, place, change, err);
    if (!change->bytes.data && !is_correction) /* a renamed core leaves its path: told with the new one */
        return STATUS_OK;
    if (!is_lag(table) && !is_correction && table != &hole_table && table != &core_table &&
        table != &sample_set_table && table != &bag_set_table)
        return STATUS_OK;
    state_nest(gather->state, &inner);
    enum status status = state_bytes(&inner, change->path, &old, err);
    if (status == STATUS_OK && (old.data || is_lag(table) || is_correction))
        status = take_versions(gather, place, old, change->bytes, inner.arena, err);
    state_leave(&inner);
    return status;
}

static enum status take_change(struct gather *gather, const struct change *changes, size_t count, size_t at,
                               struct err *err)
{
    struct place_known place;
    struct place_known last;
    if (!registry_place(changes[at].path, &place))
        return STATUS_OK;
    if (place.known->kind == KNOWN_RECORD)
        return take_record(gather, &place, &changes[at], err);
    if (place.known->kind != KNOWN_LOG_DAY)
        return STATUS_OK;
    const bool is_told = at > 0 && registry_place(changes[at - 1].path, &last) && last.known->kind == KNOWN_LOG_DAY &&
                         strcmp(last.hole, place.hole) == 0;
    return is_told ? STATUS_OK : take_days(gather, place.hole, changes, count, err);
}

/* Is the hole one that leaves this touched one? It is then touched as a whole, too. */
static enum status take_sidetrack(struct gather *gather, size_t parent, const char *name, bool *any, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct hole hole;
    struct touched *touched = NULL;
    bool there = false;
    const bool way = gather->items[parent].way;
    const uint32_t kinds = gather->items[parent].kinds;
    hole_path(name, path);
    TRY(state_read(gather->state, path, &hole_table, &hole, &there, err));
    if (!there || !hole.parent || strcmp(hole.parent, gather->items[parent].hole) != 0)
        return STATUS_OK;
    TRY(take_hole(gather, name, &touched, err));
    *any = *any || !touched->whole || touched->way != (touched->way || way) || (kinds & ~touched->kinds);
    touched->whole = true;
    touched->kinds |= kinds;
    touched->way = touched->way || way;
    return STATUS_OK;
}

/* Until there are no more: sidetracks leave sidetracks. */
static enum status take_sidetracks(struct gather *gather, struct err *err)
{
    struct names holes = {0};
    TRY(state_holes(gather->state, &holes, err));
    for (bool any = true; any;) {
        any = false;
        for (size_t parent = 0; parent < gather->count; parent++)
            for (size_t at = 0; gather->items[parent].whole && at < holes.count; at++)
                TRY(take_sidetrack(gather, parent, holes.items[at], &any, err));
    }
    return STATUS_OK;
}

enum status touched_find(struct state *state, const struct change *changes, size_t count, bool with_corrections,
                         struct touched **out, size_t *out_count, struct err *err)
{
    struct gather gather = {.state = state, .with_corrections = with_corrections};
    bool any = false;
    for (size_t at = 0; at < count; at++)
        TRY(take_change(&gather, changes, count, at, err));
    for (size_t at = 0; at < gather.count; at++)
        any = any || gather.items[at].whole;
    if (any)
        TRY(take_sidetracks(&gather, err));
    for (size_t at = 0; at < gather.count; at++)
        if (gather.items[at].whole) {
            gather.items[at].bags = true;
            gather.items[at].since_us = INT64_MIN;
        }
    *out = gather.items;
    *out_count = gather.count;
    return STATUS_OK;
}
