/* SPDX-License-Identifier: MIT */
/* A hole: its record and what it names, its corrections against one another, and each of its files. */
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "parts.h"

static bool view_has_path(const struct hole_view *view, const char *path)
{
    for (size_t at = 0; at < view->place_count; at++)
        if (strcmp(view->places[at].path, path) == 0)
            return true;
    return false;
}

/* The state under the eyes; what is made of it lives as long as the view. */
static struct state view_state(const struct verify *verify, const struct hole_view *view)
{
    struct state at;
    state_at(verify->state, verify->store, &at);
    at.arena = view->arena;
    return at;
}

/* Up the line of the holes that a sidetrack leaves: each is there, and no circle. */
static enum status hold_parents(struct verify *verify, const struct hole_view *view, const struct hole *hole,
                                bool *sound, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char own[REGISTRY_PATH_MAX];
    struct hole parent = *hole;
    struct state at = view_state(verify, view);
    hole_path(view->name, own);
    for (int depth = 0; *sound && parent.parent; depth++) {
        struct err why = {0};
        bool there = false;
        char name[HOLE_NAME_MAX];
        (void)snprintf(name, sizeof name, "%s", parent.parent);
        hole_path(name, path);
        if (depth == PARENTS_MAX) {
            flaw_add(verify, FLAW_REFERENCE_LOOP, own, "",
                     "it is a sidetrack of itself, or more than %d sidetracks deep", PARENTS_MAX);
            *sound = false;
            return STATUS_OK;
        }
        if (state_read(&at, path, &hole_table, &parent, &there, &why) != STATUS_OK) {
            *sound = false;
            return flaw_unreadable(verify, FLAW_RECORD_UNREADABLE, path, &why, err);
        }
        if (!there) {
            flaw_add(verify, FLAW_REFERENCE_MISSING, own, name, "the hole %s that it leaves is not recorded", name);
            *sound = false;
        }
    }
    return STATUS_OK;
}

/* The hole with its corrections in force; without them the depths of its cores are not looked at. */
static enum status read_view(struct verify *verify, struct hole_view *view, struct err *err)
{
    struct place_known place;
    struct hole hole;
    struct err why = {0};
    bool sound = false;
    char path[REGISTRY_PATH_MAX];
    hole_path(view->name, path);
    if (!registry_place(path, &place) || !view_has_path(view, path)) {
        flaw_add(verify, FLAW_FILE_MISSING, path, "", "the folder of hole %s has %zu files, and no record of the hole",
                 view->name, view->place_count);
        return STATUS_OK;
    }
    TRY(verify_read(verify, &place, view->arena, &hole, &sound, err));
    if (sound)
        TRY(hold_parents(verify, view, &hole, &sound, err));
    if (!sound)
        return STATUS_OK;
    struct state at = view_state(verify, view);
    const enum status status = state_hole(&at, view->name, &view->hole, &view->has_hole, &why);
    view->has_hole = view->has_hole && status == STATUS_OK;
    if (status == STATUS_SYSTEM)
        *err = why;
    return status == STATUS_SYSTEM ? status : STATUS_OK;
}

/* The cores that it names. A table of offsets may hold cores that are still to come. */
static void hold_named_cores(struct verify *verify, const struct hole_view *view, const char *path,
                             const struct correction *it)
{
    if (it->withdrawn) /* a core that it names may have another number since */
        return;
    if (it->core && !view_has_core(view, it->core))
        flaw_add(verify, FLAW_REFERENCE_MISSING, path, "", "core %d that it corrects is not recorded", (int)it->core);
    for (size_t at = 0; at < it->interval_count; at++)
        if (!view_has_core(view, it->intervals[at].core))
            flaw_add(verify, FLAW_REFERENCE_MISSING, path, "", "core %d of its splice is not recorded",
                     (int)it->intervals[at].core);
}

/* Was the correction at the path recorded before this one? Its number tells, unless a join gave it another. */
static bool is_earlier(const struct verify *verify, const char *path, const struct correction *it)
{
    struct arena scratch;
    struct bytes bytes = {0};
    struct correction other;
    struct err ignored = {0};
    arena_init(&scratch, ARENA_LIMIT_BYTES);
    const bool is_read = store_read(verify->store, path, &scratch, &bytes, &ignored) == STATUS_OK && bytes.data &&
                         record_decode(&correction_table, bytes, &scratch, &other, &ignored) == STATUS_OK;
    const bool is_it = is_read && correction_recorded_as(&other) < correction_recorded_as(it);
    arena_clear(&scratch);
    return is_it;
}

static void hold_superseded(struct verify *verify, const struct hole_view *view, const char *path,
                            const struct correction *it)
{
    for (const char *at = it->supersedes; at; at = strchr(at, ' ') ? strchr(at, ' ') + 1 : NULL) {
        char other[REGISTRY_PATH_MAX];
        const int32_t number = (int32_t)strtol(at, NULL, 10);
        correction_path(view->name, number, other);
        if (number >= it->number && !is_earlier(verify, other, it))
            flaw_add(verify, FLAW_REFERENCE_LOOP, path, "",
                     "it takes the place of correction %d, which is not older than itself", (int)number);
        else if (!view_has_path(view, other))
            flaw_add(verify, FLAW_REFERENCE_MISSING, path, "", "correction %d whose place it takes is not recorded",
                     (int)number);
    }
}

