/* SPDX-License-Identifier: MIT */
/* Paths of records, and records read from them. */
#include "coretally/store/registry.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void hole_path(const char *hole, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/hole.json", hole);
}

void drilled_path(const char *hole, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/drilled.json", hole);
}

void core_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/cores/%04d.json", hole, (int)number);
}

void samples_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/cores/%04d.samples.json", hole, (int)number);
}

/* The path that the record itself says it belongs under. */
static void own_path(const struct table *table, const void *record, char out[REGISTRY_PATH_MAX])
{
    if (table == &hole_table) {
        char hole[24];
        const struct hole *it = record;
        (void)snprintf(hole, sizeof hole, "%s%s", it->site, it->letter);
        hole_path(hole, out);
    } else if (table == &drilled_set_table)
        drilled_path(((const struct drilled_set *)record)->hole, out);
    else if (table == &core_table)
        core_path(((const struct core *)record)->hole, ((const struct core *)record)->number, out);
    else if (table == &sample_set_table)
        samples_path(((const struct sample_set *)record)->hole, ((const struct sample_set *)record)->core, out);
    else
        (void)snprintf(out, REGISTRY_PATH_MAX, EXPEDITION_PATH);
}

/* What every depth rests on, whoever wrote the file: sections in order and once, the run not upside down. */
static enum status check_core(const char *path, const struct core *core, struct err *err)
{
    for (size_t at = 1; at < core->section_count; at++)
        if (core->sections[at].number <= core->sections[at - 1].number)
            return err_set(err, STATUS_DAMAGED, path, "its sections are out of order, or one stands twice");
    if (core->bottom_um != LENGTH_NONE && core->bottom_um < core->top_um)
        return err_set(err, STATUS_DAMAGED, path, "the bottom of the run lies above its top");
    return STATUS_OK;
}

enum status registry_read(struct store *store, const char *path, const struct table *table, struct arena *arena,
                          void *record, bool *there, struct err *err)
{
    struct bytes bytes = {0};
    TRY(store_read(store, path, arena, &bytes, err));
    if (!bytes.data) {
        record_init(table, record);
        *there = false;
        return STATUS_OK;
    }
    struct err inner = {0};
    if (record_decode(table, bytes, arena, record, &inner) != STATUS_OK) {
        char subject[ERR_SUBJECT_MAX];
        (void)snprintf(subject, sizeof subject, "%s, %.100s", path, inner.subject);
        err_set(err, inner.status, subject, "%s", inner.reason);
        return err_hint(err, "the registry's history holds every earlier version: git log -- %s", path);
    }
    char own[REGISTRY_PATH_MAX];
    own_path(table, record, own);
    if (strcmp(own, path) != 0)
        return err_set(err, STATUS_DAMAGED, path, "the record that stands here belongs to %s", own);
    if (table == &core_table)
        TRY(check_core(path, record, err));
    *there = true;
    return STATUS_OK;
}

enum status registry_holes(struct store *store, struct arena *arena, struct names *out, struct err *err)
{
    struct names names = {0};
    TRY(store_list(store, "holes", arena, &names, err));
    for (size_t at = 0; at < names.count; at++) {
        size_t len = strlen(names.items[at]);
        len -= len > 0 && names.items[at][len - 1] == '/';
        TRY(arena_copy(arena, names.items[at], len, &names.items[at], err));
    }
    *out = names;
    return STATUS_OK;
}

enum status registry_cores(struct store *store, const char *hole, struct arena *arena, int32_t **out, size_t *count,
                           struct err *err)
{
    char folder[REGISTRY_PATH_MAX];
    (void)snprintf(folder, sizeof folder, "holes/%.12s/cores", hole);
    struct names names = {0};
    TRY(store_list(store, folder, arena, &names, err));
    int32_t *numbers = NULL;
    TRY(arena_take(arena, names.count, sizeof *numbers, &numbers, err));
    size_t found = 0;
    for (size_t at = 0; at < names.count; at++) {
        char *end = NULL;
        const long number = strtol(names.items[at], &end, 10);
        if (isdigit((unsigned char)names.items[at][0]) && strcmp(end, ".json") == 0)
            numbers[found++] = (int32_t)number;
    }
    *out = numbers;
    *count = found;
    return STATUS_OK;
}
