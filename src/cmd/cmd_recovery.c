/* SPDX-License-Identifier: MIT */
/* Recovery per core, per type, per depth range and per hole. */
#include <string.h>

#include "coretally/ask/recovery.h"
#include "coretally/run/command.h"

static enum status run_recovery(struct run *run, struct err *err);

static const struct option recovery_options[] = {
    {"by", "WHAT", "core, type or hole: how far the rows go; the default is core"},
    {"from", "DEPTH", "only cores whose drilled top is at or below this, m below seafloor"},
    {"to", "DEPTH", "only cores whose drilled top is above this, m below seafloor"},
    {0},
};

const struct command recovery_command = {
    .words = "recovery",
    .arguments = "[HOLE | CORE]",
    .purpose = "recovery per core, per type letter and per hole, or of a depth range",
    .example = "recovery U0012A --from 100 --to 200",
    .detail =
        "100 x recovered / advance, to one decimal, half away from zero; totals are ratios of sums. A core belongs to "
        "a\n"
        "range by its drilled top. n/a where nothing was advanced. Wash, ghost and loose material is not counted.\n"
        "Penetration is how deep the hole went, on the depths of today: from the seafloor (a sidetrack: from its "
        "kickoff)\n"
        "to the deepest bottom of a core or drilled interval, gaps without a record included, and listed.",
    .use = USE_READING,
    .options = recovery_options,
    .least = 0,
    .most = 1,
    .run = run_recovery,
};

static enum status add_row(const char *what, const struct recovery *it, struct sheet *sheet, const char *note,
                           struct err *err)
{
    const struct cell cells[] = {cell_text(what),
                                 cell_number(it->cores),
                                 cell_length(it->advance_um, 3),
                                 cell_length(it->recovered_um, 3),
                                 cell_recovery(it->recovered_um, it->advance_um),
                                 cell_text(note)};
    return sheet_add_row(sheet, cells, err);
}

/* The depth range, in m below seafloor; open ends are the farthest there are. */
static enum status take_range(const struct run *run, struct recovery_asked *out, struct err *err)
{
    const char *from = run_option(run, "from");
    const char *to = run_option(run, "to");
    *out = (struct recovery_asked){.has_range = from || to, .range = {INT64_MIN, INT64_MAX}};
    if (from)
        TRY(length_parse(from, UNIT_M, &out->range.from_um, err));
    if (to)
        TRY(length_parse(to, UNIT_M, &out->range.to_um, err));
    if (out->range.from_um >= out->range.to_um)
        return err_set(err, STATUS_INPUT, "--from", "%s m does not lie above --to, %s m: the range is upside down",
                       length_text(out->range.from_um, UNIT_M, 3).text, length_text(out->range.to_um, UNIT_M, 3).text);
    return STATUS_OK;
}

static enum status add_cores(struct run *run, const struct target *target, const struct recovery_tally *tally,
                             struct sheet *sheet, struct err *err)
{
    struct target each = *target;
    for (size_t at = 0; at < tally->core_count; at++) {
        const struct recovery *own = &tally->cores[at].own;
        char name[NAME_TEXT_MAX];
        each.name.core = tally->cores[at].core.number;
        each.name.type = tally->cores[at].core.type;
        target_core_name(run->state, &each, name);
        TRY(add_row(name, own, sheet,
                    own->wide      ? "wide interval, not counted"
                    : own->unknown ? "advance or recovered length not known, not counted"
                                   : NULL,
                    err));
    }
    return STATUS_OK;
}

static enum status add_types(const struct target *target, const struct recovery_tally *tally, struct sheet *sheet,
                             struct err *err)
{
    for (int letter = 0; letter < CORE_TYPES; letter++) {
        const struct core_type *type = core_type_find((char)('A' + letter));
        char what[64];
        if (!tally->by_type[letter].cores)
            continue;
        (void)snprintf(what, sizeof what, "%s all %c", target->hole_name, 'A' + letter);
        TRY(add_row(what, &tally->by_type[letter], sheet, type ? type->meaning : NULL, err));
    }
    return STATUS_OK;
}

/* --- how deep the hole went, in words --- */

static const char *begin_text(const struct penetrated *it, const struct hole *hole)
{
    if (it->from == FROM_SEAFLOOR)
        return "";
    if (it->from == FROM_KICKOFF)
        return " below the kickoff";
    return hole->parent ? " below the first record (no kickoff recorded)"
                        : " below the first record (no seafloor recorded)";
}

static void add_part(const struct run *run, struct text *out, int64_t um, const char *what, const char **between)
{
    if (um) {
        text_addf(out, "%s%s %s", *between, run_length(run, um, 3).text, what);
        *between = ", ";
    }
}

