/* SPDX-License-Identifier: MIT */
/* Files of which something is doubted, what their doubts rest on, and the acts on all that. */
#include "asked.h"

#include <string.h>

#include "coretally/ask/kept_words.h"
#include "coretally/domain/renaming.h"
#include "coretally/state/open.h"

enum { NUMBERS_MAX = 8, PATHS_A_FILE = 1 + NUMBERS_MAX + 5 }; /* of more renamings the later ones */

/* --- what is asked --- */

static enum status add_path(struct batch *batch, const char *path, uint64_t *bits, struct err *err)
{
    size_t at = 0;
    while (at < batch->path_count && strcmp(batch->paths[at], path) != 0)
        at++;
    if (at == batch->path_count)
        TRY(arena_copy(batch->state.arena, path, strlen(path), &batch->paths[batch->path_count++], err));
    *bits |= UINT64_C(1) << at;
    return STATUS_OK;
}

/* A core is held against its hole, against drilled intervals and the cores before it; drilled intervals and samples
 * are kept together with it. */
static enum status add_beside(struct batch *batch, struct asked *asked, const struct core *core, struct err *err)
{
    static const char *const files[] = {"hole.json", "drilled.json"};
    const char *hole = asked->file.place.hole;
    struct core_roll roll;
    struct core_neighbours around = {0};
    char path[REGISTRY_PATH_MAX];
    for (size_t at = 0; at < sizeof files / sizeof files[0]; at++) {
        (void)snprintf(path, sizeof path, "holes/%.12s/%s", hole, files[at]);
        TRY(add_path(batch, path, &asked->beside, err));
    }
    TRY(core_roll_open(&batch->state, hole, &roll, err));
    TRY(core_roll_around(&roll, core->number, 0, &around, err));
    TRY(core_roll_timed(&roll, core->number, 0, &around, err));
    const struct core *const before[] = {around.above, around.wash, around.timed_above};
    for (size_t at = 0; at < sizeof before / sizeof before[0]; at++)
        if (before[at]) {
            core_path(hole, before[at]->number, path);
            TRY(add_path(batch, path, &asked->beside, err));
        }
    return STATUS_OK;
}

/* The file under each number that its core had. */
static enum status add_core(struct batch *batch, struct asked *asked, struct err *err)
{
    const struct place_known *place = &asked->file.place;
    struct core core;
    char path[REGISTRY_PATH_MAX];
    int32_t numbers[NUMBERS_MAX];
    bool there = false;
    core_path(place->hole, place->number, path);
    TRY(state_read(&batch->state, path, &core_table, &core, &there, err));
    asked->file.id = (struct core_id){place->number, (char)(there ? core.type : 'H')};
    TRY(state_renamings(&batch->state, place->hole, &asked->file.renamings, err));
    const size_t count = renamings_numbers(&asked->file.renamings, asked->file.id, numbers, NUMBERS_MAX);
    for (size_t at = 0; at < count && at < NUMBERS_MAX; at++) {
        (place->known->table == &core_table ? core_path : samples_path)(place->hole, numbers[at], path);
        TRY(add_path(batch, path, &asked->own, err));
    }
    return there && place->known->table == &core_table ? add_beside(batch, asked, &core, err) : STATUS_OK;
}

static enum status find_part(struct batch *batch, struct asked *asked, size_t at, struct err *err)
{
    const struct place_known *place = &asked->file.place;
    struct record_at *out = &asked->file.parts[at];
    struct open_point point;
    *out = (struct record_at){.path = ""};
    if (!*asked->file.doubts[at].item)
        return STATUS_OK;
    TRY(open_point_of(&batch->state, place->path, asked->file.doubts[at].item, &point, err));
    if (!point.record)
        return STATUS_OK;
    if (place->known->table == &sample_set_table)
        *out = record_of_sample(place->hole, place->number, point.record);
    else if (place->known->table == &bag_set_table)
        *out = record_of_bag(place->hole, place->bag, point.record);
    else
        *out = record_of_numbered(place->hole, place->known->table, point.record);
    return STATUS_OK;
}

