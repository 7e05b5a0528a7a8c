/* SPDX-License-Identifier: MIT */
/* Drafts: filled by acts, judged and encoded for the store. */
#include "coretally/act/draft.h"

#include <assert.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/shown.h"
#include "coretally/kind/deed.h"
#include "coretally/record/log_day.h"
#include "coretally/state/doubt.h"
#include "coretally/state/read.h"

void draft_init(struct draft *draft)
{
    *draft = (struct draft){.kind = DRAFT_CHANGE};
}

enum status draft_copy(struct state *state, const char *string, const char **out, struct err *err)
{
    return arena_copy(state->arena, string, strlen(string), out, err);
}

static enum status add_writing(struct state *state, struct draft *draft, const char *path, struct writing **out,
                               struct err *err)
{
    const char *own = NULL;
    TRY(draft_copy(state, path, &own, err));
    TRY(arena_grow(state->arena, &draft->writings, draft->writing_count, &draft->writing_room, sizeof **out, err));
    *out = &draft->writings[draft->writing_count++];
    **out = (struct writing){.path = own};
    return STATUS_OK;
}

enum status draft_write(struct state *state, struct draft *draft, const char *path, const struct table *table,
                        const void *record, struct err *err)
{
    struct writing *writing = NULL;
    TRY(add_writing(state, draft, path, &writing, err));
    writing->table = table;
    writing->record = record;
    return STATUS_OK;
}

enum status draft_write_bytes(struct state *state, struct draft *draft, const char *path, struct bytes bytes,
                              struct err *err)
{
    struct writing *writing = NULL;
    TRY(add_writing(state, draft, path, &writing, err));
    writing->bytes = bytes;
    return STATUS_OK;
}

enum status draft_remove(struct state *state, struct draft *draft, const char *path, struct err *err)
{
    struct writing *writing = NULL;
    return add_writing(state, draft, path, &writing, err);
}

enum status draft_present(struct state *state, struct draft *draft, const char *name, const struct record_at *at,
                          struct err *err)
{
    draft->kind = DRAFT_PRESENT;
    draft->present = at ? *at : (struct record_at){.table = NULL};
    return draft_copy(state, name, &draft->name, err);
}

enum status draft_withdrawn(struct state *state, struct draft *draft, const char *name, const char *reason,
                            struct err *err)
{
    draft->kind = DRAFT_WITHDRAWN;
    draft->withdrawn = reason;
    return draft_copy(state, name, &draft->name, err);
}

enum status draft_refuse(struct state *state, struct draft *draft, struct err *err)
{
    struct err *own = NULL;
    if (err->status == STATUS_SYSTEM || err->status == STATUS_DAMAGED)
        return err->status;
    const struct err refused = *err;
    TRY(arena_take(state->arena, 1, sizeof *own, &own, err));
    *own = refused;
    draft->refused = own;
    *err = (struct err){0};
    return STATUS_OK;
}

enum status standing_check(const char *name, const char *withdrawn, struct err *err)
{
    if (!withdrawn)
        return STATUS_OK;
    err_set(err, STATUS_RULE, name, "it is withdrawn: %s", withdrawn);
    return err_hint(err, "to bring it back, amend it with --restore and a --reason");
}

enum status reason_check(const struct will *will, struct err *err)
{
    if (will->reason && will->reason[strspn(will->reason, " \t")])
        return STATUS_OK;
    err_set(err, STATUS_USAGE, will->command, "a change to what was recorded needs a reason");
    return err_hint(err, "add --reason \"what was wrong, and how you know\"");
}

