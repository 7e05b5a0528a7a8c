/* SPDX-License-Identifier: MIT */
/* Bags of one file in two states, each beside itself. Where a join gave a bag another number, the number alone would
 * put it beside the bag that kept it; its former number names the act that recorded it. */
#include <string.h>

#include "compare_parts.h"
#include "coretally/domain/minted.h"
#include "coretally/store/merge.h"

/* The bag of the earlier state that one of the later state was. *is_known: its former number says so, also that there
 * was none. */
static enum status find_former(const struct compare *compare, int earlier, const struct bag_set *set,
                               const struct bag *bag, const struct bag **out, bool *is_known, struct err *err)
{
    const char *name = NULL;
    char commit[MINTED_COMMIT_MAX];
    size_t len = 0;
    bool is_behind = false;
    *out = NULL;
    *is_known = minted_former(bag->was, &name, &len, commit);
    for (size_t at = 0; *is_known && at < set->bag_count; at++)
        if (minted_is_same(set->bags[at].was, bag->was)) {
            *out = &set->bags[at];
            return STATUS_OK;
        }
    if (*is_known)
        TRY(store_leads(compare->states[0]->store, commit, store_state(compare->states[earlier]->store), &is_behind,
                        err));
    for (size_t at = 0; is_behind && at < set->bag_count; at++)
        if (set->bags[at].number == minted_number(bag->was) && minted_number(set->bags[at].was) == 0)
            *out = &set->bags[at];
    return STATUS_OK;
}

/* was, or nothing, beside it. What stood beside either is another bag, and stands alone until it is put beside its own.
 */
static void put_together(struct bag_pair *pairs, size_t *count, int later, const struct bag *was, const struct bag *it)
{
    struct bag_pair *from = NULL;
    struct bag_pair *to = NULL;
    for (size_t at = 0; at < *count; at++) {
        from = was && pairs[at].of[!later] == was ? &pairs[at] : from;
        to = pairs[at].of[later] == it ? &pairs[at] : to;
    }
    if (!to || from == to)
        return;
    const struct bag *stranger = to->of[!later];
    to->of[!later] = was;
    if (from)
        from->of[!later] = NULL;
    if (from && !from->of[later]) {
        memmove(from, from + 1, (size_t)(pairs + *count - (from + 1)) * sizeof *from);
        (*count)--;
    }
    if (stranger)
        pairs[(*count)++] = later ? (struct bag_pair){{stranger, NULL}} : (struct bag_pair){{NULL, stranger}};
}

enum status compare_pair_bags(const struct compare *compare, const struct bag_set sets[2], struct bag_pair **out,
                              size_t *count, struct err *err)
{
    struct bag_pair *pairs = NULL;
    size_t at[2] = {0, 0};
    *count = 0;
    TRY(arena_take(compare->states[1]->arena, sets[0].bag_count + sets[1].bag_count, sizeof *pairs, &pairs, err));
    while (at[0] < sets[0].bag_count || at[1] < sets[1].bag_count) {
        const int32_t left = at[0] < sets[0].bag_count ? sets[0].bags[at[0]].number : INT32_MAX;
        const int32_t right = at[1] < sets[1].bag_count ? sets[1].bags[at[1]].number : INT32_MAX;
        pairs[(*count)++] = (struct bag_pair){
            {left <= right ? &sets[0].bags[at[0]++] : NULL, right <= left ? &sets[1].bags[at[1]++] : NULL}};
    }
    for (int later = 1; later >= 0; later--)
        for (size_t bag = 0; bag < sets[later].bag_count; bag++) {
            const struct bag *was = NULL;
            bool is_known = false;
            TRY(find_former(compare, !later, &sets[!later], &sets[later].bags[bag], &was, &is_known, err));
            if (is_known)
                put_together(pairs, count, later, was, &sets[later].bags[bag]);
        }
    *out = pairs;
    return STATUS_OK;
}
