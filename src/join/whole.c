/* SPDX-License-Identifier: MIT */
/* Files that are one record, and files with a set of numbered ones. */
#include <stdlib.h>
#include <string.h>

#include "joining.h"

static enum status read_three(struct joining *joining, const struct changed_file *file, void *records[VERSION_COUNT],
                              struct err *err)
{
    const char *const ids[VERSION_COUNT] = {file->sides[0], file->sides[1], file->base};
    for (int version = 0; version < VERSION_COUNT; version++) {
        const struct table *table = file->place.known->table;
        records[version] = NULL;
        if (!*ids[version])
            continue;
        TRY(arena_take(joining->arena, 1, table->size, &records[version], err));
        TRY(joining_decode(joining, ids[version], file->path, table, records[version], err));
    }
    return STATUS_OK;
}

/* The set of one file: an item stands where its number says. */
static void spot_in_set(const struct numbered_in *in, int32_t number, struct spot_at *out)
{
    const struct changed_file *file = in->files;
    *out = (struct spot_at){.table = file->place.known->table, .number = number};
    memcpy(out->path, file->place.path, sizeof out->path);
    out->list = table_items(out->table);
}

static int compare_instants(struct instant a, struct instant b)
{
    return (a.utc_us > b.utc_us) - (a.utc_us < b.utc_us);
}

static int compare_drilled(const void *a, const void *b)
{
    return ((const struct drilled *)a)->number - ((const struct drilled *)b)->number;
}

static int compare_states(const void *a, const void *b)
{
    const int order = compare_instants(((const struct geometry *)a)->from, ((const struct geometry *)b)->from);
    return order ? order : ((const struct geometry *)a)->number - ((const struct geometry *)b)->number;
}

static int compare_pumps(const void *a, const void *b)
{
    const struct pump *left = a;
    const struct pump *right = b;
    int order = strcmp(left->name, right->name);
    order = order ? order : compare_instants(left->from, right->from);
    return order ? order : left->number - right->number;
}

static int compare_checks(const void *a, const void *b)
{
    const int order = compare_instants(((const struct lag_check *)a)->in, ((const struct lag_check *)b)->in);
    return order ? order : ((const struct lag_check *)a)->number - ((const struct lag_check *)b)->number;
}

/* As the acts order them (act/pump.c, well.c, lag_check.c). */
static void sort_set(const struct table *table, char *items, size_t count)
{
    if (count)
        qsort(items, count, table->size,
              table == &geometry_table    ? compare_states
              : table == &pump_table      ? compare_pumps
              : table == &lag_check_table ? compare_checks
                                          : compare_drilled);
}

static enum status join_set(struct joining *joining, const char *hole, const struct changed_file *file,
                            const struct field *list, void *const records[VERSION_COUNT], struct err *err)
{
    struct numbered_in in = {.table = list->of, .hole = hole, .spot = spot_in_set, .files = file};
    struct numbered_out out;
    void *set = records[VERSION_FIRST];
    for (int side = 0; side < SIDES_MAX; side++)
        in.sides[side] = items_of(list, records[side]);
    if (records[VERSION_BASE])
        in.base = items_of(list, records[VERSION_BASE]);
    TRY(join_numbered(joining, &in, &out, err));
    sort_set(list->of, out.items, out.count);
    items_put(list, set, out.items, out.count);
    return joining_write(joining, file->place.known->table, set, err);
}

enum status join_whole(struct joining *joining, const char *hole, struct changed_file *file, struct err *err)
{
    const struct table *table = file->place.known->table;
    void *records[VERSION_COUNT];
    void *out = NULL;
    file->is_joined = true;
    if (!*file->sides[0] || !*file->sides[1]) /* only damage takes such a file away: what is there stays */
        return joining_place(joining, file->path, *file->sides[0] ? file->sides[0] : file->sides[1], err);
    TRY(read_three(joining, file, records, err));
    if (table_items(table))
        return join_set(joining, hole, file, table_items(table), records, err);
    const struct three three = {records[VERSION_BASE], {records[0], records[1]}};
    struct subject subject = {.hole = hole, .path = file->path, .table = table};
    for (int side = 0; side < SIDES_MAX; side++) {
        subject.spots[side] = (struct spot_at){.table = table};
        memcpy(subject.spots[side].path, file->place.path, sizeof file->place.path);
    }
    TRY(arena_take(joining->arena, 1, table->size, &out, err));
    memcpy(out, records[0], table->size);
    TRY(join_fields(joining, &subject, &three, out, err));
    return joining_write(joining, table, out, err);
}
