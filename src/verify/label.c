/* SPDX-License-Identifier: MIT */
/* Labels: what each said is worked out anew at the state that it names. Labels of one state are taken together, so that
 * the registry stands there once. */
#include <stdlib.h>
#include <string.h>

#include "coretally/state/bag.h"
#include "coretally/state/stays.h"
#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"
#include "coretally/ask/trace_names.h"
#include "coretally/store/merge.h"
#include "parts.h"

/* Labels of one file, by state. */
struct sorted {
    const char *path;
    const struct label_set *set;
    const struct label **labels;
    size_t count;
    const struct state *file; /* what the labels of the file have read in common */
};

static int compare_states(const void *a, const void *b)
{
    const struct label *const *left = a;
    const struct label *const *right = b;
    return strcmp((*left)->state, (*right)->state);
}

enum status verify_has_commit(struct verify *verify, const char *commit, bool *out, struct err *err)
{
    struct err why = {0};
    if (!verify->is_whole) {
        if (store_descends(verify->store, commit, out, &why) == STATUS_OK)
            return STATUS_OK;
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &why, err);
    }
    if (!verify->has_lineage) {
        struct commits commits = {0};
        TRY(store_commits(verify->store, "", verify->state->arena, &commits, err));
        verify->lineage = (struct lineage){commits.ids, commits.count};
        lineage_sort(&verify->lineage);
        verify->has_lineage = true;
        verify->is_broken = commits.broken != NULL;
    }
    *out = verify->is_broken || lineage_has(&verify->lineage, commit);
    return STATUS_OK;
}

enum status verify_stand_at(struct verify *verify, const char *state, struct err *err)
{
    return verify->past ? store_stand_at(verify->past, state, err)
                        : store_open_at(verify->path, state, verify->objects, &verify->past, err);
}

/* The past at a state. What depths of the whole hole rest on is read for all its labels, cores and samples for a file.
 */
static enum status stand_at(struct verify *verify, const char *state, const char *hole, struct state *out,
                            struct err *err)
{
    struct state whole;
    struct hole known;
    struct err told_later = {0};
    bool there = false;
    TRY(verify_stand_at(verify, state, err));
    out->store = verify->past;
    out->sink = NULL; /* the labels are held, not what their depths rest on */
    state_at(verify->state, verify->past, &whole);
    whole.arena = out->arena;
    TRY(state_read(&whole, EXPEDITION_PATH, &expedition_table, &out->expedition, &there, err));
    if (state_hole(&whole, hole, &known, &there, &told_later) == STATUS_SYSTEM) {
        *err = told_later;
        return err->status;
    }
    return STATUS_OK;
}

static struct length_text shown(int64_t um, const char *scale)
{
    struct length_text none = {.text = "n/a"};
    return um == LENGTH_NONE ? none : length_text(um, UNIT_M, label_decimals(scale));
}

static void hold_depths(struct verify *verify, const char *path, const struct label *label, int64_t top_um,
                        int64_t bottom_um)
{
    const int decimals = label_decimals(label->scale);
    const bool is_known = top_um != LENGTH_NONE && bottom_um != LENGTH_NONE; /* a label shows both or none */
    const int64_t top = is_known ? label_rounded(top_um, decimals) : LENGTH_NONE;
    const int64_t bottom = is_known ? label_rounded(bottom_um, decimals) : LENGTH_NONE;
    const bool is_same = top == label->top_um && bottom == label->bottom_um;
    if (verify->is_orphan)
        flaw_add(verify, is_same ? FLAW_LABEL_REBASED : FLAW_LABEL_STATE, path, label->name,
                 "the state %s that it names is not a commit of this history; its depth is %sthat of the commit that "
                 "recorded it",
                 label->state, is_same ? "" : "not ");
    if (verify->is_orphan || is_same)
        return;
    flaw_add(verify, FLAW_LABEL_DEPTH, path, label->name,
             "it showed %s to %s m %s; at its state %.10s it is %s to %s m", shown(label->top_um, label->scale).text,
             shown(label->bottom_um, label->scale).text, label->scale, label->state, shown(top, label->scale).text,
             shown(bottom, label->scale).text);
}

