/* SPDX-License-Identifier: MIT */
/* The bags of a hole, with their depths. */
#include <string.h>

#include "coretally/state/bag.h"
#include "command.h"

static const struct option list_options[] = {
    {"kind", "WORD", "bag (cuttings), gas or mud; default: bag"},
    {"from", "DEPTH", "only those that reach below this depth below rig floor"},
    {"to", "DEPTH", "only those that begin above this depth below rig floor"},
    {0},
};

struct listing {
    struct run *run;
    struct lag_hole hole;
    struct sheet sheet;
    enum bag_kind kind;
    int64_t from_um;
    int64_t to_um;
    struct name name;
    size_t done;
    int64_t next_ms;
};

/* The words of what was found, for the note. */
static enum status note_text(const struct listing *listing, const struct bag *bag, const struct lag_depth *depth,
                             const char **out, struct err *err)
{
    struct findings findings = {0};
    struct text text;
    struct bytes bytes;
    lag_depth_check(&listing->hole.target->hole, depth, &findings);
    text_init(&text, listing->run->state->arena);
    if (bag->withdrawn)
        text_add(&text, "withdrawn");
    for (size_t at = 0; at < findings.count; at++)
        text_addf(&text, "%s%s", text.len ? "; " : "",
                  findings.items[at].rule == RULE_LAG_UNKNOWN ? depth->why : rule_word(findings.items[at].rule));
    if (bag->contaminants)
        text_addf(&text, "%s%s", text.len ? "; " : "", bag->contaminants);
    if (bag->bypassed)
        text_addf(&text, "%s%s", text.len ? "; " : "", rule_word(RULE_BAG_LATE));
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status add_bag(struct listing *listing, const struct bag *bag, struct err *err)
{
    struct run *run = listing->run;
    const struct hole *hole = &listing->hole.target->hole;
    struct lag_depth depth;
    char name[NAME_TEXT_MAX];
    const char *note = NULL;
    state_progress(run->state, "bags", listing->done, 0, &listing->next_ms);
    listing->done++;
    TRY(bag_depth(run->state, &listing->hole, listing->kind, bag, &depth, err));
    if ((listing->from_um != LENGTH_NONE && (depth.why || depth.bottom_um < listing->from_um)) ||
        (listing->to_um != LENGTH_NONE && (depth.why || depth.top_um > listing->to_um)))
        return STATUS_OK;
    listing->name.bag_number = bag->number;
    name_format(&listing->name, NAME_PRINTED, name);
    TRY(note_text(listing, bag, &depth, &note, err));
    const struct cell cells[] = {cell_text(name),
                                 cell_instant(bag->from),
                                 cell_instant(bag->to),
                                 cell_length(depth.top_um, 2),
                                 cell_length(depth.bottom_um, 2),
                                 cell_length(depth.low_um, 2),
                                 cell_length(depth.high_um, 2),
                                 cell_length(lag_depth_msf(hole, depth.top_um, depth.first.cut_us), 2),
                                 cell_length(lag_depth_msf(hole, depth.bottom_um, depth.last.cut_us), 2),
                                 cell_text(bag->lithology),
                                 cell_text(bag->fraction),
                                 cell_text(note)};
    return sheet_add_row(&listing->sheet, cells, err);
}

static enum status add_hundreds(struct listing *listing, struct err *err)
{
    struct run *run = listing->run;
    const char *hole = listing->hole.target->hole_name;
    int32_t *hundreds = NULL;
    size_t count = 0;
    TRY(bag_hundreds(run->state, hole, listing->kind, &hundreds, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct bag_set set = {0};
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        bags_path(hole, listing->kind, hundreds[at], path);
        TRY(state_read(run->state, path, &bag_set_table, &set, &there, err));
        for (size_t bag = 0; bag < set.bag_count; bag++)
            TRY(add_bag(listing, &set.bags[bag], err));
    }
    if (!count)
        (void)fprintf(run->talk, "none is recorded yet: coretally bag add %s FROM TO\n", hole);
    return STATUS_OK;
}

static enum status read_options(struct run *run, struct listing *listing, struct err *err)
{
    const char *kind = run_option(run, "kind");
    listing->kind = kind ? bag_kind_find(kind) : BAG_CUTTINGS;
    if (listing->kind == BAG_NONE)
        return err_set(err, STATUS_INPUT, kind, "what is taken at the surface is one of bag, gas, mud");
    listing->from_um = listing->to_um = LENGTH_NONE;
    if (run_option(run, "from"))
        TRY(length_parse(run_option(run, "from"), UNIT_M, &listing->from_um, err));
    if (run_option(run, "to"))
        TRY(length_parse(run_option(run, "to"), UNIT_M, &listing->to_um, err));
    if (listing->from_um != LENGTH_NONE && listing->to_um != LENGTH_NONE && listing->from_um > listing->to_um)
        return err_set(err, STATUS_INPUT, "--from", "%s m lies below --to, %s m: the range is upside down",
                       length_text(listing->from_um, UNIT_M, 2).text, length_text(listing->to_um, UNIT_M, 2).text);
    return STATUS_OK;
}

static enum status run_bag_list(struct run *run, struct err *err)
{
    struct target target;
    struct listing listing = {.run = run};
    const char *unit = run_unit(run);
    const struct column columns[] = {{"name", NULL, false},      {"from", NULL, false},      {"to", NULL, false},
                                     {"MRF top", unit, true},    {"MRF bottom", unit, true}, {"MRF low", unit, true},
                                     {"MRF high", unit, true},   {"MSF top", unit, true},    {"MSF bottom", unit, true},
                                     {"lithology", NULL, false}, {"fraction", NULL, false},  {"note", NULL, false}};
    TRY(read_options(run, &listing, err));
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
    TRY(lag_hole_try(run->state, &target, &listing.hole, err));
    listing.hole.ahead = 7; /* bags come in order of time: a week of the log at once */
    listing.name = target.name;
    listing.name.level = NAME_BAG;
    listing.name.bag = listing.kind;
    (void)snprintf(listing.name.expedition, sizeof listing.name.expedition, "%s", run->state->expedition.number);
    sheet_init(&listing.sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    const enum status status = add_hundreds(&listing, err);
    lag_hole_close(&listing.hole);
    TRY(status);
    TRY(run_print_sheet(run, &listing.sheet, err));
    run_say_caution(run);
    return STATUS_OK;
}

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
