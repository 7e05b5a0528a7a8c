/* SPDX-License-Identifier: MIT */
/* One file of the registry by itself: readable, byte for byte as this program writes it, under its own path, each name
 * once. */
#include <stdlib.h>
#include <string.h>

#include "parts.h"

enum status verify_room(const struct known_path *known, struct arena *arena, void **out, struct err *err)
{
    const size_t size = known->kind == KNOWN_LOG_DAY ? sizeof(struct log_day) : known->table ? known->table->size : 1;
    return arena_take(arena, 1, size, out, err);
}

static void hold_bytes(struct verify *verify, const char *path, struct bytes stored, struct bytes written)
{
    size_t line = 1;
    size_t at = 0;
    while (at < stored.len && at < written.len && stored.data[at] == written.data[at])
        line += stored.data[at++] == '\n';
    if (at < stored.len || at < written.len)
        flaw_add(verify, FLAW_RECORD_FORM, path, "", "line %zu is not written as this program writes it", line);
}

static int compare_numbers(const void *a, const void *b)
{
    const int32_t left = *(const int32_t *)a;
    const int32_t right = *(const int32_t *)b;
    return (left > right) - (left < right);
}

/* Numbers of the items of a list that has them: each once. */
static enum status hold_numbers(struct verify *verify, const char *path, const struct field *list, const void *record,
                                struct arena *arena, struct err *err)
{
    const struct field *number = field_find(list->of, "number");
    const size_t count = *(const size_t *)((const char *)record + list->count_offset);
    const char *items = *(const char *const *)((const char *)record + list->offset);
    int32_t *numbers = NULL;
    if (!number || !field_find(list->of, "version") || list->of == &sample_table)
        return STATUS_OK;
    TRY(arena_take(arena, count, sizeof *numbers, &numbers, err));
    for (size_t at = 0; at < count; at++)
        numbers[at] = *(const int32_t *)(items + at * list->of->size + number->offset);
    if (count)
        qsort(numbers, count, sizeof *numbers, compare_numbers);
    for (size_t at = 1; at < count; at++)
        if (numbers[at] == numbers[at - 1]) {
            char item[48];
            (void)snprintf(item, sizeof item, "%.20s %d", list->of->kind, (int)numbers[at]);
            flaw_add(verify, FLAW_NAME_TWICE, path, item, "the number %d occurs twice", (int)numbers[at]);
        }
    return STATUS_OK;
}

static int compare_lab_ids(const void *a, const void *b)
{
    const struct sample *const *left = a;
    const struct sample *const *right = b;
    return strcmp((*left)->lab_id, (*right)->lab_id);
}

static enum status hold_samples(struct verify *verify, const char *path, const struct sample_set *set,
                                struct arena *arena, struct err *err)
{
    char key[SAMPLE_KEY_MAX];
    const struct sample **with_id = NULL;
    size_t count = 0;
    TRY(arena_take(arena, set->sample_count, sizeof(void *), &with_id, err));
    for (size_t at = 0; at < set->sample_count; at++) {
        const int order = at ? sample_order(&set->samples[at - 1], &set->samples[at]) : -1;
        if (set->samples[at].lab_id)
            with_id[count++] = &set->samples[at];
        if (order < 0)
            continue;
        sample_key(&set->samples[at], key);
        if (order == 0)
            flaw_add(verify, FLAW_NAME_TWICE, path, key, "two samples of this core have the name %s", key);
        else
            flaw_add(verify, FLAW_RECORD_ORDER, path, key, "the sample %s is out of order", key);
    }
    if (count)
        qsort(with_id, count, sizeof(void *), compare_lab_ids);
    for (size_t at = 1; at < count; at++)
        if (strcmp(with_id[at]->lab_id, with_id[at - 1]->lab_id) == 0) {
            sample_key(with_id[at], key);
            flaw_add(verify, FLAW_NAME_TWICE, path, key, "two samples of this core have the lab id %s",
                     with_id[at]->lab_id);
        }
    return STATUS_OK;
}

static int copy_of(const struct label *label)
{
    return label->copy && label->copy != INT_NONE ? (int)label->copy : 1;
}

static int compare_labels(const void *a, const void *b)
{
    const struct label *const *left = a;
    const struct label *const *right = b;
    const int order = strcmp((*left)->name, (*right)->name);
    return order ? order : copy_of(*left) - copy_of(*right);
}

static enum status hold_copies(struct verify *verify, const char *path, const struct label_set *set,
                               struct arena *arena, struct err *err)
{
    const struct label **sorted = NULL;
    TRY(arena_take(arena, set->label_count, sizeof(void *), &sorted, err));
    for (size_t at = 0; at < set->label_count; at++)
        sorted[at] = &set->labels[at];
    if (set->label_count)
        qsort(sorted, set->label_count, sizeof(void *), compare_labels);
    for (size_t at = 1; at < set->label_count; at++)
        if (record_is_equal(&label_table, sorted[at - 1], sorted[at]))
            flaw_add(verify, FLAW_RECORD_ORDER, path, sorted[at]->name, "the same label stands here twice");
        else if (compare_labels(&sorted[at - 1], &sorted[at]) == 0) /* of two sides it is right: first.c */
            flaw_add(verify, FLAW_NAME_TWICE, path, sorted[at]->name, "copy %d of this label occurs twice",
                     copy_of(sorted[at]));
    return STATUS_OK;
}

