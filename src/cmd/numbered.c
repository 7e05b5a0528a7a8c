/* SPDX-License-Identifier: MIT */
/* Add, amend, withdraw and show for records that are numbered within their hole. */
#include "numbered.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

/* A place in the registry: the hole with its set. */
struct shelf {
    struct target target;
    struct numbered_set set;
    char path[REGISTRY_PATH_MAX];
};

static void *item_at(const struct numbered *kind, const struct numbered_set *set, size_t at)
{
    return (char *)set->items + at * kind->item->size;
}

const void *numbered_item(const struct numbered *kind, const struct numbered_set *set, size_t at)
{
    return item_at(kind, set, at);
}

static int32_t *item_number(void *item)
{
    return item;
}

/* The members that every such record has. */
static const char **item_withdrawn(const struct numbered *kind, void *item)
{
    return (const char **)((char *)item + field_find(kind->item, "withdrawn")->offset);
}

static int32_t *item_version(const struct numbered *kind, void *item)
{
    return (int32_t *)((char *)item + field_find(kind->item, "version")->offset);
}

static void raise_version(const struct numbered *kind, void *item)
{
    int32_t *version = item_version(kind, item);
    *version = *version ? *version + 1 : 2;
}

const void *numbered_find(const struct numbered *kind, const struct numbered_set *set, int32_t number)
{
    for (size_t at = 0; at < set->count; at++)
        if (*(const int32_t *)numbered_item(kind, set, at) == number)
            return numbered_item(kind, set, at);
    return NULL;
}

enum status numbered_read(struct state *state, const struct numbered *kind, const char *hole, struct numbered_set *out,
                          struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    kind->path(hole, path);
    TRY(state_read(state, path, kind->set, out, &there, err));
    out->hole = hole;
    return STATUS_OK;
}

static enum status shelf_open(struct run *run, const struct numbered *kind, enum store_mode mode, struct shelf *out,
                              struct err *err)
{
    TRY(run_open(run, mode, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &out->target, err));
    kind->path(out->target.hole_name, out->path);
    return numbered_read(run->state, kind, out->target.hole_name, &out->set, err);
}

/* The item that the second argument numbers. */
static enum status find_item(struct run *run, const struct numbered *kind, const struct shelf *shelf, void **out,
                             struct err *err)
{
    void *wanted = NULL;
    TRY(arena_take(run->state->arena, 1, kind->item->size, &wanted, err));
    record_init(kind->item, wanted);
    const int word = (int)strcspn(run->command->words, " ");
    if (run_set(run->state, kind->item, "number", run->args[1], INT_NONE, wanted, err) != STATUS_OK)
        return err_hint(err, "the numbers are listed by: coretally %.*s list %s", word, run->command->words,
                        shelf->target.hole_name);
    for (size_t at = 0; at < shelf->set.count; at++)
        if (*item_number(item_at(kind, &shelf->set, at)) == *item_number(wanted)) {
            *out = item_at(kind, &shelf->set, at);
            return STATUS_OK;
        }
    err_set(err, STATUS_UNKNOWN, run->args[1], "hole %s has no %s of this number", shelf->target.hole_name, kind->noun);
    return err_hint(err, "they are listed by: coretally %.*s list %s", word, run->command->words,
                    shelf->target.hole_name);
}

static enum status shelf_write(struct run *run, const struct numbered *kind, struct shelf *shelf, const void *item,
                               const char *what, const char *sure, struct err *err)
{
    struct text line;
    struct bytes bytes;
    text_init(&line, run->state->arena);
    kind->line(shelf->target.hole_name, item, what, &line);
    TRY(text_done(&line, &bytes, err));
    if (kind->order)
        qsort(shelf->set.items, shelf->set.count, kind->item->size, kind->order);
    const struct writing writing = {.path = shelf->path, .table = kind->set, .record = &shelf->set};
    return run_commit(run, bytes.data, sure, &writing, 1, err);
}

static enum status check_hole_stands(const struct shelf *shelf, struct err *err)
{
    if (shelf->target.hole.withdrawn)
        return err_set(err, STATUS_RULE, shelf->target.hole_name, "this hole is withdrawn: %s",
                       shelf->target.hole.withdrawn);
    return STATUS_OK;
}

/* A standing record that says the same but for its number. NULL: none. */
static const void *find_equal(const struct numbered *kind, const struct shelf *shelf, void *typed)
{
    for (size_t at = 0; at < shelf->set.count; at++) {
        void *item = item_at(kind, &shelf->set, at);
        *item_number(typed) = *item_number(item);
        *item_version(kind, typed) = *item_version(kind, item);
        if (!*item_withdrawn(kind, item) && record_is_equal(kind->item, item, typed))
            return item;
    }
    *item_version(kind, typed) = 0;
    return NULL;
}

static enum status say_already(struct run *run, const struct numbered *kind, const struct shelf *shelf,
                               const void *item, struct err *err)
{
    assert(item);
    const struct record_at at = record_of_numbered(shelf->target.hole_name, kind->set, item);
    return run_already(run, shelf->target.hole_name, &at, err);
}

