/* SPDX-License-Identifier: MIT */
/* Corrections of depth: a file each, called by its number, with the signatures under it beside it. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "names.h"

/* The corrections that either side touched. */
struct corrections {
    struct joining *joining;
    const char *hole;
    int32_t *numbers;
    size_t count;
    struct numbered_in in;
    const struct named_cores *cores;
};

static bool is_of_correction(const struct changed_file *file)
{
    return file->place.known->table == &correction_table || file->place.known->table == &signature_set_table;
}

static bool is_touched(const struct corrections *all, int32_t number)
{
    for (size_t at = 0; at < all->count; at++)
        if (all->numbers[at] == number)
            return true;
    return false;
}

/* One that neither side touched. */
static bool is_taken(const void *context, int32_t number)
{
    const struct corrections *all = context;
    char path[REGISTRY_PATH_MAX];
    char id[HASH_TEXT_MAX] = "";
    struct err ignored = {0};
    correction_path(all->hole, number, path);
    return !is_touched(all, number) && (store_id(all->joining->base, path, id, &ignored) != STATUS_OK || *id);
}

static void spot(const struct numbered_in *in, int32_t number, struct spot_at *out)
{
    const struct corrections *all = in->context;
    *out = (struct spot_at){.table = &correction_table};
    correction_path(all->hole, number, out->path);
}

static enum status read_side(struct corrections *all, enum version version, struct items *out, struct err *err)
{
    struct correction *items = NULL;
    TRY(arena_take(all->joining->arena, all->count, sizeof *items, &items, err));
    out->first = (const char *)items;
    out->table = &correction_table;
    for (size_t at = 0; at < all->count; at++) {
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        correction_path(all->hole, all->numbers[at], path);
        TRY(joining_read(all->joining, version, path, &correction_table, &items[out->count], &there, err));
        out->count += there;
    }
    return STATUS_OK;
}

/* The numbers whose place it takes are those of its own side. */
static enum status join_supersedes(struct joining *joining, const struct numbered_out *all, int side, const char *list,
                                   const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, joining->arena);
    for (const char *at = list; *at; at += strspn(at, " ")) {
        char *end = NULL;
        int32_t number = (int32_t)strtol(at, &end, 10);
        for (size_t other = 0; other < all->count; other++)
            if (all->numbers[side][other] == number) {
                number = item_number(&correction_table, all->items + other * correction_table.size);
                break;
            }
        text_addf(&text, "%s%d", text.len ? " " : "", (int)number);
        at = end;
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

/* The number that a core of a side has in the join. */
static int32_t core_now(const struct named_cores *cores, int side, int32_t number)
{
    for (size_t at = 0; at < cores->count; at++)
        if (cores->items[at].ids[side].number == number)
            return cores->items[at].id.number;
    return number;
}

static int compare_offsets(const void *a, const void *b)
{
    return ((const struct core_offset *)a)->core - ((const struct core_offset *)b)->core;
}

/* A correction of one side that names cores to which the other side gave other names: it meant those cores. A signed
 * one stays as it was signed. */
static enum status follow_cores(struct corrections *all, const struct numbered_out *out, size_t at,
                                struct correction *it, struct err *err)
{
    const int side = out->numbers[0][at] ? 0 : 1;
    char path[REGISTRY_PATH_MAX];
    char id[HASH_TEXT_MAX];
    if (!all->cores->is_renamed || out->numbers[VERSION_BASE][at] || out->numbers[!side][at])
        return STATUS_OK;
    signatures_path(all->hole, out->numbers[side][at], path);
    TRY(store_id(all->joining->sides[side].store, path, id, err));
    if (*id)
        return STATUS_OK;
    it->core = it->core ? core_now(all->cores, side, it->core) : 0;
    for (size_t row = 0; row < it->offset_count; row++)
        it->offsets[row].core = core_now(all->cores, side, it->offsets[row].core);
    for (size_t row = 0; row < it->interval_count; row++)
        it->intervals[row].core = core_now(all->cores, side, it->intervals[row].core);
    if (it->offset_count) /* they stand in the order of the cores */
        qsort(it->offsets, it->offset_count, sizeof *it->offsets, compare_offsets);
    return STATUS_OK;
}

static enum status write_one(struct corrections *all, const struct numbered_out *out, size_t at, struct err *err)
{
    struct joining *joining = all->joining;
    struct correction *it = (struct correction *)(void *)(out->items + at * correction_table.size);
    char paths[VERSION_COUNT][REGISTRY_PATH_MAX];
    const char *pointers[VERSION_COUNT] = {NULL};
    char path[REGISTRY_PATH_MAX];
    if (it->supersedes)
        TRY(join_supersedes(joining, out, out->numbers[0][at] ? 0 : 1, it->supersedes, &it->supersedes, err));
    TRY(follow_cores(all, out, at, it, err));
    TRY(joining_write(joining, &correction_table, it, err));
    for (int version = 0; version < VERSION_COUNT; version++)
        if (out->numbers[version][at]) {
            signatures_path(all->hole, out->numbers[version][at], paths[version]);
            pointers[version] = paths[version];
        }
    signatures_path(all->hole, it->number, path);
    if (out->numbers[VERSION_FIRST][at] != it->number) /* what stands there on that side goes to another one */
        TRY(joining_place(joining, path, "", err));
    return join_signatures(joining, path, pointers, err);
}

enum status join_corrections(struct joining *joining, const struct hole_files *files, const struct named_cores *cores,
                             struct err *err)
{
    struct corrections all = {.joining = joining, .hole = files->hole, .cores = cores};
    struct numbered_out out;
    bool sides[SIDES_MAX] = {false};
    TRY(arena_take(joining->arena, files->count, sizeof *all.numbers, &all.numbers, err));
    for (size_t at = 0; at < files->count; at++) {
        const struct changed_file *file = &files->files[at];
        for (int side = 0; is_of_correction(file) && side < SIDES_MAX; side++)
            sides[side] = sides[side] || changed_by(file, side);
        if (is_of_correction(file) && !is_touched(&all, file->place.number))
            all.numbers[all.count++] = file->place.number;
    }
    if (!all.count || ((!sides[0] || !sides[1]) && !all.cores->is_renamed)) /* taken as they are */
        return STATUS_OK;
    for (size_t at = 0; at < files->count; at++)
        files->files[at].is_joined = files->files[at].is_joined || is_of_correction(&files->files[at]);
    all.in = (struct numbered_in){
        .table = &correction_table, .hole = files->hole, .is_taken = is_taken, .context = &all, .spot = spot};
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(read_side(&all, side, &all.in.sides[side], err));
    TRY(read_side(&all, VERSION_BASE, &all.in.base, err));
    TRY(join_numbered(joining, &all.in, &out, err));
    for (size_t at = 0; at < out.count; at++)
        TRY(write_one(&all, &out, at, err));
    return STATUS_OK;
}
