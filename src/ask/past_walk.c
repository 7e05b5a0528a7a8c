/* SPDX-License-Identifier: MIT */
/* Goes back through the commits that touched what a depth rests on, and looks at the thing at each. */
#include "coretally/ask/past_walk.h"

#include <string.h>

#include "coretally/ask/act_signed.h"
#include "coretally/base/limits.h"
#include "coretally/store/walk.h"

/* What the walk holds: an act, and the thing at it and at the one before it on one of its lines. */
struct walk {
    struct state *state;
    const struct past *past;
    const struct commits *since; /* where to stop; NULL */
    struct lineage after;        /* the acts since then */
    past_visit *visit;
    void *context;
    struct past_path paths[TRAIL_PATHS_MAX];
    size_t path_count;
    struct trail *trail;
    struct store *beside;
    struct state shelves[2]; /* what was read of states, by turns: see look */
    size_t turn;
    struct moment moments[2];  /* newer, older */
    char newer[COMMIT_ID_MAX]; /* where the newer one was looked at */
    struct trail_act act;
};

/* Where two lines meet: what the depth was on the one that ended with this act. */
static enum status tell_join(struct state *state, const char *last, const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, state->arena);
    text_addf(&text, "joined, on the side of %.10s", last);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

/* Who signed it is asked of today, not of the state that it made. */
static enum status add_signed(const struct walk *walk, struct state *state, const char **cause, struct err *err)
{
    const char *by = NULL;
    struct text text;
    struct bytes bytes;
    TRY(act_signed_by(walk->state, walk->act.commit.id, &by, err));
    if (!by)
        return STATUS_OK;
    text_init(&text, state->arena);
    text_addf(&text, "%s, signed by %s", *cause, by);
    TRY(text_done(&text, &bytes, err));
    *cause = bytes.data;
    return STATUS_OK;
}

/* state: whose arena holds the words. */
static enum status tell(struct walk *walk, struct state *state, const struct trail_line *line, struct err *err)
{
    const struct past_act act = {walk->paths, walk->path_count, line->touched, &walk->moments[0], &walk->moments[1]};
    struct past_step step = {.commit = &walk->act.commit,
                             .is_join = walk->act.is_join && walk->act.line_count > 1,
                             .newer = act.newer,
                             .older = act.older};
    TRY(step.is_join ? tell_join(state, line->older, &step.cause, err)
                     : past_cause(state, walk->past, &act, &step.cause, err));
    if (!step.is_join)
        TRY(add_signed(walk, state, &step.cause, err));
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

/* The thing at the state that an act made. */
static enum status look(struct walk *walk, const char *act, struct moment *out, struct state *then, struct err *err)
{
    TRY(store_stand_at(walk->beside, act, err));
    state_at(find_shelf(walk), walk->beside, then);
    return past_look(then, walk->past, out, err);
}

/* Did the line of a join know the thing, and has it another depth by the join? */
static bool is_moved(const struct moment *newer, const struct moment *older)
{
    return older->there && (newer->there != older->there || newer->withdrawn != older->withdrawn ||
                            newer->top_um != older->top_um || newer->bottom_um != older->bottom_um);
}

/* What the act changed on one of its lines. Mostly the newer of the two moments is at hand: it was the older one of the
 * act before. */
static enum status walk_line(struct walk *walk, const struct trail_line *line, struct err *err)
{
    struct moment *newer = &walk->moments[0];
    struct moment *older = &walk->moments[1];
    struct state then = *walk->state;
    if (strcmp(walk->newer, walk->act.commit.id) != 0)
        TRY(look(walk, walk->act.commit.id, newer, &then, err));
    memset(older, 0, sizeof *older); /* before the first act there was nothing */
    older->top_um = older->bottom_um = LENGTH_NONE;
    if (*line->older)
        TRY(look(walk, line->older, older, &then, err));
    if (walk->act.line_count < 2 ? (*line->older || newer->there) && past_differs(newer, older)
                                 : is_moved(newer, older))
        TRY(tell(walk, *line->older ? &then : walk->state, line, err));
    if (!older->there || (walk->since && !lineage_has(&walk->after, line->older)))
        trail_drop(walk->trail, line->older);
    *newer = *older;
    (void)snprintf(walk->newer, sizeof walk->newer, "%s", line->older);
    return STATUS_OK;
}

static enum status walk_back(struct walk *walk, struct err *err)
{
    bool more = true;
    int64_t next_ms = 0;
    for (size_t done = 0;; done++) {
        TRY(trail_next(walk->trail, walk->state->arena, &walk->act, &more, err));
        if (!more || (walk->since && !done && !lineage_has(&walk->after, walk->act.commit.id)))
            return STATUS_OK;
        state_progress(walk->state, "acts", done * 256, 0, &next_ms);
        for (size_t at = 0; at < walk->act.line_count; at++)
            TRY(walk_line(walk, &walk->act.lines[at], err));
    }
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
    for (size_t at = 0; at < walk->path_count; at++)
        paths[at] = walk->paths[at].path;
    TRY(trail_open(walk->state->store, paths, walk->path_count, &walk->trail, err));
    enum status status = store_open_beside(walk->state->store, NULL, &walk->beside, err);
    if (status == STATUS_OK)
        status = walk_back(walk, err);
    trail_close(walk->trail);
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
