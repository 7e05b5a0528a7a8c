/* SPDX-License-Identifier: MIT */
/* Labels and signatures that an act appended, held against its commit. */
#include <stdio.h>
#include <string.h>

#include "parts.h"

static int64_t seconds(struct instant when)
{
    return when.utc_us / 1000000;
}

static void blame_printed(struct deed *deed, const struct touch *touch, const char *wrong)
{
    if (deed->printed_wrong)
        return; /* one is enough to be told */
    deed->printed_wrong = wrong;
    deed->printed_at = touch->place;
}

/* The copies of a name count up, on whatever scale. */
static int32_t next_copy(const struct label *label, const struct label_set *set)
{
    int32_t copy = 0;
    for (const struct label *it = set->labels; it != label; it++)
        if (strcmp(it->name, label->name) == 0 && label_copy(it) > copy)
            copy = (int32_t)label_copy(it);
    return copy ? copy + 1 : 0;
}

static void hold_label(struct deed *deed, const struct touch *touch, const struct label *label)
{
    if (!*deed->layout) {
        (void)snprintf(deed->layout, sizeof deed->layout, "%s", label->layout);
        (void)snprintf(deed->label_state, sizeof deed->label_state, "%s", label->state);
    }
    if (strcmp(deed->layout, label->layout) != 0)
        blame_printed(deed, touch, "one printing has one layout; this one has two");
    if (strcmp(deed->label_state, label->state) != 0)
        blame_printed(deed, touch, "one printing names one state; this one names two");
    if (label->copy != next_copy(label, touch->file))
        blame_printed(deed, touch, "the number of a copy is not the next one of its name");
}

void deed_hold_printed(struct deed *deed, const struct touch *touch)
{
    struct instant own = {0};
    if (!touch->newer || touch->done != DONE_APPENDED)
        return;
    if (touch->part == &label_table) {
        hold_label(deed, touch, touch->newer);
        own = ((const struct label *)touch->newer)->printed;
    } else if (touch->part == &signature_table || touch->part == &act_signature_table)
        own = ((const struct signature *)touch->newer)->at;
    if (deed->said.when && own.known && seconds(own) != seconds(*deed->said.when))
        blame_printed(deed, touch, "it holds another time than that of its commit");
}
