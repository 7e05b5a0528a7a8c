/* SPDX-License-Identifier: MIT */
/* Where each kind of record stands, and how a part of a file is found in another version of it. */
#include "coretally/state/record_at.h"

#include <assert.h>
#include <string.h>

#include "coretally/domain/minted.h"
#include "coretally/state/numbered.h"

const void *record_at_pick(const struct record_at *at, const void *version)
{
    return at->pick ? at->pick(version, at->key) : version;
}

/* --- numbers that were given out twice --- */

static const char *was_of(const struct table *part, const void *item)
{
    const struct field *field = field_find(part, "was");
    return field ? *(const char *const *)((const char *)item + field->offset) : NULL;
}

/* What finds an item in its file. */
static void item_key(const struct table *part, const void *item, char out[SAMPLE_KEY_MAX])
{
    const struct field *number = field_find(part, "number");
    if (part == &sample_table)
        sample_key(item, out);
    else
        (void)snprintf(out, SAMPLE_KEY_MAX, "%d", number ? *(const int32_t *)((const char *)item + number->offset) : 0);
}

/* The items of a version. */
struct items {
    const char *first;
    size_t count;
};

static struct items items_of(const struct record_at *at, const void *version)
{
    struct items items = {NULL, 0};
    for (size_t it = 0; version && it < at->table->count; it++) {
        const struct field *field = &at->table->fields[it];
        if (field->type != FIELD_LIST || field->of != at->part)
            continue;
        items.first = *(const char *const *)((const char *)version + field->offset);
        items.count = *(const size_t *)(const void *)((const char *)version + field->count_offset);
    }
    return items;
}

/* A number, or key, that a join took from a thing, and the commit that had recorded it by that. */
struct taken {
    char key[SAMPLE_KEY_MAX];
    char commit[MINTED_COMMIT_MAX];
};

static bool find_taken(const struct table *part, const void *item, struct taken *out)
{
    const char *name = NULL;
    size_t len = 0;
    if (!minted_former(was_of(part, item), &name, &len, out->commit))
        return false;
    (void)snprintf(out->key, sizeof out->key, "%.*s", (int)len, name);
    return true;
}

static bool is_taken_like(const struct taken *a, const struct taken *b)
{
    return strcmp(a->key, b->key) == 0 && strcmp(a->commit, b->commit) == 0;
}

/* The item that this was taken from, as it is called there. */
static const void *find_renumbered(const struct record_at *at, const void *version, const struct taken *taken)
{
    const struct items items = items_of(at, version);
    struct taken own;
    for (size_t it = 0; it < items.count; it++)
        if (find_taken(at->part, items.first + it * at->part->size, &own) && is_taken_like(&own, taken))
            return items.first + it * at->part->size;
    return NULL;
}

static const void *find_key(const struct record_at *at, const void *version, const char *key)
{
    const struct items items = items_of(at, version);
    char own[SAMPLE_KEY_MAX];
    for (size_t it = 0; it < items.count; it++) {
        item_key(at->part, items.first + it * at->part->size, own);
        if (strcmp(own, key) == 0)
            return items.first + it * at->part->size;
    }
    return NULL;
}

/* On its own line, before the join that gave it another number. */
static enum status find_before(struct store *store, const struct record_at *at, const struct taken *taken,
                               const void *version, const char *commit, const void **out, struct err *err)
{
    bool is_its_line = false;
    *out = NULL;
    TRY(store_leads(store, taken->commit, commit, &is_its_line, err));
    if (!is_its_line)
        return STATUS_OK;
    *out = find_key(at, version, taken->key);
    if (!*out) /* it was amended before that */
        *out = record_at_pick(at, version);
    return STATUS_OK;
}

/* Had another thing this number, on a line that did not know of this one? */
static enum status is_anothers(struct store *store, const struct record_at *at, const void *among, const void *version,
                               const void *found, const char *commit, bool *out, struct err *err)
{
    const struct items items = items_of(at, among);
    char key[SAMPLE_KEY_MAX];
    *out = false;
    item_key(at->part, found, key);
    for (size_t it = 0; !*out && it < items.count; it++) {
        struct taken taken;
        if (find_taken(at->part, items.first + it * at->part->size, &taken) && strcmp(taken.key, key) == 0 &&
            !find_renumbered(at, version, &taken))
            TRY(store_leads(store, taken.commit, commit, out, err));
    }
    return STATUS_OK;
}

enum status record_at_then(struct store *store, const struct record_at *at, const void *among, const void *version,
                           const char *commit, const void **out, struct err *err)
{
    const void *found = version ? record_at_pick(at, version) : NULL;
    struct taken taken;
    bool is_other = false;
    if (!version || !at->pick || !field_find(at->part, "was")) {
        *out = found;
        return STATUS_OK;
    }
    if (find_taken(at->part, at->present, &taken)) {
        found = find_renumbered(at, version, &taken);
        if (!found)
            TRY(find_before(store, at, &taken, version, commit, &found, err));
    } else if (found)
        TRY(is_anothers(store, at, among, version, found, commit, &is_other, err));
    *out = is_other ? NULL : found;
    return STATUS_OK;
}

