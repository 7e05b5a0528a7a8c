/* SPDX-License-Identifier: MIT */
/* Which commit put a record there: the oldest in the unbroken row of versions that equal the present one. */
#include <string.h>

#include "command.h"

const void *pick_whole(const void *record, const void *key)
{
    (void)key;
    return record;
}

const void *pick_section(const void *core, const void *key)
{
    const struct core *it = core;
    for (size_t at = 0; at < it->section_count; at++)
        if (it->sections[at].number == *(const int32_t *)key)
            return &it->sections[at];
    return NULL;
}

const void *pick_sample(const void *set, const void *key)
{
    const struct sample_set *it = set;
    return sample_find(it->samples, it->sample_count, key);
}

const void *pick_drilled(const void *set, const void *key)
{
    const struct drilled_set *it = set;
    for (size_t at = 0; at < it->interval_count; at++)
        if (it->intervals[at].number == *(const int32_t *)key)
            return &it->intervals[at];
    return NULL;
}

/* Equal but for lists: a core's own reading is not changed by an amended section. */
static bool is_same_reading(const struct table *table, const void *a, const void *b)
{
    for (size_t at = 0; at < table->count; at++)
        if (!(table == &core_table && table->fields[at].type == FIELD_LIST) &&
            !field_is_equal(&table->fields[at], a, b))
            return false;
    return true;
}

enum status origin_find(struct run *run, const char *path, const struct table *table,
                        const void *(*pick)(const void *record, const void *key), const void *key,
                        const struct table *part, const void *present, struct commit *out, struct err *err)
{
    struct history *history = NULL;
    TRY(history_open(run->store, path, &history, err));
    enum status status = STATUS_OK;
    bool more = true;
    while (status == STATUS_OK && more) {
        struct commit commit = {0};
        struct bytes bytes = {0};
        status = history_next(history, run->arena, &commit, &bytes, &more, err);
        if (status != STATUS_OK || !more || !bytes.data)
            break;
        void *record = NULL;
        struct err older = {0};
        status = arena_take(run->arena, 1, table->size, &record, err);
        if (status != STATUS_OK || record_decode(table, bytes, run->arena, record, &older) != STATUS_OK)
            break; /* what cannot be read is not equal */
        const void *found = pick(record, key);
        if (!found || !is_same_reading(part, found, present))
            break;
        *out = commit;
    }
    history_close(history);
    if (status == STATUS_OK && !*out->id)
        return err_set(err, STATUS_DAMAGED, path, "the history of this record does not reach its present version");
    return status;
}
