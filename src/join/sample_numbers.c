/* SPDX-License-Identifier: MIT */
/* Ordinals of samples of one interval, and numbers of sub-samples under one parent, that two sides gave out. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/minted.h"
#include "paired.h"

static enum status find_commits(struct joining *joining, const struct sample_set *set, const char *key,
                                struct commit_names *out, struct err *err)
{
    *out = (struct commit_names){.count = 0};
    for (size_t at = 0; at < set->sample_count; at++) {
        const char *name = NULL;
        size_t len = 0;
        char commit[MINTED_COMMIT_MAX];
        if (!minted_former(set->samples[at].was, &name, &len, commit) || strlen(key) != len ||
            strncmp(name, key, len) != 0)
            continue;
        TRY(arena_grow(joining->arena, &out->items, out->count, &out->room, sizeof *out->items, err));
        TRY(arena_copy(joining->arena, commit, strlen(commit), &out->items[out->count++], err));
    }
    return STATUS_OK;
}

enum status piece_recorder(struct joining *joining, struct paired_samples *pieces, int side,
                           const struct sample *sample, struct blamed *out, struct err *err)
{
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    char *key = NULL;
    struct commit_names others;
    struct spot_at spot = pieces->spots[side];
    if (minted_former(sample->was, &name, &len, commit)) {
        *out = (struct blamed){.created = NULL};
        return act_find(joining, commit, &out->act, err);
    }
    TRY(arena_take(joining->arena, SAMPLE_KEY_MAX, 1, &key, err));
    sample_key(sample, key);
    spot.key = key;
    TRY(find_commits(joining, &pieces->sets[side], key, &others, err));
    return side_blame(joining, side, &spot, NULL, &others, out, err);
}

static int32_t number_in(const struct sample *sample)
{
    return sample->of ? sample->number : sample->ordinal ? sample->ordinal : 1;
}

static void give_number(struct sample *sample, int32_t number)
{
    if (sample->of)
        sample->number = number;
    else
        sample->ordinal = number > 1 ? number : 0;
}

/* One interval and half, or one parent: among these a number tells one from another. */
static bool is_like(const struct sample *a, const struct sample *b)
{
    if (a->of || b->of)
        return a->of && b->of && strcmp(a->of, b->of) == 0;
    return a->section == b->section && a->half == b->half && a->top_um == b->top_um && a->bottom_um == b->bottom_um;
}

static enum status find_claim(struct joining *joining, struct paired_samples *pieces, struct paired *piece,
                              struct minted *out, struct err *err)
{
    *out = (struct minted){.claimed = number_in(&piece->joined)};
    out->is_fixed = piece->base && sample_order(piece->base, &piece->joined) == 0;
    for (int side = 0; !out->is_fixed && side < SIDES_MAX; side++) {
        struct blamed blamed;
        const char *name = NULL;
        size_t len = 0;
        char commit[MINTED_COMMIT_MAX];
        const struct sample *sample = piece->sides[side];
        if (!sample || (piece->base && sample_order(sample, piece->base) == 0))
            continue;
        TRY(piece_recorder(joining, pieces, side, sample, &blamed, err));
        if (!*out->act.id || act_is_before(&blamed.act, &out->act))
            out->act = blamed.act;
        if (!minted_former(sample->was, &name, &len, commit))
            continue;
        const char *mark = name + len; /* "4W,10-12#2@...", "4W,10-12/3@...": the number that it was recorded under */
        while (mark > name && mark[-1] >= '0' && mark[-1] <= '9')
            mark--;
        out->claimed =
            mark > name && (mark[-1] == '#' || (sample->of && mark[-1] == '/')) ? (int32_t)strtol(mark, NULL, 10) : 1;
    }
    return STATUS_OK;
}

static enum status tell(struct joining *joining, const struct paired_samples *pieces, const char *older,
                        const char *newer, const struct act_at *act, const struct minted *keeper, struct err *err)
{
    struct renumbered told = {.what = sample_table.kind};
    char path[REGISTRY_PATH_MAX];
    samples_path(pieces->core->hole, pieces->core->number, path);
    TRY(arena_copy(joining->arena, path, strlen(path), &told.path, err));
    TRY(arena_copy(joining->arena, older, strlen(older), &told.older, err));
    TRY(arena_copy(joining->arena, newer, strlen(newer), &told.newer, err));
    memcpy(told.commit, act->id, sizeof told.commit);
    if (keeper)
        memcpy(told.first, keeper->act.id, sizeof told.first);
    return tell_renumbered(joining, &told, err);
}

static enum status name_piece(struct joining *joining, struct paired_samples *pieces, struct paired *piece,
                              const struct minted *own, const struct minted *keeper, struct err *err)
{
    char older[SAMPLE_KEY_MAX];
    char newer[SAMPLE_KEY_MAX];
    struct sample *sample = &piece->joined;
    const bool is_news = own->number != number_in(sample);
    piece->has_given_way = is_news;
    const char *name = NULL;
    char commit[MINTED_COMMIT_MAX];
    size_t len = 0;
    give_number(sample, own->claimed);
    sample_key(sample, older);
    give_number(sample, own->number);
    sample_key(sample, newer);
    if (own->number != own->claimed && !minted_former(sample->was, &name, &len, commit))
        TRY(minted_word(joining, sample->was, older, own->act.id, &sample->was, err));
    return is_news ? tell(joining, pieces, older, newer, &own->act, keeper, err) : STATUS_OK;
}