/* One item behind the set, with the next number, held against what is there; *equal: it is there already. */
static enum status shelf_put(struct run *run, const struct numbered *kind, struct shelf *shelf, void *item,
                             const void **equal, const char **sure, struct err *err)
{
    int32_t last = 0;
    *equal = find_equal(kind, shelf, item);
    if (*equal)
        return STATUS_OK;
    for (size_t at = 0; at < shelf->set.count; at++) {
        const int32_t number = *item_number(item_at(kind, &shelf->set, at));
        last = number > last ? number : last;
    }
    *item_number(item) = last + 1;
    TRY(record_validate(kind->item, item, run->command->words, err));
    struct findings findings = {0};
    TRY(kind->check(run, &shelf->target, &shelf->set, item, false, &findings, err));
    TRY(run_findings(run, shelf->target.hole_name, &findings, sure, err));
    memcpy(item_at(kind, &shelf->set, shelf->set.count++), item, kind->item->size);
    return STATUS_OK;
}

enum status numbered_add(struct run *run, const struct numbered *kind, struct err *err)
{
    struct shelf shelf = {0};
    void *items = NULL;
    void *grown = NULL;
    size_t count = 1;
    const void *equal = NULL;
    const void *added = NULL;
    size_t added_count = 0;
    char what[60] = "";
    const char *sure = NULL;
    TRY(shelf_open(run, kind, STORE_WRITE, &shelf, err));
    TRY(check_hole_stands(&shelf, err));
    TRY(arena_take(run->state->arena, 1, kind->item->size, &items, err));
    record_init(kind->item, items);
    TRY(kind->prepare(run, &shelf.target, &shelf.set, &items, &count, err));
    TRY(arena_take(run->state->arena, shelf.set.count + count, kind->item->size, &grown, err));
    if (shelf.set.count)
        memcpy(grown, shelf.set.items, shelf.set.count * kind->item->size);
    shelf.set.items = grown;
    for (size_t at = 0; at < count; at++) {
        void *item = (char *)items + at * kind->item->size;
        bool any = false;
        TRY(run_take_fields(run, kind->item, shelf.target.hole.zone_min, item, &any, err));
        TRY(shelf_put(run, kind, &shelf, item, &equal, &sure, err));
        added = equal ? added : item;
        added_count += equal == NULL;
    }
    if (added_count > 1)
        (void)snprintf(what, sizeof what, ", %zu records, the last", added_count);
    return added ? shelf_write(run, kind, &shelf, added, what, sure, err) : say_already(run, kind, &shelf, equal, err);
}

enum status numbered_amend(struct run *run, const struct numbered *kind, struct err *err)
{
    struct shelf shelf = {0};
    void *item = NULL;
    void *before = NULL;
    void *after = NULL;
    bool any = false;
    struct findings findings = {0};
    const char *sure = NULL;
    TRY(run_need_reason(run, err));
    TRY(shelf_open(run, kind, STORE_WRITE, &shelf, err));
    TRY(find_item(run, kind, &shelf, &item, err));
    TRY(arena_take(run->state->arena, 1, kind->item->size, &before, err));
    memcpy(before, item, kind->item->size);
    TRY(run_standing(run, shelf.target.hole_name, item_withdrawn(kind, item), err));
    TRY(run_take_fields(run, kind->item, shelf.target.hole.zone_min, item, &any, err));
    if (record_is_equal(kind->item, item, before))
        return say_already(run, kind, &shelf, item, err);
    raise_version(kind, item);
    TRY(check_hole_stands(&shelf, err));
    TRY(kind->check(run, &shelf.target, &shelf.set, item, false, &findings, err));
    if (!*item_withdrawn(kind, before)) {
        struct findings then = {0};
        struct err refused = {0}; /* what cannot be worked out before has no doubts that could be settled */
        const enum status status = kind->check(run, &shelf.target, &shelf.set, before, true, &then, &refused);
        if (status == STATUS_OK)
            findings_settle(&findings, &then);
        else if (status == STATUS_SYSTEM) {
            *err = refused;
            return status;
        }
    }
    TRY(run_findings(run, shelf.target.hole_name, &findings, &sure, err));
    TRY(arena_take(run->state->arena, 1, kind->item->size, &after, err)); /* sorting moves the items */
    memcpy(after, item, kind->item->size);
    TRY(shelf_write(run, kind, &shelf, after, " amended", sure, err));
    return run_say_changes(run, kind->item, after, before, err);
}

enum status numbered_withdraw(struct run *run, const struct numbered *kind, struct err *err)
{
    struct shelf shelf = {0};
    void *item = NULL;
    TRY(run_need_reason(run, err));
    TRY(shelf_open(run, kind, STORE_WRITE, &shelf, err));
    TRY(find_item(run, kind, &shelf, &item, err));
    if (*item_withdrawn(kind, item)) {
        (void)fprintf(run->out, "already withdrawn: %s %s (%s)\n", kind->noun, run->args[1],
                      *item_withdrawn(kind, item));
        return STATUS_OK;
    }
    *item_withdrawn(kind, item) = run_option(run, "reason");
    raise_version(kind, item);
    return shelf_write(run, kind, &shelf, item, " withdrawn", NULL, err);
}

enum status numbered_show(struct run *run, const struct numbered *kind, struct err *err)
{
    struct shelf shelf = {0};
    struct extra extras[EXTRAS_MAX];
    void *item = NULL;
    TRY(shelf_open(run, kind, STORE_READ, &shelf, err));
    TRY(find_item(run, kind, &shelf, &item, err));
    const struct record_at at = record_of_numbered(shelf.target.hole_name, kind->set, item);
    if (run_option(run, "history"))
        return show_history(run, &at, err);
    const size_t count = kind->extras ? kind->extras(&shelf.target, item, extras) : 0;
    return show_record(run, shelf.target.hole_name, &at, &(struct below){extras, count, NULL}, err);
}