/* The doubts from `first` on that are of its file. */
static enum status add_file(struct batch *batch, struct doubt *first, size_t count, struct err *err)
{
    struct arena *arena = batch->state.arena;
    struct asked *asked = &batch->files[batch->file_count];
    *asked = (struct asked){.file = {.doubts = first, .count = count}};
    if (!registry_place(first->path, &asked->file.place))
        return STATUS_OK;
    TRY(add_path(batch, first->path, &asked->own, err));
    if (place_is_of_core(&asked->file.place))
        TRY(add_core(batch, asked, err));
    TRY(arena_take(arena, count, sizeof *asked->is_done, &asked->is_done, err));
    TRY(arena_take(arena, count, sizeof *asked->file.parts, &asked->file.parts, err));
    memset(asked->is_done, 0, count * sizeof *asked->is_done);
    for (size_t at = 0; at < count; at++)
        TRY(find_part(batch, asked, at, err));
    batch->file_count++;
    return STATUS_OK;
}

enum status batch_fill(struct batch *batch, size_t *next, struct err *err)
{
    const struct verify *verify = batch->verify;
    TRY(arena_take(batch->state.arena, TRAIL_PATHS_MAX, sizeof *batch->files, &batch->files, err));
    while (*next < verify->doubt_count && batch->path_count + PATHS_A_FILE <= TRAIL_PATHS_MAX) {
        size_t end = *next + 1;
        while (end < verify->doubt_count && strcmp(verify->doubts[end].path, verify->doubts[*next].path) == 0)
            end++;
        TRY(add_file(batch, &verify->doubts[*next], end - *next, err));
        *next = end;
    }
    return STATUS_OK;
}

/* --- the acts --- */

bool seen_keeps(const struct seen *act, enum rule rule)
{
    return !act->is_join &&
           (kept_by_act(&act->commit, rule_word(rule)) ||
            (rule == RULE_CORE_ON_DRILLED && kept_by_act(&act->commit, rule_word(RULE_DRILLED_OVERLAP))));
}

static enum status see(struct batch *batch, const struct trail_act *act, struct err *err)
{
    struct seen seen = {.commit = act->commit, .is_join = act->is_join, .touched = act->touched};
    seen.line_count = act->line_count;
    for (size_t at = 0; at < act->line_count; at++)
        memcpy(seen.parents[at], act->lines[at].parent, COMMIT_ID_MAX);
    TRY(arena_grow(batch->state.arena, &batch->acts, batch->act_count, &batch->act_room, sizeof seen, err));
    batch->acts[batch->act_count++] = seen;
    return STATUS_OK;
}

/* Is there an act on the own file of each doubt that names its rule? Then nothing behind it matters, but where another
 * core may have had the number. */
static bool is_enough(const struct batch *batch, bool *const *is_named)
{
    for (size_t file = 0; file < batch->file_count; file++)
        for (size_t at = 0; at < batch->files[file].file.count; at++)
            if (!is_named[file][at] || batch->files[file].file.renamings.renaming_count)
                return false;
    return true;
}

static void note_named(const struct batch *batch, const struct seen *act, bool *const *is_named)
{
    for (size_t file = 0; kept_list(&act->commit) && file < batch->file_count; file++)
        for (size_t at = 0; (act->touched & batch->files[file].own) && at < batch->files[file].file.count; at++)
            is_named[file][at] = is_named[file][at] || seen_keeps(act, batch->files[file].file.doubts[at].rule);
}

enum status batch_walk(struct batch *batch, struct err *err)
{
    struct trail *trail = NULL;
    bool **is_named = NULL;
    enum status status = STATUS_OK;
    TRY(arena_take(batch->state.arena, batch->file_count, sizeof *is_named, &is_named, err));
    for (size_t file = 0; file < batch->file_count; file++) {
        TRY(arena_take(batch->state.arena, batch->files[file].file.count, sizeof **is_named, &is_named[file], err));
        memset(is_named[file], 0, batch->files[file].file.count * sizeof **is_named);
    }
    TRY(trail_open(batch->verify->store, batch->paths, batch->path_count, &trail, err));
    for (bool more = true; status == STATUS_OK && more && !is_enough(batch, is_named);) {
        struct trail_act act = {.line_count = 0};
        status = trail_next(trail, batch->state.arena, &act, &more, err);
        if (status == STATUS_OK && more)
            status = see(batch, &act, err);
        if (status == STATUS_OK && more)
            note_named(batch, &batch->acts[batch->act_count - 1], is_named);
    }
    trail_close(trail);
    return status;
}
