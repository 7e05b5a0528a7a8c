/* SPDX-License-Identifier: MIT */
/* Composite offsets from features that match, and a splice from top to bottom. */
#include "coretally/act/correction.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/reach.h"
#include "coretally/state/span.h"

/* The rows of a table, and how many of them have their offset already. */
struct tie_table {
    const struct correction_drafts *drafts;
    struct tie_row *rows;
    size_t count;
    size_t done;
};

/* The offset that a core has: by a row before, else by what is recorded. false: none, or its row comes later. */
static bool offset_of(const struct tie_table *table, const struct hole *hole, int32_t core, int64_t *out_um)
{
    const struct correction_drafts *drafts = table->drafts;
    const struct tie_row *rows = table->rows;
    for (size_t at = 0; at < table->count; at++) {
        const struct hole *own = &drafts->items[rows[at].draft].target.hole;
        if (rows[at].offset.core == core && strcmp(own->site, hole->site) == 0 &&
            strcmp(own->letter, hole->letter) == 0) {
            *out_um = rows[at].offset.offset_um;
            return at < table->done;
        }
    }
    const struct correction *recorded = hole_correction(hole, CORRECTION_COMPOSITE, core);
    if (recorded)
        *out_um = composite_find(recorded, core)->offset_um;
    return recorded != NULL;
}

/* A place as typed in a table: "3H-2, 45 cm" belongs to the row's hole. */
static enum status read_feature(struct state *state, const struct correction_draft *draft, const char *typed,
                                struct span *out, struct err *err)
{
    char name[NAME_TEXT_MAX];
    const size_t digits = strspn(typed, "0123456789");
    const bool is_short = digits > 0 && isalpha((unsigned char)typed[digits]) && typed[digits + 1] == '-';
    (void)snprintf(name, sizeof name, "%s%s%.120s", is_short ? draft->target.hole_name : "", is_short ? "-" : "",
                   typed);
    TRY(span_read(state, name, out, err));
    if (out->target.core.withdrawn)
        return err_set(err, STATUS_RULE, typed, "its core is withdrawn: %s", out->target.core.withdrawn);
    if (out->target.name.level < NAME_POINT) {
        err_set(err, STATUS_INPUT, typed, "this names no place in a core");
        return err_hint(err, "a feature is typed with its offset: U0012A-3H-2, 45 cm");
    }
    return STATUS_OK;
}

/* The offset that puts the feature where its reference is. */
static enum status find_tied(struct state *state, const struct tie_table *table, int64_t *out_um, struct err *err)
{
    const struct correction_draft *draft = &table->drafts->items[table->rows[table->done].draft];
    const struct core_offset *row = &table->rows[table->done].offset;
    struct span feature;
    struct span reference;
    int64_t offset_um = 0;
    TRY(read_feature(state, draft, row->feature, &feature, err));
    TRY(read_feature(state, draft, row->reference, &reference, err));
    if (feature.target.core.number != row->core || strcmp(feature.target.hole_name, draft->target.hole_name) != 0)
        return err_set(err, STATUS_INPUT, row->feature, "the feature does not lie in core %d of hole %s",
                       (int)row->core, draft->target.hole_name);
    if (!offset_of(table, &reference.target.hole, reference.target.core.number, &offset_um)) {
        err_set(err, STATUS_RULE, row->reference, "the core that this was tied to has no composite offset yet");
        return err_hint(err, "put the row of core %d of hole %s before this one", (int)reference.target.core.number,
                        reference.target.hole_name);
    }
    const struct depth own = place_depth(&feature.top, SCALE_CSF_A, NULL);
    const struct depth other = place_depth(&reference.top, SCALE_CSF_A, NULL);
    if (own.why || other.why)
        return err_set(err, STATUS_RULE, own.why ? row->feature : row->reference, "it has no CSF-A: %s",
                       own.why ? own.why : other.why);
    *out_um = other.um + offset_um - own.um;
    return STATUS_OK;
}

/* That of the core above, the nearest lower number of the hole that has one. */
static enum status find_appended(const struct tie_table *table, int64_t *out_um, struct err *err)
{
    const struct correction_draft *draft = &table->drafts->items[table->rows[table->done].draft];
    for (int32_t core = table->rows[table->done].offset.core - 1; core > 0; core--)
        if (offset_of(table, &draft->target.hole, core, out_um))
            return STATUS_OK;
    err_set(err, STATUS_RULE, draft->target.hole_name, "core %d is appended, and no core above it has an offset",
            (int)table->rows[table->done].offset.core);
    return err_hint(err, "give its offset, or the row of a core above it first");
}

