/* SPDX-License-Identifier: MIT */
/* The items of lists, by the tables. */
#include "coretally/record/items.h"

#include "member.h"

struct items items_of(const struct field *list, const void *record)
{
    return (struct items){list->of, member_items(list, record), *member_count(list, record)};
}

const void *items_at(const struct items *items, size_t at)
{
    return items->first + at * items->table->size;
}

static const struct field *number_field(const struct table *table)
{
    const struct field *number = field_find(table, "number");
    return number ? number : field_find(table, "section");
}

int32_t item_number(const struct table *table, const void *item)
{
    return *member_int(number_field(table), item);
}

void item_set_number(const struct table *table, void *item, int32_t number)
{
    *member_int(number_field(table), item) = number;
}

const void *items_find(const struct items *items, int32_t number, size_t hint)
{
    const struct field *field = number_field(items->table);
    for (size_t step = 0; step < items->count; step++) {
        const void *item = items_at(items, (hint + step) % items->count);
        if (*member_int(field, item) == number)
            return item;
    }
    return NULL;
}

void items_put(const struct field *list, void *record, void *items, size_t count)
{
    member_set_items(list, record, items, count);
}

bool list_is_appended(const struct field *field)
{
    return field->type == FIELD_LIST && (field->of == &label_table || field->of == &signature_table ||
                                         field->of == &act_signature_table || field->of == &renaming_table);
}

bool list_has_items(const struct field *field)
{
    return field->type == FIELD_LIST && (field_find(field->of, "version") || list_is_appended(field));
}

const struct field *table_items(const struct table *file)
{
    for (size_t at = 0; at < file->count; at++)
        if (list_has_items(&file->fields[at]) && !list_is_appended(&file->fields[at]))
            return &file->fields[at];
    return NULL;
}
