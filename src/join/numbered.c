/* SPDX-License-Identifier: MIT */
/* Things that are called by a number which is given out: which thing of one side is which of the other, who keeps the
 * number, and their fields. */
#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/minted.h"
#include "joining.h"

/* One thing, wherever it is. */
struct thing {
    const void *base;
    const void *sides[SIDES_MAX];
    const void *created; /* what both recorded it as, where both did */
};

struct things {
    const struct numbered_in *in;
    struct thing *items;
    size_t count;
};

static const char *was_of(const struct numbered_in *in, const void *item)
{
    return *text_of(in->table, "was", item);
}

/* The commit that a former number names; false: none. */
static bool former(const struct numbered_in *in, const void *item, char commit[MINTED_COMMIT_MAX])
{
    const char *name = NULL;
    size_t len = 0;
    return minted_former(was_of(in, item), &name, &len, commit);
}

/* Had the common state the thing under this former number already? */
static bool is_known_former(const struct numbered_in *in, const char *was)
{
    for (size_t at = 0; at < in->base.count; at++) {
        const char *base = was_of(in, items_at(&in->base, at));
        if (base && strcmp(base, was) == 0)
            return true;
    }
    return false;
}

static enum status is_base(struct joining *joining, const struct numbered_in *in, const void *base, const void *item,
                           bool *out, struct err *err)
{
    char commit[MINTED_COMMIT_MAX];
    const char *const was[] = {was_of(in, base), was_of(in, item)};
    *out = false;
    if (was[0] || !was[1]) {
        *out = was[0] ? was[1] && strcmp(was[0], was[1]) == 0
                      : item_number(in->table, base) == item_number(in->table, item);
        return STATUS_OK;
    }
    if (minted_number(was[1]) != item_number(in->table, base) || !former(in, item, commit) ||
        is_known_former(in, was[1]))
        return STATUS_OK;
    return store_descends(joining->base, commit, out, err);
}

static enum status find_of_base(struct joining *joining, const struct numbered_in *in, int side, const void *base,
                                const void **out, struct err *err)
{
    *out = NULL;
    for (size_t at = 0; at < in->sides[side].count; at++) {
        const void *item = items_at(&in->sides[side], at);
        bool is_it = false;
        if (!*out || was_of(in, item)) /* one that was renumbered comes before one that has the number now */
            TRY(is_base(joining, in, base, item, &is_it, err));
        *out = is_it ? item : *out;
    }
    return STATUS_OK;
}

static bool is_taken_up(const struct things *things, int side, const void *item)
{
    for (size_t at = 0; at < things->count; at++)
        if (things->items[at].sides[side] == item)
            return true;
    return false;
}

static enum status find_commits(struct joining *joining, const struct numbered_in *in, int side, int32_t claimed,
                                struct commit_names *out, struct err *err)
{
    char commit[MINTED_COMMIT_MAX];
    *out = (struct commit_names){.count = 0};
    for (size_t at = 0; at < in->sides[side].count; at++) {
        const void *item = items_at(&in->sides[side], at);
        if (minted_number(was_of(in, item)) != claimed || !former(in, item, commit))
            continue;
        TRY(arena_grow(joining->arena, &out->items, out->count, &out->room, sizeof *out->items, err));
        TRY(arena_copy(joining->arena, commit, strlen(commit), &out->items[out->count++], err));
    }
    return STATUS_OK;
}

static enum status find_recorder(struct joining *joining, const struct numbered_in *in, int side, const void *item,
                                 struct blamed *out, struct err *err)
{
    char commit[MINTED_COMMIT_MAX];
    struct commit_names others;
    struct spot_at spot;
    if (former(in, item, commit)) {
        *out = (struct blamed){.created = NULL};
        return act_find(joining, commit, &out->act, err);
    }
    const int32_t number = item_number(in->table, item);
    in->spot(in, number, &spot);
    TRY(find_commits(joining, in, side, number, &others, err));
    return side_blame(joining, side, &spot, NULL, &others, out, err);
}

/* New on both sides under one number: the same thing recorded twice, or two things. */
static enum status is_one_thing(struct joining *joining, const struct numbered_in *in,
                                const void *const items[SIDES_MAX], const void **created, bool *out, struct err *err)
{
    struct blamed blamed[SIDES_MAX];
    const char *const was[] = {was_of(in, items[0]), was_of(in, items[1])};
    *created = NULL;
    *out = false;
    if (was[0] || was[1]) {
        *out = was[0] && was[1] && strcmp(was[0], was[1]) == 0;
        return STATUS_OK;
    }
    if (item_number(in->table, items[0]) != item_number(in->table, items[1]))
        return STATUS_OK;
    *out = is_same_thing(in->table, items[0], items[1]);
    for (int side = 0; !*out && side < SIDES_MAX; side++) {
        TRY(find_recorder(joining, in, side, items[side], &blamed[side], err));
        if (!blamed[side].created)
            return STATUS_OK;
    }
    if (!*out && is_same_thing(in->table, blamed[0].created, blamed[1].created)) {
        *created = blamed[0].created;
        *out = true;
    }
    return STATUS_OK;
}

