/* SPDX-License-Identifier: MIT */
/* Versions of a file under all the paths that it had. */
#include "coretally/state/stays.h"

#include <string.h>

#include "coretally/domain/minted.h"

struct stays {
    struct trail *trail;
    bool is_of_core;
};

static enum status copy_path(struct state *state, const char *path, const char **out, struct err *err)
{
    return arena_copy(state->arena, path, strlen(path), out, err);
}

/* A core that is there, under each number that it had. */
static enum status add_numbers(struct state *state, const struct place_known *place, struct history_path **out,
                               size_t *count, bool *is_there, struct err *err)
{
    struct renaming_set set = {0};
    struct core core;
    char path[REGISTRY_PATH_MAX];
    int32_t *numbers = NULL;
    const char *ending = strchr(strrchr(place->path, '/'), '.');
    TRY(state_renamings(state, place->hole, &set, err));
    if (!set.renaming_count)
        return STATUS_OK;
    core_path(place->hole, place->number, path);
    TRY(state_read(state, path, &core_table, &core, is_there, err));
    if (!*is_there)
        return STATUS_OK;
    TRY(arena_take(state->arena, set.renaming_count + 1, sizeof *numbers, &numbers, err));
    *count = renamings_numbers(&set, (struct core_id){core.number, core.type}, numbers, set.renaming_count + 1);
    TRY(arena_take(state->arena, *count, sizeof **out, out, err));
    for (size_t at = 0; at < *count; at++) {
        char before[REGISTRY_PATH_MAX];
        core_path(place->hole, at ? numbers[at - 1] : numbers[at], path);
        (void)snprintf(before, sizeof before, "holes/%.12s/cores/%04d%.16s", place->hole, (int)numbers[at], ending);
        TRY(copy_path(state, before, &(*out)[at].path, err));
        TRY(copy_path(state, path, &(*out)[at].sign, err));
    }
    return STATUS_OK;
}

/* The file of a correction, or of its signatures, under one of its numbers. */
static enum status add_number(struct state *state, const struct place_known *place, int32_t number, const char *word,
                              struct history_path *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    const bool is_signed = place->known->table == &signature_set_table;
    *out = (struct history_path){.holds = word};
    (is_signed ? signatures_path : correction_path)(place->hole, number, path);
    TRY(copy_path(state, path, &out->path, err));
    correction_path(place->hole, number, path);
    return word ? copy_path(state, path, &out->holder, err) : STATUS_OK;
}

/* A correction that got another number in a join, perhaps in one join after the other, and its signatures. Each time
 * the number grew, and its former name went along. */
static enum status add_minted(struct state *state, const struct place_known *place, struct history_path **out,
                              size_t *count, struct err *err)
{
    struct correction correction;
    char path[REGISTRY_PATH_MAX];
    char commit[MINTED_COMMIT_MAX];
    const char *name = NULL;
    size_t len = 0;
    bool is_there = false;
    correction_path(place->hole, place->number, path);
    TRY(state_read(state, path, &correction_table, &correction, &is_there, err));
    const int32_t former = is_there ? minted_number(correction.was) : 0;
    if (former <= 0 || former >= correction.number || !minted_former(correction.was, &name, &len, commit))
        return STATUS_OK;
    TRY(arena_take(state->arena, (size_t)(correction.number - former) + 1, sizeof **out, out, err));
    for (int32_t number = correction.number; number > former; number--)
        TRY(add_number(state, place, number, correction.was, &(*out)[(*count)++], err));
    struct history_path *first = &(*out)[(*count)++];
    TRY(add_number(state, place, former, NULL, first, err));
    return arena_copy(state->arena, commit, strlen(commit), &first->behind, err);
}

enum status stays_open(struct state *state, const char *path, struct stays **out, struct err *err)
{
    struct place_known place;
    struct stays *stays = NULL;
    struct history_path *paths = NULL;
    size_t count = 0;
    TRY(arena_take(state->arena, 1, sizeof *stays, &stays, err));
    if (!registry_place(path, &place))
        place = (struct place_known){.known = NULL};
    if (place.known && place_is_of_core(&place))
        TRY(add_numbers(state, &place, &paths, &count, &stays->is_of_core, err));
    else if (place.known && (place.known->table == &correction_table || place.known->table == &signature_set_table))
        TRY(add_minted(state, &place, &paths, &count, err));
    TRY(count > 1 ? trail_open_turning(state->store, paths, count, &stays->trail, err)
                  : trail_open(state->store, &path, 1, &stays->trail, err));
    *out = stays;
    return STATUS_OK;
}

enum status stays_next_act(struct stays *stays, struct arena *arena, struct trail_act *act, bool *more, struct err *err)
{
    for (;;) {
        TRY(trail_next(stays->trail, arena, act, more, err));
        if (!*more || *act->id || !stays->is_of_core)
            return STATUS_OK;
        for (size_t at = 0; at < act->line_count; at++) /* what had the number before that is another core's */
            trail_drop(stays->trail, act->lines[at].older);
    }
}

enum status stays_next(struct stays *stays, struct arena *arena, struct commit *commit, char id[HASH_TEXT_MAX],
                       bool *more, struct err *err)
{
    struct trail_act act = {.line_count = 0};
    do
        TRY(stays_next_act(stays, arena, &act, more, err));
    while (*more && trail_pass(stays->trail, &act));
    if (!*more)
        return STATUS_OK;
    *commit = act.commit;
    memcpy(id, act.id, HASH_TEXT_MAX);
    return STATUS_OK;
}

void stays_close(struct stays *stays)
{
    if (stays)
        trail_close(stays->trail);
}
