/* SPDX-License-Identifier: MIT */
/* Reads record files with our own reader: a line a file, "accepted PATH" or "refused PATH: subject: reason". The kind
 * is the beginning of the file's name, up to a '-' or '.' (lag-checks-none.json). Judging is left to check_schemas.py.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/record/field.h"

static const struct table *table_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    const char *name = slash ? slash + 1 : path;
    for (const struct table *const *table = file_tables; *table; table++) {
        const size_t len = strlen((*table)->kind);
        if (strncmp((*table)->kind, name, len) == 0 && (name[len] == '-' || name[len] == '.'))
            return *table;
    }
    return NULL;
}

static enum status read_file(const char *path, struct arena *arena, struct bytes *out, struct err *err)
{
    enum { FILE_MAX = 1 << 20 };
    char *data = NULL;
    FILE *file = fopen(path, "rb");
    if (!file)
        return err_set(err, STATUS_SYSTEM, path, "could not be opened");
    if (arena_take(arena, FILE_MAX, 1, &data, err) == STATUS_OK)
        *out = (struct bytes){.data = data, .len = fread(data, 1, FILE_MAX, file)};
    (void)fclose(file);
    return data ? STATUS_OK : err->status;
}

static enum status judge(const char *path, struct arena *arena, struct err *err)
{
    const struct table *table = table_of(path);
    struct bytes text;
    struct bytes again;
    void *record = NULL;
    if (!table)
        return err_set(err, STATUS_USAGE, path, "the name says no kind of record");
    TRY(read_file(path, arena, &text, err));
    TRY(arena_take(arena, 1, table->size, &record, err));
    TRY(record_decode(table, text, arena, record, err));
    return record_encode(table, record, arena, &again, err);
}

int main(int count, char **paths)
{
    for (int at = 1; at < count; at++) {
        struct arena arena;
        struct err err = {0};
        arena_init(&arena, (size_t)64 << 20);
        const enum status status = judge(paths[at], &arena, &err);
        arena_clear(&arena);
        if (status == STATUS_OK)
            (void)printf("accepted %s\n", paths[at]);
        else if (status == STATUS_DAMAGED)
            (void)printf("refused %s: %s: %s\n", paths[at], err.subject, err.reason);
        else {
            (void)fprintf(stderr, "%s: %s\n", err.subject, err.reason);
            return EXIT_FAILURE;
        }
    }
    return EXIT_SUCCESS;
}
