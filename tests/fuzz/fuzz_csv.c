/* SPDX-License-Identifier: MIT */
/* Tables for import: the first byte picks the kind, what stands before a form feed is the mapping, the rest the table.
 * What is read is as wide in every row as in its header, and a mapping that is accepted points into it. */
#include "target.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/intake/mapping.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 2)
        return 0;
    const uint8_t *feed = memchr(data + 1, '\f', size - 1);
    const uint8_t *table_start = feed ? feed + 1 : data + 1;
    const size_t table_len = size - (size_t)(table_start - data);
    char *set = calloc(1, size);
    FILE *in = table_len ? fmemopen((void *)(uintptr_t)table_start, table_len, "rb") : NULL;
    struct arena arena;
    arena_init(&arena, (size_t)64 << 20);
    if (set && in) {
        if (feed)
            memcpy(set, data + 1, (size_t)(feed - data - 1));
        const struct mapping_asked asked = {.lines = set};
        struct table_text table;
        struct mapping mapping;
        struct err err = {0};
        if (csv_read(&arena, in, "-", &table, &err) != STATUS_OK)
            PROMISE(err.reason[0]);
        else {
            PROMISE(table.rows >= 2 && table.columns <= CSV_COLUMNS_MAX);
            for (size_t cell = 0; cell < table.rows * table.columns; cell++)
                PROMISE(strlen(table.cells[cell]) <= CSV_CELL_MAX);
            if (mapping_read(&arena, &asked, (enum import_kind)(data[0] % 3), &table, &mapping, &err) != STATUS_OK)
                PROMISE(err.reason[0]);
            else
                for (size_t at = 0; at < mapping.source_count; at++)
                    PROMISE(mapping.sources[at].column == SIZE_MAX || mapping.sources[at].column < table.columns);
        }
    }
    arena_clear(&arena);
    if (in)
        (void)fclose(in);
    free(set);
    return 0;
}
