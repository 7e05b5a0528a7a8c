/* SPDX-License-Identifier: MIT */
/* What a hole under the eyes has. */
#include <stdlib.h>

#include "parts.h"

static int compare_numbers(const void *a, const void *b)
{
    const int32_t left = *(const int32_t *)a;
    const int32_t right = *(const int32_t *)b;
    return (left > right) - (left < right);
}

enum status view_list_cores(struct hole_view *view, struct err *err)
{
    TRY(arena_take(view->arena, view->place_count, sizeof *view->cores, &view->cores, err));
    for (size_t at = 0; at < view->place_count; at++)
        if (view->places[at].known->table == &core_table)
            view->cores[view->core_count++] = view->places[at].number;
    if (view->core_count)
        qsort(view->cores, view->core_count, sizeof *view->cores, compare_numbers);
    return STATUS_OK;
}

bool view_has_core(const struct hole_view *view, int32_t number)
{
    return view->core_count &&
           bsearch(&number, view->cores, view->core_count, sizeof *view->cores, compare_numbers) != NULL;
}
