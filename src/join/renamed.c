/* SPDX-License-Identifier: MIT */
/* The joined list of renamings: what both sides did with names of cores, by the time of the acts, so that it is the
 * same whichever of several sides was joined first. It leads each core through every name that either side gave it,
 * since labels have them, to the name that it has in the join. At each moment a number belongs to one core; where both
 * sides gave one to two cores, one of them has it at a moment when it was free. */
#include <string.h>

#include "names.h"

struct mover {
    int32_t core;
    struct core_id first;
    struct core_id now;
    struct core_id last;
    bool is_new;   /* a side recorded it: until it moves it may not be there yet */
    bool has_left; /* its first number */
};

struct move {
    size_t mover;
    struct core_id to;
};

struct story {
    struct joining *joining;
    struct named_cores *cores;
    struct both_lines sides;
    struct mover *movers;
    size_t mover_count;
    size_t mover_room;
    struct move *moves;
    size_t move_count;
    size_t move_room;
};

/* --- the moves --- */

static struct mover *find_mover(const struct story *story, int32_t core)
{
    for (size_t at = 0; at < story->mover_count; at++)
        if (story->movers[at].core == core)
            return &story->movers[at];
    return NULL;
}

static enum status add_mover(struct story *story, int32_t core, struct core_id first, struct err *err)
{
    const struct named_core *named = core >= 0 ? &story->cores->items[core] : NULL;
    struct mover mover = {.core = core, .first = first, .now = first, .last = {-core, first.type}};
    if (find_mover(story, core))
        return STATUS_OK;
    if (named) {
        mover.last = named->id;
        mover.is_new = named->born != 0;
    }
    TRY(arena_grow(story->joining->arena, &story->movers, story->mover_count, &story->mover_room, sizeof mover, err));
    story->movers[story->mover_count++] = mover;
    return STATUS_OK;
}

static enum status find_movers(struct story *story, struct err *err)
{
    for (size_t at = 0; at < story->sides.step_count; at++)
        TRY(add_mover(story, story->sides.steps[at].core, story->sides.steps[at].first, err));
    for (size_t at = 0; at < story->sides.step_count; at++) { /* one that neither changed: by its last step */
        struct mover *mover = find_mover(story, story->sides.steps[at].core);
        if (mover->core < 0)
            mover->last = story->sides.steps[at].to;
    }
    for (size_t at = 0; at < story->cores->count; at++) {
        const struct named_core *core = &story->cores->items[at];
        const struct core_id first = core->born ? (struct core_id){core->born, core->id.type} : core->ids[VERSION_BASE];
        if (!core_id_is(core->id, first)) /* two letters of one new core are no renaming */
            TRY(add_mover(story, (int32_t)at, first, err));
    }
    return STATUS_OK;
}

static struct mover *find_holder(const struct story *story, int32_t number, const struct mover *not_this)
{
    for (size_t at = 0; at < story->mover_count; at++) {
        struct mover *mover = &story->movers[at];
        if (mover != not_this && mover->now.number == number)
            return mover;
    }
    return NULL;
}

static enum status move_to(struct story *story, struct mover *mover, struct core_id to, struct err *err)
{
    TRY(arena_grow(story->joining->arena, &story->moves, story->move_count, &story->move_room, sizeof *story->moves,
                   err));
    story->moves[story->move_count++] = (struct move){(size_t)(mover - story->movers), to};
    mover->now = to;
    mover->has_left = true;
    return STATUS_OK;
}

/* A new core leaves the number that a step is to give to another one: by its next step, or as it gives way. */
static enum status leave(struct story *story, size_t step, struct mover *holder, bool *is_free, struct err *err)
{
    struct core_id to = holder->last;
    for (size_t at = story->sides.step_count; at-- > step;)
        if (story->sides.steps[at].core == holder->core)
            to = story->sides.steps[at].to;
    *is_free = to.number == holder->now.number; /* it was recorded after that */
    if (*is_free || find_holder(story, to.number, holder))
        return STATUS_OK;
    *is_free = true;
    return move_to(story, holder, to, err);
}

/* What the sides did; a step to a number that another core has by then is left out. */
static enum status take_steps(struct story *story, struct err *err)
{
    for (size_t at = 0; at < story->sides.step_count; at++) {
        const struct step *step = &story->sides.steps[at];
        struct mover *mover = find_mover(story, step->core);
        struct mover *holder = find_holder(story, step->to.number, mover);
        bool is_free = !holder;
        if (core_id_is(mover->now, step->to))
            continue;
        if (holder && holder->is_new && !holder->has_left)
            TRY(leave(story, at, holder, &is_free, err));
        if (is_free)
            TRY(move_to(story, mover, step->to, err));
    }
    return STATUS_OK;
}

/* To the names of the join; where cores change places one of them goes by a free number. */
static enum status take_last(struct story *story, struct err *err)
{
    for (;;) {
        struct mover *waiting = NULL;
        bool is_any = false;
        for (size_t at = 0; at < story->mover_count; at++) {
            struct mover *mover = &story->movers[at];
            if (core_id_is(mover->now, mover->last))
                continue;
            if (find_holder(story, mover->last.number, mover)) {
                waiting = waiting ? waiting : mover;
                continue;
            }
            TRY(move_to(story, mover, mover->last, err));
            is_any = true;
        }
        if (!waiting)
            return STATUS_OK;
        if (is_any)
            continue;
        struct core_id aside = waiting->now;
        TRY(find_free(story->joining, story->cores, waiting->last.number, &aside.number, err));
        if (core_id_is(aside, waiting->now) || find_holder(story, aside.number, waiting))
            return STATUS_OK; /* no sound lists: what is left out is told by verify */
        TRY(move_to(story, waiting, aside, err));
    }
}

