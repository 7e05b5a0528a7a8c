/* SPDX-License-Identifier: MIT */
/* The corrections of a hole in an audit: a table of them, then each with reason, evidence, signatures and reach. */
#include <string.h>

#include "coretally/say/audit_say.h"
#include "coretally/state/correction_text.h"
#include "coretally/say/correction_say.h"

static enum status write_table(struct audit *audit, const struct audit_hole *hole, struct err *err)
{
    static const struct column columns[] = {{"number", NULL, true},  {"what", NULL, false},  {"amount", NULL, false},
                                            {"covers", NULL, false}, {"state", NULL, false}, {"commit", NULL, false},
                                            {"by", NULL, false},     {"signed", NULL, false}};
    struct sheet *sheet = NULL;
    TRY(audit_sheet_new(audit->run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    for (size_t at = 0; at < hole->correction_count; at++) {
        const struct correction_facts *one = &hole->corrections[at];
        const char *amount = NULL;
        const char *covers = NULL;
        const char *stands = NULL;
        const char *by = NULL;
        TRY(correction_state_text(audit->run->state, &hole->roll, one->it, &stands, err));
        TRY(signed_text(audit->run->state, one->it, &one->by, false, &by, err));
        TRY(correction_words_of(audit->run->state, one->it, correction_add_amount, &amount, err));
        TRY(correction_words_of(audit->run->state, one->it, correction_add_range, &covers, err));
        const struct cell cells[] = {cell_number(one->it->number),
                                     cell_text(correction_words[one->it->kind]),
                                     cell_text(amount),
                                     cell_text(covers),
                                     cell_text(stands),
                                     cell_commit(one->commit.id),
                                     cell_text(one->commit.author),
                                     cell_text(by ? by : "nobody")};
        TRY(sheet_add_row(sheet, cells, err));
    }
    return page_add_sheet(&audit->page, BLOCK_TABLE,
                          "Corrections: those in force in the order in which the chain applies them, then the others",
                          sheet, err);
}

static enum status add_evidence(struct audit *audit, const struct correction *it, struct sheet *facts, struct err *err)
{
    const char *file = NULL;
    if (it->evidence_file)
        TRY(audit_text(audit->run->state, &file, err, "%s, git hash %s",
                       it->evidence_name ? it->evidence_name : "attached", it->evidence_file));
    TRY(audit_fact_add(facts, "evidence", it->evidence, err));
    TRY(audit_fact_add(facts, "evidence, file", file, err));
    return it->evidence || file ? STATUS_OK : audit_fact_add(facts, "evidence", "none was given", err);
}

/* "31 sections by +9.620 m", "4 cores with a depth by it". */
static void add_count(const struct run *run, const struct reach_count *count, const char *what, bool any,
                      struct text *out)
{
    const char *before = any ? "; " : "";
    const int len = (int)strlen(what);
    if (count->moved) {
        text_addf(out, "%s%zu %.*s by %s", before, count->moved, len - (count->moved == 1), what,
                  reach_signed(run, count->least_um).text);
        if (count->greatest_um != count->least_um) {
            text_addf(out, " to %s", reach_signed(run, count->greatest_um).text);
            text_addf(out, " (mean %s)", reach_signed(run, reach_mean(count)).text);
        }
        text_addf(out, " %s", run_unit(run));
        before = "; ";
    }
    if (count->found) {
        text_addf(out, "%s%zu %.*s given a depth", before, count->found, len - (count->found == 1), what);
        before = "; ";
    }
    if (count->lost)
        text_addf(out, "%s%zu %.*s left without a depth", before, count->lost, len - (count->lost == 1), what);
}

/* What it moves in one hole. */
static enum status add_moved(struct audit *audit, const struct reach_part *part, const struct reach *reach,
                             const char *against, struct sheet *facts, struct err *err)
{
    struct run *run = audit->run;
    struct text text;
    struct bytes bytes;
    bool any = false;
    text_init(&text, run->state->arena);
    for (int item = 0; item < REACH_ITEM_COUNT; item++) {
        const struct reach_count *count = &reach->counts[item];
        if (!reach_count_is_any(count))
            continue;
        add_count(run, count, reach_words[item], any, &text);
        any = true;
    }
    if (reach_count_is_any(&reach->runs)) {
        text_addf(&text, "%s%s (DSF): ", any ? "; " : "", reach_runs_word);
        add_count(run, &reach->runs, "runs", false, &text);
        any = true;
    }
    if (!any)
        text_add(&text, "nothing that is recorded so far");
    const bool has_bags = reach_count_is_any(&reach->counts[REACH_BAGS]) && !scale_is_vertical(reach->scale);
    text_addf(&text, " (%s%s%s; state %.10s)", scale_words[reach->scale], has_bags ? ", bags " : "",
              has_bags ? reach_scale_word(reach, REACH_BAGS) : "", audit->state.id);
    TRY(text_done(&text, &bytes, err));
    const char *what = NULL;
    TRY(audit_text(run->state, &what, err, "moves in %s%s%s", part->target.hole_name, against ? ", against " : "",
                   against ? against : ""));
    return audit_fact_add(facts, what, bytes.data, err);
}

/* On the scale of the correction, on another one where it shows there, and why it is not what the correction says. */
static enum status add_part(struct audit *audit, const struct reach_part *part, const char *against,
                            struct sheet *facts, struct err *err)
{
    struct text text;
    struct bytes bytes;
    TRY(add_moved(audit, part, &part->reach, against, facts, err));
    if (part->has_also)
        TRY(add_moved(audit, part, &part->also, against, facts, err));
    text_init(&text, audit->run->state->arena);
    reach_made_add(audit->run, part, &text);
    if (!text.len)
        return STATUS_OK;
    TRY(text_done(&text, &bytes, err));
    return audit_fact_add(facts, "why", bytes.data, err);
}

static enum status write_one(struct audit *audit, const struct audit_hole *hole, const struct correction_facts *one,
                             struct err *err)
{
    struct run *run = audit->run;
    struct sheet *facts = NULL;
    const char *heading = NULL;
    const char *amount = NULL;
    const char *covers = NULL;
    const char *recorded = NULL;
    const char *stands = NULL;
    const char *by = NULL;
    static const struct column columns[] = {{"what", NULL, false}, {"value", NULL, false}};
    TRY(audit_sheet_new(run->state, columns, 2, &facts, err));
    TRY(correction_words_of(run->state, one->it, correction_add_amount, &amount, err));
    TRY(correction_words_of(run->state, one->it, correction_add_range, &covers, err));
    TRY(audit_text(run->state, &heading, err, "Correction %d of %s: %s, %s", (int)one->it->number,
                   hole->roll.target.hole_name, correction_words[one->it->kind], amount));
    TRY(page_add_heading(&audit->page, 3, heading, err));
    TRY(audit_fact_add(facts, "covers", covers, err));
    TRY(correction_state_text(run->state, &hole->roll, one->it, &stands, err));
    TRY(audit_fact_add(facts, "state", stands, err));
    TRY(audit_fact_add(facts, "reason", one->it->reason, err));
    TRY(add_evidence(audit, one->it, facts, err));
    TRY(audit_fact_add(facts, "takes the place of", one->it->supersedes, err));
    TRY(audit_fact_add(facts, "remark", one->it->remark, err));
    TRY(audit_commit_text(run->state, &one->first, &recorded, err));
    TRY(audit_fact_add(facts, "recorded in commit", recorded, err));
    if (strcmp(one->first.id, one->commit.id) != 0) {
        TRY(audit_commit_text(run->state, &one->commit, &recorded, err));
        TRY(audit_fact_add(facts, "changed in commit", recorded, err));
    }
    if (one->it->withdrawn) {
        TRY(audit_commit_text(run->state, &one->withdrawn, &recorded, err));
        TRY(audit_fact_add(facts, "withdrawn in commit", recorded, err));
    }
    TRY(signed_text(run->state, one->it, &one->by, true, &by, err));
    TRY(audit_fact_add(facts, "signed", by ? by : "by nobody", err));
    for (size_t at = 0; at < one->part_count; at++) {
        const struct reach_part *part = audit->holes.parts.items[one->first_part + at];
        const bool is_own = strcmp(part->target.hole_name, hole->roll.target.hole_name) == 0;
        if (is_own || !reach_is_empty(&part->reach))
            TRY(add_part(audit, part, one->it->supersedes ? part->against : NULL, facts, err));
    }
    return page_add_sheet(&audit->page, BLOCK_FACTS, NULL, facts, err);
}

enum status audit_corrections_write(struct audit *audit, const struct audit_hole *hole, struct err *err)
{
    if (!hole->correction_count)
        return page_add_text(&audit->page, BLOCK_PARAGRAPH, "No correction is recorded.", err);
    TRY(write_table(audit, hole, err));
    for (size_t at = 0; at < hole->correction_count; at++)
        TRY(write_one(audit, hole, &hole->corrections[at], err));
    return STATUS_OK;
}
