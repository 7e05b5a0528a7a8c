/* SPDX-License-Identifier: MIT */
/* Goes through cores and files of bags, one after the other, each with its things and their labels. */
#include <stdlib.h>
#include <string.h>

#include "coretally/ask/label_things.h"

struct label_walker {
    struct state *state;
    const struct label_scope *scope;
    label_visit *visit;
    void *context;
    int64_t next_ms;
};

static int compare_path(const void *path, const void *place)
{
    return strcmp(path, ((const struct place_known *)place)->path);
}

static bool has_file(const struct known_files *files, const char *path)
{
    return files->count && bsearch(path, files->items, files->count, sizeof *files->items, compare_path) != NULL;
}

static enum status look_at_core(const struct label_walker *walker, struct state *state, const struct target *hole,
                                int32_t number, struct err *err)
{
    struct things things;
    bool there = false;
    TRY(things_of_core(state, hole, number, &things, &there, err));
    return there ? walker->visit(state, walker->context, &things, err) : STATUS_OK;
}

static enum status walk_core(const struct label_walker *walker, const struct target *hole, int32_t number,
                             struct err *err)
{
    struct state inner;
    if (walker->scope->is_kept)
        return look_at_core(walker, walker->state, hole, number, err);
    state_nest(walker->state, &inner);
    const enum status status = look_at_core(walker, &inner, hole, number, err);
    state_leave(&inner);
    return status;
}

static enum status walk_cores(struct label_walker *walker, const struct target *hole, struct err *err)
{
    struct state *state = walker->state;
    const struct name *name = &walker->scope->name;
    char path[REGISTRY_PATH_MAX];
    struct known_files files = {0};
    int32_t *numbers = NULL;
    size_t count = 0;
    const bool *kinds = walker->scope->asked.kinds;
    if (!kinds[THING_CORE] && !kinds[THING_SECTION] && !kinds[THING_SAMPLE])
        return STATUS_OK;
    if (name->level >= NAME_CORE) /* the hole is not listed: what others do to it meanwhile is no matter */
        return walk_core(walker, hole, name->core, err);
    (void)snprintf(path, sizeof path, "holes/%.12s/cores", hole->hole_name);
    TRY(state_list(state, path, &files, err));
    TRY(state_cores(state, hole->hole_name, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        core_labels_path(hole->hole_name, numbers[at], path);
        if (walker->scope->is_labelled && !has_file(&files, path))
            continue;
        state_progress(state, "cores", at, count, &walker->next_ms);
        TRY(walk_core(walker, hole, numbers[at], err));
    }
    return STATUS_OK;
}

/* Is there a file of labels that may be of this hundred: its own, or, since a join gives a bag a higher number, one of
 * those before it? */
static bool has_labels(const struct known_files *files, const char *hole, enum bag_kind kind, const int32_t *hundreds,
                       size_t at)
{
    char path[REGISTRY_PATH_MAX];
    for (size_t before = 0; before <= at; before++) {
        bag_labels_path(hole, kind, hundreds[before], path);
        if (has_file(files, path))
            return true;
    }
    return false;
}

static enum status walk_bags(struct label_walker *walker, const struct target *hole, struct err *err)
{
    struct state *state = walker->state;
    const struct name *name = &walker->scope->name;
    struct lag_hole lag;
    struct known_files files = {0};
    char path[REGISTRY_PATH_MAX];
    enum status status = STATUS_OK;
    (void)snprintf(path, sizeof path, "holes/%.12s/bags", hole->hole_name);
    TRY(state_list(state, path, &files, err));
    if (!walker->scope->asked.kinds[THING_BAG] || !files.count)
        return STATUS_OK;
    TRY(lag_hole_try(state, hole, &lag, err));
    lag.ahead = name->level == NAME_BAG ? 0 : 7; /* bags come in order of time */
    for (enum bag_kind kind = BAG_CUTTINGS; status == STATUS_OK && kind <= BAG_MUD; kind++) {
        int32_t *hundreds = NULL;
        size_t count = 0;
        status = state_hundreds(state, hole->hole_name, kind, &hundreds, &count, err);
        for (size_t at = 0; status == STATUS_OK && at < count; at++) {
            struct things things;
            if ((name->level == NAME_BAG && (name->bag != kind || bag_hundred(name->bag_number) != hundreds[at])) ||
                (walker->scope->is_labelled && !has_labels(&files, hole->hole_name, kind, hundreds, at)))
                continue;
            status = things_of_bags(state, hole, kind, hundreds[at], &lag, &things, err);
            if (status == STATUS_OK)
                status = walker->visit(state, walker->context, &things, err);
        }
    }
    lag_hole_close(&lag);
    return status;
}

static enum status walk_hole(struct label_walker *walker, const struct name *name, struct err *err)
{
    struct target target = {.name = *name};
    TRY(resolve_hole(walker->state, name, &target, err));
    if (walker->scope->name.level != NAME_BAG)
        TRY(walk_cores(walker, &target, err));
    if (walker->scope->name.level == NAME_HOLE || walker->scope->name.level == NAME_BAG)
        TRY(walk_bags(walker, &target, err));
    return STATUS_OK;
}

enum status label_walk(struct state *state, const struct label_scope *scope, label_visit *visit, void *context,
                       struct err *err)
{
    struct label_walker walker = {.state = state, .scope = scope, .visit = visit, .context = context};
    struct names holes = {0};
    if (*scope->name.site)
        return walk_hole(&walker, &scope->name, err);
    TRY(state_holes(state, &holes, err));
    for (size_t at = 0; at < holes.count; at++) {
        struct name name;
        TRY(name_parse(holes.items[at], &name, err));
        TRY(walk_hole(&walker, &name, err));
    }
    return STATUS_OK;
}
