/* SPDX-License-Identifier: MIT */
/* Stored text: the first byte picks the kind of record, by its number in file_tables (new ones at the end). What
 * decodes encodes, and decodes back equal. */
#include "target.h"

#include <string.h>

#include "coretally/record/field.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0)
        return 0;
    size_t tables = 0;
    while (file_tables[tables])
        tables++;
    const struct table *table = file_tables[data[0] % tables];
    struct arena arena;
    struct err err = {0};
    arena_init(&arena, (size_t)64 << 20);
    void *record = NULL;
    void *again = NULL;
    struct bytes first;
    struct bytes second;
    PROMISE(arena_take(&arena, 1, table->size, &record, &err) == STATUS_OK);
    PROMISE(arena_take(&arena, 1, table->size, &again, &err) == STATUS_OK);
    const struct bytes text = {.data = (const char *)data + 1, .len = size - 1};
    if (record_decode(table, text, &arena, record, &err) != STATUS_OK)
        PROMISE(err.status == STATUS_DAMAGED && err.reason[0]);
    else {
        PROMISE(record_encode(table, record, &arena, &first, &err) == STATUS_OK);
        PROMISE(record_decode(table, first, &arena, again, &err) == STATUS_OK);
        PROMISE(record_is_equal(table, record, again));
        PROMISE(record_encode(table, again, &arena, &second, &err) == STATUS_OK);
        PROMISE(first.len == second.len && memcmp(first.data, second.data, first.len) == 0);
    }
    arena_clear(&arena);
    return 0;
}
