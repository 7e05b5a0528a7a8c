/* SPDX-License-Identifier: MIT */
/* One sweep down the hole. */
#include "coretally/domain/penetration.h"

#include <stdlib.h>

static int order_top(const void *a, const void *b)
{
    const struct bored *left = a;
    const struct bored *right = b;
    return (left->top_um > right->top_um) - (left->top_um < right->top_um);
}

static int64_t least(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

static int64_t greatest(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

/* How much of it lies in the range of out. */
static int64_t within(const struct penetration *out, int64_t top_um, int64_t bottom_um)
{
    return greatest(0, least(bottom_um, out->bottom_um) - greatest(top_um, out->top_um));
}

/* Does a run without a known bottom begin in here? */
static bool has_open(const struct bored *items, size_t count, int64_t top_um, int64_t bottom_um)
{
    for (size_t at = 0; at < count && items[at].top_um < bottom_um; at++)
        if (items[at].as == BORED_NO_BOTTOM && items[at].top_um >= top_um)
            return true;
    return false;
}

static void gap_add(const struct bored *items, size_t count, int64_t top_um, int64_t bottom_um, struct penetration *out)
{
    const int64_t length_um = within(out, top_um, bottom_um);
    if (!length_um)
        return;
    if (has_open(items, count, top_um, bottom_um)) {
        out->open_um += length_um;
        return;
    }
    if (!out->gap_count++) {
        out->gap_top_um = greatest(top_um, out->top_um);
        out->gap_bottom_um = least(bottom_um, out->bottom_um);
    }
    out->unrecorded_um += length_um;
}

/* The deepest that anything reached. Is it the top of a run whose bottom is not known? */
static int64_t deepest(const struct bored *items, size_t count, int64_t begin_um, bool *is_open)
{
    int64_t deepest_um = begin_um;
    *is_open = false;
    for (size_t at = 0; at < count; at++) {
        if (items[at].as == BORED_NO_BOTTOM ? items[at].bottom_um >= deepest_um : items[at].bottom_um > deepest_um) {
            deepest_um = items[at].bottom_um;
            *is_open = items[at].as == BORED_NO_BOTTOM;
        }
    }
    return deepest_um;
}

void penetration_sum(struct bored *items, size_t count, int64_t begin_um, int64_t top_um, int64_t bottom_um,
                     struct penetration *out)
{
    bool is_open = false;
    if (count)
        qsort(items, count, sizeof *items, order_top);
    const int64_t deepest_um = deepest(items, count, begin_um, &is_open);
    *out = (struct penetration){.top_um = greatest(begin_um, top_um), .bottom_um = least(deepest_um, bottom_um)};
    out->bottom_um = greatest(out->top_um, out->bottom_um);
    out->is_least = is_open && deepest_um < bottom_um && deepest_um >= top_um;
    int64_t cored_to_um = begin_um; /* what was cored above is counted */
    int64_t bored_to_um = begin_um;
    int64_t bored_um = 0;
    for (size_t at = 0; at < count; at++) {
        const struct bored *it = &items[at];
        if (it->as == BORED_NO_BOTTOM || it->bottom_um <= it->top_um)
            continue;
        if (it->as == BORED_CORED) {
            out->cored_um += within(out, greatest(it->top_um, cored_to_um), it->bottom_um);
            cored_to_um = greatest(cored_to_um, it->bottom_um);
        }
        if (it->top_um > bored_to_um)
            gap_add(items, count, bored_to_um, it->top_um, out);
        bored_um += within(out, greatest(it->top_um, bored_to_um), it->bottom_um);
        bored_to_um = greatest(bored_to_um, it->bottom_um);
    }
    gap_add(items, count, bored_to_um, deepest_um, out); /* down to the top of a run without a known bottom */
    out->uncored_um = bored_um - out->cored_um;
}
