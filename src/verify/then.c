/* SPDX-License-Identifier: MIT */
/* What was doubted at an earlier commit: the rules of today are asked of the records of then. What could not be read
 * then was not doubted. */
#include <string.h>

#include "coretally/domain/renaming.h"
#include "parts.h"

/* One file at one commit. */
struct then {
    const struct doubted_file *file;
    struct state *at;
    struct core_id id; /* of its core then */
    int32_t *out;
};

/* Its version, counted from 1. */
static int32_t version_of(const struct table *part, const void *record)
{
    const struct field *version = field_find(part, "version");
    const int32_t number =
        version && !field_is_absent(version, record) ? *(const int32_t *)((const char *)record + version->offset) : 1;
    return number > 0 ? number : 1;
}

static enum status look_at_core(const struct then *then, struct err *err)
{
    struct core_roll roll;
    struct hole hole;
    struct findings findings = {0};
    struct core core;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    core_path(then->file->place.hole, then->id.number, path);
    TRY(state_read(then->at, path, &core_table, &core, &there, err));
    TRY(state_hole(then->at, then->file->place.hole, &hole, &there, err));
    TRY(core_roll_open(then->at, then->file->place.hole, &roll, err));
    TRY(doubts_of_numbered(&roll, &hole, then->id.number, &findings, err));
    for (size_t at = 0; at < then->file->count; at++) {
        struct finding same = {.rule = then->file->doubts[at].rule};
        (void)snprintf(same.text, sizeof same.text, "%s", then->file->doubts[at].sentence);
        then->out[at] = findings_have(&findings, &same) ? version_of(&core_table, &core) : 0;
    }
    return STATUS_OK;
}

static const char *marks_of(const struct table *table, const void *item)
{
    return table == &sample_set_table ? ((const struct sample *)item)->doubt
           : table == &bag_set_table  ? ((const struct bag *)item)->doubt
                                      : NULL;
}

static enum status find_doubts(const struct then *then, const void *file, const void *item, struct findings *out,
                               struct err *err)
{
    const struct table *table = then->file->place.known->table;
    struct core core;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    if (table != &sample_set_table) {
        doubts_of_item(table, file, item, out);
        return STATUS_OK;
    }
    core_path(then->file->place.hole, then->id.number, path);
    TRY(state_read(then->at, path, &core_table, &core, &there, err));
    if (!there)
        return STATUS_OK;
    sample_check(&core, item, NULL, 0, 0, NULL, out);
    return doubts_of_sample(then->at, &core, item, out, err);
}

/* An item counts where it stands and is marked with the word, or the rule says the same of it. */
static enum status look_at_item(const struct then *then, const void *file, size_t doubt, struct err *err)
{
    const struct table *table = then->file->place.known->table;
    const struct record_at *part = &then->file->parts[doubt];
    const struct doubt *it = &then->file->doubts[doubt];
    const void *item = NULL;
    struct findings findings = {0};
    if (!*part->path)
        return STATUS_OK;
    TRY(record_at_then(then->at->store, part, NULL, file, store_state(then->at->store), &item, err));
    const struct field *withdrawn = item ? field_find(part->part, "withdrawn") : NULL;
    if (!item || (withdrawn && !field_is_absent(withdrawn, item)))
        return STATUS_OK;
    const char *marks = marks_of(table, item);
    bool is_doubted = marks && sample_list_has(marks, rule_word(it->rule));
    if (!it->is_marked)
        TRY(find_doubts(then, file, item, &findings, err));
    for (size_t at = 0; at < findings.count; at++)
        is_doubted =
            is_doubted || (findings.items[at].rule == it->rule && strcmp(findings.items[at].text, it->sentence) == 0);
    then->out[doubt] = is_doubted ? version_of(part->part, item) : 0;
    return STATUS_OK;
}

static enum status look_at_items(const struct then *then, struct err *err)
{
    const struct place_known *place = &then->file->place;
    char path[REGISTRY_PATH_MAX];
    void *file = NULL;
    bool there = false;
    (void)snprintf(path, sizeof path, "%s", place->path);
    if (place_is_of_core(place))
        samples_path(place->hole, then->id.number, path);
    TRY(arena_take(then->at->arena, 1, place->known->table->size, &file, err));
    TRY(state_read(then->at, path, place->known->table, file, &there, err));
    for (size_t at = 0; there && at < then->file->count; at++)
        if (place->known->table == &correction_table)
            then->out[at] = !((const struct correction *)file)->withdrawn; /* nothing else of it changes */
        else
            TRY(look_at_item(then, file, at, err));
    return STATUS_OK;
}

static enum status look(const struct then *then, int32_t *number, struct err *err)
{
    const struct place_known *place = &then->file->place;
    struct then own = *then;
    struct renaming_set before = {.renaming_count = 0};
    if (place_is_of_core(place) && then->file->renamings.renaming_count) {
        TRY(state_renamings(then->at, place->hole, &before, err));
        if (!renamings_between(&then->file->renamings, &before, &own.id))
            return STATUS_OK;
    }
    *number = own.id.number;
    return place->known->table == &core_table ? look_at_core(&own, err) : look_at_items(&own, err);
}

enum status doubted_then(struct verify *verify, const struct doubted_file *file, const char *commit, int32_t *out,
                         int32_t *number, struct err *err)
{
    struct state aside;
    struct state at;
    struct err why = {0};
    *number = 0;
    memset(out, 0, file->count * sizeof *out);
    if (!*commit)
        return STATUS_OK;
    TRY(verify_stand_at(verify, commit, err));
    state_nest(verify->state, &aside);
    state_at(&aside, verify->past, &at);
    at.sink = NULL;
    const enum status status = look(&(struct then){.file = file, .at = &at, .id = file->id, .out = out}, number, &why);
    state_leave(&aside);
    if (status == STATUS_SYSTEM)
        *err = why;
    return status == STATUS_SYSTEM ? status : STATUS_OK;
}
