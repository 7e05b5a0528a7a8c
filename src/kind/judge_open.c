/* SPDX-License-Identifier: MIT */
/* What an act did about fields that were open. */
#include <assert.h>
#include <string.h>

#include "coretally/state/open.h"
#include "parts.h"

const struct contradiction *deed_decides(const struct deed *deed)
{
    for (size_t at = 0; at < deed->count; at++)
        if (deed->touches[at].part == &contradiction_table && deed->touches[at].done == DONE_REMOVED)
            return deed->touches[at].older;
    return NULL;
}

static bool has_claims_of(const struct contradiction *a, const struct contradiction *b)
{
    return field_is_equal(field_find(&contradiction_table, "claims"), a, b) &&
           field_is_equal(field_find(&contradiction_table, "field"), a, b);
}

/* Does the act change what the contradiction is about, or withdraw it? */
static bool decides(const struct touch *touch, const struct contradiction *it)
{
    assert(touch->part);
    char item[SAMPLE_KEY_MAX] = "";
    struct place_known place;
    const bool is_known = registry_place(it->path, &place);
    const bool is_moved = touch->part == &core_table && is_known && strcmp(place.hole, touch->place.hole) == 0 &&
                          strcmp(touch->place.path, it->path) != 0 && touch->done == DONE_ADDED;
    if (strcmp(touch->place.path, it->path) != 0)
        return is_moved; /* it has another number, and what was open of it goes along or is decided */
    const struct field *field = it->field ? field_find(touch->part, it->field) : NULL;
    const bool is_over = touch->done == DONE_WITHDRAWN || touch->done == DONE_REMOVED;
    if (touch->part->is_file && is_over) /* with all that is in it */
        return true;
    if (touch->older && it->item && !touch->part->is_file)
        open_item_text(touch->part, touch->older, item);
    return (!it->item || strcmp(item, it->item) == 0) && (is_over || !field || touch_amends(touch, field));
}

/* What is open goes where its record goes, or is decided; none is made. */
enum status deed_hold_open(struct deed *deed, const struct touch *touch, struct err *err)
{
    const struct contradiction *it = touch->done == DONE_REMOVED ? touch->older : touch->newer;
    for (size_t at = 0; at < deed->count; at++) {
        const struct touch *other = &deed->touches[at];
        const bool is_pair = other->part == touch->part && other != touch && other->done != touch->done;
        const void *its = other->done == DONE_REMOVED ? other->older : other->newer;
        if (it && (is_pair ? its && has_claims_of(its, it) : touch->done == DONE_REMOVED && decides(other, it)))
            return STATUS_OK;
    }
    if (touch->done == DONE_REMOVED && (!it || deed->form->what[0].part == &contradiction_table))
        return STATUS_OK;
    return deed_fault(deed, touch->place.path, "", err,
                      touch->done == DONE_REMOVED ? "an open field was %s, and nothing was decided about it"
                                                  : "an open field was %s; only joining two registries does that",
                      touch_word(touch->done));
}
