/* SPDX-License-Identifier: MIT */
/* The samples of a core. A sample is known by its key, which an amendment may change; a further sample of the same
 * interval has an ordinal, a sub-sample a number under its parent, and both are given out. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/minted.h"
#include "paired.h"

static enum status read_sets(struct joining *joining, struct paired_samples *pieces, struct err *err)
{
    const struct core_files *core = pieces->core;
    for (int version = 0; version < VERSION_COUNT; version++) {
        char path[REGISTRY_PATH_MAX];
        if (!core->numbers[version])
            continue;
        samples_path(core->hole, core->numbers[version], path);
        TRY(joining_read(joining, version, path, &sample_set_table, &pieces->sets[version], &pieces->there[version],
                         err));
        if (version == VERSION_BASE)
            continue;
        struct spot_at *spot = &pieces->spots[version];
        *spot = (struct spot_at){.table = &sample_set_table, .list = field_find(&sample_set_table, "samples")};
        memcpy(spot->path, path, sizeof path);
    }
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(sample_formers_believed(joining, pieces, side, err));
    return STATUS_OK;
}

/* --- which is which --- */

static const char *join_word(const struct sample *sample, size_t *len)
{
    const char *name = NULL;
    char commit[MINTED_COMMIT_MAX];
    if (!minted_former(sample->was, &name, len, commit))
        return NULL;
    *len += MINTED_COMMIT_MAX;
    return name;
}

static bool has_same_word(const struct sample *a, const struct sample *b)
{
    size_t lens[2] = {0, 0};
    const char *const words[] = {join_word(a, &lens[0]), join_word(b, &lens[1])};
    return words[0] && words[1] && lens[0] == lens[1] && strncmp(words[0], words[1], lens[0]) == 0;
}

static struct paired *find_piece(struct paired_samples *pieces, int side, const struct sample *sample)
{
    for (size_t at = 0; at < pieces->count; at++)
        if (pieces->items[at].sides[side] == sample)
            return &pieces->items[at];
    return NULL;
}

/* Had the common state the sample under this former key already? */
static bool is_known_former(const struct paired_samples *pieces, const struct sample *sample)
{
    const struct sample_set *base = &pieces->sets[VERSION_BASE];
    for (size_t at = 0; at < base->sample_count; at++)
        if (has_same_word(&base->samples[at], sample))
            return true;
    return false;
}

/* A sample of the common state that a join on this side renumbered is still that one, although another has its key. */
static enum status repair_pairs(struct joining *joining, struct paired_samples *pieces, int side, struct err *err)
{
    const struct sample_set *set = &pieces->sets[side];
    for (size_t at = 0; at < set->sample_count; at++) {
        const char *name = NULL;
        size_t len = 0;
        char commit[MINTED_COMMIT_MAX];
        char key[SAMPLE_KEY_MAX];
        bool is_known = false;
        if (!minted_former(set->samples[at].was, &name, &len, commit) || len >= sizeof key)
            continue;
        if (is_known_former(pieces, &set->samples[at]))
            continue;
        TRY(store_descends(joining->base, commit, &is_known, err));
        (void)snprintf(key, sizeof key, "%.*s", (int)len, name);
        for (size_t base = 0; is_known && base < pieces->count; base++) {
            struct paired *piece = &pieces->items[base];
            char own[SAMPLE_KEY_MAX];
            if (!piece->base || minted_former(piece->base->was, &name, &len, commit))
                continue;
            sample_key(piece->base, own);
            if (strcmp(own, key) != 0)
                continue;
            struct paired *now = find_piece(pieces, side, &set->samples[at]);
            if (now && now != piece)
                now->sides[side] = piece->sides[side];
            piece->sides[side] = &set->samples[at];
        }
    }
    return STATUS_OK;
}