const struct section *section_in(const struct core *core, int32_t number)
{
    for (size_t at = 0; at < core->section_count; at++)
        if (core->sections[at].number == number)
            return &core->sections[at];
    return NULL;
}

const struct sample *sample_then(const struct sample_set *set, const struct sample *present)
{
    char word[SAMPLE_KEY_MAX];
    sample_key(present, word);
    const struct sample *found = sample_find(set->samples, set->sample_count, word);
    for (const char *at = present->was; !found && at;
         at = strchr(at, ' ')) { /* an earlier version had an earlier key; one with a commit: record_at_then */
        at += *at == ' ';
        (void)snprintf(word, sizeof word, "%.*s", (int)strcspn(at, " "), at);
        found = sample_find(set->samples, set->sample_count, word);
    }
    return found;
}

/* key: const int32_t *, the section's number. */
static const void *pick_section(const void *core, const void *key)
{
    return section_in(core, *(const int32_t *)key);
}

/* key: const struct sample *, as it is now. */
static const void *pick_sample(const void *set, const void *key)
{
    return sample_then(set, key);
}

/* key: const int32_t *, the bag's number. */
static const void *pick_bag(const void *set, const void *key)
{
    const struct bag_set *it = set;
    for (size_t at = 0; at < it->bag_count; at++)
        if (it->bags[at].number == *(const int32_t *)key)
            return &it->bags[at];
    return NULL;
}

/* key: const int32_t *, the item's number, its first member. */
static const void *pick_numbered(const struct numbered_set *set, const struct table *item, const void *key)
{
    for (size_t at = 0; at < set->count; at++) {
        const void *one = (const char *)set->items + at * item->size;
        if (*(const int32_t *)one == *(const int32_t *)key)
            return one;
    }
    return NULL;
}

static const void *pick_drilled(const void *set, const void *key)
{
    return pick_numbered(set, &drilled_table, key);
}

static const void *pick_geometry(const void *set, const void *key)
{
    return pick_numbered(set, &geometry_table, key);
}

static const void *pick_pump(const void *set, const void *key)
{
    return pick_numbered(set, &pump_table, key);
}

static const void *pick_lag_check(const void *set, const void *key)
{
    return pick_numbered(set, &lag_check_table, key);
}

/* The record of a whole file. */
static struct record_at whole(const struct table *table, const void *present)
{
    return (struct record_at){.table = table, .part = table, .present = present};
}

struct record_at record_of_expedition(const struct expedition *expedition)
{
    struct record_at at = whole(&expedition_table, expedition);
    (void)snprintf(at.path, sizeof at.path, "%s", EXPEDITION_PATH);
    return at;
}

struct record_at record_of_hole(const char *hole, const struct hole *present)
{
    struct record_at at = whole(&hole_table, present);
    hole_path(hole, at.path);
    return at;
}

struct record_at record_of_core(const char *hole, const struct core *core)
{
    struct record_at at = whole(&core_table, core);
    core_path(hole, core->number, at.path);
    return at;
}

struct record_at record_of_section(const char *hole, int32_t core, const struct section *section)
{
    struct record_at at = {.table = &core_table,
                           .pick = pick_section,
                           .key = &section->number,
                           .part = &section_table,
                           .present = section};
    core_path(hole, core, at.path);
    return at;
}

struct record_at record_of_sample(const char *hole, int32_t core, const struct sample *sample)
{
    struct record_at at = {
        .table = &sample_set_table, .pick = pick_sample, .key = sample, .part = &sample_table, .present = sample};
    samples_path(hole, core, at.path);
    return at;
}

struct record_at record_of_correction(const char *hole, const struct correction *correction)
{
    struct record_at at = whole(&correction_table, correction);
    correction_path(hole, correction->number, at.path);
    return at;
}

struct record_at record_of_numbered(const char *hole, const struct table *set, const void *item)
{
    static const struct {
        const struct table *set;
        const struct table *item;
        void (*path)(const char *hole, char out[REGISTRY_PATH_MAX]);
        const void *(*pick)(const void *set, const void *key);
    } kinds[] = {{&drilled_set_table, &drilled_table, drilled_path, pick_drilled},
                 {&geometry_set_table, &geometry_table, well_path, pick_geometry},
                 {&pump_set_table, &pump_table, pumps_path, pick_pump},
                 {&lag_check_set_table, &lag_check_table, lag_checks_path, pick_lag_check}};
    size_t kind = 0;
    while (kinds[kind].set != set) {
        kind++;
        assert(kind < sizeof kinds / sizeof kinds[0]);
    }
    struct record_at at = {
        .table = set, .pick = kinds[kind].pick, .key = item, .part = kinds[kind].item, .present = item};
    kinds[kind].path(hole, at.path);
    return at;
}

struct record_at record_of_bag(const char *hole, enum bag_kind kind, const struct bag *bag)
{
    struct record_at at = {
        .table = &bag_set_table, .pick = pick_bag, .key = &bag->number, .part = &bag_table, .present = bag};
    bags_path(hole, kind, bag_hundred(bag->number), at.path);
    return at;
}
