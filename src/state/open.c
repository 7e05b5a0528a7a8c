/* SPDX-License-Identifier: MIT */
/* Contradictions of a state, each with the record that it is about. */
#include "coretally/state/open.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/record/items.h"
#include "coretally/record/log_day.h"
#include "coretally/state/read.h"

bool open_place(const struct contradiction *it, struct open_place *out)
{
    struct open_place place = {0};
    if (!registry_place(it->path, &place.known) || place.known.known->kind == KNOWN_EVIDENCE)
        return false;
    const struct table *file = place.known.known->table;
    place.part = file;
    if (it->item) {
        place.list = file ? table_items(file) : NULL;
        place.part = place.list ? place.list->of : NULL;
        if (!place.list)
            return false;
    }
    if (it->field) {
        place.field = place.part ? field_find(place.part, it->field) : NULL;
        if (!place.field)
            return false;
    }
    *out = place;
    return true;
}

void open_item_text(const struct table *part, const void *item, char out[SAMPLE_KEY_MAX])
{
    char text[SECTION_TEXT_MAX];
    if (part == &sample_table) {
        sample_key(item, out);
        return;
    }
    if (part == &section_table) {
        section_format(((const struct section *)item)->number, text);
        (void)snprintf(out, SAMPLE_KEY_MAX, "%s", text);
        return;
    }
    (void)snprintf(out, SAMPLE_KEY_MAX, "%d", (int)item_number(part, item));
}

const void *open_pick(const struct open_place *at, const char *item, const void *file)
{
    char text[SAMPLE_KEY_MAX];
    if (!at->list)
        return file;
    const struct items items = items_of(at->list, file);
    if (at->part == &sample_table) {
        const struct sample *samples = (const struct sample *)(const void *)items.first;
        const struct sample *found = sample_find(samples, items.count, item);
        return found ? found : sample_find_former(samples, items.count, item);
    }
    for (size_t one = 0; one < items.count; one++) {
        open_item_text(at->part, items_at(&items, one), text);
        if (strcmp(text, item) == 0)
            return items_at(&items, one);
    }
    return NULL;
}

/* --- names --- */

/* The word that stands between the hole and the number; NULL: the thing has a name of its own. */
static const char *word_of(const struct table *file)
{
    static const struct {
        const struct table *file;
        const char *word;
    } words[] = {{&drilled_set_table, "drilled"},
                 {&geometry_set_table, "well"},
                 {&pump_set_table, "pump"},
                 {&lag_check_set_table, "check"},
                 {&correction_table, "correction"}};
    for (size_t at = 0; at < sizeof words / sizeof words[0]; at++)
        if (words[at].file == file)
            return words[at].word;
    return file ? NULL : "log";
}

static void name_numbered(struct open_point *point)
{
    const struct place_known *known = &point->at.known;
    const char *word = word_of(known->known->table);
    char number[SAMPLE_KEY_MAX];
    if (!known->known->table)
        day_format(known->day, number);
    else
        (void)snprintf(number, sizeof number, "%s", point->it.item ? point->it.item : "");
    if (known->known->table == &correction_table)
        (void)snprintf(number, sizeof number, "%d", (int)known->number);
    (void)snprintf(point->thing, sizeof point->thing, "%s %s %.40s", known->hole, word, number);
    (void)snprintf(point->typed, sizeof point->typed, "%s", point->thing);
}

/* The core of the file; NULL where it is not recorded. */
static const struct core *core_of(struct state *state, const struct open_point *point, const void *file,
                                  struct core *room, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    if (point->at.known.known->table == &core_table)
        return file;
    core_path(point->at.known.hole, point->at.known.number, path);
    return state_read(state, path, &core_table, room, &there, err) == STATUS_OK && there ? room : NULL;
}

static enum status name_in_core(struct state *state, struct open_point *point, const void *file, struct name *name,
                                struct err *err)
{
    struct core room;
    const struct core *core = core_of(state, point, file, &room, err);
    name->level = NAME_CORE;
    name->core = point->at.known.number;
    name->type = 'H';
    if (err->status != STATUS_OK)
        return err->status;
    if (core)
        name->type = core->type;
    if (point->record && point->at.part == &section_table) {
        name->level = NAME_SECTION;
        name->section = ((const struct section *)point->record)->number;
    } else if (point->record && point->at.part == &sample_table) {
        name->level = NAME_SAMPLE;
        name_set_sample(name, point->record);
    }
    return STATUS_OK;
}