static enum status pair_side(struct joining *joining, struct paired_samples *pieces, int side, struct err *err)
{
    const struct sample_set *base = &pieces->sets[VERSION_BASE];
    const struct sample_set *set = &pieces->sets[side];
    struct sample_pair *pairs = NULL;
    TRY(arena_take(joining->arena, base->sample_count + set->sample_count, sizeof *pairs, &pairs, err));
    const size_t count = sample_pairs_find(base->samples, base->sample_count, set->samples, set->sample_count, pairs);
    for (size_t at = 0; at < count; at++)
        if (pairs[at].before)
            pieces->items[pairs[at].before - base->samples].sides[side] = pairs[at].after;
    return repair_pairs(joining, pieces, side, err);
}

/* Taken from one thing, as far as is known: parents stand before what was taken from them. */
static bool have_one_parent(struct paired_samples *pieces, const struct sample *const samples[SIDES_MAX])
{
    const struct paired *parents[SIDES_MAX];
    if (!samples[0]->of)
        return !samples[1]->of;
    for (int side = 0; side < SIDES_MAX; side++) {
        const struct sample_set *set = &pieces->sets[side];
        const struct sample *parent =
            samples[side]->of ? sample_find(set->samples, set->sample_count, samples[side]->of) : NULL;
        parents[side] = parent ? find_piece(pieces, side, parent) : NULL;
    }
    return parents[0] && parents[0] == parents[1];
}

static enum status is_one_sample(struct joining *joining, struct paired_samples *pieces,
                                 const struct sample *const samples[SIDES_MAX], const struct sample **created,
                                 bool *out, struct err *err)
{
    struct blamed blamed[SIDES_MAX];
    size_t len = 0;
    *created = NULL;
    *out = has_same_word(samples[0], samples[1]);
    if (*out || join_word(samples[0], &len) || join_word(samples[1], &len) ||
        sample_order(samples[0], samples[1]) != 0 || !have_one_parent(pieces, samples))
        return STATUS_OK;
    *out = is_same_thing(&sample_table, samples[0], samples[1]);
    for (int side = 0; !*out && side < SIDES_MAX; side++) {
        TRY(piece_recorder(joining, pieces, side, samples[side], &blamed[side], err));
        if (!blamed[side].created)
            return STATUS_OK;
    }
    if (!*out && is_same_thing(&sample_table, blamed[0].created, blamed[1].created)) {
        *created = blamed[0].created;
        *out = true;
    }
    return STATUS_OK;
}

static enum status pair_new(struct joining *joining, struct paired_samples *pieces, struct err *err)
{
    const struct sample_set *first = &pieces->sets[0];
    const struct sample_set *second = &pieces->sets[1];
    for (size_t at = 0; at < first->sample_count; at++) {
        struct paired piece = {.sides = {&first->samples[at], NULL}};
        if (find_piece(pieces, 0, piece.sides[0]))
            continue;
        for (size_t other = 0; other < second->sample_count && !piece.sides[1]; other++) {
            const struct sample *const both[] = {piece.sides[0], &second->samples[other]};
            bool is_one = false;
            if (find_piece(pieces, 1, both[1]))
                continue;
            TRY(is_one_sample(joining, pieces, both, &piece.created, &is_one, err));
            piece.sides[1] = is_one ? both[1] : NULL;
        }
        pieces->items[pieces->count++] = piece;
    }
    for (size_t at = 0; at < second->sample_count; at++)
        if (!find_piece(pieces, 1, &second->samples[at]))
            pieces->items[pieces->count++] = (struct paired){.sides = {NULL, &second->samples[at]}};
    return STATUS_OK;
}

static enum status find_pieces(struct joining *joining, struct paired_samples *pieces, struct err *err)
{
    const struct sample_set *base = &pieces->sets[VERSION_BASE];
    TRY(arena_take(joining->arena, base->sample_count + pieces->sets[0].sample_count + pieces->sets[1].sample_count + 1,
                   sizeof *pieces->items, &pieces->items, err));
    for (size_t at = 0; at < base->sample_count; at++)
        pieces->items[pieces->count++] = (struct paired){.base = &base->samples[at]};
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(pair_side(joining, pieces, side, err));
    return pair_new(joining, pieces, err);
}