/* The thing of this label was not there, or could not be read, at the state. */
static enum status tell_missing(struct verify *verify, const char *path, const struct label *label,
                                const struct err *why, struct err *err)
{
    if (why->status == STATUS_SYSTEM) {
        *err = *why;
        return why->status;
    }
    if (verify->is_orphan) {
        flaw_add(verify, FLAW_LABEL_STATE, path, label->name,
                 "the state %s that it names is not a commit of this history, and where it was recorded: %s: %s",
                 label->state, why->subject, why->reason);
        return STATUS_OK;
    }
    flaw_add(verify, why->status == STATUS_DAMAGED ? FLAW_RECORD_UNREADABLE : FLAW_REFERENCE_MISSING, path, label->name,
             "at its state %.10s: %s: %s", label->state, why->subject, why->reason);
    return STATUS_OK;
}

static enum status hold_core_labels(struct verify *verify, struct state *past, const struct sorted *labels,
                                    size_t first, size_t last, struct err *err)
{
    struct trace_names names = {.state = past};
    for (size_t at = first; at < last; at++) {
        const struct label *label = labels->labels[at];
        struct span span;
        struct depth top;
        struct depth bottom;
        struct err why = {0};
        if (trace_names_span(&names, label->name, true, &span, &why) != STATUS_OK) {
            TRY(tell_missing(verify, labels->path, label, &why, err));
            continue;
        }
        span_depths(&span, scale_find(label->scale), &top, &bottom);
        hold_depths(verify, labels->path, label, top.um, bottom.um);
    }
    return STATUS_OK;
}

static enum status hold_bag_label(struct verify *verify, struct state *past, struct lag_hole *hole, const char *path,
                                  const struct label *label, struct err *err)
{
    struct name name;
    struct bag_target at;
    struct lag_depth depth;
    struct err why = {0};
    const enum scale scale = scale_find(label->scale);
    enum status status = name_parse(label->name, &name, &why);
    if (status == STATUS_OK)
        status = bag_read(past, hole->target, name.bag, name.bag_number, &at, &why);
    if (status == STATUS_OK && !at.bag)
        status = err_set(&why, STATUS_UNKNOWN, label->name, "no such bag is recorded");
    if (status == STATUS_OK)
        status = bag_depth(past, hole, name.bag, at.bag, &depth, &why);
    if (status != STATUS_OK)
        return tell_missing(verify, path, label, &why, err);
    struct depth ends[BAG_ENDS];
    bag_depths(&hole->target->hole, &depth, scale, ends);
    if (scale_is_drilled(scale))
        hold_depths(verify, path, label, ends[BAG_TOP].um, ends[BAG_BOTTOM].um);
    else
        flaw_add(verify, FLAW_LABEL_DEPTH, path, label->name, "what came over the shaker has no depth on the scale %s",
                 label->scale);
    return STATUS_OK;
}

static enum status hold_bag_labels(struct verify *verify, struct state *past, const struct sorted *labels, size_t first,
                                   size_t last, struct err *err)
{
    struct target target = {0};
    struct lag_hole hole;
    struct name name;
    struct err why = {0};
    enum status status = name_parse(labels->labels[first]->name, &name, &why);
    if (status == STATUS_OK)
        status = resolve_hole(past, &name, &target, &why);
    if (status == STATUS_OK)
        status = lag_hole_try(past, &target, &hole, &why);
    if (status != STATUS_OK)
        return tell_missing(verify, labels->path, labels->labels[first], &why, err);
    hole.ahead = 7; /* bags come in order of time: a week of the log at once */
    for (size_t at = first; status == STATUS_OK && at < last; at++)
        status = hold_bag_label(verify, past, &hole, labels->path, labels->labels[at], err);
    lag_hole_close(&hole);
    return status;
}

