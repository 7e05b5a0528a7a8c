/* SPDX-License-Identifier: MIT */
/* What moved in an audit: between its two states, and by which act; who decided that, when, why, on what evidence. */
#include <stdlib.h>
#include <string.h>

#include "coretally/say/audit_say.h"
#include "coretally/say/correction_say.h"

/* --- the two ends --- */

static void add_to(struct reach_count *sum, const struct reach_count *it)
{
    if (it->moved) {
        sum->least_um = !sum->moved || it->least_um < sum->least_um ? it->least_um : sum->least_um;
        sum->greatest_um = !sum->moved || it->greatest_um > sum->greatest_um ? it->greatest_um : sum->greatest_um;
    }
    sum->moved += it->moved;
    sum->lost += it->lost;
    sum->found += it->found;
    sum->sum_m += it->sum_m;
}

/* How many things of a row, whatever they are. */
static struct reach_count add_up(const struct reach *reach, int first, int last)
{
    struct reach_count sum = {0};
    for (int item = first; item <= last; item++)
        add_to(&sum, &reach->counts[item]);
    return sum;
}

static enum status add_count(const char *hole, const char *what, const char *scale, const struct reach_count *count,
                             struct sheet *sheet, struct err *err)
{
    struct cell cells[3 + REACH_CELLS] = {cell_text(hole), cell_text(what), cell_text(scale)};
    reach_cells(count, cells + 3);
    return reach_count_is_any(count) ? sheet_add_row(sheet, cells, err) : STATUS_OK;
}

/* Kind by kind; what of a core only lost or found its depth in one row. */
static enum status add_counts(const char *hole, const struct reach *reach, const char *bag_scale, struct sheet *sheet,
                              struct err *err)
{
    const struct reach_count of_cores = add_up(reach, REACH_CORES, REACH_SAMPLES);
    const char *scale = scale_words[reach->scale];
    if (!of_cores.moved)
        TRY(add_count(hole, "all of cores", scale, &of_cores, sheet, err));
    for (int item = REACH_CORES; of_cores.moved && item <= REACH_SAMPLES; item++)
        TRY(add_count(hole, reach_words[item], scale, &reach->counts[item], sheet, err));
    TRY(add_count(hole, reach_runs_word, scale_words[SCALE_DSF], &reach->runs, sheet, err));
    return add_count(hole, reach_words[REACH_BAGS], bag_scale, &reach->counts[REACH_BAGS], sheet, err);
}

/* Against a state or, where none was named, what stands of corrections against the readings. */
static enum status fill_between(struct audit *audit, struct sheet *sheet, struct err *err)
{
    for (size_t at = 0; audit->from && at < audit->moved.between.count; at++) {
        const struct moves_part *part = &audit->moved.between.items[at];
        TRY(add_counts(part->hole, &part->reach, part->bag_scale, sheet, err));
    }
    for (size_t at = 0; !audit->from && at < audit->holes.count; at++) {
        const struct audit_hole *hole = &audit->holes.items[at];
        TRY(add_counts(hole->roll.target.hole_name, &hole->together->reach, "MSF", sheet, err));
    }
    return STATUS_OK;
}