/* All that are like one, where two of them have one number. */
static enum status number_like(struct joining *joining, struct paired_samples *pieces, size_t first, struct err *err)
{
    struct paired **like = pieces->scratch;
    struct minted *minted = NULL;
    size_t count = 0;
    bool collides = false;
    for (size_t at = 0; at < pieces->count; at++)
        if (pieces->items[at].deep == pieces->items[first].deep &&
            is_like(&pieces->items[at].joined, &pieces->items[first].joined))
            like[count++] = &pieces->items[at];
    for (size_t at = 1; at < count; at++)
        for (size_t other = 0; other < at; other++)
            collides = collides || number_in(&like[at]->joined) == number_in(&like[other]->joined);
    if (!collides)
        return STATUS_OK;
    TRY(arena_take(joining->arena, count, sizeof *minted, &minted, err));
    for (size_t at = 0; at < count; at++)
        TRY(find_claim(joining, pieces, like[at], &minted[at], err));
    TRY(minted_assign(joining, minted, count, NULL, NULL, err));
    for (size_t at = 0; at < count; at++) {
        const struct minted *keeper = NULL;
        for (size_t other = 0; other < count; other++)
            keeper = minted[other].number == minted[at].claimed ? &minted[other] : keeper;
        TRY(name_piece(joining, pieces, like[at], &minted[at], keeper, err));
    }
    return STATUS_OK;
}

/* Known to both under the key that it has: it needs no number, and gives way to none. */
static bool is_settled(const struct paired *piece)
{
    return piece->base && sample_order(piece->base, &piece->joined) == 0;
}

static bool has_like_before(const struct paired_samples *pieces, size_t place)
{
    for (size_t at = 0; at < place; at++)
        if (pieces->items[at].deep == pieces->items[place].deep && !is_settled(&pieces->items[at]) &&
            is_like(&pieces->items[at].joined, &pieces->items[place].joined))
            return true;
    return false;
}

/* The act that recorded it; of two the earlier. */
static enum status find_first(struct joining *joining, struct paired_samples *pieces, const struct paired *piece,
                              struct act_at *out, struct err *err)
{
    *out = (struct act_at){.id = ""};
    for (int side = 0; side < SIDES_MAX; side++) {
        struct blamed blamed;
        if (!piece->sides[side])
            continue;
        TRY(piece_recorder(joining, pieces, side, piece->sides[side], &blamed, err));
        if (!*out->id || act_is_before(&blamed.act, out))
            *out = blamed.act;
    }
    return STATUS_OK;
}

static enum status add_former(struct joining *joining, struct sample *sub, const char *key, struct err *err)
{
    struct text was;
    struct bytes bytes;
    text_init(&was, joining->arena);
    text_addf(&was, "%s%s%s", sub->was ? sub->was : "", sub->was ? " " : "", key);
    TRY(text_done(&was, &bytes, err));
    sub->was = bytes.data;
    return STATUS_OK;
}

/* What it was called until now. A name that a join takes from its parent is taken from it as well: it is known by the
 * act that recorded it under that, and the names that it has between one join and the next are nobody's. */
static enum status keep_former(struct joining *joining, struct paired_samples *pieces, struct paired *piece,
                               struct err *err)
{
    char old[SAMPLE_KEY_MAX];
    const char *name = NULL;
    char commit[MINTED_COMMIT_MAX];
    size_t len = 0;
    struct act_at act;
    struct sample *sub = &piece->joined;
    sample_key(sub, old);
    if (!piece->has_given_way)
        return sample_was(sub, old) ? STATUS_OK : add_former(joining, sub, old, err);
    if (minted_former(sub->was, &name, &len, commit))
        return STATUS_OK;
    TRY(find_first(joining, pieces, piece, &act, err));
    return minted_word(joining, sub->was, old, act.id, &sub->was, err);
}

/* A sub-sample goes where its parent went, as an amendment of the parent would take it along. */
static enum status follow(struct joining *joining, struct paired_samples *pieces, struct paired *piece, struct err *err)
{
    char key[SAMPLE_KEY_MAX];
    struct sample *sub = &piece->joined;
    const struct sample *parent = &pieces->items[piece->parent].joined;
    sample_key(parent, key);
    if (strcmp(sub->of, key) == 0)
        return STATUS_OK;
    const int side = piece->sides[0] ? 0 : 1;
    const struct sample *then = pieces->items[piece->parent].sides[side];
    piece->has_given_way = pieces->items[piece->parent].has_given_way;
    TRY(keep_former(joining, pieces, piece, err));
    TRY(arena_copy(joining->arena, key, strlen(key), &sub->of, err));
    if (then && sub->top_um == then->top_um && sub->bottom_um == then->bottom_um) { /* no interval of its own */
        sub->top_um = parent->top_um;
        sub->bottom_um = parent->bottom_um;
    }
    sub->section = parent->section;
    sub->half = parent->half;
    return STATUS_OK;
}

enum status number_pieces(struct joining *joining, struct paired_samples *pieces, struct err *err)
{
    int deepest = 0;
    TRY(arena_take(joining->arena, pieces->count, sizeof(void *), &pieces->scratch, err));
    for (size_t at = 0; at < pieces->count; at++)
        deepest = pieces->items[at].deep > deepest ? pieces->items[at].deep : deepest;
    for (int deep = 0; deep <= deepest; deep++) {
        for (size_t at = 0; at < pieces->count; at++)
            if (pieces->items[at].deep == deep && deep > 0)
                TRY(follow(joining, pieces, &pieces->items[at], err));
        for (size_t at = 0; at < pieces->count; at++)
            if (pieces->items[at].deep == deep && !is_settled(&pieces->items[at]) && !has_like_before(pieces, at))
                TRY(number_like(joining, pieces, at, err));
    }
    return STATUS_OK;
}