static void add_gaps(const struct run *run, const struct penetrated *it, struct text *out)
{
    const struct penetration *sum = &it->sum;
    if (!sum->gap_count)
        return;
    if (sum->gap_count > 1)
        text_addf(out, " (%zu gaps, the first ", sum->gap_count);
    else
        text_add(out, " (");
    text_addf(out, "%s %s-%s", scale_words[it->scale], run_length(run, sum->gap_top_um, 3).text,
              run_length(run, sum->gap_bottom_um, 3).text);
    if (it->opened_um > 0 && it->opened_um == sum->unrecorded_um)
        text_add(out, "; all of it opened by corrections");
    else if (it->opened_um > 0)
        text_addf(out, "; %s opened by corrections", run_length(run, it->opened_um, 3).text);
    text_add(out, ")");
}

/* "penetration 112.300 m, of it ..." */
static void add_penetrated(const struct run *run, const struct penetrated *it, const struct hole *hole,
                           struct text *out)
{
    const struct penetration *sum = &it->sum;
    const char *between = ", of it ";
    if (!it->is_known) {
        text_add(out, "penetration not known: no seafloor is recorded, and depths count from two datums");
        return;
    }
    text_addf(out, "penetration %s%s %s%s", sum->is_least ? "at least " : "",
              run_length(run, sum->bottom_um - sum->top_um, 3).text, run_unit(run), begin_text(it, hole));
    add_part(run, out, sum->uncored_um, "not cored (drilled or washed)", &between);
    add_part(run, out, sum->unrecorded_um, "neither cored nor recorded as drilled", &between);
    add_gaps(run, it, out);
    add_part(run, out, sum->open_um, "by runs whose bottom is not known", &between);
    if (it->is_timeless)
        text_add(out, "; without the corrections that ask for a time, where none is recorded");
}

/* The hole as a whole. */
static enum status add_total(struct run *run, const struct target *target, const struct recovery_asked *asked,
                             const struct recovery_tally *tally, struct sheet *sheet, struct err *err)
{
    char what[64];
    struct penetrated penetrated = {0};
    struct text text;
    struct bytes note;
    text_init(&text, run->state->arena);
    if (tally->straddlers)
        text_add(&text, "the last core reaches past the range and is counted whole; ");
    if (tally->runs.count) {
        TRY(penetrated_find(run->state, &target->hole, &tally->runs, &asked->range, &penetrated, err));
        if (asked->has_range)
            text_add(&text, "within the range: ");
        add_penetrated(run, &penetrated, &target->hole, &text);
    }
    TRY(text_done(&text, &note, err));
    (void)snprintf(what, sizeof what, "%s all", target->hole_name);
    return add_row(what, &tally->total, sheet, note.len ? note.data : NULL, err);
}

/* How far the rows go. */
struct rows {
    bool cores;
    bool types;
};

static enum status add_thing(struct run *run, const char *typed, const struct rows *rows, struct sheet *sheet,
                             struct err *err)
{
    struct target target = {0};
    struct recovery_tally tally = {0};
    struct recovery_asked asked = {.has_range = run_option(run, "from") || run_option(run, "to"),
                                   .range = {INT64_MIN, INT64_MAX}};
    TRY(resolve(run->state, typed, NAME_HOLE, NAME_CORE, &target, err));
    if (target.name.level == NAME_CORE) {
        TRY(recovery_of_core(run->state, &target, &asked, &tally, err));
        return add_cores(run, &target, &tally, sheet, err);
    }
    TRY(take_range(run, &asked, err));
    TRY(recovery_of_hole(run->state, &target, &asked, &tally, err));
    if (rows->cores)
        TRY(add_cores(run, &target, &tally, sheet, err));
    if (rows->types)
        TRY(add_types(&target, &tally, sheet, err));
    return add_total(run, &target, &asked, &tally, sheet, err);
}

static enum status run_recovery(struct run *run, struct err *err)
{
    const struct column columns[] = {{"what", NULL, false},
                                     {"cores", NULL, true},
                                     {"advance", run_unit(run), true},
                                     {"recovered", run_unit(run), true},
                                     {"recovery", "%", true},
                                     {"note", NULL, false}};
    struct names holes = {0};
    struct sheet sheet;
    char state[STATE_WORDS_MAX];
    const char *by = run_option(run, "by");
    const struct rows rows = {.cores = !by || strcmp(by, "core") == 0, .types = !by || strcmp(by, "hole") != 0};
    if (by && !rows.cores && strcmp(by, "type") != 0 && strcmp(by, "hole") != 0) {
        err_set(err, STATUS_INPUT, by, "rows go by core, type or hole");
        return err_hint(err, "for example --by type");
    }
    TRY(run_open(run, STORE_READ, err));
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    TRY(state_holes(run->state, &holes, err));
    for (size_t at = 0; at < (run->arg_count ? 1 : holes.count); at++)
        TRY(add_thing(run, run->arg_count ? run->args[0] : holes.items[at], &rows, &sheet, err));
    TRY(run_print_sheet(run, &sheet, err));
    run_state_words(run->state->store, state);
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "%s of the registry\n", state);
    return STATUS_OK;
}
