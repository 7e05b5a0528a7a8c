/* SPDX-License-Identifier: MIT */
/* Corrections of depth added: held against the rules of their kind and what their hole has. */
#include "coretally/act/correction.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"
#include "coretally/domain/minted.h"
#include "coretally/domain/rule.h"
#include "coretally/state/correction_text.h"

enum status correction_open(struct state *state, const struct target *hole, struct correction_draft *out,
                            struct err *err)
{
    struct correction *recorded = NULL;
    *out = (struct correction_draft){.target = *hole};
    TRY(state_corrections(state, out->target.hole_name, &recorded, &out->count, err));
    TRY(arena_take(state->arena, out->count + 1, sizeof *out->all, &out->all, err));
    if (out->count)
        memcpy(out->all, recorded, out->count * sizeof *recorded);
    record_init(&correction_table, &out->added);
    return draft_copy(state, out->target.hole_name, &out->added.hole, err);
}

enum status corrections_open(struct state *state, const struct target *holes, size_t count,
                             struct correction_drafts *corrections, struct err *err)
{
    for (size_t at = 0; at < count; at++) {
        struct correction_draft *draft = &corrections->items[corrections->count++];
        TRY(correction_open(state, &holes[at], draft, err));
        const char *hole = draft->added.hole;
        draft->added = corrections->items[0].added;
        draft->added.hole = hole;
    }
    return STATUS_OK;
}

void corrections_drop_empty(struct correction_drafts *corrections)
{
    size_t kept = 0;
    for (size_t at = 0; at < corrections->count; at++)
        if (corrections->items[at].added.offset_count || corrections->items[at].added.interval_count)
            corrections->items[kept++] = corrections->items[at];
    corrections->count = kept;
}

static enum status set_text(struct state *state, const char *name, const char *value, struct correction_draft *draft,
                            struct err *err)
{
    const struct field *field = field_find(&correction_table, name);
    return field_set(field, value, field->unit, INT_NONE, state->arena, &draft->added, err);
}

/* One in force that says the same, but for its number and what it took the place of. */
static void find_present(struct correction_draft *draft)
{
    for (size_t at = 0; at < draft->target.hole.correction_count; at++) {
        struct correction other = *draft->target.hole.corrections[at];
        other.number = draft->added.number;
        other.version = draft->added.version;
        other.supersedes = draft->added.supersedes;
        other.was = draft->added.was;
        if (record_is_equal(&correction_table, &other, &draft->added)) {
            draft->added = *draft->target.hole.corrections[at];
            draft->is_present = true;
        }
    }
}

/* "standing": every one in force that it would repeat. Numbers must be there and of its kind. */
static enum status supersede(struct state *state, const char *wanted, struct correction_draft *draft, struct err *err)
{
    struct text text;
    struct bytes bytes;
    if (!wanted)
        return STATUS_OK;
    text_init(&text, state->arena);
    if (strcmp(wanted, "standing") == 0) {
        for (size_t at = 0; at < draft->target.hole.correction_count; at++)
            if (correction_repeats(&draft->added, draft->target.hole.corrections[at]))
                text_addf(&text, "%s%d", text.len ? " " : "", (int)draft->target.hole.corrections[at]->number);
        TRY(text_done(&text, &bytes, err));
        draft->added.supersedes = bytes.len ? bytes.data : NULL;
        return STATUS_OK;
    }
    for (const char *at = wanted; *at; at++)
        text_addf(&text, "%c", *at == ',' || *at == ';' ? ' ' : *at);
    TRY(text_done(&text, &bytes, err));
    TRY(set_text(state, "supersedes", bytes.data, draft, err));
    for (const char *at = draft->added.supersedes; at; at = strchr(at, ' ') ? strchr(at, ' ') + 1 : NULL) {
        const long number = strtol(at, NULL, 10);
        const struct correction *found = NULL;
        for (size_t other = 0; other < draft->count; other++)
            if (draft->all[other].number == number)
                found = &draft->all[other];
        if (!found || found->kind != draft->added.kind) {
            err_set(err, found ? STATUS_RULE : STATUS_UNKNOWN, wanted,
                    found ? "correction %ld of hole %s is of another kind" : "there is no correction %ld of hole %s",
                    number, draft->target.hole_name);
            return err_hint(err,
                            "they are listed by: coretally correction list %s; of several holes: --supersedes standing",
                            draft->target.hole_name);
        }
        if (!correction_in_force(&draft->target.hole, (int32_t)number)) {
            err_set(err, STATUS_RULE, wanted, "correction %ld of hole %s is not in force: %s", number,
                    draft->target.hole_name, found->withdrawn ? "it is withdrawn" : "another one took its place");
            return err_hint(err, "name the one that is: coretally correction list %s", draft->target.hole_name);
        }
    }
    return STATUS_OK;
}