/* The reason as a commit has it, with the words of what was kept against doubt (NULL: nothing). */
static enum status reason_write(struct state *state, const struct will *will, const char *kept, const char **out,
                                struct err *err)
{
    const char *reason = will->reason;
    struct text text;
    struct bytes bytes;
    size_t bad = 0;
    if (reason && (strlen(reason) > TEXT_FIELD_MAX || !utf8_is_valid(reason, strlen(reason), &bad)))
        return err_set(err, STATUS_INPUT, "--reason", "a reason is UTF-8 text of at most %d bytes", TEXT_FIELD_MAX);
    for (const char *line = reason; line; line = strchr(line, '\n') ? strchr(line, '\n') + 1 : NULL) {
        const char *own = NULL; /* a reason may have lines */
        TRY(arena_copy(state->arena, line, strcspn(line, "\n"), &own, err));
        TRY(text_check("--reason", own, err));
    }
    text_init(&text, state->arena);
    text_add(&text, reason ? reason : "");
    if (kept)
        text_addf(&text, "%s" KEPT_AGAINST "%s", reason ? "; " : "", kept);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

static enum status encode(struct state *state, const struct writing *writing, const char *command, struct change *out,
                          struct err *err)
{
    *out = (struct change){.path = writing->path, .bytes = writing->bytes};
    if (!writing->table)
        return STATUS_OK;
    TRY(record_validate(writing->table, writing->record, command, err));
    return record_encode(writing->table, writing->record, state->arena, &out->bytes, err);
}

/* --- held against the kind of act --- */

/* Rows of the pump log are counted, and not decoded once more. */
static enum status add_day(struct deed *deed, const struct place_known *place, const struct writing *writing,
                           struct err *err)
{
    struct bytes before = {0};
    if (!writing->bytes.data)
        return deed_add(deed, place, writing, NULL, err);
    TRY(state_bytes(deed->state, writing->path, &before, err));
    return deed_add_counted(deed, place, log_day_rows(writing->bytes) - log_day_rows(before), err);
}

static enum status add_writing_done(struct deed *deed, const struct writing *writing, struct err *err)
{
    struct state *state = deed->state;
    struct place_known place;
    void *records[2] = {NULL, NULL};
    bool there = false;
    const bool is_known = registry_place(writing->path, &place);
    assert(is_known);
    const struct table *table = place.known->table;
    if (place.known->kind == KNOWN_LOG_DAY)
        return add_day(deed, &place, writing, err);
    if (place.known->kind == KNOWN_EVIDENCE)
        return deed_add(deed, &place, NULL, writing, err);
    for (int side = 0; side < 2; side++)
        TRY(arena_take(state->arena, 1, table->size, &records[side], err));
    if (state->store)
        TRY(state_read(state, writing->path, table, records[0], &there, err));
    if (!writing->record && writing->bytes.data)
        TRY(record_decode(table, writing->bytes, state->arena, records[1], err));
    const void *newer = writing->record ? writing->record : writing->bytes.data ? records[1] : NULL;
    return there || newer ? deed_add(deed, &place, there ? records[0] : NULL, newer, err) : STATUS_OK;
}

/* An act that would do what its kind may not is a fault of this program; verify would tell it of the commit. */
static enum status hold_kind(struct state *state, const struct draft *draft, struct act *act, struct err *err)
{
    struct deed deed;
    deed_begin(&deed, state, &(struct deed_said){act->kind, draft->line, act->reason, NULL});
    for (size_t at = 0; at < draft->writing_count; at++)
        TRY(add_writing_done(&deed, &draft->writings[at], err));
    TRY(deed_end(&deed, err));
    if (deed.fault_count) {
        err_set(err, STATUS_RULE, *deed.faults->path ? deed.faults->path : act->kind, "%s", deed.faults->sentence);
        return err_hint(err, "nothing was recorded; this should not happen: tell the maintainers what was typed");
    }
    if (!act->line)
        return deed_line(&deed, &act->line, err);
    return STATUS_OK;
}

enum status draft_encode(struct state *state, const struct draft *draft, const struct will *will, struct act *act,
                         struct change **changes, struct err *err)
{
    const char *kept = NULL;
    *act = (struct act){.line = draft->line, .kind = will->command};
    if (draft->needs_reason)
        TRY(reason_check(will, err));
    TRY(findings_pass(&draft->findings, will->keeping, draft->name, err));
    TRY(findings_kept(&draft->findings, will->keeping, state->arena, &kept, err));
    if (draft->kept)
        kept = draft->kept;
    for (size_t at = 0; at < draft->further_count; at++) {
        const struct judged *judged = &draft->further[at];
        const char *last = NULL;
        TRY(findings_pass(&judged->findings, will->keeping, judged->name, err));
        TRY(findings_kept(&judged->findings, will->keeping, state->arena, &last, err));
        kept = last ? last : kept;
    }
    if (draft->refused) {
        *err = *draft->refused;
        return err->status;
    }
    TRY(arena_take(state->arena, draft->writing_count, sizeof **changes, changes, err));
    for (size_t at = 0; at < draft->writing_count; at++)
        TRY(encode(state, &draft->writings[at], will->command, &(*changes)[at], err));
    TRY(reason_write(state, will, kept, &act->reason, err));
    return hold_kind(state, draft, act, err);
}