/* --- under whom --- */

static void find_parents(struct paired_samples *pieces)
{
    for (size_t at = 0; at < pieces->count; at++) {
        struct paired *piece = &pieces->items[at];
        piece->parent = SIZE_MAX;
        for (int side = 0; side < SIDES_MAX; side++) {
            const struct sample *sub = piece->sides[side];
            if (!sub || !sub->of || piece->parent != SIZE_MAX)
                continue;
            const struct sample_set *set = &pieces->sets[side];
            const struct sample *parent = sample_find(set->samples, set->sample_count, sub->of);
            const struct paired *found = parent ? find_piece(pieces, side, parent) : NULL;
            piece->parent = found ? (size_t)(found - pieces->items) : SIZE_MAX;
        }
    }
    for (size_t at = 0; at < pieces->count; at++)
        for (size_t up = pieces->items[at].parent; up != SIZE_MAX && pieces->items[at].deep < 16;
             up = pieces->items[up].parent)
            pieces->items[at].deep++;
}

/* --- fields --- */

/* The key is one value of several fields: that of the side that changed it, of the later one where both did. */
static bool has_same_key(const struct sample *a, const struct sample *b)
{
    return sample_order(a, b) == 0;
}

static void take_key(struct sample *out, const struct sample *from)
{
    out->section = from->section;
    out->half = from->half;
    out->top_um = from->top_um;
    out->bottom_um = from->bottom_um;
    out->ordinal = from->ordinal;
    out->of = from->of;
    out->number = from->number;
}

/* Both gave it another name: that of the later act, and the rest is open, field by field. A name is one value: section
 * of the one and interval of the other would be a place that nobody meant. */
static enum status contest_key(struct joining *joining, const struct subject *subject, const struct three *three,
                               struct sample *out, struct err *err)
{
    static const char *const fields[] = {"section", "half", "top", "bottom", NULL};
    struct act_at acts[SIDES_MAX];
    struct subject forced = *subject;
    char *key = NULL;
    int standing = 0;
    for (int side = 0; side < SIDES_MAX; side++) {
        struct blamed blamed;
        TRY(side_blame(joining, side, &subject->spots[side], NULL, NULL, &blamed, err));
        acts[side] = blamed.act;
    }
    take_key(out, three->sides[act_is_before(&acts[0], &acts[1])]);
    TRY(arena_take(joining->arena, SAMPLE_KEY_MAX, 1, &key, err));
    sample_key(out, key);
    forced.item = key;
    forced.forced = acts;
    for (const char *const *name = fields; *name; name++) {
        const struct field *field = field_find(&sample_table, *name);
        if (!field_is_equal(field, three->sides[0], three->sides[1]))
            TRY(join_claims(joining, &forced, field, three, &standing, err));
    }
    return STATUS_OK;
}

static enum status join_key(struct joining *joining, const struct subject *subject, const struct paired *piece,
                            const struct three *three, struct sample *out, struct err *err)
{
    const struct sample *base = piece->base;
    const struct sample *const *sides = piece->sides;
    if (piece->parent != SIZE_MAX || !base || has_same_key(sides[0], sides[1]) || has_same_key(base, sides[1]))
        take_key(out, sides[0]);
    else if (has_same_key(base, sides[0]))
        take_key(out, sides[1]);
    else
        return contest_key(joining, subject, three, out, err);
    return STATUS_OK;
}

