/* SPDX-License-Identifier: MIT */
/* Paths of records, and records read from them. */
#include "coretally/store/registry.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/record/log_day.h"

void hole_path(const char *hole, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/hole.json", hole);
}

void renamed_path(const char *hole, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/renamed.json", hole);
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

void core_labels_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/cores/%04d.labels.json", hole, (int)number);
}

void bag_labels_path(const char *hole, enum bag_kind kind, int32_t hundred, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/bags/%s-%04d.labels.json", hole, bag_words[kind], (int)hundred);
}

void well_path(const char *hole, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/well.json", hole);
}

void pumps_path(const char *hole, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/pumps.json", hole);
}

void lag_checks_path(const char *hole, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/lag-checks.json", hole);
}

void bags_path(const char *hole, enum bag_kind kind, int32_t hundred, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/bags/%s-%04d.json", hole, bag_words[kind], (int)hundred);
}

void log_day_path(const char *hole, int64_t day, char out[REGISTRY_PATH_MAX])
{
    char text[DAY_TEXT_MAX];
    day_format(day, text);
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/log/%s.log", hole, text);
}

void correction_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/corrections/%04d.json", hole, (int)number);
}

void signatures_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/corrections/%04d.signed.json", hole, (int)number);
}

void act_signatures_path(const char *act, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "signed/%.40s.json", act);
}

void evidence_path(const char *hash, char out[REGISTRY_PATH_MAX])
{
    (void)snprintf(out, REGISTRY_PATH_MAX, "evidence/%.40s", hash);
}

void contradictions_folder(const char *hole, char out[REGISTRY_PATH_MAX])
{
    if (hole)
        (void)snprintf(out, REGISTRY_PATH_MAX, "holes/%.12s/open", hole);
    else
        (void)snprintf(out, REGISTRY_PATH_MAX, "open");
}

void contradiction_path(const struct contradiction *contradiction, char out[REGISTRY_PATH_MAX])
{
    char folder[REGISTRY_PATH_MAX];
    char id[CONTRADICTION_ID_MAX];
    contradictions_folder(contradiction->hole, folder);
    contradiction_id(contradiction, id);
    (void)snprintf(out, REGISTRY_PATH_MAX, "%.40s/%s.json", folder, id);
}

void registry_own_path(const struct table *table, const void *record, char out[REGISTRY_PATH_MAX])
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
    else if (table == &renaming_set_table)
        renamed_path(((const struct renaming_set *)record)->hole, out);
    else if (table == &geometry_set_table)
        well_path(((const struct geometry_set *)record)->hole, out);
    else if (table == &pump_set_table)
        pumps_path(((const struct pump_set *)record)->hole, out);
    else if (table == &lag_check_set_table)
        lag_checks_path(((const struct lag_check_set *)record)->hole, out);
    else if (table == &correction_table)
        correction_path(((const struct correction *)record)->hole, ((const struct correction *)record)->number, out);
    else if (table == &signature_set_table) {
        const struct signature_set *set = record;
        signatures_path(set->hole, set->number, out);
    } else if (table == &act_signature_set_table)
        act_signatures_path(((const struct act_signature_set *)record)->act, out);
    else if (table == &bag_set_table) {
        const struct bag_set *set = record;
        bags_path(set->hole, set->kind, set->hundred, out);
    } else if (table == &label_set_table) {
        const struct label_set *set = record;
        if (set->core)
            core_labels_path(set->hole, set->core, out);
        else
            bag_labels_path(set->hole, set->kind, set->hundred, out);
    } else if (table == &contradiction_table)
        contradiction_path(record, out);
    else
        (void)snprintf(out, REGISTRY_PATH_MAX, EXPEDITION_PATH);
}

/* What every depth rests on, whoever wrote the file: sections in order and once, the run not upside down. */
static enum status check_core(const char *path, const struct core *core, struct err *err)
{
    for (size_t at = 1; at < core->section_count; at++)
        if (core->sections[at].number <= core->sections[at - 1].number)
            return err_set(err, STATUS_DAMAGED, path, "its sections are out of order, or one occurs twice");
    if (core->bottom_um != LENGTH_NONE && core->bottom_um < core->top_um)
        return err_set(err, STATUS_DAMAGED, path, "the bottom of the run lies above its top");
    return STATUS_OK;
}

/* Numbers in order, once, and of this hundred. */
static enum status check_bags(const char *path, const struct bag_set *set, struct err *err)
{
    for (size_t at = 0; at < set->bag_count; at++)
        if (bag_hundred(set->bags[at].number) != set->hundred ||
            (at > 0 && set->bags[at].number <= set->bags[at - 1].number))
            return err_set(err, STATUS_DAMAGED, path, "its bags are out of order, or one stands in the wrong file");
    return STATUS_OK;
}

/* States in order of time, none longer than the lag has room for. */
static enum status check_well(const char *path, const struct geometry_set *set, struct err *err)
{
    for (size_t at = 0; at < set->state_count; at++)
        if (set->states[at].bore_count > BORES_MAX || set->states[at].part_count > PARTS_MAX ||
            (at > 0 && set->states[at].from.utc_us < set->states[at - 1].from.utc_us))
            return err_set(err, STATUS_DAMAGED, path,
                           "its states are out of order, or one has more bores or parts than a well may");
    return STATUS_OK;
}

