/* SPDX-License-Identifier: MIT */
/* What stands although the rules doubt it, a row a doubt. */
#include "coretally/ask/kept.h"
#include "coretally/run/command.h"

static enum status run_kept(struct run *run, struct err *err);

const struct command kept_command = {
    .words = "kept",
    .arguments = "[HOLE]",
    .purpose = "what was kept although a rule doubts it: which thing, what is doubted, who kept it, when and why",
    .example = "kept U0012A",
    .detail =
        "A doubt that nobody kept (no commit) came with another record, or with an archive of an earlier version.\n"
        "For wells, pumps, corrections and the like, and new names of cores, each act that kept something is listed, "
        "even\nif it was mended since.",
    .use = USE_READING,
    .on = ON_STATE,
    .least = 0,
    .most = 1,
    .run = run_kept,
};

static enum status add_rows(const struct kept *kept, struct sheet *sheet, struct err *err)
{
    for (size_t at = 0; at < kept->count; at++) {
        const struct kept_doubt *it = &kept->items[at];
        const struct cell cells[] = {cell_text(it->thing),          cell_text(it->word),
                                     cell_text(it->sentence),       cell_text(it->source.author),
                                     cell_instant(it->source.when), cell_commit(it->source.id),
                                     cell_text(it->reason)};
        TRY(sheet_add_row(sheet, cells, err));
    }
    return STATUS_OK;
}

static enum status run_kept(struct run *run, struct err *err)
{
    static const struct column columns[] = {{"thing", NULL, false}, {"doubt", NULL, false}, {"sentence", NULL, false},
                                            {"by", NULL, false},    {"when", NULL, false},  {"commit", NULL, false},
                                            {"reason", NULL, false}};
    struct target target = {.has_samples = false};
    struct kept kept = {.count = 0};
    struct sheet sheet;
    struct names holes = {0};
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    if (run->arg_count) {
        TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
        TRY(kept_find(run->state, &target, &kept, err));
    } else {
        TRY(state_holes(run->state, &holes, err));
        for (size_t hole = 0; hole < holes.count; hole++) {
            TRY(name_parse(holes.items[hole], &target.name, err));
            TRY(resolve_hole(run->state, &target.name, &target, err));
            TRY(kept_find(run->state, &target, &kept, err));
        }
    }
    TRY(add_rows(&kept, &sheet, err));
    if (!kept.count)
        (void)fprintf(run->talk, "nothing that stands is doubted\n");
    return run_print_sheet(run, &sheet, err);
}
