/* SPDX-License-Identifier: MIT */
/* What the files that judge an act share: faults, and questions to what was done. */
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "coretally/record/items.h"
#include "parts.h"

enum { FAULTS_MAX = 20 };

enum status deed_fault(struct deed *deed, const char *path, const char *item, struct err *err, const char *format, ...)
{
    struct arena *arena = deed->state->arena;
    struct fault fault = {.path = ""};
    char sentence[600];
    va_list rest;
    va_start(rest, format);
    (void)vsnprintf(sentence, sizeof sentence, format, rest);
    va_end(rest);
    if (deed->fault_count == FAULTS_MAX)
        return STATUS_OK;
    TRY(arena_copy(arena, path, strlen(path), &fault.path, err));
    TRY(arena_copy(arena, item, strlen(item), &fault.item, err));
    TRY(arena_copy(arena, sentence, strlen(sentence), &fault.sentence, err));
    TRY(arena_grow(arena, &deed->faults, deed->fault_count, &deed->fault_room, sizeof fault, err));
    deed->faults[deed->fault_count++] = fault;
    return STATUS_OK;
}

const char *touch_word(enum done done)
{
    switch (done) {
    case DONE_ADDED:
        return "added";
    case DONE_APPENDED:
        return "added to";
    case DONE_AMENDED:
        return "amended";
    case DONE_KEPT:
        return "counted as amended, unchanged";
    case DONE_FOLLOWED:
        return "moved along";
    case DONE_WITHDRAWN:
        return "withdrawn";
    case DONE_RESTORED:
        return "brought back";
    case DONE_REMOVED:
        return "removed";
    }
    return "";
}

bool touch_is(const struct allowed *allowed, const struct touch *touch)
{
    return allowed->part == touch->part && (allowed->done & touch->done);
}

const char *touch_text(const struct table *table, const char *name, const void *record)
{
    const struct field *field = field_find(table, name);
    return field ? *(const char *const *)(const void *)((const char *)record + field->offset) : NULL;
}

/* Does the field hold what the record itself says? Not its count of versions, nor items that are records. */
static bool is_own(const struct field *field)
{
    return strcmp(field->name, "version") != 0 && !list_has_items(field);
}

bool touch_amends(const struct touch *touch, const struct field *field)
{
    return is_own(field) && touch->older && touch->newer && !field_is_equal(field, touch->older, touch->newer);
}

bool deed_renames(const struct deed *deed)
{
    for (size_t at = 0; at < deed->count; at++)
        if (deed->touches[at].part == &renaming_table)
            return true;
    return false;
}

/* A new record begins with nothing behind it. */
enum status deed_hold_new(struct deed *deed, const struct touch *touch, struct err *err)
{
    static const char *const later[] = {"was", "withdrawn"};
    for (size_t at = 0; touch->done == DONE_ADDED && touch->newer && at < sizeof later / sizeof later[0]; at++) {
        const struct field *field = field_find(touch->part, later[at]);
        if (field && !field_is_absent(field, touch->newer))
            TRY(deed_fault(deed, touch->place.path, touch->item, err, "it is new, and has '%s' already", field->name));
    }
    return STATUS_OK;
}
