/* SPDX-License-Identifier: MIT */
/* Goes back through the commits that touched what a depth rests on, and looks at the thing at each. */
#include "coretally/ask/past_walk.h"

#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/store/walk.h"

/* What the walk holds: the newer of two neighbouring states, and the act between them. */
struct walk {
    struct state *state;
    const struct past *past;
    const struct commits *since; /* where to stop; NULL */
    struct lineage after;        /* the acts since then */
    past_visit *visit;
    void *context;
    struct past_path paths[TRAIL_PATHS_MAX];
    size_t path_count;
    struct store *beside;
    struct state shelves[2]; /* what was read of states, by turns: see look */
    size_t turn;
    struct moment moments[2];
    struct commit commit; /* that made the newer one */
    uint64_t touched;
    bool has_newer;
    bool ended; /* the thing was not there before, or the walk is where it was to stop */
};

/* state: whose arena holds the words. */
static enum status tell(struct walk *walk, struct state *state, struct err *err)
{
    const struct past_act act = {walk->paths, walk->path_count, walk->touched, &walk->moments[0], &walk->moments[1]};
    struct past_step step = {.commit = &walk->commit, .newer = act.newer, .older = act.older};
    TRY(past_cause(state, walk->past, &act, &step.cause, err));
    return walk->visit(state, walk->context, &step, err);
}

/* Neighbouring states have most of their records in common, so what was read stays for the next ones; but a long
 * history must not fill the memory. From a full shelf the walk turns to the other one: nothing on that is in use, since
 * the newer of the two moments was read for the state looked at last. */
static struct state *find_shelf(struct walk *walk)
{
    struct state *shelf = &walk->shelves[walk->turn];
    if (shelf->own.used < HISTORY_SHELF_BYTES)
        return shelf;
    walk->turn = 1 - walk->turn;
    shelf = &walk->shelves[walk->turn];
    state_leave(shelf);
    state_nest(walk->state, shelf);
    return shelf;
}

/* The thing at the state that an act made; compared with the one after it. */
static enum status look(struct walk *walk, const char *act, struct err *err)
{
    struct state then;
    TRY(store_stand_at(walk->beside, act, err));
    state_at(find_shelf(walk), walk->beside, &then);
    TRY(past_look(&then, walk->past, &walk->moments[1], err));
    if (walk->has_newer && past_differs(&walk->moments[0], &walk->moments[1]))
        return tell(walk, &then, err);
    return STATUS_OK;
}

static enum status walk_back(struct walk *walk, struct trail *trail, struct err *err)
{
    struct commit commit = {0};
    uint64_t touched = 0;
    bool more = true;
    bool is_last = false;
    int64_t next_ms = 0;
    for (size_t done = 0; !walk->ended; done++) {
        TRY(trail_next(trail, walk->state->arena, &commit, &touched, &more, err));
        if (!more)
            break;
        state_progress(walk->state, "acts", done * 256, 0, &next_ms);
        is_last = walk->since && !lineage_has(&walk->after, commit.id);
        TRY(look(walk, commit.id, err));
        walk->ended = is_last || (walk->has_newer && !walk->moments[1].there);
        walk->moments[0] = walk->moments[1];
        walk->commit = commit;
        walk->touched = touched;
        walk->has_newer = true;
    }
    if (walk->ended || !walk->has_newer || !walk->moments[0].there)
        return STATUS_OK;
    memset(&walk->moments[1], 0, sizeof walk->moments[1]); /* before the first act there was nothing */
    walk->moments[1].top_um = walk->moments[1].bottom_um = LENGTH_NONE;
    return tell(walk, walk->state, err);
}

/* The acts that are no part of the states where the walk is to stop. */
static enum status list_after(struct walk *walk, struct err *err)
{
    struct commits commits = {.count = 0};
    if (!walk->since)
        return STATUS_OK;
    TRY(store_beyond(walk->state->store, walk->since, walk->state->arena, &commits, err));
    walk->after = (struct lineage){commits.ids, commits.count};
    lineage_sort(&walk->after);
    return STATUS_OK;
}

static enum status walk_trail(struct walk *walk, struct err *err)
{
    const char *paths[TRAIL_PATHS_MAX];
    struct trail *trail = NULL;
    for (size_t at = 0; at < walk->path_count; at++)
        paths[at] = walk->paths[at].path;
    TRY(trail_open(walk->state->store, paths, walk->path_count, &trail, err));
    enum status status = store_open_beside(walk->state->store, NULL, &walk->beside, err);
    if (status == STATUS_OK)
        status = walk_back(walk, trail, err);
    trail_close(trail);
    store_close(walk->beside);
    return status;
}

enum status past_walk(struct state *state, const struct past *past, const struct commits *since, past_visit *visit,
                      void *context, struct err *err)
{
    struct walk *walk = NULL;
    TRY(arena_take(state->arena, 1, sizeof *walk, &walk, err));
    walk->state = state;
    walk->past = past;
    walk->since = since;
    walk->visit = visit;
    walk->context = context;
    walk->path_count = past_paths(past, walk->paths);
    for (size_t at = 0; at < 2; at++)
        state_nest(state, &walk->shelves[at]);
    enum status status = list_after(walk, err);
    if (status == STATUS_OK)
        status = walk_trail(walk, err);
    for (size_t at = 0; at < 2; at++)
        state_leave(&walk->shelves[at]);
    return status;
}