/* --- names that it did not lead through --- */

static bool has_had(const struct story *story, size_t mover, struct core_id id)
{
    bool has = core_id_is(story->movers[mover].first, id);
    for (size_t at = 0; at < story->move_count && !has; at++)
        has = story->moves[at].mover == mover && core_id_is(story->moves[at].to, id);
    return has;
}

/* Where a core can have the name for a moment: best just before it moves anyway. false: nowhere. */
static bool find_moment(struct story *story, size_t mover, struct core_id id, size_t *out, struct core_id *before)
{
    bool is_found = false;
    for (size_t at = 0; at < story->mover_count; at++) {
        story->movers[at].now = story->movers[at].first;
        story->movers[at].has_left = false;
    }
    for (size_t at = 0; at <= story->move_count; at++) {
        const struct mover *holder = find_holder(story, id.number, &story->movers[mover]);
        const bool is_own = at < story->move_count && story->moves[at].mover == mover;
        if (!holder && (is_own || !is_found)) {
            *out = at;
            *before = story->movers[mover].now;
            is_found = true;
            if (is_own)
                return true;
        }
        if (at < story->move_count)
            story->movers[story->moves[at].mover].now = story->moves[at].to;
    }
    return is_found;
}

static enum status insert_move(struct story *story, size_t at, struct move move, struct err *err)
{
    TRY(arena_grow(story->joining->arena, &story->moves, story->move_count, &story->move_room, sizeof *story->moves,
                   err));
    memmove(&story->moves[at + 1], &story->moves[at], (story->move_count - at) * sizeof move);
    story->moves[at] = move;
    story->move_count++;
    return STATUS_OK;
}

static enum status lead_through(struct story *story, const struct step *step, struct err *err)
{
    const size_t mover = (size_t)(find_mover(story, step->core) - story->movers);
    struct core_id before;
    size_t at = 0;
    if (has_had(story, mover, step->to) || !find_moment(story, mover, step->to, &at, &before))
        return STATUS_OK;
    if (at == story->move_count || story->moves[at].mover != mover)
        TRY(insert_move(story, at, (struct move){mover, before}, err));
    return insert_move(story, at, (struct move){mover, step->to}, err);
}

/* --- the list --- */

static enum status id_text(struct joining *joining, struct core_id id, const char **out, struct err *err)
{
    char text[CORE_ID_MAX];
    core_id_format(id, text);
    return arena_copy(joining->arena, text, strlen(text), out, err);
}

static enum status write_list(struct story *story, struct err *err)
{
    struct renaming_set *set = &story->cores->set;
    *set = (struct renaming_set){.hole = story->cores->hole};
    TRY(arena_take(story->joining->arena, story->sides.shared + story->move_count, sizeof *set->renamings,
                   &set->renamings, err));
    for (; set->renaming_count < story->sides.shared; set->renaming_count++)
        set->renamings[set->renaming_count] = story->cores->sets[VERSION_FIRST].renamings[set->renaming_count];
    for (size_t at = 0; at < story->mover_count; at++)
        story->movers[at].now = story->movers[at].first;
    for (size_t at = 0; at < story->move_count; at++) {
        struct mover *mover = &story->movers[story->moves[at].mover];
        struct renaming *it = &set->renamings[set->renaming_count++];
        it->number = (int32_t)set->renaming_count;
        TRY(id_text(story->joining, mover->now, &it->from, err));
        TRY(id_text(story->joining, story->moves[at].to, &it->to, err));
        mover->now = story->moves[at].to;
    }
    return STATUS_OK;
}

/* Its former names, by the joined list, the oldest first. */
static enum status find_was(struct joining *joining, const struct renaming_set *set, struct named_core *core,
                            struct err *err)
{
    struct text text;
    struct bytes bytes;
    struct core_id id = core->id;
    const char **names = NULL;
    size_t count = 0;
    TRY(arena_take(joining->arena, set->renaming_count, sizeof *names, &names, err));
    for (size_t back = set->renaming_count; back > 0; back--) {
        const struct core_id newer = id;
        if (!renamings_carry(set, back, back - 1, &id))
            break;
        if (!core_id_is(newer, id))
            names[count++] = set->renamings[back - 1].from;
    }
    core->was = NULL;
    if (!count)
        return STATUS_OK;
    text_init(&text, joining->arena);
    while (count-- > 0)
        text_addf(&text, "%s%s", text.len ? " " : "", names[count]);
    TRY(text_done(&text, &bytes, err));
    core->was = bytes.data;
    return STATUS_OK;
}

enum status join_renamings(struct joining *joining, struct named_cores *cores, struct err *err)
{
    struct story story = {.joining = joining, .cores = cores};
    TRY(read_lines(joining, cores, &story.sides, err));
    TRY(find_movers(&story, err));
    TRY(take_steps(&story, err));
    TRY(take_last(&story, err));
    for (int side = 0; side < SIDES_MAX; side++)
        for (size_t at = 0; at < story.sides.lines[side].count; at++)
            TRY(lead_through(&story, &story.sides.lines[side].items[at], err));
    TRY(write_list(&story, err));
    for (size_t at = 0; at < cores->count; at++)
        TRY(find_was(joining, &cores->set, &cores->items[at], err));
    return STATUS_OK;
}
