/* SPDX-License-Identifier: MIT */
/* What all parts of a join share: files read and placed, what is told, lists of records by their tables. */
#include "joining.h"

#include <stdlib.h>
#include <string.h>

/* --- files --- */

int changed_file_order(const void *a, const void *b)
{
    return strcmp(((const struct changed_file *)a)->path, ((const struct changed_file *)b)->path);
}

struct changed_file *joining_find(struct joining *joining, const char *path)
{
    const struct changed_file key = {.path = path};
    return joining->file_count ? bsearch(&key, joining->files, joining->file_count, sizeof key, changed_file_order)
                               : NULL;
}

bool joining_is_contested(const struct joining *joining, const char *path)
{
    for (size_t at = 0; at < joining->contested.count; at++)
        if (strcmp(joining->contested.items[at], path) == 0)
            return true;
    return false;
}

/* At a path that neither side changed: the first side's number for a thing that gave way, a new contradiction. */
static struct placed *find_placed(const struct joining *joining, const char *path)
{
    for (size_t at = 0; at < joining->placed_count; at++)
        if (strcmp(joining->placed[at].path, path) == 0)
            return &joining->placed[at];
    return NULL;
}

bool joining_is_placed(struct joining *joining, const char *path)
{
    const struct changed_file *file = joining_find(joining, path);
    return file ? file->is_placed : find_placed(joining, path) != NULL;
}

enum status joining_place(struct joining *joining, const char *path, const char *id, struct err *err)
{
    struct changed_file *file = joining_find(joining, path);
    struct placed *placed = file ? NULL : find_placed(joining, path);
    if (file) {
        file->is_placed = true;
        memcpy(file->placed, id, strlen(id) + 1);
        return STATUS_OK;
    }
    if (!placed) {
        TRY(arena_grow(joining->arena, &joining->placed, joining->placed_count, &joining->placed_room, sizeof *placed,
                       err));
        placed = &joining->placed[joining->placed_count];
        TRY(arena_copy(joining->arena, path, strlen(path), &placed->path, err));
        joining->placed_count++;
    }
    memcpy(placed->id, id, strlen(id) + 1);
    return STATUS_OK;
}

enum status joining_gather(struct joining *joining, struct placed **out, size_t *count, struct err *err)
{
    struct placed *all = NULL;
    size_t used = joining->placed_count;
    TRY(arena_take(joining->arena, joining->file_count + joining->placed_count, sizeof *all, &all, err));
    if (used)
        memcpy(all, joining->placed, used * sizeof *all);
    for (size_t at = 0; at < joining->file_count; at++) {
        const struct changed_file *file = &joining->files[at];
        if (!file->is_placed || strcmp(file->placed, file->sides[VERSION_FIRST]) == 0)
            continue;
        all[used].path = file->path;
        memcpy(all[used++].id, file->placed, sizeof file->placed);
    }
    *out = all;
    *count = used;
    return STATUS_OK;
}

enum status joining_write(struct joining *joining, const struct table *table, const void *record, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char id[COMMIT_ID_MAX];
    struct bytes bytes;
    registry_own_path(table, record, path);
    TRY(record_encode(table, record, joining->arena, &bytes, err));
    TRY(store_put(joining->store, bytes, id, err));
    return joining_place(joining, path, id, err);
}

enum status joining_decode(struct joining *joining, const char *id, const char *path, const struct table *table,
                           void *record, struct err *err)
{
    struct bytes bytes;
    struct err unread = {0};
    TRY(store_bytes(joining->store, id, path, joining->arena, &bytes, err));
    if (record_decode(table, bytes, joining->arena, record, &unread) == STATUS_OK)
        return STATUS_OK;
    err_set(err, unread.status, path, "%.100s: %.400s", unread.subject, unread.reason);
    return unread.status == STATUS_SYSTEM
               ? unread.status
               : err_hint(err, "both sides changed this file, and it cannot be joined before it can be read; "
                               "coretally verify tells which side has it so");
}

enum status joining_read(struct joining *joining, enum version version, const char *path, const struct table *table,
                         void *record, bool *there, struct err *err)
{
    struct store *store = version == VERSION_BASE ? joining->base : joining->sides[version].store;
    char id[HASH_TEXT_MAX];
    record_init(table, record);
    *there = false;
    TRY(store_look(store, path, id, err));
    if (!*id)
        return STATUS_OK;
    TRY(joining_decode(joining, id, path, table, record, err));
    *there = true;
    return STATUS_OK;
}

/* --- told --- */

enum status minted_word(struct joining *joining, const char *before, const char *old, const char *commit,
                        const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, joining->arena);
    text_addf(&text, "%s%s%s@%s", before ? before : "", before ? " " : "", old, commit);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

enum status tell_renumbered(struct joining *joining, const struct renumbered *told, struct err *err)
{
    struct joined *out = joining->out;
    TRY(arena_grow(joining->arena, &out->renumbered, out->renumbered_count, &joining->renumbered_room,
                   sizeof *out->renumbered, err));
    out->renumbered[out->renumbered_count++] = *told;
    return STATUS_OK;
}

bool is_same_text(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : a == b;
}

enum status tell_contradiction(struct joining *joining, const struct contradiction *told, struct err *err)
{
    struct joined *out = joining->out;
    for (size_t at = 0; at < out->contradiction_count; at++) {
        struct contradiction *it = &out->contradictions[at];
        if (strcmp(it->path, told->path) == 0 && is_same_text(it->item, told->item) &&
            is_same_text(it->field, told->field)) {
            *it = *told;
            return STATUS_OK;
        }
    }
    TRY(arena_grow(joining->arena, &out->contradictions, out->contradiction_count, &joining->contradiction_room,
                   sizeof *out->contradictions, err));
    out->contradictions[out->contradiction_count++] = *told;
    return STATUS_OK;
}

/* --- acts and lists --- */

const char **text_of(const struct table *table, const char *name, const void *item)
{
    const struct field *field = field_find(table, name);
    return field ? (const char **)(uintptr_t)((const char *)item + field->offset) : NULL;
}

bool act_is_before(const struct act_at *a, const struct act_at *b)
{
    return a->time_us != b->time_us ? a->time_us < b->time_us : strcmp(a->id, b->id) < 0;
}

enum status act_find(struct joining *joining, const char *id, struct act_at *out, struct err *err)
{
    struct commit commit = {.id = ""};
    struct err why = {0};
    const enum status status = store_commit(joining->store, id, joining->arena, &commit, &why);
    (void)snprintf(out->id, sizeof out->id, "%s", status == STATUS_OK ? commit.id : id);
    out->time_us = status == STATUS_OK ? commit.when.utc_us : 0;
    if (status == STATUS_OK || status == STATUS_UNKNOWN)
        return STATUS_OK;
    *err = why;
    return status;
}