/* What people call it; file: as read, NULL where it is not there. */
static enum status name_point(struct state *state, struct open_point *point, const void *file, struct err *err)
{
    const struct place_known *known = &point->at.known;
    struct name name;
    if (!*known->hole) {
        (void)snprintf(point->thing, sizeof point->thing, "expedition %s", state->expedition.number);
        (void)snprintf(point->typed, sizeof point->typed, "expedition");
        return STATUS_OK;
    }
    if (word_of(known->known->table)) {
        name_numbered(point);
        return STATUS_OK;
    }
    TRY(name_parse(known->hole, &name, err));
    if (place_is_of_core(known) && file)
        TRY(name_in_core(state, point, file, &name, err));
    if (known->known->table == &bag_set_table && point->it.item) {
        name.level = NAME_BAG;
        name.bag = known->bag;
        name.bag_number = (int32_t)strtol(point->it.item, NULL, 10);
    }
    name_format(&name, NAME_COMPACT, point->typed);
    if (name.level != NAME_HOLE)
        (void)snprintf(name.expedition, sizeof name.expedition, "%s", state->expedition.number);
    name_format(&name, NAME_PRINTED, point->thing);
    return STATUS_OK;
}

/* --- reading --- */

/* What is not where the contradiction says is no reason to stop: verify names it, and so does the list. */
static enum status find_record(struct state *state, struct open_point *point, struct err *err)
{
    void *file = NULL;
    bool there = false;
    if (!open_place(&point->it, &point->at)) {
        point->at = (struct open_place){.part = NULL};
        (void)snprintf(point->thing, sizeof point->thing, "%.60s", point->it.path);
        (void)snprintf(point->typed, sizeof point->typed, "%.60s", point->it.path);
        return STATUS_OK;
    }
    const struct table *table = point->at.known.known->table;
    if (table) {
        TRY(arena_take(state->arena, 1, table->size, &file, err));
        TRY(state_read(state, point->it.path, table, file, &there, err));
    }
    if (there)
        point->record = open_pick(&point->at, point->it.item, file);
    return name_point(state, point, there ? file : NULL, err);
}

static int compare_texts(const char *a, const char *b)
{
    return strcmp(a ? a : "", b ? b : "");
}

static int compare_points(const void *a, const void *b)
{
    const struct open_point *left = a;
    const struct open_point *right = b;
    int order = compare_texts(left->it.path, right->it.path);
    if (!order)
        order = compare_texts(left->it.item, right->it.item);
    return order ? order : compare_texts(left->it.field, right->it.field);
}

enum status open_points_read(struct state *state, const char *hole, struct open_points *out, struct err *err)
{
    struct state quiet = *state;
    char folder[REGISTRY_PATH_MAX];
    struct known_files files = {0};
    struct open_points points = {0};
    quiet.open = NULL;
    contradictions_folder(hole, folder);
    TRY(state_list(&quiet, folder, &files, err));
    TRY(arena_take(state->arena, files.count, sizeof *points.items, &points.items, err));
    for (; points.count < files.count; points.count++) {
        struct open_point *point = &points.items[points.count];
        bool there = false;
        (void)snprintf(point->path, sizeof point->path, "%s", files.items[points.count].path);
        TRY(state_read(&quiet, point->path, &contradiction_table, &point->it, &there, err));
        TRY(find_record(&quiet, point, err));
    }
    if (points.count)
        qsort(points.items, points.count, sizeof *points.items, compare_points);
    *out = points;
    return STATUS_OK;
}

enum status open_point_of(struct state *state, const char *path, const char *item, struct open_point *out,
                          struct err *err)
{
    *out = (struct open_point){.it = {.path = path, .item = item}};
    return find_record(state, out, err);
}

/* --- words --- */

void open_add_value(const struct open_point *point, const char *value, struct text *out)
{
    const struct field *field = point->at.field;
    text_add(out, value ? value : "none");
    if (value && field && field->type == FIELD_LENGTH)
        text_addf(out, " %s", length_unit_suffix(field->unit));
    if (value && field && field->type == FIELD_REAL && field->suffix)
        text_addf(out, " %s", field->suffix);
}

void open_add_claims(const struct open_point *point, struct text *out)
{
    if (point->it.field)
        text_addf(out, "%s ", point->it.field);
    for (size_t at = 0; at < point->it.claim_count; at++) {
        text_add(out, at ? " or " : "");
        open_add_value(point, point->it.claims[at].value, out);
    }
}
