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

/* As each version has it. */
static void find_versions(const struct corrections *all, const struct numbered_out *out, size_t at,
                          struct joined_correction *joined)
{
    const struct items *const items[VERSION_COUNT] = {&all->in.sides[0], &all->in.sides[1], &all->in.base};
    for (int version = 0; version < VERSION_COUNT; version++) {
        const int32_t number = out->numbers[version][at];
        joined->sides[version] = number ? items_find(items[version], number, 0) : NULL;
    }
}

static enum status write_one(struct corrections *all, const struct numbered_out *out, size_t at, struct err *err)
{
    struct joining *joining = all->joining;
    struct correction *it = (struct correction *)(void *)(out->items + at * correction_table.size);
    char paths[VERSION_COUNT][REGISTRY_PATH_MAX];
    const char *pointers[VERSION_COUNT] = {NULL};
    struct joined_correction joined;
    char path[REGISTRY_PATH_MAX];
    if (it->supersedes)
        TRY(join_supersedes(joining, out, out->numbers[0][at] ? 0 : 1, it->supersedes, &it->supersedes, err));
    find_versions(all, out, at, &joined);
    TRY(carry_cores(joining, all->cores, &joined, it, err));
    TRY(doubt_cores(joining, all->cores, &joined, it, err));
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

/* Has a core another number than a side gave it; than all sides that have it? Then a join alone moved it. */
static bool is_moved(const struct named_cores *cores, bool by_all)
{
    for (size_t at = 0; at < cores->count; at++) {
        const struct named_core *core = &cores->items[at];
        bool differs[SIDES_MAX];
        for (int side = 0; side < SIDES_MAX; side++)
            differs[side] = core->ids[side].number ? core->ids[side].number != core->id.number : by_all;
        if (by_all ? differs[0] && differs[1] : differs[0] || differs[1])
            return true;
    }
    return false;
}

/* All that the common state has: those that neither side touched, too. */
static enum status add_untouched(struct corrections *all, struct err *err)
{
    struct entries entries = {0};
    char folder[REGISTRY_PATH_MAX];
    size_t room = all->count;
    (void)snprintf(folder, sizeof folder, "holes/%.12s/corrections", all->hole);
    TRY(store_entries(all->joining->base, folder, all->joining->arena, &entries, err));
    for (size_t at = 0; at < entries.count; at++) {
        char path[PATH_TEXT_MAX];
        struct place_known place;
        (void)snprintf(path, sizeof path, "%s/%.200s", folder, entries.items[at].name);
        if (!registry_place(path, &place) || place.known->table != &correction_table || is_touched(all, place.number))
            continue;
        TRY(arena_grow(all->joining->arena, &all->numbers, all->count, &room, sizeof *all->numbers, err));
        all->numbers[all->count++] = place.number;
    }
    return STATUS_OK;
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
    if (is_moved(cores, true))
        TRY(add_untouched(&all, err));
    if (!all.count || ((!sides[0] || !sides[1]) && !is_moved(cores, false))) /* taken as they are */
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
