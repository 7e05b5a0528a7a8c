/* SPDX-License-Identifier: MIT */
/* What is open in an audit: what somebody should still do or look at. */
#include <string.h>

#include "coretally/say/audit_say.h"

/* One kind of open thing: how many, and which. */
struct tally {
    size_t count;
    struct text which;
    const char *hole; /* told last */
};

static void tally_begin(struct audit *audit, struct tally *out)
{
    *out = (struct tally){.count = 0};
    text_init(&out->which, audit->run->state->arena);
}

enum { TALLY_NAMED_MAX = 8 };

/* "U0012A 5, 2; U0012B 1", the first few. */
static void tally_add(struct tally *tally, const char *hole, const char *one)
{
    if (++tally->count > TALLY_NAMED_MAX) {
        if (tally->count == TALLY_NAMED_MAX + 1)
            text_add(&tally->which, ", ...");
        return;
    }
    const bool is_same = hole && tally->hole && strcmp(hole, tally->hole) == 0;
    text_addf(&tally->which, "%s%s%s%s",
              !tally->which.len  ? ""
              : is_same || !hole ? ", "
                                 : "; ",
              hole && !is_same ? hole : "", hole && !is_same ? " " : "", one);
    tally->hole = hole;
}

static enum status tally_row(struct tally *tally, const char *what, struct sheet *sheet, struct err *err)
{
    struct bytes which;
    TRY(text_done(&tally->which, &which, err));
    const struct cell cells[] = {cell_text(what), cell_count(tally->count), cell_text(which.data)};
    return sheet_add_row(sheet, cells, err);
}

/* --- the few rows of the first screen --- */

static enum status tally_corrections(struct audit *audit, struct sheet *sheet, struct err *err)
{
    struct tally unsigned_ones;
    struct tally bare;
    char number[16];
    tally_begin(audit, &unsigned_ones);
    tally_begin(audit, &bare);
    for (size_t hole = 0; hole < audit->holes.count; hole++)
        for (size_t at = 0; at < audit->holes.items[hole].correction_count; at++) {
            const struct correction_facts *one = &audit->holes.items[hole].corrections[at];
            const char *name = audit->holes.items[hole].roll.target.hole_name;
            struct audit_open open;
            if (!audit_is_open(one, &open))
                continue;
            (void)snprintf(number, sizeof number, "%d", (int)one->it->number);
            if (open.is_unsigned)
                tally_add(&unsigned_ones, name, number);
            if (open.is_bare)
                tally_add(&bare, name, number);
        }
    TRY(tally_row(&unsigned_ones, "corrections not signed", sheet, err));
    return tally_row(&bare, "corrections without evidence", sheet, err);
}

/* Amendments, withdrawals, wells, pumps, lag checks: what moved depths and recorded no correction. */
static enum status tally_acts(struct audit *audit, struct sheet *sheet, struct err *err)
{
    struct tally unsigned_ones;
    tally_begin(audit, &unsigned_ones);
    for (size_t at = audit->moved.count; at-- > 0;) {
        const struct moved_act *act = &audit->moved.acts[at];
        const char *by = NULL;
        bool is_recording = false;
        char id[12];
        (void)snprintf(id, sizeof id, "%.10s", act->commit.id);
        TRY(audit_signers(audit, act, &by, &is_recording, err));
        if (!act->is_join && !is_recording && !by)
            tally_add(&unsigned_ones, NULL, id);
    }
    return tally_row(&unsigned_ones, "other acts that moved depths, not signed", sheet, err);
}

static enum status tally_lag(struct audit *audit, struct sheet *sheet, struct err *err)
{
    struct tally lag;
    tally_begin(audit, &lag);
    for (size_t at = 0; at < audit->holes.count; at++) {
        const struct audit_hole *hole = &audit->holes.items[at];
        for (size_t one = 0; one < hole->lag_open_count; one++)
            tally_add(&lag, hole->roll.target.hole_name, hole->lag_open[one].is_due ? "due" : "doubtful");
    }
    return tally_row(&lag, "lag checks due or doubtful", sheet, err);
}

static enum status tally_waiting(struct audit *audit, struct sheet *sheet, struct err *err)
{
    struct tally fields;
    struct tally rules;
    struct tally labels;
    tally_begin(audit, &fields);
    tally_begin(audit, &rules);
    tally_begin(audit, &labels);
    fields.count = audit->open.points;
    text_add(&fields.which, fields.count ? "listed below" : "");
    for (size_t at = 0; at < audit->open.waiting.count; at++) {
        const struct waiting *it = &audit->open.waiting.items[at];
        tally_add(it->kind == WAITING_LABEL ? &labels : &rules, NULL, it->thing);
    }
    TRY(tally_row(&fields, "fields that two sides set differently", sheet, err));
    TRY(tally_row(&rules, "things that a rule doubts, kept by nobody", sheet, err));
    return tally_row(&labels, "labels with a number that was given away", sheet, err);
}