static enum status join_piece(struct joining *joining, struct paired_samples *pieces, struct paired *piece,
                              struct err *err)
{
    char *keys[SIDES_MAX];
    const struct sample *const *sides = piece->sides;
    if (!sides[0] || !sides[1]) { /* new on one side; gone from one of them only by damage */
        piece->joined = sides[0] ? *sides[0] : sides[1] ? *sides[1] : *piece->base;
        return STATUS_OK;
    }
    const struct three three = {piece->base ? piece->base : piece->created, {sides[0], sides[1]}};
    char path[REGISTRY_PATH_MAX];
    samples_path(pieces->core->hole, pieces->core->number, path);
    struct subject subject = {.hole = pieces->core->hole, .table = &sample_table, .is_named = true};
    TRY(arena_copy(joining->arena, path, strlen(path), &subject.path, err));
    for (int side = 0; side < SIDES_MAX; side++) {
        TRY(arena_take(joining->arena, SAMPLE_KEY_MAX, 1, &keys[side], err));
        sample_key(sides[side], keys[side]);
        subject.spots[side] = pieces->spots[side];
        subject.spots[side].key = keys[side];
        subject.items[side] = keys[side];
    }
    if (piece->base) {
        char *then = NULL;
        TRY(arena_take(joining->arena, SAMPLE_KEY_MAX, 1, &then, err));
        sample_key(piece->base, then);
        subject.items[VERSION_BASE] = then;
        samples_path(pieces->core->hole, pieces->core->numbers[VERSION_BASE], path);
        TRY(arena_copy(joining->arena, path, strlen(path), &subject.base_path, err));
    }
    piece->joined = *sides[0];
    TRY(join_key(joining, &subject, piece, &three, &piece->joined, err));
    char *key = NULL;
    TRY(arena_take(joining->arena, SAMPLE_KEY_MAX, 1, &key, err));
    sample_key(&piece->joined, key);
    subject.item = key;
    TRY(join_fields(joining, &subject, &three, &piece->joined, err));
    const char *const was[] = {sides[0]->was, sides[1]->was};
    return join_words(joining, three.base ? ((const struct sample *)three.base)->was : NULL, was, &piece->joined.was,
                      err);
}

/* One side alone has it, and it is called otherwise now. */
static enum status move_open(struct joining *joining, const struct paired_samples *pieces, const struct paired *piece,
                             struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char keys[2][SAMPLE_KEY_MAX];
    const int side = piece->sides[0] ? 0 : 1;
    if (piece->base || (piece->sides[0] && piece->sides[1]) || !piece->sides[side])
        return STATUS_OK;
    sample_key(piece->sides[side], keys[0]);
    sample_key(&piece->joined, keys[1]);
    samples_path(pieces->core->hole, pieces->core->number, path);
    if (strcmp(keys[0], keys[1]) == 0 && strcmp(pieces->spots[side].path, path) == 0)
        return STATUS_OK;
    const struct moved moved = {.hole = pieces->core->hole,
                                .table = &sample_table,
                                .side = side,
                                .from = pieces->spots[side].path,
                                .to = path,
                                .older = keys[0],
                                .newer = keys[1]};
    return move_claims(joining, &moved, err);
}

enum status join_samples(struct joining *joining, const struct core_files *core, struct err *err)
{
    struct paired_samples pieces = {.core = core};
    struct sample_set out = {.hole = core->hole, .core = core->number};
    TRY(read_sets(joining, &pieces, err));
    if (!pieces.there[0] && !pieces.there[1])
        return STATUS_OK;
    TRY(find_pieces(joining, &pieces, err));
    find_parents(&pieces);
    for (size_t at = 0; at < pieces.count; at++)
        TRY(join_piece(joining, &pieces, &pieces.items[at], err));
    TRY(number_pieces(joining, &pieces, err));
    for (size_t at = 0; at < pieces.count; at++)
        TRY(move_open(joining, &pieces, &pieces.items[at], err));
    TRY(arena_take(joining->arena, pieces.count, sizeof *out.samples, &out.samples, err));
    for (; out.sample_count < pieces.count; out.sample_count++)
        out.samples[out.sample_count] = pieces.items[out.sample_count].joined;
    if (out.sample_count)
        qsort(out.samples, out.sample_count, sizeof *out.samples, sample_order);
    return joining_write(joining, &sample_set_table, &out, err);
}
