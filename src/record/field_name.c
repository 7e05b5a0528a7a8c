/* SPDX-License-Identifier: MIT */
/* Names of fields: keys, columns, and the field that a typed one means. */
#include <ctype.h>
#include <string.h>

#include "coretally/record/field.h"
#include "member.h"

/* Of each item of each list that is read or written: without printf. */
static void join_suffix(const char *name, const char *suffix, char out[FIELD_KEY_MAX])
{
    const size_t len = strnlen(name, FIELD_KEY_MAX - 1);
    const size_t rest = suffix ? strnlen(suffix, FIELD_KEY_MAX) : 0;
    memcpy(out, name, len);
    out[len] = '\0';
    if (!suffix || len + 1 + rest >= FIELD_KEY_MAX)
        return;
    out[len] = '_';
    memcpy(out + len + 1, suffix, rest + 1);
}

void field_key(const struct field *field, char out[FIELD_KEY_MAX])
{
    join_suffix(field->name, field->type == FIELD_LENGTH ? "m" : field->suffix, out);
}

void field_column(const struct field *field, char out[FIELD_KEY_MAX])
{
    join_suffix(field->name, field->type == FIELD_LENGTH ? length_unit_suffix(field->unit) : field->suffix, out);
}

static bool is_same_letter(char a, char b)
{
    return tolower((unsigned char)(a == '-' ? '_' : a)) == tolower((unsigned char)(b == '-' ? '_' : b));
}

bool is_same_name(const char *a, const char *b)
{
    for (; *a && *b; a++, b++)
        if (!is_same_letter(*a, *b))
            return false;
    return *a == *b;
}

static bool begins_with_name(const char *typed, const char *name)
{
    while (*name && *typed && is_same_letter(*typed, *name)) {
        typed++;
        name++;
    }
    return !*name;
}

const struct field *field_find(const struct table *table, const char *name)
{
    char key[FIELD_KEY_MAX];
    char column[FIELD_KEY_MAX];
    for (size_t at = 0; at < table->count; at++) {
        if (is_same_name(name, table->fields[at].name))
            return &table->fields[at];
        if (!begins_with_name(name, table->fields[at].name)) /* as key and column do */
            continue;
        field_key(&table->fields[at], key);
        field_column(&table->fields[at], column);
        if (is_same_name(name, key) || is_same_name(name, column))
            return &table->fields[at];
    }
    return NULL;
}
