/* SPDX-License-Identifier: MIT */
/* Links of a chain, and the correction of a kind that holds for a core. */
#include "depth_chain.h"

#include <stddef.h>

#include "coretally/base/quantity.h"

struct depth chain_unknown(const char *why)
{
    return (struct depth){.um = LENGTH_NONE, .low_um = LENGTH_NONE, .high_um = LENGTH_NONE, .why = why};
}

struct depth_link *link_add(struct depth_links *links, const struct hole *hole, enum depth_input input,
                            const char *rule, int64_t amount_um, int64_t result_um)
{
    if (!links)
        return NULL;
    if (links->count == DEPTH_LINKS_MAX) {
        links->dropped++;
        return NULL;
    }
    struct depth_link *link = &links->items[links->count++];
    *link =
        (struct depth_link){.input = input, .rule = rule, .hole = hole, .amount_um = amount_um, .result_um = result_um};
    return link;
}

void link_add_correction(struct depth_links *links, const struct hole *hole, const struct correction *correction,
                         const char *rule, int64_t amount_um, int64_t result_um)
{
    struct depth_link *link = link_add(links, hole, INPUT_CORRECTION, rule, amount_um, result_um);
    if (link)
        link->correction = correction;
}

const struct correction *hole_correction(const struct hole *hole, enum correction_kind kind, int32_t core)
{
    for (size_t at = 0; at < hole->correction_count; at++) {
        const struct correction *it = hole->corrections[at];
        if (it->kind == kind &&
            (!core || it->core == core || (kind == CORRECTION_COMPOSITE && composite_find(it, core))))
            return it;
    }
    return NULL;
}
