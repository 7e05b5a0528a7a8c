/* SPDX-License-Identifier: MIT */
/* Bags: a hundred numbers a file, each kind by itself. One that is renumbered may go to another file. Their labels stay
 * in the file of the number that was printed. */
#include <stdlib.h>
#include <string.h>

#include "joining.h"

struct bags {
    struct joining *joining;
    const char *hole;
    enum bag_kind kind;
    int32_t *hundreds; /* that either side touched */
    size_t count;
};

static bool is_touched(const struct bags *bags, int32_t hundred)
{
    for (size_t at = 0; at < bags->count; at++)
        if (bags->hundreds[at] == hundred)
            return true;
    return false;
}

static enum status read_hundred(const struct bags *bags, enum version version, int32_t hundred, struct bag_set *out,
                                bool *there, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bags_path(bags->hole, bags->kind, hundred, path);
    return joining_read(bags->joining, version, path, &bag_set_table, out, there, err);
}

/* One in a file that neither side touched. */
static bool is_taken(const void *context, int32_t number)
{
    const struct bags *bags = context;
    struct bag_set set;
    struct err ignored = {0};
    bool there = false;
    if (is_touched(bags, bag_hundred(number)))
        return false;
    if (read_hundred(bags, VERSION_BASE, bag_hundred(number), &set, &there, &ignored) != STATUS_OK)
        return true;
    for (size_t at = 0; there && at < set.bag_count; at++)
        if (set.bags[at].number == number)
            return true;
    return false;
}

static void spot(const struct numbered_in *in, int32_t number, struct spot_at *out)
{
    const struct bags *bags = in->context;
    *out = (struct spot_at){.table = &bag_set_table, .list = field_find(&bag_set_table, "bags"), .number = number};
    bags_path(bags->hole, bags->kind, bag_hundred(number), out->path);
}

static enum status read_side(const struct bags *bags, enum version version, struct items *out, struct err *err)
{
    struct bag *items = NULL;
    size_t room = 0;
    for (size_t at = 0; at < bags->count; at++) {
        struct bag_set set;
        bool there = false;
        TRY(read_hundred(bags, version, bags->hundreds[at], &set, &there, err));
        for (size_t bag = 0; there && bag < set.bag_count; bag++) {
            TRY(arena_grow(bags->joining->arena, &items, out->count, &room, sizeof *items, err));
            items[out->count++] = set.bags[bag];
        }
    }
    out->first = (const char *)items;
    out->table = &bag_table;
    return STATUS_OK;
}

static int compare_bags(const void *a, const void *b)
{
    return ((const struct bag *)a)->number - ((const struct bag *)b)->number;
}

/* The sorted bags from first on that stand in one file. */
static enum status write_hundred(const struct bags *bags, struct bag *first, size_t count, struct err *err)
{
    const int32_t hundred = bag_hundred(first->number);
    struct bag_set set = {bags->hole, bags->kind, hundred, first, count};
    struct bag_set there_already;
    struct bag *all = NULL;
    bool there = false;
    if (!is_touched(bags, hundred)) { /* they are beside those that nobody touched */
        TRY(read_hundred(bags, VERSION_BASE, hundred, &there_already, &there, err));
        if (there) {
            set.bag_count = there_already.bag_count + count;
            TRY(arena_take(bags->joining->arena, set.bag_count, sizeof *all, &all, err));
            memcpy(all, there_already.bags, there_already.bag_count * sizeof *all);
            memcpy(all + there_already.bag_count, first, count * sizeof *all);
            qsort(all, set.bag_count, sizeof *all, compare_bags);
            set.bags = all;
        }
    }
    return joining_write(bags->joining, &bag_set_table, &set, err);
}

static enum status join_kind(struct bags *bags, struct err *err)
{
    struct numbered_in in = {
        .table = &bag_table, .hole = bags->hole, .is_taken = is_taken, .context = bags, .spot = spot};
    struct numbered_out out;
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(read_side(bags, side, &in.sides[side], err));
    TRY(read_side(bags, VERSION_BASE, &in.base, err));
    TRY(join_numbered(bags->joining, &in, &out, err));
    struct bag *items = (struct bag *)(void *)out.items;
    if (out.count)
        qsort(items, out.count, sizeof *items, compare_bags);
    for (size_t first = 0, last = 0; first < out.count; first = last) {
        for (last = first; last < out.count && bag_hundred(items[last].number) == bag_hundred(items[first].number);)
            last++;
        TRY(write_hundred(bags, &items[first], last - first, err));
    }
    return STATUS_OK;
}

enum status join_bags(struct joining *joining, const struct hole_files *files, struct err *err)
{
    static const enum bag_kind kinds[] = {BAG_CUTTINGS, BAG_GAS, BAG_MUD};
    for (size_t kind = 0; kind < sizeof kinds / sizeof kinds[0]; kind++) {
        struct bags bags = {.joining = joining, .hole = files->hole, .kind = kinds[kind]};
        bool sides[SIDES_MAX] = {false};
        TRY(arena_take(joining->arena, files->count, sizeof *bags.hundreds, &bags.hundreds, err));
        for (size_t at = 0; at < files->count; at++) {
            const struct changed_file *file = &files->files[at];
            if (file->place.known->table != &bag_set_table || file->place.bag != bags.kind)
                continue;
            for (int side = 0; side < SIDES_MAX; side++)
                sides[side] = sides[side] || changed_by(file, side);
            bags.hundreds[bags.count++] = file->place.number;
        }
        if (!sides[0] || !sides[1]) /* taken as they are */
            continue;
        for (size_t at = 0; at < files->count; at++)
            if (files->files[at].place.known->table == &bag_set_table && files->files[at].place.bag == bags.kind)
                files->files[at].is_joined = true;
        TRY(join_kind(&bags, err));
    }
    return STATUS_OK;
}