/* The depths of labels first to last - 1 at a state. */
static enum status hold_at(struct verify *verify, const struct sorted *labels, size_t first, size_t last,
                           const char *state, struct err *err)
{
    struct state past;
    struct err why = {0};
    state_nest_results(labels->file, &past);
    enum status status = stand_at(verify, state, labels->set->hole, &past, &why);
    if (status != STATUS_OK)
        status = tell_missing(verify, labels->path, labels->labels[first], &why, err);
    else if (labels->set->core)
        status = hold_core_labels(verify, &past, labels, first, last, err);
    else
        status = hold_bag_labels(verify, &past, labels, first, last, err);
    state_leave(&past);
    return status;
}

static bool has_label(const struct label_set *set, const struct label *label)
{
    for (size_t at = 0; at < set->label_count; at++)
        if (record_is_equal(&label_table, &set->labels[at], label))
            return true;
    return false;
}

/* Has this version of the file the label? What is no record is told by itself. */
static enum status version_has(struct state *aside, const char *id, const char *path, const struct label *label,
                               bool *out, struct err *err)
{
    const void *set = NULL;
    struct err why = {0};
    *out = false;
    if (!*id)
        return STATUS_OK;
    const enum status status = state_version(aside, id, path, &label_set_table, &set, &why);
    *out = status == STATUS_OK && has_label(set, label);
    if (status == STATUS_SYSTEM)
        *err = why;
    return status == STATUS_SYSTEM ? status : STATUS_OK;
}

/* One act further back, along the line that has the label. wanted: the act that is waited for, "" for any; "" once the
 * one is found that recorded it. */
static enum status go_back(struct state *aside, const struct trail_act *act, const char *path,
                           const struct label *label, char wanted[COMMIT_ID_MAX], struct err *err)
{
    char next[COMMIT_ID_MAX] = "";
    for (size_t at = 0; at < act->line_count && !*next; at++) {
        bool there = false;
        TRY(version_has(aside, act->lines[at].id, path, label, &there, err));
        if (there)
            (void)snprintf(next, sizeof next, "%s", act->lines[at].older);
    }
    memcpy(wanted, next, sizeof next);
    return STATUS_OK;
}

/* After a rebase the one that stands in the place of what the label names: the act that recorded the label, on
 * whichever side of joins. Acts of other lines, which come between, may not have it yet. */
static enum status find_recorded(struct verify *verify, const char *path, const struct label *label,
                                 char out[COMMIT_ID_MAX], struct err *err)
{
    struct state aside;
    struct stays *stays = NULL;
    struct err why = {0};
    char wanted[COMMIT_ID_MAX] = "";
    bool more = true;
    (void)snprintf(out, COMMIT_ID_MAX, "%s", store_state(verify->store));
    state_nest(verify->state, &aside);
    aside.store = verify->store;
    enum status status = stays_open(&aside, path, &stays, &why);
    while (status == STATUS_OK && more) {
        struct trail_act act = {.line_count = 0};
        status = stays_next_act(stays, aside.arena, &act, &more, &why);
        if (status != STATUS_OK || !more || (*wanted && strcmp(act.commit.id, wanted) != 0))
            continue;
        (void)snprintf(out, COMMIT_ID_MAX, "%s", act.commit.id);
        status = go_back(&aside, &act, path, label, wanted, &why);
        more = *wanted != '\0';
    }
    stays_close(stays);
    state_leave(&aside);
    return status == STATUS_OK ? STATUS_OK : flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, path, &why, err);
}

/* Labels first to last - 1 have one state. */
static enum status hold_state(struct verify *verify, const struct sorted *labels, size_t first, size_t last,
                              struct err *err)
{
    const char *state = labels->labels[first]->state;
    bool is_ours = false;
    TRY(verify_has_commit(verify, state, &is_ours, err));
    if (is_ours)
        return hold_at(verify, labels, first, last, state, err);
    enum status status = STATUS_OK;
    verify->is_orphan = true; /* left behind by a rebase, or never there */
    for (size_t at = first; status == STATUS_OK && at < last; at++) {
        char recorded[COMMIT_ID_MAX];
        status = find_recorded(verify, labels->path, labels->labels[at], recorded, err);
        if (status == STATUS_OK)
            status = hold_at(verify, labels, at, at + 1, recorded, err);
    }
    verify->is_orphan = false;
    return status;
}