static enum status find_things(struct joining *joining, struct things *out, struct err *err)
{
    const struct numbered_in *in = out->in;
    const size_t room = in->base.count + in->sides[0].count + in->sides[1].count;
    TRY(arena_take(joining->arena, room, sizeof *out->items, &out->items, err));
    for (size_t at = 0; at < in->base.count; at++) {
        struct thing thing = {.base = items_at(&in->base, at)};
        for (int side = 0; side < SIDES_MAX; side++)
            TRY(find_of_base(joining, in, side, thing.base, &thing.sides[side], err));
        out->items[out->count++] = thing;
    }
    for (size_t at = 0; at < in->sides[0].count; at++) {
        struct thing thing = {.sides = {items_at(&in->sides[0], at), NULL}};
        if (is_taken_up(out, 0, thing.sides[0]))
            continue;
        for (size_t other = 0; other < in->sides[1].count && !thing.sides[1]; other++) {
            const void *const both[] = {thing.sides[0], items_at(&in->sides[1], other)};
            bool is_one = false;
            if (is_taken_up(out, 1, both[1]))
                continue;
            TRY(is_one_thing(joining, in, both, &thing.created, &is_one, err));
            thing.sides[1] = is_one ? both[1] : NULL;
        }
        out->items[out->count++] = thing;
    }
    for (size_t at = 0; at < in->sides[1].count; at++) {
        const void *item = items_at(&in->sides[1], at);
        if (!is_taken_up(out, 1, item))
            out->items[out->count++] = (struct thing){.sides = {NULL, item}};
    }
    return STATUS_OK;
}

/* The number that it would have if no other thing had it. */
static int32_t own_number(const struct numbered_in *in, const struct thing *thing)
{
    const int32_t base = thing->base ? item_number(in->table, thing->base) : 0;
    int32_t number = base;
    for (int side = 0; side < SIDES_MAX; side++)
        if (thing->sides[side] && (number == base || number == 0))
            number = item_number(in->table, thing->sides[side]);
    return number;
}

static bool has_collision(const struct things *things)
{
    const struct numbered_in *in = things->in;
    for (size_t at = 0; at < things->count; at++) {
        const int32_t number = own_number(in, &things->items[at]);
        for (size_t other = 0; other < at; other++)
            if (own_number(in, &things->items[other]) == number)
                return true;
    }
    return false;
}

static bool keeps_number(const struct numbered_in *in, const struct thing *thing)
{
    if (!thing->base)
        return false;
    for (int side = 0; side < SIDES_MAX; side++)
        if (thing->sides[side] && item_number(in->table, thing->sides[side]) != item_number(in->table, thing->base))
            return false;
    return true;
}

/* What it was recorded as, by which act: of two that recorded it, the earlier. */
static enum status find_claim(struct joining *joining, const struct numbered_in *in, const struct thing *thing,
                              struct minted *out, struct err *err)
{
    const char *was = NULL;
    *out = (struct minted){.claimed = own_number(in, thing), .is_fixed = keeps_number(in, thing)};
    if (out->is_fixed)
        return STATUS_OK;
    for (int side = 0; side < SIDES_MAX; side++) {
        struct blamed blamed;
        if (!thing->sides[side] || (thing->base && !was_of(in, thing->sides[side])))
            continue;
        was = was_of(in, thing->sides[side]) ? was_of(in, thing->sides[side]) : was;
        TRY(find_recorder(joining, in, side, thing->sides[side], &blamed, err));
        if (!*out->act.id || act_is_before(&blamed.act, &out->act))
            out->act = blamed.act;
    }
    out->claimed = was ? minted_number(was) : out->claimed;
    return STATUS_OK;
}

static enum status give_numbers(struct joining *joining, const struct things *things, struct minted **out,
                                struct err *err)
{
    const struct numbered_in *in = things->in;
    struct minted *minted = NULL;
    TRY(arena_take(joining->arena, things->count, sizeof *minted, &minted, err));
    const bool is_easy = !has_collision(things);
    for (size_t at = 0; at < things->count; at++)
        if (is_easy)
            minted[at].claimed = minted[at].number = own_number(in, &things->items[at]);
        else
            TRY(find_claim(joining, in, &things->items[at], &minted[at], err));
    if (!is_easy)
        TRY(minted_assign(joining, minted, things->count, in->is_taken, in->context, err));
    *out = minted;
    return STATUS_OK;
}

static enum status number_text(struct joining *joining, int32_t number, const char **out, struct err *err)
{
    char text[16];
    const int len = snprintf(text, sizeof text, "%d", (int)number);
    return arena_copy(joining->arena, text, (size_t)len, out, err);
}

/* Who has the number that this one claimed. */
static const struct minted *find_keeper(const struct minted *minted, size_t count, int32_t claimed)
{
    for (size_t at = 0; at < count; at++)
        if (minted[at].number == claimed)
            return &minted[at];
    return NULL;
}

