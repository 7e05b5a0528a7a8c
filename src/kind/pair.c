/* SPDX-License-Identifier: MIT */
/* Items of a file in two versions, paired. */
#include "coretally/kind/pair.h"

#include <stdio.h>
#include <string.h>

static int32_t number_at(const struct field *field, const void *record)
{
    return *(const int32_t *)(const void *)((const char *)record + field->offset);
}

int32_t item_version(const struct table *table, const void *record)
{
    const struct field *field = field_find(table, "version");
    const int32_t version = field ? number_at(field, record) : 1;
    return version > 0 ? version : 1;
}

bool item_is_withdrawn(const struct table *table, const void *record)
{
    const struct field *field = field_find(table, "withdrawn");
    return field && !field_is_absent(field, record);
}

void item_text(const struct table *table, const void *item, char out[ITEM_TEXT_MAX])
{
    char text[SECTION_TEXT_MAX];
    if (table == &sample_table) {
        sample_key(item, out);
        return;
    }
    if (table == &label_table || table == &signature_table || table == &act_signature_table) {
        (void)snprintf(out, ITEM_TEXT_MAX, "%.100s",
                       table == &label_table ? ((const struct label *)item)->name
                                             : ((const struct signature *)item)->name);
        return;
    }
    section_format(item_number(table, item), text);
    (void)snprintf(out, ITEM_TEXT_MAX, "%.60s %s", table->kind, text);
}

/* Does its story go on where that of wanted ends, as an amendment leaves it? */
static bool goes_on(const struct sample *it, const struct sample *wanted, const char *key)
{
    const size_t len = wanted->was ? strlen(wanted->was) : 0;
    if (len && strncmp(it->was, wanted->was, len) != 0)
        return false;
    return it->was[len] ? strcmp(it->was + len + (len > 0), key) == 0 : len > 0;
}

/* By its key, or among those that had it. A former number of a join is no such key: another sample kept it. */
static const void *find_sample(const struct items *items, const struct sample *wanted, size_t hint)
{
    char key[SAMPLE_KEY_MAX];
    char other[SAMPLE_KEY_MAX];
    const struct sample *samples = (const struct sample *)(const void *)items->first;
    const struct sample *found = NULL;
    sample_key(wanted, key);
    for (size_t step = 0; step < items->count; step++) {
        const struct sample *it = &samples[(hint + step) % items->count];
        sample_key(it, other);
        if (strcmp(other, key) == 0)
            return it;
    }
    for (size_t at = 0; at < items->count; at++)
        if (samples[at].was && sample_list_has(samples[at].was, key) && (!found || goes_on(&samples[at], wanted, key)))
            found = &samples[at];
    return found;
}

const void *pair_find(const struct items *items, const void *wanted, size_t hint)
{
    return items->table == &sample_table ? find_sample(items, wanted, hint)
                                         : items_find(items, item_number(items->table, wanted), hint);
}