static enum status hold_record(struct verify *verify, const struct place_known *place, struct bytes bytes,
                               struct arena *arena, void *record, bool *sound, struct err *err)
{
    const struct table *table = place->known->table;
    char own[REGISTRY_PATH_MAX];
    struct err why = {0};
    struct bytes written = {0};
    if (record_decode(table, bytes, arena, record, &why) != STATUS_OK) {
        if (why.status == STATUS_SYSTEM)
            return flaw_unreadable(verify, FLAW_RECORD_UNREADABLE, place->path, &why, err);
        flaw_add(verify, record_is_newer(bytes) ? FLAW_FORMAT_NEWER : FLAW_RECORD_UNREADABLE, place->path, "", "%s: %s",
                 why.subject, why.reason);
        return STATUS_OK;
    }
    /* There is one format so far; a record of an older one will be written anew in its own. */
    TRY(record_encode(table, record, arena, &written, err));
    hold_bytes(verify, place->path, bytes, written);
    registry_own_path(table, record, own);
    if (strcmp(own, place->path) != 0) {
        flaw_add(verify, FLAW_RECORD_PLACE, place->path, "", "the record here belongs to %s", own);
        return STATUS_OK;
    }
    if (registry_check(place->path, table, record, &why) != STATUS_OK) {
        flaw_add(verify, FLAW_RECORD_ORDER, place->path, "", "%s", why.reason);
        return STATUS_OK;
    }
    *sound = true;
    for (size_t at = 0; at < table->count; at++)
        if (table->fields[at].type == FIELD_LIST)
            TRY(hold_numbers(verify, place->path, &table->fields[at], record, arena, err));
    if (table == &sample_set_table)
        TRY(hold_samples(verify, place->path, record, arena, err));
    if (table == &label_set_table)
        TRY(hold_copies(verify, place->path, record, arena, err));
    verify_rules_of(verify, place, record);
    return STATUS_OK;
}

static enum status hold_log_day(struct verify *verify, const struct place_known *place, struct bytes bytes,
                                struct arena *arena, struct log_day *day, bool *sound, struct err *err)
{
    struct err why = {0};
    struct bytes written = {0};
    if (log_day_decode(bytes, arena, day, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_RECORD_UNREADABLE, place->path, &why, err);
    TRY(log_day_encode(day, arena, &written, err));
    hold_bytes(verify, place->path, bytes, written);
    *sound = strcmp(day->hole, place->hole) == 0 && day->day == place->day;
    if (!*sound) {
        char own[REGISTRY_PATH_MAX];
        log_day_path(day->hole, day->day, own);
        flaw_add(verify, FLAW_RECORD_PLACE, place->path, "", "the day of the log here belongs to %s", own);
    }
    return STATUS_OK;
}

static enum status hold_evidence(struct verify *verify, const struct place_known *place, struct bytes bytes,
                                 bool *sound, struct err *err)
{
    char hash[HASH_TEXT_MAX];
    TRY(store_hash(bytes, hash, err));
    *sound = strcmp(hash, strrchr(place->path, '/') + 1) == 0;
    if (!*sound)
        flaw_add(verify, FLAW_EVIDENCE_HASH, place->path, "", "its bytes have the hash %s", hash);
    return STATUS_OK;
}

enum status verify_bytes(struct verify *verify, const struct place_known *place, struct bytes bytes,
                         struct arena *arena, void *record, bool *sound, struct err *err)
{
    *sound = false;
    state_progress(verify->state, "files looked at", verify->files++, 0, &verify->next_ms);
    switch (place->known->kind) {
    case KNOWN_LOG_DAY:
        return hold_log_day(verify, place, bytes, arena, record, sound, err);
    case KNOWN_EVIDENCE:
        return hold_evidence(verify, place, bytes, sound, err);
    case KNOWN_RECORD:
        break;
    }
    return hold_record(verify, place, bytes, arena, record, sound, err);
}

enum status verify_read(struct verify *verify, const struct place_known *place, struct arena *arena, void *record,
                        bool *sound, struct err *err)
{
    struct bytes bytes = {0};
    struct err why = {0};
    *sound = false;
    const enum status status = verify->is_rules ? state_bytes(verify->state, place->path, &bytes, &why)
                                                : store_read(verify->store, place->path, arena, &bytes, &why);
    if (status != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, place->path, &why, err);
    return bytes.data ? verify_bytes(verify, place, bytes, arena, record, sound, err) : STATUS_OK;
}
