/* SPDX-License-Identifier: MIT */
/* Which former numbers a join believes. Joins alone write them, so one that an ordinary act wrote is made up, and so is
 * one whose commit is not behind the side that has it: here it counts as none, or an amendment made on the other side
 * would go to another thing, and a registry with an unknown commit in it could never be joined again. What both sides
 * had when they parted is the same for both, and decides nothing. */
#include <string.h>

#include "coretally/domain/minted.h"
#include "paired.h"

/* One former number, as it stands in a file of a side. */
struct word {
    const char *path;
    const char *text;
    size_t len;
    const char *commit;
};

static bool has_text(struct bytes bytes, const struct word *word)
{
    for (const char *at = bytes.data; at && (at = strchr(at, *word->text)) != NULL; at++)
        if (strncmp(at, word->text, word->len) == 0)
            return true;
    return false;
}

static enum status has_word(struct joining *joining, const char *id, const struct word *word, bool *out,
                            struct err *err)
{
    struct arena arena;
    struct bytes bytes = {0};
    *out = false;
    if (!*id)
        return STATUS_OK;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    const enum status status = store_bytes(joining->store, id, word->path, &arena, &bytes, err);
    *out = status == STATUS_OK && has_text(bytes, word);
    arena_clear(&arena);
    return status;
}

/* Did the act bring it to the file? A renamed core takes it along from a file that goes. */
static enum status brought(struct joining *joining, const struct side_act *act, const struct difference *change,
                           const struct word *word, bool *out, struct err *err)
{
    bool had = false;
    TRY(has_word(joining, change->newer, word, out, err));
    if (*out)
        TRY(has_word(joining, change->older, word, &had, err));
    for (size_t at = 0; *out && !had && !*change->older && at < act->changed.count; at++)
        if (!act->changed.items[at].why && !*act->changed.items[at].newer)
            TRY(has_word(joining, act->changed.items[at].older, word, &had, err));
    *out = *out && !had;
    return STATUS_OK;
}

static enum status is_made_up(struct joining *joining, int side, const struct word *word, bool *out, struct err *err)
{
    bool is_behind = false;
    TRY(store_descends(joining->sides[side].store, word->commit, &is_behind, err));
    *out = !is_behind;
    for (size_t at = 0; !*out; at++) {
        struct side_act *act = NULL;
        const struct difference *change = NULL;
        TRY(side_change(joining, side, at, word->path, &act, &change, err));
        if (!act)
            return STATUS_OK;
        if (change)
            TRY(brought(joining, act, change, word, out, err));
    }
    return STATUS_OK;
}

/* --- things that are called by a number --- */

static bool is_in_base(const struct numbered_in *in, const char *was)
{
    for (size_t at = 0; at < in->base.count; at++)
        if (is_same_text(*text_of(in->table, "was", items_at(&in->base, at)), was))
            return true;
    return false;
}

enum status formers_believed(struct joining *joining, struct numbered_in *in, int side, struct err *err)
{
    struct items *items = &in->sides[side];
    char *copies = NULL;
    for (size_t at = 0; at < items->count; at++) {
        const void *item = items_at(items, at);
        const char *was = *text_of(in->table, "was", item);
        char commit[MINTED_COMMIT_MAX];
        bool is_false = false;
        struct spot_at spot;
        struct word word = {.commit = commit};
        if (!minted_former(was, &word.text, &word.len, commit) || is_in_base(in, was))
            continue;
        in->spot(in, item_number(in->table, item), &spot);
        word.path = spot.path;
        word.len += MINTED_COMMIT_MAX;
        TRY(is_made_up(joining, side, &word, &is_false, err));
        if (!is_false)
            continue;
        if (!copies) {
            TRY(arena_take(joining->arena, items->count, in->table->size, &copies, err));
            memcpy(copies, items->first, items->count * in->table->size);
            items->first = copies;
        }
        *text_of(in->table, "was", copies + at * in->table->size) = NULL;
    }
    return STATUS_OK;
}

/* --- samples --- */

/* The words of a sample without that one. */
static enum status drop_word(struct joining *joining, const struct word *word, struct sample *sample, struct err *err)
{
    struct text text;
    struct bytes bytes;
    const char *rest = word->text + word->len;
    const size_t before = (size_t)(word->text - sample->was);
    rest += *rest == ' ';
    text_init(&text, joining->arena);
    text_addf(&text, "%.*s%s", (int)(before && !*rest ? before - 1 : before), sample->was, rest);
    TRY(text_done(&text, &bytes, err));
    sample->was = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

static bool is_in_set(const struct sample_set *set, const struct word *word)
{
    for (size_t at = 0; at < set->sample_count; at++)
        if (set->samples[at].was &&
            has_text((struct bytes){.data = set->samples[at].was, .len = strlen(set->samples[at].was)}, word))
            return true;
    return false;
}

enum status sample_formers_believed(struct joining *joining, struct paired_samples *pieces, int side, struct err *err)
{
    struct sample_set *set = &pieces->sets[side];
    for (size_t at = 0; at < set->sample_count; at++) {
        char commit[MINTED_COMMIT_MAX];
        bool is_false = false;
        struct word word = {.path = pieces->spots[side].path, .commit = commit};
        if (!minted_former(set->samples[at].was, &word.text, &word.len, commit))
            continue;
        word.len += MINTED_COMMIT_MAX;
        if (is_in_set(&pieces->sets[VERSION_BASE], &word))
            continue;
        TRY(is_made_up(joining, side, &word, &is_false, err));
        if (is_false)
            TRY(drop_word(joining, &word, &set->samples[at], err));
    }
    return STATUS_OK;
}