enum status audit_between_write(struct audit *audit, struct err *err)
{
    struct run *run = audit->run;
    const char *unit = run_unit(run);
    const struct column columns[] = {{"hole", NULL, false}, {"what", NULL, false}, {"scale", NULL, false},
                                     {"moved", NULL, true}, {"least", unit, true}, {"greatest", unit, true},
                                     {"mean", unit, true},  {"lost", NULL, true},  {"found", NULL, true}};
    struct sheet *sheet = NULL;
    const char *caption = NULL;
    TRY(audit_sheet_new(run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    TRY(fill_between(audit, sheet, err));
    if (audit->from)
        TRY(audit_text(run->state, &caption, err, "What moved from state %.10s to state %.10s", audit->from,
                       audit->state.id));
    else
        caption = "What all corrections in force move, against the readings as they stand";
    if (sheet->row_count)
        return page_add_sheet(&audit->page, BLOCK_TABLE, caption, sheet, err);
    TRY(audit_text(run->state, &caption, err, "%s: nothing.", caption));
    return page_add_text(&audit->page, BLOCK_PARAGRAPH, caption, err);
}

/* --- act by act --- */

static void add_signer(struct text *out, const struct signed_by *it, const char *note)
{
    if (it->is_theirs && (!out->data || !strstr(out->data, it->signature->name)))
        text_addf(out, "%s%s%s", out->len ? ", " : "", it->signature->name, note);
}

enum status audit_signers(struct audit *audit, const struct moved_act *act, const char **out, bool *is_recording,
                          struct err *err)
{
    struct text text;
    struct bytes bytes;
    struct signed_all all;
    text_init(&text, audit->run->state->arena);
    *is_recording = false;
    for (size_t at = 0; at < act->correction_count; at++) {
        const struct correction_facts *one = audit_recorded(audit, act, &act->corrections[at]);
        *is_recording = *is_recording || one;
        for (size_t by = 0; one && by < one->by.count; by++)
            add_signer(&text, &one->by.items[by],
                       one->it->withdrawn          ? " (withdrawn since)"
                       : one->by.items[by].is_same ? ""
                                                   : " (as it was)");
    }
    TRY(act_signed(audit->run->state, act->commit.id, &all, err));
    for (size_t by = 0; by < all.count; by++)
        add_signer(&text, &all.items[by], "");
    TRY(text_done(&text, &bytes, err));
    *out = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

/* The worst of what stands behind the corrections of an act. */
static enum status evidence_of(struct audit *audit, const struct moved_act *act, const char **out, struct err *err)
{
    enum evidence worst = EVIDENCE_NONE;
    bool any = false;
    for (size_t at = 0; at < act->correction_count; at++) {
        const struct correction_facts *one = audit_recorded(audit, act, &act->corrections[at]);
        enum evidence held = EVIDENCE_NONE;
        if (!one)
            continue;
        TRY(evidence_find(audit->run->state, one->it, &held, err));
        worst = held > worst || !any ? held : worst;
        any = true;
    }
    *out = any ? evidence_words[worst] : act->is_join ? NULL : evidence_words[EVIDENCE_NONE];
    return STATUS_OK;
}

static enum status add_row(struct audit *audit, const struct moved_act *act, const struct moves_part *part,
                           const char *scale, const struct reach_count *sum, struct sheet *sheet, struct err *err)
{
    const char *by = NULL;
    const char *held = NULL;
    bool is_recording = false;
    if (!reach_count_is_any(sum))
        return STATUS_OK;
    TRY(audit_signers(audit, act, &by, &is_recording, err));
    by = by || act->is_join ? by : "nobody";
    TRY(evidence_of(audit, act, &held, err));
    struct cell cells[6 + REACH_CELLS] = {cell_commit(act->commit.id), cell_text(part->hole), cell_text(scale)};
    reach_cells(sum, cells + 3);
    cells[3 + REACH_CELLS] = cell_text(act->is_join ? "(a join)" : act->commit.author);
    cells[4 + REACH_CELLS] = cell_text(by);
    cells[5 + REACH_CELLS] = cell_text(held);
    return sheet_add_row(sheet, cells, err);
}

static enum status add_part(struct audit *audit, const struct moved_act *act, const struct moves_part *part,
                            struct sheet *sheet, struct err *err)
{
    const struct reach *reach = &part->reach;
    const struct reach_count of_cores = add_up(reach, REACH_CORES, REACH_SAMPLES);
    TRY(add_row(audit, act, part, scale_words[reach->scale], &of_cores, sheet, err));
    TRY(add_row(audit, act, part, scale_words[SCALE_DSF], &reach->runs, sheet, err));
    return add_row(audit, act, part, part->bag_scale, &reach->counts[REACH_BAGS], sheet, err);
}

static enum status add_act(struct audit *audit, const struct moved_act *act, struct sheet *sheet, struct err *err)
{
    for (size_t at = 0; at < act->parts.count; at++)
        TRY(add_part(audit, act, &act->parts.items[at], sheet, err));
    return STATUS_OK;
}

/* How far it moved anything, up or down. */
static int64_t size_of(const struct moved_act *act)
{
    int64_t size_um = 0;
    for (size_t at = 0; at < act->parts.count; at++) {
        struct reach_count sum = add_up(&act->parts.items[at].reach, REACH_CORES, REACH_BAGS);
        add_to(&sum, &act->parts.items[at].reach.runs);
        const int64_t least_um = llabs(sum.least_um);
        const int64_t greatest_um = llabs(sum.greatest_um);
        size_um = sum.moved && least_um > size_um ? least_um : size_um;
        size_um = sum.moved && greatest_um > size_um ? greatest_um : size_um;
    }
    return size_um;
}

/* What moved most; of what moved alike the latest, which stands behind. */
static int order_size(const void *a, const void *b)
{
    const struct moved_act *left = *(const struct moved_act *const *)a;
    const struct moved_act *right = *(const struct moved_act *const *)b;
    const int64_t sizes[] = {size_of(left), size_of(right)};
    return sizes[0] != sizes[1] ? (sizes[0] < sizes[1] ? 1 : -1) : left < right ? 1 : -1;
}

static enum status fill_acts(struct audit *audit, const struct moved_act *const *acts, size_t count, size_t most,
                             struct sheet **out, size_t *shown, struct err *err)
{
    const char *unit = run_unit(audit->run);
    const struct column columns[] = {{"act", NULL, false},  {"hole", NULL, false},      {"scale", NULL, false},
                                     {"moved", NULL, true}, {"least", unit, true},      {"greatest", unit, true},
                                     {"mean", unit, true},  {"lost", NULL, true},       {"found", NULL, true},
                                     {"by", NULL, false},   {"signed by", NULL, false}, {"evidence", NULL, false}};
    TRY(audit_sheet_new(audit->run->state, columns, sizeof columns / sizeof columns[0], out, err));
    for (*shown = 0; *shown < count && (*out)->row_count < most; ++*shown)
        TRY(add_act(audit, acts[*shown], *out, err));
    return STATUS_OK;
}

#define ACTS_MEANING                                                                                                   \
    "of cores, sections and samples together, of cores without sections (DSF), or of bags: by their tops, or their "   \
    "bottoms where the tops stay"

enum status audit_acts_first_write(struct audit *audit, struct err *err)
{
    const struct moved *moved = &audit->moved;
    struct state *const state = audit->run->state;
    const struct moved_act **acts = NULL;
    struct sheet *sheet = NULL;
    const char *caption = NULL;
    size_t count = 0;
    size_t shown = 0;
    TRY(arena_take(state->arena, moved->count, sizeof(void *), &acts, err));
    for (size_t at = 0; at < moved->count; at++)
        if (!moved->acts[at].is_join)
            acts[count++] = &moved->acts[at];
    if (!count) {
        TRY(audit_text(state, &caption, err, "By which act: none of %zu moved a depth that was recorded before it.",
                       moved->looked));
        return page_add_text(&audit->page, BLOCK_PARAGRAPH, caption, err);
    }
    qsort(acts, count, sizeof(void *), order_size);
    TRY(fill_acts(audit, acts, count, AUDIT_ACTS_FIRST, &sheet, &shown, err));
    TRY(audit_text(
        state, &caption, err,
        "By which act: %zu of %zu moved depths, %zu of them shown here%s, what moved most first; " ACTS_MEANING, count,
        moved->looked, shown, shown < count ? " and all below" : ""));
    return page_add_sheet(&audit->page, BLOCK_TABLE, caption, sheet, err);
}

/* The latest first, joins among them. */
static enum status write_acts(struct audit *audit, struct err *err)
{
    const struct moved *moved = &audit->moved;
    const struct moved_act **acts = NULL;
    struct sheet *sheet = NULL;
    size_t shown = 0;
    TRY(arena_take(audit->run->state->arena, moved->count, sizeof(void *), &acts, err));
    for (size_t at = 0; at < moved->count; at++)
        acts[at] = &moved->acts[moved->count - 1 - at];
    TRY(fill_acts(audit, acts, moved->count, SIZE_MAX, &sheet, &shown, err));
    return page_add_sheet(&audit->page, BLOCK_TABLE,
                          "What each one moved, the latest first; " ACTS_MEANING
                          ". A join is nobody's act: it brings to one side what the other did, so its figures are not "
                          "to be added to those of the acts",
                          sheet, err);
}

/* --- who, when, why --- */

/* "tally sheet 14; file sheet-14.csv, intact" */
static enum status evidence_words_of(struct audit *audit, const struct moved_act *act, const char **out,
                                     struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, audit->run->state->arena);
    for (size_t at = 0; at < act->correction_count; at++) {
        const struct correction_facts *one = audit_recorded(audit, act, &act->corrections[at]);
        enum evidence held = EVIDENCE_NONE;
        if (!one)
            continue;
        TRY(evidence_find(audit->run->state, one->it, &held, err));
        if (one->it->evidence)
            text_addf(&text, "%s%s", text.len ? "; " : "", one->it->evidence);
        if (one->it->evidence_file)
            text_addf(&text, "%sfile %s, %s", text.len ? "; " : "",
                      one->it->evidence_name ? one->it->evidence_name : "attached", evidence_words[held]);
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.len ? bytes.data : act->is_join ? NULL : "none was given";
    return STATUS_OK;
}

/* " (now 7)": a join gave what the act recorded another number. */
static enum status now_text(struct audit *audit, const struct moved_act *act, const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, audit->run->state->arena);
    for (size_t at = 0; at < act->correction_count; at++) {
        const struct correction_facts *one = audit_recorded(audit, act, &act->corrections[at]);
        if (one && one->it->number != act->corrections[at].number)
            text_addf(&text, " (%s %d is now %d)", act->corrections[at].hole, (int)act->corrections[at].number,
                      (int)one->it->number);
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.len ? bytes.data : "";
    return STATUS_OK;
}

/* "2026-03-14T09:00:00Z, Ines Okonjo, operations office: Correction 1 of ...; why: ...; evidence: ..." */
static enum status add_decided(struct audit *audit, const struct moved_act *act, struct sheet *sheet, struct err *err)
{
    const struct commit *commit = &act->commit;
    const char *held = NULL;
    const char *told = NULL;
    const char *now = NULL;
    char when[INSTANT_TEXT_MAX];
    char id[12];
    (void)snprintf(id, sizeof id, "%.10s", commit->id);
    instant_format(commit->when, when);
    TRY(evidence_words_of(audit, act, &held, err));
    TRY(now_text(audit, act, &now, err));
    if (act->is_join)
        TRY(audit_text(audit->run->state, &told, err, "%s. %s, what the other side did came to the side of %.10s", when,
                       commit->line, act->line));
    else
        TRY(audit_text(audit->run->state, &told, err, "%s, %s%s%s. %s%s. Why: %s. Evidence: %s.", when, commit->author,
                       commit->station ? ", " : "", commit->station ? commit->station : "", commit->line, now,
                       commit->reason ? commit->reason : "none given", held));
    return audit_fact_add(sheet, id, told, err);
}

enum status audit_decided_write(struct audit *audit, struct err *err)
{
    static const struct column columns[] = {{"act", NULL, false}, {"told", NULL, false}};
    const struct moved *moved = &audit->moved;
    struct sheet *sheet = NULL;
    if (!moved->count)
        return STATUS_OK;
    TRY(page_add_heading(&audit->page, 1, "The acts that moved depths", err));
    TRY(audit_sheet_new(audit->run->state, columns, 2, &sheet, err));
    for (size_t at = moved->count; at-- > 0;)
        TRY(add_decided(audit, &moved->acts[at], sheet, err));
    TRY(page_add_sheet(&audit->page, BLOCK_FACTS, NULL, sheet, err));
    return write_acts(audit, err);
}
