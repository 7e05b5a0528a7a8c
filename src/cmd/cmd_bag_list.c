/* SPDX-License-Identifier: MIT */
/* The bags of a hole, with their depths. */
#include <string.h>

#include "coretally/ask/list.h"
#include "coretally/state/namesake.h"
#include "coretally/state/open.h"
#include "coretally/run/command.h"

static enum status run_bag_list(struct run *run, struct err *err);

static const struct option list_options[] = {
    {"kind", "WORD", "bag (cuttings), gas or mud; default: bag"},
    {"from", "DEPTH", "only those that reach below this depth below rig floor"},
    {"to", "DEPTH", "only those that begin above this depth below rig floor"},
    {0},
};

const struct command bag_list_command = {
    .words = "bag list",
    .arguments = "HOLE",
    .purpose = "the bags of a hole with depth, bounds and what to know of them",
    .example = "bag list U0013A --from 2300 --to 2400",
    .detail =
        "In notes: bag-spans, its window spans two planned intervals; bag-late, taken late or past the shaker;\n"
        "no-returns, nothing came over the shaker then; no-new-hole, nothing was being drilled; lag-gap, its way up\n"
        "crosses a gap of the log; off-bottom, trip, the bit was off bottom meanwhile; after-cement, it may hold "
        "cement.\n"
        "The whole sentence with its figures: coretally explain U0013A-BAG12.",
    .use = USE_READING,
    .options = list_options,
    .least = 1,
    .most = 1,
    .run = run_bag_list,
};

struct bag_rows {
    struct state *state;
    const char *hole;
    enum bag_kind kind;
    struct sheet sheet;
};

/* The words of what was found, for the note. */
static enum status note_text(struct state *state, const struct listed_bag *it, const char **out, struct err *err)
{
    const struct findings *findings = it->findings;
    struct text text;
    struct bytes bytes;
    text_init(&text, state->arena);
    if (it->bag->withdrawn)
        text_add(&text, "withdrawn");
    for (size_t at = 0; at < findings->count; at++)
        text_addf(&text, "%s%s", text.len ? "; " : "",
                  findings->items[at].rule == RULE_LAG_UNKNOWN ? it->depth->why : rule_word(findings->items[at].rule));
    if (it->bag->contaminants)
        text_addf(&text, "%s%s", text.len ? "; " : "", it->bag->contaminants);
    if (it->bag->bypassed)
        text_addf(&text, "%s%s", text.len ? "; " : "", rule_word(RULE_BAG_LATE));
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status add_bag(void *context, const struct listed_bag *it, struct err *err)
{
    static const char *const marks[] = {[BAG_CUTTINGS] = "BAG", [BAG_GAS] = "GAS", [BAG_MUD] = "MUD"};
    struct bag_rows *const rows = context;
    const struct lag_depth *depth = it->depth;
    const char *note = NULL;
    const struct record_at open = record_of_bag(rows->hole, rows->kind, it->bag);
    TRY(note_text(rows->state, it, &note, err));
    TRY(open_note(rows->state, &open, note, &note, err));
    TRY(namesake_note(rows->state, it->bag->was, marks[rows->kind], note, &note, err));
    const struct cell cells[] = {cell_text(it->name),
                                 cell_instant(it->bag->from),
                                 cell_instant(it->bag->to),
                                 cell_length(depth->top_um, 2),
                                 cell_length(depth->bottom_um, 2),
                                 cell_length(depth->low_um, 2),
                                 cell_length(depth->high_um, 2),
                                 cell_length(it->msf_top_um, 2),
                                 cell_length(it->msf_bottom_um, 2),
                                 cell_text(it->bag->lithology),
                                 cell_text(it->bag->fraction),
                                 cell_text(note)};
    return sheet_add_row(&rows->sheet, cells, err);
}

static enum status read_options(struct run *run, struct bag_asked *out, struct err *err)
{
    const char *kind = run_option(run, "kind");
    out->kind = kind ? bag_kind_find(kind) : BAG_CUTTINGS;
    if (out->kind == BAG_NONE)
        return err_set(err, STATUS_INPUT, kind, "what is taken at the surface is one of bag, gas, mud");
    out->from_um = out->to_um = LENGTH_NONE;
    if (run_option(run, "from"))
        TRY(length_parse(run_option(run, "from"), UNIT_M, &out->from_um, err));
    if (run_option(run, "to"))
        TRY(length_parse(run_option(run, "to"), UNIT_M, &out->to_um, err));
    if (out->from_um != LENGTH_NONE && out->to_um != LENGTH_NONE && out->from_um > out->to_um)
        return err_set(err, STATUS_INPUT, "--from", "%s m lies below --to, %s m: the range is upside down",
                       length_text(out->from_um, UNIT_M, 2).text, length_text(out->to_um, UNIT_M, 2).text);
    return STATUS_OK;
}

static enum status run_bag_list(struct run *run, struct err *err)
{
    struct target target;
    struct bag_rows rows = {.state = run->state};
    struct bag_asked asked;
    bool any = false;
    const char *unit = run_unit(run);
    const struct column columns[] = {{"name", NULL, false},      {"from", NULL, false},      {"to", NULL, false},
                                     {"MRF top", unit, true},    {"MRF bottom", unit, true}, {"MRF low", unit, true},
                                     {"MRF high", unit, true},   {"MSF top", unit, true},    {"MSF bottom", unit, true},
                                     {"lithology", NULL, false}, {"fraction", NULL, false},  {"note", NULL, false}};
    TRY(read_options(run, &asked, err));
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
    sheet_init(&rows.sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    rows.hole = target.hole_name;
    rows.kind = asked.kind;
    asked.take = add_bag;
    asked.context = &rows;
    TRY(list_bags(run->state, &target, &asked, &any, err));
    if (!any)
        (void)fprintf(run->talk, "none is recorded yet: coretally bag add %s FROM TO\n", target.hole_name);
    TRY(run_print_sheet(run, &rows.sheet, err));
    run_say_caution(run);
    return STATUS_OK;
}