/* Its number in the join, with what it was called before. */
static enum status name_thing(struct joining *joining, const struct things *things, const struct minted *minted,
                              size_t at, char *item, struct err *err)
{
    const struct numbered_in *in = things->in;
    const struct thing *thing = &things->items[at];
    const struct minted *own = &minted[at];
    struct renumbered told = {.what = in->table->kind};
    bool is_news = false;
    const char **was = text_of(in->table, "was", item);
    for (int side = SIDES_MAX; side-- > 0;)
        if (thing->sides[side] && item_number(in->table, thing->sides[side]) == own->number)
            *was = was_of(in, thing->sides[side]);
    item_set_number(in->table, item, own->number);
    if (!*own->act.id) /* nobody had to give way */
        return STATUS_OK;
    for (int side = 0; side < SIDES_MAX; side++)
        is_news = is_news || (thing->sides[side] && item_number(in->table, thing->sides[side]) != own->number);
    *was = NULL;
    TRY(number_text(joining, own->claimed, &told.older, err));
    if (own->number != own->claimed)
        TRY(minted_word(joining, NULL, told.older, own->act.id, was, err));
    if (!is_news)
        return STATUS_OK;
    struct spot_at spot;
    in->spot(in, own->number, &spot);
    const struct minted *keeper = find_keeper(minted, things->count, own->claimed);
    TRY(arena_copy(joining->arena, spot.path, strlen(spot.path), &told.path, err));
    memcpy(told.commit, own->act.id, sizeof told.commit);
    if (keeper)
        memcpy(told.first, keeper->act.id, sizeof told.first);
    TRY(number_text(joining, own->number, &told.newer, err));
    return tell_renumbered(joining, &told, err);
}

static enum status join_thing(struct joining *joining, const struct things *things, size_t at, int32_t number,
                              char *item, struct err *err)
{
    const struct numbered_in *in = things->in;
    const struct thing *thing = &things->items[at];
    struct three three = {thing->base ? thing->base : thing->created, {thing->sides[0], thing->sides[1]}};
    struct spot_at spot;
    if (!thing->sides[0] || !thing->sides[1]) { /* new on one side; gone from one of them only by damage */
        const void *only = thing->sides[0] ? thing->sides[0] : thing->sides[1] ? thing->sides[1] : thing->base;
        assert(only);
        memcpy(item, only, in->table->size);
        return STATUS_OK;
    }
    in->spot(in, number, &spot);
    struct subject subject = {.hole = in->hole, .path = spot.path, .table = in->table, .is_named = true};
    for (int side = 0; side < SIDES_MAX; side++)
        in->spot(in, item_number(in->table, thing->sides[side]), &subject.spots[side]);
    if (spot.list)
        TRY(number_text(joining, number, &subject.item, err));
    memcpy(item, thing->sides[0], in->table->size);
    TRY(join_fields(joining, &subject, &three, item, err));
    struct err unsound = {0};
    if (in->table != &pump_table || pump_check((const struct pump *)(const void *)item, &unsound) == STATUS_OK)
        return STATUS_OK;
    return join_as_one(joining, &subject, &three, item, err);
}

/* One side alone has it, and it has another number now. */
static enum status move_open(struct joining *joining, const struct numbered_in *in, const struct thing *thing,
                             int32_t number, struct err *err)
{
    struct spot_at spots[2];
    struct moved moved = {.hole = in->hole, .table = in->table, .side = thing->sides[0] ? 0 : 1};
    const void *item = thing->sides[moved.side];
    if (thing->base || (thing->sides[0] && thing->sides[1]) || item_number(in->table, item) == number)
        return STATUS_OK;
    in->spot(in, item_number(in->table, item), &spots[0]);
    in->spot(in, number, &spots[1]);
    moved.from = spots[0].path;
    moved.to = spots[1].path;
    if (spots[0].list) {
        TRY(number_text(joining, item_number(in->table, item), &moved.older, err));
        TRY(number_text(joining, number, &moved.newer, err));
    }
    return move_claims(joining, &moved, err);
}

enum status join_numbered(struct joining *joining, const struct numbered_in *in, struct numbered_out *out,
                          struct err *err)
{
    struct numbered_in believed = *in;
    struct things things = {.in = &believed};
    struct minted *minted = NULL;
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(formers_believed(joining, &believed, side, err));
    TRY(find_things(joining, &things, err));
    TRY(give_numbers(joining, &things, &minted, err));
    TRY(arena_take(joining->arena, things.count, in->table->size, &out->items, err));
    for (int version = 0; version < VERSION_COUNT; version++)
        TRY(arena_take(joining->arena, things.count, sizeof(int32_t), &out->numbers[version], err));
    out->count = things.count;
    for (size_t at = 0; at < things.count; at++) {
        char *item = out->items + at * in->table->size;
        TRY(join_thing(joining, &things, at, minted[at].number, item, err));
        TRY(name_thing(joining, &things, minted, at, item, err));
        TRY(move_open(joining, in, &things.items[at], minted[at].number, err));
        for (int side = 0; side < SIDES_MAX; side++)
            if (things.items[at].sides[side])
                out->numbers[side][at] = item_number(in->table, things.items[at].sides[side]);
        if (things.items[at].base)
            out->numbers[VERSION_BASE][at] = item_number(in->table, things.items[at].base);
    }
    return STATUS_OK;
}
