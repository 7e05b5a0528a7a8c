/* SPDX-License-Identifier: MIT */
/* What differs between two states of the registry. */
#include <string.h>

#include "coretally/say/compare_say.h"
#include "coretally/state/span.h"

static enum status run_compare(struct run *run, struct err *err);

static const struct option compare_options[] = {
    {"scale", "SCALE",
     "the depth scale; default: CSF-A, and MSF (MRF without a seafloor) for what came over the shaker"},
    {"each", NULL, "thing by thing; as CSV or JSON instead of the counts"},
    {"hole", "HOLE", "this hole alone"},
    {0},
};

const struct command compare_command = {
    .words = "compare",
    .arguments = "STATE [STATE]",
    .purpose = "what moved between two states, by how much; what was added, withdrawn, amended, renamed",
    .example = "compare 2026-03-05 --each",
    .detail =
        "A state is a commit, a tag, a branch or a time, as for --as-of; without a second one it is the present. moved "
        "counts\nwhat has a depth in both; least, greatest and mean are its shifts (the top of a thing, or its bottom "
        "where the top\n"
        "stays); lost and found are depths that became unknown or known. What was taken from a withdrawn core is "
        "withdrawn with it.",
    .use = USE_READING,
    .options = compare_options,
    .least = 1,
    .most = 2,
    .run = run_compare,
};

static enum status read_asked(struct run *run, struct compare_asked *out, char hole[HOLE_TEXT_MAX], struct err *err)
{
    struct name name;
    *out = (struct compare_asked){.scale = SCALE_CSF_A};
    TRY(scale_option(run, "scale", &out->scale, err));
    if (!run_option(run, "hole"))
        return STATUS_OK;
    TRY(name_parse(run_option(run, "hole"), &name, err));
    if (name.level != NAME_HOLE)
        return err_set(err, STATUS_INPUT, run_option(run, "hole"), "this is not a hole");
    name_hole(&name, hole);
    out->hole = hole;
    return STATUS_OK;
}

/* A hole that neither state has is a slip of the pen, not a hole without differences. */
static enum status check_hole(struct run *run, const char *hole, struct err *err)
{
    struct target target;
    struct name name;
    if (!hole)
        return STATUS_OK;
    TRY(name_parse(hole, &name, err));
    return resolve_hole(run->state, &name, &target, err);
}

static enum status run_compare(struct run *run, struct err *err)
{
    const char *const typed[] = {run->args[0], run->arg_count > 1 ? run->args[1] : NULL};
    struct compare_asked asked;
    struct compare_rows rows;
    char hole[HOLE_TEXT_MAX];
    char states[2][COMMIT_ID_MAX];
    struct column columns[COMPARE_COLUMNS];
    struct sheet summary;
    struct compare_each each;
    const bool wants_each = run_option(run, "each") != NULL;
    TRY(read_asked(run, &asked, hole, err));
    TRY(run_open(run, STORE_READ, err));
    TRY(check_hole(run, asked.hole, err));
    compare_columns(run, columns);
    compare_each_init(run, &each);
    sheet_init(&summary, run->state->arena, columns, COMPARE_COLUMNS);
    if (wants_each) {
        asked.take = compare_each_add;
        asked.context = &each;
    }
    TRY(compare_typed(run, typed, &asked, &rows, states, err));
    TRY(compare_rows_add(&summary, &rows, err));
    if (!summary.row_count)
        (void)fprintf(run->talk, "nothing differs\n");
    if (run->format == SHEET_PEOPLE || !wants_each)
        TRY(run_print_sheet(run, &summary, err));
    if (wants_each && run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "\n");
    if (wants_each)
        TRY(run_print_sheet(run, &each.sheet, err));
    (void)fprintf(run->format == SHEET_PEOPLE ? run->out : run->talk, "from state %s\n  to state %s of the registry\n",
                  states[0], states[1]);
    return STATUS_OK;
}
