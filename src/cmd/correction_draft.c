/* SPDX-License-Identifier: MIT */
/* A correction before it is recorded: its hole with what that has, whose place it takes, the file attached to it. */
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/store/file.h"
#include "correction_act.h"

/* What the hole of the target has. */
static enum status draft_begin(struct state *state, struct correction_draft *out, struct err *err)
{
    struct correction *recorded = NULL;
    TRY(state_corrections(state, out->target.hole_name, &recorded, &out->count, err));
    TRY(arena_take(state->arena, out->count + 1, sizeof *out->all, &out->all, err));
    if (out->count)
        memcpy(out->all, recorded, out->count * sizeof *recorded);
    record_init(&correction_table, &out->added);
    return arena_copy(state->arena, out->target.hole_name, strlen(out->target.hole_name), &out->added.hole, err);
}

enum status draft_open(struct state *state, const char *name, struct correction_draft *out, struct err *err)
{
    TRY(resolve(state, name, NAME_HOLE, NAME_HOLE, &out->target, err));
    return draft_begin(state, out, err);
}

/* One in force that says the same, but for its number and what it took the place of. */
void draft_find_present(struct correction_draft *draft)
{
    for (size_t at = 0; at < draft->target.hole.correction_count; at++) {
        struct correction other = *draft->target.hole.corrections[at];
        other.number = draft->added.number;
        other.version = draft->added.version;
        other.supersedes = draft->added.supersedes;
        if (record_is_equal(&correction_table, &other, &draft->added)) {
            draft->added = *draft->target.hole.corrections[at];
            draft->is_present = true;
        }
    }
}

/* "standing": every one in force that it would repeat. Numbers must be there and of its kind. */
enum status draft_supersede(struct run *run, struct correction_draft *draft, struct err *err)
{
    const char *wanted = run_option(run, "supersedes");
    struct text text;
    struct bytes bytes;
    if (!wanted)
        return STATUS_OK;
    text_init(&text, run->state->arena);
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
    TRY(run_set(run->state, &correction_table, "supersedes", bytes.data, INT_NONE, &draft->added, err));
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

/* Offsets that were left out, worked out in the order of the file. */
static enum status find_offsets(struct state *state, const struct correction_file *file, struct drafts *drafts,
                                struct err *err)
{
    struct core_offset *offsets = (void *)file->rows;
    struct tie_row *ties = NULL;
    TRY(arena_take(state->arena, file->count, sizeof *ties, &ties, err));
    for (size_t at = 0; at < file->count; at++)
        ties[at] = (struct tie_row){file->owners[at], file->lines[at], offsets[at]};
    TRY(ties_find(state, file->path, drafts, ties, file->count, err));
    for (size_t at = 0; at < file->count; at++)
        offsets[at] = ties[at].offset;
    return STATUS_OK;
}

/* A hole that no row is of takes no part: the first one may be named for its site alone. */
static void drop_empty(struct drafts *drafts)
{
    size_t kept = 0;
    for (size_t at = 0; at < drafts->count; at++)
        if (drafts->items[at].added.offset_count || drafts->items[at].added.interval_count)
            drafts->items[kept++] = drafts->items[at];
    drafts->count = kept;
}

enum status drafts_take_file(struct state *state, const struct correction_file *file, struct drafts *drafts,
                             struct err *err)
{
    for (size_t at = 1; at < file->hole_count; at++) {
        struct correction_draft *draft = &drafts->items[drafts->count++];
        draft->target = file->holes[at];
        TRY(draft_begin(state, draft, err));
        const char *hole = draft->added.hole;
        draft->added = drafts->items[0].added; /* what was typed holds for all */
        draft->added.hole = hole;
    }
    if (file->kind == CORRECTION_COMPOSITE)
        TRY(find_offsets(state, file, drafts, err));
    for (size_t at = 0; at < drafts->count; at++)
        TRY(correction_file_take(file, at, state->arena, &drafts->items[at].added, err));
    if (file->has_holes)
        drop_empty(drafts);
    return STATUS_OK;
}

/* The bytes of the attached file; data NULL where there is none. Read before the registry is locked. */
enum status evidence_read(struct run *run, struct bytes *out, struct err *err)
{
    const char *path = run_option(run, "evidence-file");
    char *data = NULL;
    if (!path)
        return STATUS_OK;
    FILE *file = NULL;
    const enum status opened = file_open_read(path, &file, err);
    if (opened == STATUS_INPUT)
        return err_hint(err, "attach one file: a scan, a table; several go into one archive first");
    TRY(opened);
    enum status status = arena_take(run->state->arena, EVIDENCE_BYTES_MAX + 1, 1, &data, err);
    const size_t len = status == STATUS_OK ? fread(data, 1, EVIDENCE_BYTES_MAX + 1, file) : 0;
    if (status == STATUS_OK && ferror(file))
        status = err_set(err, STATUS_SYSTEM, path, "could not be read to its end");
    (void)fclose(file);
    TRY(status);
    if (len > EVIDENCE_BYTES_MAX) {
        err_set(err, STATUS_INPUT, path, "it is larger than the %d MB that evidence may have",
                EVIDENCE_BYTES_MAX >> 20);
        return err_hint(err, "attach the pages that show it, or say in --evidence where the whole is kept");
    }
    *out = (struct bytes){data, len};
    return STATUS_OK;
}

/* Its hash and name into every draft. */
enum status evidence_take(struct run *run, const struct drafts *drafts, struct bytes evidence, struct err *err)
{
    char hash[HASH_TEXT_MAX];
    const char *kept = NULL;
    if (!evidence.data)
        return STATUS_OK;
    TRY(store_hash(evidence, hash, err));
    TRY(arena_copy(run->state->arena, hash, strlen(hash), &kept, err));
    const char *path = run_option(run, "evidence-file");
    const char *name = strrchr(path, '/');
    for (size_t at = 0; at < drafts->count; at++) {
        drafts->items[at].added.evidence_file = kept;
        TRY(run_set(run->state, &correction_table, "evidence_name", name ? name + 1 : path, INT_NONE,
                    &drafts->items[at].added, err));
    }
    return STATUS_OK;
}