static enum status find_offset(struct state *state, const struct tie_table *table, struct err *err)
{
    struct core_offset *row = &table->rows[table->done].offset;
    int64_t found_um = LENGTH_NONE;
    if (row->method == TIE_NONE && row->feature)
        row->method = TIE_TIED;
    if (row->method == TIE_TIED && row->feature && row->reference)
        TRY(find_tied(state, table, &found_um, err));
    else if (row->method == TIE_APPENDED && row->offset_um == LENGTH_NONE)
        TRY(find_appended(table, &found_um, err));
    if (row->offset_um == LENGTH_NONE && found_um == LENGTH_NONE) {
        err_set(err, STATUS_INPUT, correction_words[CORRECTION_COMPOSITE], "core %d has no offset", (int)row->core);
        return err_hint(err, "type its offset, or method tied with feature and reference, or method appended");
    }
    if (row->offset_um != LENGTH_NONE && found_um != LENGTH_NONE && llabs(row->offset_um - found_um) > 1000)
        state_tell(state, "note: line %zu: the offset is stated as %s m, the features give %s m; as stated\n",
                   table->rows[table->done].line, length_text(row->offset_um, UNIT_M, 3).text,
                   length_text(found_um, UNIT_M, 3).text);
    if (row->offset_um == LENGTH_NONE)
        row->offset_um = found_um;
    return STATUS_OK;
}

enum status ties_find(struct state *state, const struct correction_drafts *corrections, const struct tie_rows *rows,
                      struct err *err)
{
    struct tie_table table = {corrections, rows->items, rows->count, 0};
    for (; table.done < rows->count; table.done++) {
        struct err inner = {0};
        if (find_offset(state, &table, &inner) == STATUS_OK)
            continue;
        char where[ERR_SUBJECT_MAX];
        (void)snprintf(where, sizeof where, "%.80s, line %zu, %.80s", rows->path, rows->items[table.done].line,
                       inner.subject);
        err_set(err, inner.status, where, "%s", inner.reason);
        return err_hint(err, "%s", inner.hint);
    }
    return STATUS_OK;
}

/* The one of the changed holes with this name; NULL: it stays as it is. */
static const struct hole *find_changed(const struct hole *const *changed, size_t count, const char *name)
{
    for (size_t at = 0; at < count; at++) {
        char own[HOLE_TEXT_MAX];
        hole_text(changed[at], own);
        if (strcmp(own, name) == 0)
            return changed[at];
    }
    return NULL;
}

/* CCSF of a feature, holes that change as they would be; LENGTH_NONE where there is none. */
static enum status feature_depth(struct state *state, const struct correction_draft *draft, const char *typed,
                                 const struct hole *const *changed, size_t count, int64_t *out_um, struct err *err)
{
    struct span span;
    struct err refusal = {0};
    *out_um = LENGTH_NONE;
    const enum status status = read_feature(state, draft, typed, &span, &refusal);
    if (status == STATUS_SYSTEM || status == STATUS_DAMAGED) {
        *err = refusal;
        return status;
    }
    if (status != STATUS_OK) /* its core may have been withdrawn since */
        return STATUS_OK;
    const struct hole *hole = find_changed(changed, count, span.target.hole_name);
    if (hole)
        span.target.hole = *hole;
    *out_um = place_depth(&span.top, SCALE_CCSF, NULL).um;
    return STATUS_OK;
}

enum status ties_check(struct state *state, const struct hole *const *changed, size_t changed_count,
                       struct findings *findings, struct err *err)
{
    struct names holes = {0};
    size_t apart = 0;
    char first[FINDING_TEXT_MAX] = "";
    TRY(state_holes(state, &holes, err));
    for (size_t at = 0; at < holes.count; at++) {
        struct correction_draft draft = {.count = 0};
        bool there = false;
        (void)snprintf(draft.target.hole_name, sizeof draft.target.hole_name, "%s", holes.items[at]);
        TRY(state_hole(state, holes.items[at], &draft.target.hole, &there, err));
        if (!there || strcmp(draft.target.hole.site, changed[0]->site) != 0)
            continue;
        const struct hole *parent =
            draft.target.hole.parent ? find_changed(changed, changed_count, draft.target.hole.parent) : NULL;
        if (parent)
            draft.target.hole.parent_hole = parent;
        const struct hole *found = find_changed(changed, changed_count, holes.items[at]);
        const struct hole *hole = found ? found : &draft.target.hole;
        for (size_t table = 0; table < hole->correction_count; table++)
            for (size_t row = 0; row < hole->corrections[table]->offset_count; row++) {
                const struct core_offset *it = &hole->corrections[table]->offsets[row];
                int64_t feature_um = LENGTH_NONE;
                int64_t reference_um = LENGTH_NONE;
                if (!it->feature || !it->reference)
                    continue;
                TRY(feature_depth(state, &draft, it->feature, changed, changed_count, &feature_um, err));
                TRY(feature_depth(state, &draft, it->reference, changed, changed_count, &reference_um, err));
                if (feature_um == LENGTH_NONE || reference_um == LENGTH_NONE ||
                    llabs(feature_um - reference_um) <= SPLICE_SLACK_UM)
                    continue;
                if (apart++ == 0)
                    (void)snprintf(first, sizeof first, "%.80s of %s and %.80s lie %s m apart", it->feature,
                                   holes.items[at], it->reference,
                                   length_text(feature_um - reference_um, UNIT_M, 3).text);
            }
    }
    ties_apart_check(apart, first, findings);
    return STATUS_OK;
}

