/* SPDX-License-Identifier: MIT */
/* Typed access to the member of a record that a field describes. Inside the record layer only. */
#ifndef CORETALLY_RECORD_MEMBER_H
#define CORETALLY_RECORD_MEMBER_H

#include <string.h>

#include "coretally/record/field.h"

/* FIELD_WORD members are enums, read as int32_t. */
_Static_assert(sizeof(enum half) == sizeof(int32_t), "enums have the size of int32_t");

/* The one place that turns an offset into a pointer; the record's constness is the caller's business. */
static inline void *member_at(size_t offset, const void *record)
{
    return (void *)((uintptr_t)record + offset);
}

#define MEMBER(name, type, kind)                                                                                       \
    static inline type *member_##name(const struct field *field, const void *record)                                   \
    {                                                                                                                  \
        return (type *)member_at(field->offset, record);                                                               \
    }
MEMBER(text, const char *, TEXT)
MEMBER(length, int64_t, LENGTH)
MEMBER(int, int32_t, COUNT)
MEMBER(real, double, REAL)
MEMBER(letter, char, LETTER)
MEMBER(instant, struct instant, INSTANT)
MEMBER(flag, bool, FLAG)
#undef MEMBER

static inline size_t *member_count(const struct field *field, const void *record)
{
    return (size_t *)member_at(field->count_offset, record);
}

/* The array of a LIST, whose pointer has the type of its items. */
static inline void *member_items(const struct field *field, const void *record)
{
    void *items = NULL;
    memcpy(&items, member_at(field->offset, record), sizeof items);
    return items;
}

static inline void member_set_items(const struct field *field, void *record, void *items, size_t count)
{
    memcpy(member_at(field->offset, record), &items, sizeof items);
    *member_count(field, record) = count;
}

static inline void *member_item(const struct field *field, const void *record, size_t at)
{
    return member_at(at * field->of->size, member_items(field, record));
}

/* A list as typed text: items by ';', their fields in table order by ','. */
enum status list_set(const struct field *field, const char *string, struct arena *arena, void *record, struct err *err);
/* field_set without the refusal of empty text and without the field's name in the complaint. */
enum status field_set_value(const struct field *field, const char *string, enum length_unit bare, int32_t ship_zone_min,
                            struct arena *arena, void *record, struct err *err);

/* The same word, whatever the case; '-' counts as '_'. field_name.c */
bool is_same_name(const char *a, const char *b);

#endif
