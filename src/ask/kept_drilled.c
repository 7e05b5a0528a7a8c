/* SPDX-License-Identifier: MIT */
/* Drilled intervals that overlap: which act kept them so. Their records carry no mark; the acts tell it. */
#include "coretally/ask/kept.h"

#include <string.h>

#include "coretally/ask/kept_words.h"
#include "coretally/state/stays.h"

/* By what it says: a join may have given it another number. */
static const struct drilled *find_interval(const struct drilled_set *set, const struct drilled *wanted)
{
    for (size_t at = 0; set && at < set->interval_count; at++) {
        const struct drilled *it = &set->intervals[at];
        if (!it->withdrawn && it->datum == wanted->datum && it->top_um == wanted->top_um &&
            it->bottom_um == wanted->bottom_um)
            return it;
    }
    return NULL;
}

/* Recorded, amended, or kept as it is. */
static bool is_put(const struct drilled_set *after, const struct drilled_set *before, const struct drilled *wanted)
{
    const struct drilled *now = find_interval(after, wanted);
    const struct drilled *then = find_interval(before, wanted);
    return now && (!then || then->version != now->version);
}

/* The other has to be there, and one of them is what the act was about. */
static bool is_kept(const struct drilled_set *after, const struct drilled_set *before, const struct drilled *interval,
                    const struct drilled *other)
{
    if (!other)
        return is_put(after, before, interval);
    return find_interval(after, interval) && find_interval(after, other) &&
           (is_put(after, before, interval) || is_put(after, before, other));
}

static enum status look_at(struct state *state, const char *path, const struct trail_act *act,
                           const struct drilled *const pair[2], bool *out, struct err *err)
{
    const void *after = NULL;
    const void *before = NULL;
    *out = false;
    if (act->is_join || !kept_by_act(&act->commit, rule_word(RULE_DRILLED_OVERLAP)))
        return STATUS_OK;
    TRY(state_version(state, act->id, path, &drilled_set_table, &after, err));
    TRY(state_version(state, act->lines[0].id, path, &drilled_set_table, &before, err));
    *out = is_kept(after, before, pair[0], pair[1]);
    return STATUS_OK;
}

enum status kept_drilled(struct state *state, const char *hole, const struct drilled *interval,
                         const struct drilled *other, struct commit *out, struct err *err)
{
    const struct drilled *const pair[2] = {interval, other};
    struct stays *history = NULL;
    char path[REGISTRY_PATH_MAX];
    bool is_found = false;
    *out = (struct commit){.id = ""};
    drilled_path(hole, path);
    TRY(stays_open(state, path, &history, err));
    enum status status = STATUS_OK;
    for (bool more = true; status == STATUS_OK && more && !is_found;) {
        struct trail_act act = {.line_count = 0};
        status = stays_next_act(history, state->arena, &act, &more, err);
        if (status == STATUS_OK && more)
            status = look_at(state, path, &act, pair, &is_found, err);
        if (status == STATUS_OK && is_found)
            *out = act.commit;
    }
    stays_close(history);
    return status;
}

enum status kept_open_drilled(struct state *state, const struct target *hole, const struct drilled *interval,
                              const struct drilled_set *others, struct findings *out, struct err *err)
{
    *out = (struct findings){.count = 0};
    for (size_t at = 0; !interval->withdrawn && at < others->interval_count; at++) {
        struct findings own = {0};
        struct commit commit;
        drilled_check(interval, &others->intervals[at], 1, &own);
        for (size_t found = 0; found < own.count; found++) {
            if (own.items[found].rule != RULE_DRILLED_OVERLAP)
                continue;
            TRY(kept_drilled(state, hole->hole_name, interval, &others->intervals[at], &commit, err));
            if (!*commit.id)
                findings_add(out, RULE_DRILLED_OVERLAP, "%s", own.items[found].text);
        }
    }
    return STATUS_OK;
}
