/* SPDX-License-Identifier: MIT */
/* One field from one record into another. */
#include "member.h"

static size_t member_size(enum field_type type)
{
    switch (type) {
    case FIELD_TEXT:
    case FIELD_LIST:
        return sizeof(void *);
    case FIELD_LENGTH:
        return sizeof(int64_t);
    case FIELD_REAL:
        return sizeof(double);
    case FIELD_LETTER:
        return sizeof(char);
    case FIELD_INSTANT:
        return sizeof(struct instant);
    case FIELD_FLAG:
        return sizeof(bool);
    case FIELD_COUNT:
    case FIELD_WORD:
    case FIELD_SECTION:
    case FIELD_ZONE:
        break;
    }
    return sizeof(int32_t);
}

void field_copy(const struct field *field, const void *from, void *to)
{
    memcpy(member_at(field->offset, to), member_at(field->offset, from), member_size(field->type));
    if (field->type == FIELD_LIST)
        *member_count(field, to) = *member_count(field, from);
}
