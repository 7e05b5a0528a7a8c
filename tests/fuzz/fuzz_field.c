/* SPDX-License-Identifier: MIT */
/* Typed fields and lists: the first byte picks the table, the second the field. What is taken prints, and but for
 * lists (whose texts may hold separators) reads back equal. */
#include "target.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/record/field.h"

static void try_field(const struct table *table, const struct field *field, const char *typed)
{
    struct arena arena;
    struct err err = {0};
    struct text text;
    struct bytes out;
    void *record = NULL;
    void *again = NULL;
    arena_init(&arena, (size_t)16 << 20);
    PROMISE(arena_take(&arena, 1, table->size, &record, &err) == STATUS_OK);
    PROMISE(arena_take(&arena, 1, table->size, &again, &err) == STATUS_OK);
    record_init(table, record);
    record_init(table, again);
    if (field_set(field, typed, field->unit, 330, &arena, record, &err) != STATUS_OK)
        PROMISE(err.reason[0]);
    else {
        text_init(&text, &arena);
        field_format(field, record, &text);
        PROMISE(text_done(&text, &out, &err) == STATUS_OK);
        if (field->type != FIELD_LIST && out.len) {
            PROMISE(field_set(field, out.data, field->unit, INT_NONE, &arena, again, &err) == STATUS_OK);
            PROMISE(field_is_equal(field, record, again));
        }
    }
    arena_clear(&arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    /* New ones at the end: the files of the corpus say which by number. */
    static const struct table *const tables[] = {
        &expedition_table, &hole_table, &core_table, &section_table, &sample_table,  &drilled_table,   &geometry_table,
        &bore_table,       &part_table, &pump_table, &bag_table,     &bag_set_table, &lag_check_table, &plan_table};
    if (size < 2)
        return 0;
    const struct table *table = tables[data[0] % (sizeof tables / sizeof tables[0])];
    char *typed = calloc(1, size - 1);
    if (!typed)
        return 0;
    memcpy(typed, data + 2, size - 2);
    try_field(table, &table->fields[data[1] % table->count], typed);
    free(typed);
    return 0;
}
