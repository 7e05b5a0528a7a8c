/* SPDX-License-Identifier: MIT */
/* Numbers that two sides gave out without knowing of each other. What each thing gets depends on what was claimed and
 * when alone, not on the order in which registries are joined. */
#include <stdlib.h>

#include "joining.h"

static int compare_claims(const void *a, const void *b)
{
    const struct minted *left = *(const struct minted *const *)a;
    const struct minted *right = *(const struct minted *const *)b;
    if (left->is_fixed != right->is_fixed)
        return left->is_fixed ? -1 : 1;
    return act_is_before(&left->act, &right->act) ? -1 : act_is_before(&right->act, &left->act);
}

static bool is_given(struct minted *const *sorted, size_t count, int32_t number)
{
    for (size_t at = 0; at < count; at++)
        if (sorted[at]->number == number)
            return true;
    return false;
}

static bool is_claimed(struct minted *const *sorted, size_t count, int32_t number)
{
    for (size_t at = 0; at < count; at++)
        if (sorted[at]->claimed == number)
            return true;
    return false;
}

enum status minted_assign(struct joining *joining, struct minted *items, size_t count, minted_taken *is_taken,
                          const void *context, struct err *err)
{
    struct minted **sorted = NULL;
    TRY(arena_take(joining->arena, count, sizeof(void *), &sorted, err));
    for (size_t at = 0; at < count; at++) {
        sorted[at] = &items[at];
        items[at].number = 0;
    }
    if (count)
        qsort(sorted, count, sizeof(void *), compare_claims);
    for (size_t at = 0; at < count; at++) {
        const int32_t claimed = sorted[at]->claimed;
        if (sorted[at]->is_fixed || (!is_given(sorted, count, claimed) && !(is_taken && is_taken(context, claimed))))
            sorted[at]->number = claimed;
    }
    for (size_t at = 0; at < count; at++) {
        int32_t number = sorted[at]->claimed;
        if (sorted[at]->number)
            continue;
        while (is_given(sorted, count, number) || is_claimed(sorted, count, number) ||
               (is_taken && is_taken(context, number)))
            number++;
        sorted[at]->number = number;
    }
    return STATUS_OK;
}