/* Names that belong into this file; others are told and left out. */
static void pick_own(struct verify *verify, const struct place_known *place, const struct label_set *set,
                     const char *was, struct sorted *out)
{
    for (size_t at = 0; at < set->label_count; at++) {
        struct name name;
        struct err why = {0};
        char hole[HOLE_TEXT_MAX] = "";
        const char *typed = set->labels[at].name;
        const bool is_name = name_parse(typed, &name, &why) == STATUS_OK;
        if (is_name)
            name_hole(&name, hole);
        char id[CORE_ID_MAX];
        core_id_format((struct core_id){name.core, name.type}, id);
        const bool is_own = is_name && strcmp(hole, place->hole) == 0 &&
                            (set->core ? name.level >= NAME_CORE && name.level != NAME_BAG &&
                                             (name.core == set->core || (was && sample_list_has(was, id)))
                                       : name.level == NAME_BAG && name.bag == set->kind &&
                                             bag_hundred(name.bag_number) == set->hundred);
        if (is_own)
            out->labels[out->count++] = &set->labels[at];
        else
            flaw_add(verify, FLAW_RECORD_PLACE, place->path, typed, "this name belongs to another file of labels");
    }
    if (out->count)
        qsort(out->labels, out->count, sizeof(void *), compare_states);
}

/* What it was printed of has its own record beside it. */
static enum status hold_owner(struct verify *verify, const struct place_known *place, const struct label_set *set,
                              struct arena *arena, const char **was, struct err *err)
{
    struct core core;
    char path[REGISTRY_PATH_MAX];
    struct bytes bytes = {0};
    struct err why = {0};
    if (set->core)
        core_path(place->hole, set->core, path);
    else
        bags_path(place->hole, set->kind, set->hundred, path);
    if (store_read(verify->store, path, arena, &bytes, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, path, &why, err);
    if (set->core && bytes.data && record_decode(&core_table, bytes, arena, &core, &why) == STATUS_OK)
        *was = core.was;
    if (!bytes.data)
        flaw_add(verify, FLAW_REFERENCE_MISSING, place->path, "", "%zu labels of what %s should record",
                 set->label_count, path);
    return STATUS_OK;
}

static enum status look_at_labels(struct verify *verify, const struct place_known *place, struct arena *arena,
                                  struct err *err)
{
    struct label_set set;
    struct state file;
    struct sorted labels = {.path = place->path, .set = &set, .file = &file};
    bool sound = false;
    TRY(verify_read(verify, place, arena, &set, &sound, err));
    if (!sound)
        return STATUS_OK;
    const char *was = NULL; /* names that the core had */
    TRY(hold_owner(verify, place, &set, arena, &was, err));
    TRY(arena_take(arena, set.label_count, sizeof(void *), &labels.labels, err));
    pick_own(verify, place, &set, was, &labels);
    state_nest(verify->state, &file);
    enum status status = STATUS_OK;
    for (size_t first = 0, last = 0; status == STATUS_OK && first < labels.count; first = last) {
        for (; last < labels.count && strcmp(labels.labels[last]->state, labels.labels[first]->state) == 0; last++)
            state_progress(verify->state, "labels worked out anew", verify->labels++, 0, &verify->next_ms);
        status = hold_state(verify, &labels, first, last, err);
    }
    state_leave(&file);
    return status;
}

enum status verify_labels(struct verify *verify, const struct place_known *place, struct err *err)
{
    struct arena arena;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    const enum status status = look_at_labels(verify, place, &arena, err);
    arena_clear(&arena);
    return status;
}
