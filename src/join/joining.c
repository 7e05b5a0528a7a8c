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

bool joining_is_placed(const struct joining *joining, const char *path)
{
    for (size_t at = 0; at < joining->placed_count; at++)
        if (strcmp(joining->placed[at].path, path) == 0)
            return true;
    return false;
}

enum status joining_place(struct joining *joining, const char *path, const char *id, struct err *err)
{
    char there[HASH_TEXT_MAX];
    struct placed *placed = NULL;
    for (size_t at = 0; at < joining->placed_count && !placed; at++)
        if (strcmp(joining->placed[at].path, path) == 0)
            placed = &joining->placed[at];
    if (!placed) {
        TRY(store_id(joining->sides[0].store, path, there, err));
        if (strcmp(there, id) == 0)
            return STATUS_OK;
        TRY(arena_grow(joining->arena, &joining->placed, joining->placed_count, &joining->placed_room, sizeof *placed,
                       err));
        placed = &joining->placed[joining->placed_count];
        TRY(arena_copy(joining->arena, path, strlen(path), &placed->path, err));
        joining->placed_count++;
    }
    memcpy(placed->id, id, strlen(id) + 1);
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
    for (size_t at = 0; at < out->renumbered_count; at++) /* names of cores are asked for more than once */
        if (strcmp(out->renumbered[at].path, told->path) == 0 && strcmp(out->renumbered[at].older, told->older) == 0 &&
            strcmp(out->renumbered[at].commit, told->commit) == 0)
            return STATUS_OK;
    TRY(arena_grow(joining->arena, &out->renumbered, out->renumbered_count, &joining->renumbered_room,
                   sizeof *out->renumbered, err));
    out->renumbered[out->renumbered_count++] = *told;
    return STATUS_OK;
}

static bool is_same_text(const char *a, const char *b)
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

struct numbered_side list_of(const struct field *list, const void *record)
{
    const char *const *first = (const char *const *)(const void *)((const char *)record + list->offset);
    return (struct numbered_side){*first, *(const size_t *)(const void *)((const char *)record + list->count_offset)};
}

void list_put(const struct field *list, void *record, void *items, size_t count)
{
    memcpy((char *)record + list->offset, &items, sizeof items);
    memcpy((char *)record + list->count_offset, &count, sizeof count);
}

static const struct field *number_field(const struct table *table)
{
    const struct field *number = field_find(table, "number");
    return number ? number : field_find(table, "section");
}

int32_t number_of(const struct table *table, const void *item)
{
    return *(const int32_t *)(const void *)((const char *)item + number_field(table)->offset);
}

void set_number(const struct table *table, void *item, int32_t number)
{
    memcpy((char *)item + number_field(table)->offset, &number, sizeof number);
}

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
    struct commit commit;
    TRY(store_commit(joining->store, id, joining->arena, &commit, err));
    (void)snprintf(out->id, sizeof out->id, "%s", commit.id);
    out->time_us = commit.when.utc_us;
    return STATUS_OK;
}
