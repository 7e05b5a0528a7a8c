/* SPDX-License-Identifier: MIT */
/* What is only ever appended: labels and signatures. What was printed or signed stays as it is, in the order in which
 * it was done. */
#include <stdlib.h>
#include <string.h>

#include "joining.h"

static int compare_texts(const char *a, const char *b)
{
    return strcmp(a ? a : "", b ? b : "");
}

static int compare_labels(const void *a, const void *b)
{
    const struct label *left = a;
    const struct label *right = b;
    int order = (left->printed.utc_us > right->printed.utc_us) - (left->printed.utc_us < right->printed.utc_us);
    order = order ? order : compare_texts(left->name, right->name);
    order = order ? order : left->copy - right->copy;
    order = order ? order : compare_texts(left->state, right->state);
    order = order ? order : compare_texts(left->scale, right->scale);
    order = order ? order : (left->top_um > right->top_um) - (left->top_um < right->top_um);
    order = order ? order : (left->bottom_um > right->bottom_um) - (left->bottom_um < right->bottom_um);
    order = order ? order : compare_texts(left->layout, right->layout);
    return order ? order : compare_texts(left->hazard, right->hazard);
}

static int compare_signatures(const void *a, const void *b)
{
    const struct signature *left = a;
    const struct signature *right = b;
    int order = (left->at.utc_us > right->at.utc_us) - (left->at.utc_us < right->at.utc_us);
    order = order ? order : compare_texts(left->mail, right->mail);
    order = order ? order : compare_texts(left->name, right->name);
    order = order ? order : compare_texts(left->record, right->record);
    return order ? order : compare_texts(left->remark, right->remark);
}

static bool has_item(const struct table *table, const char *items, size_t count, const void *item)
{
    for (size_t at = 0; at < count; at++)
        if (record_is_equal(table, items + at * table->size, item))
            return true;
    return false;
}

/* What both began with, then the rest of both by time. One that is there as often on both sides is one. */
static enum status join_appended(struct joining *joining, const struct field *list,
                                 const void *const sets[VERSION_COUNT], void *out, struct err *err)
{
    const struct table *table = list->of;
    const size_t size = table->size;
    struct items parts[VERSION_COUNT] = {{.first = NULL}};
    char *items = NULL;
    size_t room = 0;
    for (int version = 0; version < VERSION_COUNT; version++) {
        parts[version] = sets[version] ? items_of(list, sets[version]) : parts[version];
        room += parts[version].count;
    }
    TRY(arena_take(joining->arena, room, size, &items, err));
    const size_t base = parts[VERSION_BASE].count;
    size_t count = base;
    if (base)
        memcpy(items, parts[VERSION_BASE].first, base * size);
    for (int side = 0; side < SIDES_MAX; side++) {
        const struct items *part = &parts[side];
        const size_t before = count;
        size_t from = 0; /* what stands as it stood is passed over at once */
        while (from < base && from < part->count &&
               record_is_equal(table, items + from * size, part->first + from * size))
            from++;
        for (size_t at = from; at < part->count; at++) {
            const char *item = part->first + at * size;
            if (has_item(table, items + from * size, base - from, item) ||
                (side && has_item(table, items + base * size, before - base, item)))
                continue;
            memcpy(items + count++ * size, item, size);
        }
    }
    if (count > base)
        qsort(items + base * size, count - base, size, table == &label_table ? compare_labels : compare_signatures);
    items_put(list, out, items, count);
    return STATUS_OK;
}

static enum status join_list(struct joining *joining, const struct table *table, const char *name,
                             const char *const paths[VERSION_COUNT], void *out, bool *there, struct err *err)
{
    void *sets[VERSION_COUNT] = {NULL};
    *there = false;
    for (int version = 0; version < VERSION_COUNT; version++) {
        bool is_there = false;
        if (!paths[version])
            continue;
        TRY(arena_take(joining->arena, 1, table->size, &sets[version], err));
        TRY(joining_read(joining, version, paths[version], table, sets[version], &is_there, err));
        if (is_there)
            memcpy(out, sets[version], table->size);
        else
            sets[version] = NULL;
        *there = *there || is_there;
    }
    return *there ? join_appended(joining, field_find(table, name), (const void *const *)sets, out, err) : STATUS_OK;
}

enum status join_labels(struct joining *joining, const char *path, const char *const paths[VERSION_COUNT],
                        struct err *err)
{
    struct label_set out;
    struct place_known place;
    bool there = false;
    TRY(join_list(joining, &label_set_table, "labels", paths, &out, &there, err));
    if (!there || !registry_place(path, &place))
        return STATUS_OK;
    out.core = place.bag == BAG_NONE ? place.number : 0; /* its core may have another number */
    return joining_write(joining, &label_set_table, &out, err);
}

enum status join_act_signatures(struct joining *joining, const char *path, struct err *err)
{
    const char *const paths[VERSION_COUNT] = {path, path, path};
    struct act_signature_set out;
    bool there = false;
    TRY(join_list(joining, &act_signature_set_table, "signatures", paths, &out, &there, err));
    return there ? joining_write(joining, &act_signature_set_table, &out, err) : STATUS_OK;
}

enum status join_signatures(struct joining *joining, const char *path, const char *const paths[VERSION_COUNT],
                            struct err *err)
{
    struct signature_set out;
    struct place_known place;
    bool there = false;
    TRY(join_list(joining, &signature_set_table, "signatures", paths, &out, &there, err));
    if (!there || !registry_place(path, &place))
        return STATUS_OK;
    out.number = place.number;
    return joining_write(joining, &signature_set_table, &out, err);
}