/* Pumps that deliver something. */
static enum status check_pumps(const char *path, const struct pump_set *set, struct err *err)
{
    for (size_t at = 0; at < set->pump_count; at++) {
        struct err inner = {0};
        if (!set->pumps[at].withdrawn && pump_check(&set->pumps[at], &inner) != STATUS_OK)
            return err_set(err, STATUS_DAMAGED, path, "pump %.20s: %.200s", set->pumps[at].name, inner.reason);
    }
    return STATUS_OK;
}

/* What its kind needs, rows in order: the chain divides by some of it and looks the rest up. */
static enum status check_correction(const char *path, const struct correction *correction, struct err *err)
{
    struct err inner = {0};
    if (correction_check_kind(correction, &inner) != STATUS_OK ||
        correction_check_rows(correction, &inner) != STATUS_OK)
        return err_set(err, STATUS_DAMAGED, path, "%.60s: %.300s", inner.subject, inner.reason);
    return STATUS_OK;
}

/* A record of the same hole, and what there is to decide between. */
static enum status check_contradiction(const char *path, const struct contradiction *it, struct err *err)
{
    struct place_known place;
    if (!registry_place(it->path, &place) || place.known->table == &contradiction_table ||
        strcmp(place.hole, it->hole ? it->hole : "") != 0)
        return err_set(err, STATUS_DAMAGED, path, "it is about %.80s, which is no record of %s", it->path,
                       it->hole ? it->hole : "the expedition");
    if (it->claim_count < 2)
        return err_set(err, STATUS_DAMAGED, path, "it has %zu value%s; a contradiction has two", it->claim_count,
                       it->claim_count == 1 ? "" : "s");
    return STATUS_OK;
}

enum status registry_check(const char *path, const struct table *table, const void *record, struct err *err)
{
    char own[REGISTRY_PATH_MAX];
    registry_own_path(table, record, own);
    if (strcmp(own, path) != 0)
        return err_set(err, STATUS_DAMAGED, path, "the record here belongs to %s", own);
    if (table == &core_table)
        TRY(check_core(path, record, err));
    if (table == &renaming_set_table && !renamings_are_sound(record))
        return err_set(err, STATUS_DAMAGED, path, "its renamings are not numbered 1, 2, 3, or one changes no name");
    if (table == &bag_set_table)
        TRY(check_bags(path, record, err));
    if (table == &geometry_set_table)
        TRY(check_well(path, record, err));
    if (table == &pump_set_table)
        TRY(check_pumps(path, record, err));
    if (table == &correction_table)
        TRY(check_correction(path, record, err));
    if (table == &contradiction_table)
        TRY(check_contradiction(path, record, err));
    return STATUS_OK;
}

enum status registry_holes(struct store *store, struct arena *arena, struct names *out, struct err *err)
{
    struct known_files places = {0};
    struct names names = {0};
    TRY(registry_list(store, "holes", arena, &places, err));
    TRY(arena_take(arena, places.count, sizeof *names.items, &names.items, err));
    for (; names.count < places.count; names.count++)
        names.items[names.count] = places.items[names.count].hole;
    *out = names;
    return STATUS_OK;
}

enum status registry_log_days(struct store *store, const char *hole, struct arena *arena, int64_t **out, size_t *count,
                              struct err *err)
{
    char folder[REGISTRY_PATH_MAX];
    struct known_files places = {0};
    int64_t *days = NULL;
    (void)snprintf(folder, sizeof folder, "holes/%.12s/log", hole);
    TRY(registry_list(store, folder, arena, &places, err));
    TRY(arena_take(arena, places.count, sizeof *days, &days, err));
    for (size_t at = 0; at < places.count; at++)
        days[at] = places.items[at].day;
    *out = days;
    *count = places.count;
    return STATUS_OK;
}

static int compare_numbers(const void *a, const void *b)
{
    const int32_t left = *(const int32_t *)a;
    const int32_t right = *(const int32_t *)b;
    return (left > right) - (left < right);
}

/* Records whose names are numbers: those of a table in a folder of a hole, of bags those of a kind. */
struct numbered_files {
    const char *folder;
    const struct table *table;
    enum bag_kind kind;
};

/* Their numbers, ascending. */
static enum status list_numbers(struct store *store, const char *hole, struct numbered_files files, struct arena *arena,
                                int32_t **out, size_t *count, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct known_files places = {0};
    int32_t *numbers = NULL;
    size_t found = 0;
    (void)snprintf(path, sizeof path, "holes/%.12s/%s", hole, files.folder);
    TRY(registry_list(store, path, arena, &places, err));
    TRY(arena_take(arena, places.count, sizeof *numbers, &numbers, err));
    for (size_t at = 0; at < places.count; at++)
        if (places.items[at].known->table == files.table && places.items[at].bag == files.kind)
            numbers[found++] = places.items[at].number;
    if (found) /* five digits sort before four */
        qsort(numbers, found, sizeof *numbers, compare_numbers);
    *out = numbers;
    *count = found;
    return STATUS_OK;
}

enum status registry_cores(struct store *store, const char *hole, struct arena *arena, int32_t **out, size_t *count,
                           struct err *err)
{
    return list_numbers(store, hole, (struct numbered_files){"cores", &core_table, BAG_NONE}, arena, out, count, err);
}

enum status registry_hundreds(struct store *store, const char *hole, enum bag_kind kind, struct arena *arena,
                              int32_t **out, size_t *count, struct err *err)
{
    return list_numbers(store, hole, (struct numbered_files){"bags", &bag_set_table, kind}, arena, out, count, err);
}
