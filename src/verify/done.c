/* SPDX-License-Identifier: MIT */
/* What a commit did, held against what an act of its kind may do, and against what it says: by the table that the acts
 * themselves are held against (kind/kind.h). */
#include <string.h>

#include "coretally/record/log_day.h"
#include "coretally/state/read.h"
#include "done.h"

void verify_done_begin(struct verify *verify, const struct act_told *act, size_t files, struct verify_done *out)
{
    const struct deed_said said = {act->kind, act->commit.line, act->commit.reason, &act->commit.when};
    *out = (struct verify_done){.verify = verify, .act = act};
    state_nest(verify->state, &out->before);
    out->before.sink = NULL;
    deed_begin(&out->deed, &out->before, &said);
    out->keeps = out->deed.kind && !out->deed.kind->is_bulk && files <= DONE_FILES_MAX;
    out->is_cut = !out->deed.kind || (!out->keeps && !out->deed.kind->is_bulk);
    if (out->deed.kind && out->is_cut)
        flaw_add(verify, FLAW_ACT_FALSE, "", "", "it changed %zu files; an act of the kind '%s' changes a few", files,
                 act->kind);
}

enum status verify_done_add(struct verify_done *done, const struct place_known *place, const void *older,
                            const void *newer, struct err *err)
{
    return done->is_cut ? STATUS_OK : deed_add(&done->deed, place, older, newer, err);
}

/* Each item of a list stands on a line of its own, and a record does not. */
static size_t count_items(struct bytes bytes)
{
    size_t count = 0;
    for (const char *at = strstr(bytes.data, "\n{"); at; at = strstr(at + 1, "\n{"))
        count++;
    return count;
}

enum status verify_done_count(struct verify_done *done, const struct place_known *place, struct bytes bytes,
                              struct err *err)
{
    const size_t count = place->known->kind == KNOWN_LOG_DAY ? log_day_rows(bytes) : count_items(bytes);
    return done->is_cut ? STATUS_OK : deed_add_counted(&done->deed, place, count, err);
}

/* What cannot be decoded is told elsewhere; the act can then not be judged. */
static enum status decode(struct verify_done *done, const struct place_known *place, struct bytes bytes,
                          const void **out, struct err *err)
{
    struct arena *arena = done->before.arena;
    const struct table *table = place->known->table;
    struct err why = {0};
    void *record = NULL;
    TRY(verify_room(place->known, arena, &record, err));
    const enum status status =
        table ? record_decode(table, bytes, arena, record, &why) : log_day_decode(bytes, arena, record, &why);
    done->is_cut = done->is_cut || status != STATUS_OK;
    if (status == STATUS_SYSTEM)
        *err = why;
    *out = record;
    return status == STATUS_SYSTEM ? status : STATUS_OK;
}

/* A version that nobody looked at yet. */
static enum status read_side(struct verify_done *done, const struct place_known *place, const char *id,
                             const void **out, struct err *err)
{
    struct bytes bytes = {0};
    struct err why = {0};
    *out = NULL;
    if (!*id)
        return STATUS_OK;
    if (place->known->kind == KNOWN_EVIDENCE) {
        *out = place; /* that it is there is enough */
        return STATUS_OK;
    }
    const enum status status = store_bytes(done->verify->store, id, place->path, done->before.arena, &bytes, &why);
    if (status == STATUS_OK)
        return decode(done, place, bytes, out, err);
    done->is_cut = true;
    if (status == STATUS_SYSTEM)
        *err = why;
    return status == STATUS_SYSTEM ? status : STATUS_OK;
}

enum status verify_done_decode(struct verify_done *done, const struct place_known *place, struct bytes bytes,
                               struct err *err)
{
    const void *newer = place; /* of evidence, that it is there is enough */
    if (done->is_cut)
        return STATUS_OK;
    if (place->known->kind != KNOWN_EVIDENCE)
        TRY(decode(done, place, bytes, &newer, err));
    return verify_done_add(done, place, NULL, newer, err);
}

enum status verify_done_read(struct verify_done *done, const struct place_known *place, const struct difference *it,
                             struct err *err)
{
    const void *older = NULL;
    const void *newer = NULL;
    if (done->is_cut)
        return STATUS_OK;
    TRY(read_side(done, place, it->older, &older, err));
    TRY(read_side(done, place, it->newer, &newer, err));
    return verify_done_add(done, place, older, newer, err);
}

void verify_done_cut(struct verify_done *done)
{
    done->is_cut = true;
}

/* Was something told of the same already? */
static bool is_told(const struct verify *verify, const struct fault *fault)
{
    for (size_t at = 0; at < verify->found_count; at++) {
        const struct flaw_found *it = &verify->found[at];
        if (strcmp(it->commit, verify->commit) == 0 &&
            ((fault->is_line && flaw_severity(it->flaw) != SEVERITY_DOUBTFUL) ||
             (*fault->path && strcmp(it->path, fault->path) == 0 && strcmp(it->item, fault->item) == 0)))
            return true;
    }
    return false;
}

/* The expedition of the state before; that of many acts is one and the same. */
static enum status read_expedition(struct verify_done *done, struct err *err)
{
    struct verify *verify = done->verify;
    struct state outer;
    char id[HASH_TEXT_MAX];
    bool there = false;
    TRY(store_id(verify->past, EXPEDITION_PATH, id, err));
    if (strcmp(id, verify->expedition_id) != 0) {
        state_at(verify->state, verify->past, &outer);
        TRY(state_read(&outer, EXPEDITION_PATH, &expedition_table, &verify->expedition, &there, err));
        memcpy(verify->expedition_id, id, sizeof id);
    }
    done->before.expedition = verify->expedition;
    return STATUS_OK;
}

/* The state before, in which names are made. */
static enum status stand_before(struct verify_done *done, struct err *err)
{
    struct verify *verify = done->verify;
    if (!*done->act->parent)
        return STATUS_OK;
    TRY(verify_stand_at(verify, done->act->parent, err));
    done->before.store = verify->past;
    return read_expedition(done, err);
}

enum status verify_done_end(struct verify_done *done, struct err *err)
{
    struct verify *verify = done->verify;
    struct err why = {0};
    if (done->is_cut)
        return STATUS_OK;
    enum status status = stand_before(done, &why);
    if (status == STATUS_OK)
        status = deed_end(&done->deed, &why);
    for (size_t at = 0; at < done->deed.fault_count; at++) {
        const struct fault *fault = &done->deed.faults[at];
        if (!is_told(verify, fault))
            flaw_add(verify, fault->is_line ? FLAW_ACT_LINE : FLAW_ACT_FALSE, fault->path, fault->item, "%s",
                     fault->sentence);
    }
    if (status != STATUS_SYSTEM)
        return STATUS_OK; /* a state before that is damaged is told with it */
    *err = why;
    return status;
}

void verify_done_close(struct verify_done *done)
{
    state_leave(&done->before);
}