enum status audit_open_rows(struct audit *audit, struct err *err)
{
    static const struct column columns[] = {{"open", NULL, false}, {"count", NULL, true}, {"which", NULL, false}};
    struct sheet *sheet = NULL;
    TRY(audit_sheet_new(audit->run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    TRY(tally_corrections(audit, sheet, err));
    TRY(tally_acts(audit, sheet, err));
    TRY(tally_lag(audit, sheet, err));
    TRY(tally_waiting(audit, sheet, err));
    return page_add_sheet(&audit->page, BLOCK_TABLE, "What is open", sheet, err);
}

/* --- each of it --- */

static enum status write_corrections(struct audit *audit, struct err *err)
{
    static const struct column columns[] = {{"hole", NULL, false}, {"correction", NULL, true},   {"what", NULL, false},
                                            {"open", NULL, false}, {"recorded in", NULL, false}, {"by", NULL, false}};
    struct run *run = audit->run;
    struct sheet *sheet = NULL;
    size_t in_force = 0;
    TRY(audit_sheet_new(run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    for (size_t hole = 0; hole < audit->holes.count; hole++)
        for (size_t at = 0; at < audit->holes.items[hole].correction_count; at++) {
            const struct correction_facts *one = &audit->holes.items[hole].corrections[at];
            struct audit_open open;
            const char *words = NULL;
            in_force += one->in_force;
            if (!audit_is_open(one, &open))
                continue;
            TRY(audit_text(run->state, &words, err, "%s%s%s",
                           !open.is_unsigned ? ""
                           : open.was_signed ? "signed only in an earlier form"
                                             : "not signed by a second person",
                           open.is_unsigned && open.is_bare ? "; " : "", open.is_bare ? "no evidence was given" : ""));
            const struct cell cells[] = {cell_text(audit->holes.items[hole].roll.target.hole_name),
                                         cell_number(one->it->number),
                                         cell_text(correction_words[one->it->kind]),
                                         cell_text(words),
                                         cell_commit(one->commit.id),
                                         cell_text(one->commit.author)};
            TRY(sheet_add_row(sheet, cells, err));
        }
    if (sheet->row_count)
        return page_add_sheet(&audit->page, BLOCK_TABLE, "Corrections in force that lack a signature or evidence",
                              sheet, err);
    return page_add_text(&audit->page, BLOCK_PARAGRAPH,
                         in_force ? "Every correction in force is signed by a second person and has evidence."
                                  : "No correction is in force, so none waits for a signature or evidence.",
                         err);
}

static enum status write_lag(struct audit *audit, struct err *err)
{
    static const struct column columns[] = {{"hole", NULL, false}, {"open", NULL, false}};
    struct sheet *sheet = NULL;
    TRY(audit_sheet_new(audit->run->state, columns, 2, &sheet, err));
    for (size_t at = 0; at < audit->holes.count; at++) {
        const struct audit_hole *hole = &audit->holes.items[at];
        for (size_t one = 0; one < hole->lag_open_count; one++) {
            const struct cell cells[] = {cell_text(hole->roll.target.hole_name),
                                         cell_text(hole->lag_open[one].sentence)};
            TRY(sheet_add_row(sheet, cells, err));
        }
    }
    return sheet->row_count ? page_add_sheet(&audit->page, BLOCK_TABLE, "Lag checks", sheet, err) : STATUS_OK;
}

/* As coretally open tells it. */
static enum status write_waiting(struct audit *audit, struct err *err)
{
    struct bytes bytes;
    TRY(open_say_waiting(&audit->open, err));
    TRY(text_done(&audit->open.text, &bytes, err));
    if (!bytes.len)
        return STATUS_OK;
    TRY(page_add_text(&audit->page, BLOCK_PARAGRAPH, "What waits for a decision, with what may be typed:", err));
    return page_add_text(&audit->page, BLOCK_COMMANDS, bytes.data, err);
}

static enum status write_flaws(struct audit *audit, struct err *err)
{
    static const struct column columns[] = {{"severity", NULL, false}, {"flaw", NULL, false},
                                            {"path", NULL, false},     {"item", NULL, false},
                                            {"commit", NULL, false},   {"sentence", NULL, false}};
    const struct verify *verify = &audit->verify;
    struct sheet *sheet = NULL;
    TRY(audit_sheet_new(audit->run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    for (size_t at = 0; at < verify->found_count; at++) {
        const struct flaw_found *found = &verify->found[at];
        const struct cell cells[] = {cell_text(severity_words[flaw_severity(found->flaw)]),
                                     cell_text(flaw_word(found->flaw)),
                                     cell_text(found->path),
                                     cell_text(found->item),
                                     cell_commit(found->commit),
                                     cell_text(found->sentence)};
        TRY(sheet_add_row(sheet, cells, err));
    }
    return sheet->row_count ? page_add_sheet(&audit->page, BLOCK_TABLE, "What verify found", sheet, err) : STATUS_OK;
}

enum status audit_open_write(struct audit *audit, struct err *err)
{
    TRY(page_add_heading(&audit->page, 1, "What is open", err));
    TRY(write_flaws(audit, err));
    TRY(write_corrections(audit, err));
    TRY(write_lag(audit, err));
    return write_waiting(audit, err);
}
