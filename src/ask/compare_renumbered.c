/* SPDX-License-Identifier: MIT */
/* Samples that a join gave another number, between two states. Their keys would pair each with the sample that kept the
 * number; the former number names the act that recorded it, and so the sample. The sub-samples go with their parents.
 */
#include <string.h>

#include "compare_parts.h"
#include "coretally/domain/minted.h"
#include "coretally/store/merge.h"

/* The pairs under repair. later: the side whose samples bear the former numbers. */
struct repair {
    const struct sample_set *sets;
    struct sample_pair *pairs;
    size_t count;
    int later;
    struct store *store;
    const char *states[2];
};

static const struct sample **side_of(struct sample_pair *pair, int side)
{
    return side ? &pair->after : &pair->before;
}

static bool find_word(const struct sample *sample, const char **name, size_t *len, char commit[MINTED_COMMIT_MAX])
{
    return minted_former(sample->was, name, len, commit);
}

static bool has_words(const struct sample_set *set)
{
    for (size_t at = 0; at < set->sample_count; at++)
        if (set->samples[at].was && strchr(set->samples[at].was, '@'))
            return true;
    return false;
}

/* The pair in which a sample of a side stands. */
static struct sample_pair *find_pair(struct repair *it, int side, const struct sample *sample)
{
    for (size_t at = 0; at < it->count; at++)
        if (*side_of(&it->pairs[at], side) == sample)
            return &it->pairs[at];
    return NULL;
}

/* One and the same from now on; what either was paired with stays with the rest of the other. */
static void put_together(struct repair *it, const struct sample *earlier, const struct sample *later)
{
    struct sample_pair *to = find_pair(it, it->later, later);
    struct sample_pair *from = find_pair(it, !it->later, earlier);
    if (!to || !from || to == from)
        return;
    *side_of(from, !it->later) = *side_of(to, !it->later);
    *side_of(to, !it->later) = earlier;
    if (from->before || from->after)
        return;
    memmove(from, from + 1, (size_t)(it->pairs + it->count - (from + 1)) * sizeof *from);
    it->count--;
}

static void take_apart(struct repair *it, struct sample_pair *pair)
{
    it->pairs[it->count++] = (struct sample_pair){.before = pair->before};
    pair->before = NULL;
}

static const struct sample *find_same_word(const struct sample_set *set, const struct sample *sample)
{
    const char *name = NULL;
    char commit[MINTED_COMMIT_MAX];
    size_t len = 0;
    if (!find_word(sample, &name, &len, commit))
        return NULL;
    for (size_t at = 0; at < set->sample_count; at++)
        if (minted_is_same(set->samples[at].was, sample->was))
            return &set->samples[at];
    return NULL;
}

/* The sample as the earlier side has it: under the same former number, or still under that number, if the act that
 * recorded it is behind that state. */
static enum status follow_word(struct repair *it, const struct sample *sample, struct err *err)
{
    const struct sample_set *earlier = &it->sets[!it->later];
    const struct sample *found = find_same_word(earlier, sample);
    const char *name = NULL;
    char commit[MINTED_COMMIT_MAX];
    char key[SAMPLE_KEY_MAX];
    size_t len = 0;
    bool is_behind = false;
    if (!find_word(sample, &name, &len, commit) || len >= sizeof key)
        return STATUS_OK;
    if (!found) {
        TRY(store_leads(it->store, commit, it->states[!it->later], &is_behind, err));
        (void)snprintf(key, sizeof key, "%.*s", (int)len, name);
        found = is_behind ? sample_find(earlier->samples, earlier->sample_count, key) : NULL;
        if (found && found->was && strchr(found->was, '@'))
            found = NULL;
    }
    if (found)
        put_together(it, found, sample);
    return STATUS_OK;
}

/* What the parent of a sub-sample is on the other side; NULL: it is not there. */
static const struct sample *parent_beside(struct repair *it, int side, const struct sample *sub)
{
    const struct sample_set *set = &it->sets[side];
    const struct sample *parent = sample_find(set->samples, set->sample_count, sub->of);
    struct sample_pair *pair = parent ? find_pair(it, side, parent) : NULL;
    return pair ? *side_of(pair, !side) : NULL;
}

static bool is_of(const struct sample *sub, const struct sample *parent)
{
    char key[SAMPLE_KEY_MAX];
    if (!parent || !sub->of)
        return false;
    sample_key(parent, key);
    return strcmp(sub->of, key) == 0;
}

/* A sub-sample of one parent is none of another. */
static void follow_parent(struct repair *it, const struct sample *sub)
{
    const struct sample *parent = parent_beside(it, it->later, sub);
    const struct sample_set *earlier = &it->sets[!it->later];
    struct sample_pair *pair = find_pair(it, it->later, sub);
    const struct sample *now = pair ? *side_of(pair, !it->later) : NULL;
    if (!pair || (now && is_of(now, parent)))
        return;
    if (now)
        take_apart(it, pair);
    for (size_t at = 0; at < earlier->sample_count; at++) {
        const struct sample *other = &earlier->samples[at];
        struct sample_pair *its =
            is_of(other, parent) && other->number == sub->number ? find_pair(it, !it->later, other) : NULL;
        if (its)
            put_together(it, other, sub);
    }
}

static enum status repair_side(struct repair *it, struct err *err)
{
    const struct sample_set *set = &it->sets[it->later];
    for (size_t at = 0; at < set->sample_count; at++)
        TRY(follow_word(it, &set->samples[at], err));
    for (size_t at = 0; at < set->sample_count; at++)
        if (set->samples[at].of)
            follow_parent(it, &set->samples[at]);
    return STATUS_OK;
}

enum status compare_renumbered(struct state *const states[2], const struct sample_set sets[2],
                               struct sample_pair *pairs, size_t *count, struct err *err)
{
    for (int later = 1; later >= 0; later--) {
        struct repair repair = {.sets = sets,
                                .pairs = pairs,
                                .count = *count,
                                .later = later,
                                .store = states[later]->store,
                                .states = {store_state(states[0]->store), store_state(states[1]->store)}};
        if (!has_words(&sets[later]))
            continue;
        TRY(repair_side(&repair, err));
        *count = repair.count;
    }
    return STATUS_OK;
}
