/* SPDX-License-Identifier: MIT */
/* How rows of field tables are written. Inside the record layer, for tables*.c only. */
#ifndef CORETALLY_RECORD_TABLE_ROWS_H
#define CORETALLY_RECORD_TABLE_ROWS_H

#include <stddef.h>

#include "coretally/domain/minted.h"
#include "coretally/record/field.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* Rows of a table; STRUCT is defined before each table. */
#define AT(member) offsetof(struct STRUCT, member)
#define TEXT(member, needed, line)                                                                                     \
    {                                                                                                                  \
        .name = #member, .type = FIELD_TEXT, .offset = AT(member), .need = needed, .meaning = line                     \
    }
#define FORMED(member, needed, expression, function, line)                                                             \
    {                                                                                                                  \
        .name = #member, .type = FIELD_TEXT, .offset = AT(member), .need = needed, .pattern = expression,              \
        .check = function, .meaning = line                                                                             \
    }
#define LENGTH(label, member, needed, typed, low, high, line)                                                          \
    {                                                                                                                  \
        .name = label, .type = FIELD_LENGTH, .offset = AT(member), .need = needed, .unit = typed, .least = (low),      \
        .most = (high), .meaning = line                                                                                \
    }
#define COUNT(member, needed, low, high, line)                                                                         \
    {                                                                                                                  \
        .name = #member, .type = FIELD_COUNT, .offset = AT(member), .need = needed, .least = (low), .most = (high),    \
        .meaning = line                                                                                                \
    }
#define REAL(label, member, unit_suffix, of_measure, line)                                                             \
    {                                                                                                                  \
        .name = label, .type = FIELD_REAL, .offset = AT(member), .suffix = unit_suffix, .measure = of_measure,         \
        .meaning = line                                                                                                \
    }
#define WORD(member, needed, list, line)                                                                               \
    {                                                                                                                  \
        .name = #member, .type = FIELD_WORD, .offset = AT(member), .need = needed, .words = list, .meaning = line      \
    }
#define WORD_AT(label, member, list, line)                                                                             \
    {                                                                                                                  \
        .name = label, .type = FIELD_WORD, .offset = AT(member), .words = list, .meaning = line                        \
    }
#define PLAIN(label, member, kind_of, needed, line)                                                                    \
    {                                                                                                                  \
        .name = label, .type = kind_of, .offset = AT(member), .need = needed, .meaning = line                          \
    }
#define LIST(member, counter, table, line)                                                                             \
    {                                                                                                                  \
        .name = #member, .type = FIELD_LIST, .offset = AT(member), .count_offset = AT(counter), .of = &table,          \
        .meaning = line                                                                                                \
    }
/* Of what is called by a number that is given out. */
#define NUMBERED_WAS                                                                                                   \
    FORMED(was, OPTIONAL, "^[1-9][0-9]{0,5}@[0-9a-f]{40}$", minted_is_number,                                          \
           "its number before registries were joined, and the commit that recorded it")
/* What every record ends with. */
#define STANDING                                                                                                       \
    TEXT(withdrawn, OPTIONAL, "why it was withdrawn; a withdrawn record stays, but counts for nothing"),               \
        COUNT(version, OPTIONAL, 2, INT32_MAX, "left out for 1; counts up with every amendment")

#define METRES(n) ((int64_t)(n)*1000000)

#define TABLE(name, word, file, line)                                                                                  \
    const struct table name##_table = {.kind = word,                                                                   \
                                       .is_file = file,                                                                \
                                       .size = sizeof(struct name),                                                    \
                                       .fields = name##_fields,                                                        \
                                       .count = COUNT_OF(name##_fields),                                               \
                                       .meaning = line}

#endif