/* A run retyped at one end must still go down. */
static enum status check_run(struct state *state, const struct correction_draft *draft, const struct hole *with,
                             struct findings *findings, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct core core;
    bool there = false;
    core_path(draft->target.hole_name, draft->added.core, path);
    TRY(state_read(state, path, &core_table, &core, &there, err));
    const struct core retyped = core_retyped(with, &core);
    if (retyped.bottom_um != LENGTH_NONE && retyped.bottom_um < retyped.top_um)
        findings_add(findings, RULE_DEPTH_BACKWARDS, "core %d would end at %s m, above its top at %s m",
                     (int)core.number, length_text(retyped.bottom_um, UNIT_M, 3).text,
                     length_text(retyped.top_um, UNIT_M, 3).text);
    const int64_t advance_um = core_advance(&retyped);
    if (advance_um != LENGTH_NONE && advance_um > ADVANCE_PLAIN_UM && !core_is_wide(&core)) {
        findings_add(findings, RULE_ADVANCE_LONG, "core %d would advance %s m, which is longer than %s m",
                     (int)core.number, length_text(advance_um, UNIT_M, 3).text,
                     length_text(ADVANCE_PLAIN_UM, UNIT_M, 3).text);
        findings_hint(findings, "was the other end typed wrongly, too? --core-top and --core-bottom; or add --sure");
    }
    return STATUS_OK;
}

enum status correction_judge(struct state *state, const struct correction_typed *asked, struct correction_draft *draft,
                             struct err *err)
{
    struct findings *const findings = &draft->findings;
    int32_t last = 0;
    if (draft->target.hole.withdrawn) {
        err_set(err, STATUS_RULE, draft->target.hole_name, "this hole is withdrawn: %s", draft->target.hole.withdrawn);
        return err_hint(err, "to bring it back: coretally hole amend %s --restore --reason ...",
                        draft->target.hole_name);
    }
    draft->added.number = 0;
    for (size_t at = 0; at < draft->count; at++) {
        const int32_t former = minted_number(draft->all[at].was); /* a list on paper may have it */
        last = draft->all[at].number > last ? draft->all[at].number : last;
        last = former > last ? former : last;
    }
    find_present(draft);
    if (draft->is_present)
        return STATUS_OK;
    TRY(supersede(state, asked->supersedes, draft, err));
    draft->added.number = last + 1;
    TRY(record_validate(&correction_table, &draft->added, asked->kind, err));
    TRY(correction_check_kind(&draft->added, err));
    if (correction_check_rows(&draft->added, err) != STATUS_OK) {
        char where[ERR_SUBJECT_MAX]; /* a table is named */
        (void)snprintf(where, sizeof where, "%.100s: %.80s", asked->table, err->subject);
        (void)snprintf(err->subject, sizeof err->subject, "%s", where);
        return err->status;
    }
    draft->all[draft->count] = draft->added;
    TRY(hole_under(state, &draft->target.hole, draft->all, draft->count + 1, &draft->with, err));
    correction_check(&draft->added, draft->with.corrections, draft->with.correction_count, &draft->target.hole,
                     findings);
    time_check(RULE_TIME_FUTURE, "the time from which it holds", draft->added.from, state->now.utc_us, AHEAD_US,
               findings);
    time_check(RULE_TIME_FUTURE, "the time when the seafloor was found", draft->added.seafloor_at, state->now.utc_us,
               CLOCK_SLACK_US, findings);
    if (draft->added.kind == CORRECTION_READING)
        TRY(check_run(state, draft, &draft->with, findings, err));
    return STATUS_OK;
}

enum status evidence_take(struct state *state, const struct evidence *evidence,
                          const struct correction_drafts *corrections, struct err *err)
{
    char hash[HASH_TEXT_MAX];
    const char *kept = NULL;
    if (!evidence->bytes.data)
        return STATUS_OK;
    TRY(store_hash(evidence->bytes, hash, err));
    TRY(draft_copy(state, hash, &kept, err));
    const char *name = strrchr(evidence->path, '/');
    for (size_t at = 0; at < corrections->count; at++) {
        corrections->items[at].added.evidence_file = kept;
        TRY(set_text(state, "evidence_name", name ? name + 1 : evidence->path, &corrections->items[at], err));
    }
    return STATUS_OK;
}

enum status corrections_draft(struct state *state, const struct correction_drafts *corrections,
                              const struct evidence *evidence, struct draft *out, struct err *err)
{
    struct judged *further = NULL;
    char path[REGISTRY_PATH_MAX];
    draft_init(out);
    out->needs_reason = true;
    TRY(arena_take(state->arena, corrections->count, sizeof *further, &further, err));
    out->further = further;
    for (size_t at = 0; at < corrections->count; at++) {
        const struct correction_draft *draft = &corrections->items[at];
        if (at)
            further[out->further_count++] = (struct judged){draft->target.hole_name, draft->findings};
        if (draft->is_present)
            continue;
        correction_path(draft->target.hole_name, draft->added.number, path);
        TRY(draft_write(state, out, path, &correction_table, &draft->added, err));
    }
    out->name = corrections->items[0].target.hole_name;
    out->findings = corrections->items[0].findings;
    if (out->writing_count)
        out->changed = (struct changed){.part = &correction_table, .after = out->writings[0].record};
    if (evidence->bytes.data) {
        evidence_path(corrections->items[0].added.evidence_file, path);
        TRY(draft_write_bytes(state, out, path, evidence->bytes, err));
    }
    return STATUS_OK;
}