static enum status hold_evidence(struct verify *verify, const char *path, const struct correction *it, struct err *err)
{
    char evidence[REGISTRY_PATH_MAX];
    struct arena scratch;
    struct bytes bytes = {0};
    struct err why = {0};
    if (!it->evidence_file)
        return STATUS_OK;
    struct arena *const whole = verify->state->arena;
    TRY(arena_grow(whole, &verify->evidence, verify->evidence_count, &verify->evidence_room, sizeof *verify->evidence,
                   err));
    TRY(arena_copy(whole, it->evidence_file, strlen(it->evidence_file), &verify->evidence[verify->evidence_count++],
                   err));
    evidence_path(it->evidence_file, evidence);
    arena_init(&scratch, ARENA_LIMIT_BYTES);
    const enum status status = store_read(verify->store, evidence, &scratch, &bytes, &why);
    const bool there = bytes.data != NULL;
    arena_clear(&scratch);
    if (status != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, evidence, &why, err);
    if (!there)
        flaw_add(verify, FLAW_REFERENCE_MISSING, path, it->evidence_file, "its evidence file '%s' is not there",
                 it->evidence_name ? it->evidence_name : it->evidence_file);
    return STATUS_OK;
}

/* Those in force against one another: what entry refuses beside them. */
static void hold_in_force(struct verify *verify, const struct hole_view *view)
{
    for (size_t at = 0; view->has_hole && at < view->hole.correction_count; at++) {
        const struct correction *it = view->hole.corrections[at];
        struct findings findings = {0};
        char path[REGISTRY_PATH_MAX];
        correction_path(view->name, it->number, path);
        correction_check(it, view->hole.corrections, view->hole.correction_count, &view->hole, &findings);
        verify_rules(verify, path, "", &findings, NULL);
        verify_doubts(verify, path, "", &findings, NULL);
    }
}

static enum status look_at_correction(struct verify *verify, const struct hole_view *view,
                                      const struct place_known *place, struct arena *arena, struct err *err)
{
    struct correction correction;
    bool sound = false;
    TRY(verify_read(verify, place, arena, &correction, &sound, err));
    if (!sound)
        return STATUS_OK;
    hold_named_cores(verify, view, place->path, &correction);
    hold_superseded(verify, view, place->path, &correction);
    return verify->is_rules ? STATUS_OK : hold_evidence(verify, place->path, &correction, err);
}

/* What was signed is there. */
static enum status look_at_signatures(struct verify *verify, const struct hole_view *view,
                                      const struct place_known *place, struct arena *arena, struct err *err)
{
    struct signature_set set;
    char path[REGISTRY_PATH_MAX];
    bool sound = false;
    TRY(verify_read(verify, place, arena, &set, &sound, err));
    correction_path(view->name, place->number, path);
    if (sound && !view_has_path(view, path))
        flaw_add(verify, FLAW_REFERENCE_MISSING, place->path, "", "correction %d that was signed is not recorded",
                 (int)place->number);
    return STATUS_OK;
}

/* A file of the hole that belongs to no core. */
static enum status look_at_place(struct verify *verify, const struct hole_view *view, const struct place_known *place,
                                 bool is_part, struct arena *arena, struct err *err)
{
    const struct table *table = place->known->table;
    void *record = NULL;
    bool sound = false;
    if (verify->is_rules && (!table || table == &label_set_table || table == &contradiction_table))
        return STATUS_OK;
    if (table == &correction_table)
        return look_at_correction(verify, view, place, arena, err);
    if (table == &signature_set_table)
        return look_at_signatures(verify, view, place, arena, err);
    if (table == &contradiction_table)
        return verify_contradiction(verify, place, err);
    if (is_part)
        return STATUS_OK;
    if (table == &label_set_table)
        return verify_labels(verify, place, err);
    if (table == &hole_table || table == &renaming_set_table || place_is_of_core(place)) /* each has its turn */
        return STATUS_OK;
    TRY(verify_room(place->known, arena, &record, err));
    return verify_read(verify, place, arena, record, &sound, err);
}

enum status verify_hole(struct verify *verify, struct hole_view *view, const int32_t *wanted, size_t count,
                        struct err *err)
{
    struct arena arena;
    TRY(view_list_cores(view, err));
    TRY(read_view(verify, view, err));
    TRY(verify_renamed(verify, view, err));
    arena_init(&arena, ARENA_LIMIT_BYTES);
    enum status status = STATUS_OK;
    for (size_t at = 0; status == STATUS_OK && at < view->place_count; at++) {
        status = look_at_place(verify, view, &view->places[at], wanted != NULL, &arena, err);
        arena_clear(&arena);
    }
    TRY(status);
    hold_in_force(verify, view);
    return verify_cores(verify, view, wanted, count, err);
}