void ties_read_ahead(struct state *state, const struct hole *const *changed, size_t changed_count)
{
    struct findings passed = {0};
    struct err unread = {0};
    if (ties_check(state, changed, changed_count, &passed, &unread) != STATUS_OK)
        return;
}

/* --- splice --- */

static int order_joints(const void *a, const void *b)
{
    return ((const struct splice_joint *)a)->order - ((const struct splice_joint *)b)->order;
}

/* One end of an interval on CCSF. */
static enum status find_end(struct state *state, const struct correction_draft *draft, int32_t number, int32_t section,
                            int64_t offset_um, int64_t *out_um, char name[NAME_TEXT_MAX], struct err *err)
{
    struct target target = draft->target;
    char path[REGISTRY_PATH_MAX];
    char label[SECTION_TEXT_MAX];
    bool there = false;
    core_path(target.hole_name, number, path);
    TRY(state_read(state, path, &core_table, &target.core, &there, err));
    section_format(section, label);
    (void)snprintf(name, NAME_TEXT_MAX, "%s-%d%c-%s", target.hole_name, (int)number,
                   there && target.core.type ? target.core.type : '?', label);
    if (there && target.core.withdrawn)
        return err_set(err, STATUS_RULE, name, "the core is withdrawn: %s", target.core.withdrawn);
    const struct section *it = there ? core_section(&target.core, section) : NULL;
    if (!it)
        return err_set(err, STATUS_UNKNOWN, name, there ? "the core has no such section" : "there is no such core");
    if (section_curated(it) != LENGTH_NONE && offset_um > section_curated(it) + SAMPLE_PAST_END_UM)
        return err_set(err, STATUS_RULE, name, "%s cm lies outside the section, which is 0-%s cm",
                       length_text(offset_um, UNIT_CM, 1).text, length_text(section_curated(it), UNIT_CM, 1).text);
    const struct place place = {&target.hole, &target.core, section, offset_um};
    const struct depth depth = place_depth(&place, SCALE_CCSF, NULL);
    if (depth.why) {
        err_set(err, STATUS_RULE, name, "it has no CCSF: %s", depth.why);
        return err_hint(err, "composite offsets come before the splice: coretally correction add %s composite FILE",
                        target.hole_name);
    }
    *out_um = depth.um;
    return STATUS_OK;
}

enum status splice_check(struct state *state, const struct correction_drafts *drafts, struct findings *findings,
                         struct err *err)
{
    struct splice_joint *joints = NULL;
    size_t count = 0;
    size_t room = 0;
    for (size_t at = 0; at < drafts->count; at++)
        for (size_t row = 0; row < drafts->items[at].added.interval_count; row++) {
            const struct splice_interval *it = &drafts->items[at].added.intervals[row];
            char bottom[NAME_TEXT_MAX];
            TRY(arena_grow(state->arena, &joints, count, &room, sizeof *joints, err));
            struct splice_joint *joint = &joints[count++];
            joint->order = it->order;
            TRY(find_end(state, &drafts->items[at], it->core, it->top_section, it->top_um, &joint->top_um, joint->name,
                         err));
            TRY(find_end(state, &drafts->items[at], it->core, it->bottom_section, it->bottom_um, &joint->bottom_um,
                         bottom, err));
            if (joint->bottom_um <= joint->top_um)
                return err_set(err, STATUS_RULE, joint->name,
                               "interval %d of the splice ends where it begins, or above", (int)it->order);
        }
    if (count)
        qsort(joints, count, sizeof *joints, order_joints);
    for (size_t at = 1; at < count; at++)
        if (joints[at].order == joints[at - 1].order)
            return err_set(err, STATUS_INPUT, joints[at].name, "place %d of the splice is taken twice",
                           (int)joints[at].order);
    splice_joints_check(joints, count, findings);
    return STATUS_OK;
}
