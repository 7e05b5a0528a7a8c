/* SPDX-License-Identifier: MIT */
/* Pump logs: take one in. Reading a long one takes its time, so it is done before the registry is locked; what it was
 * held against must then still stand. */
#include "log_asked.h"
#include "run_commit.h"

static enum status run_log_add(struct run *run, struct err *err);

static const struct option add_options[] = {
    {"map", "FILE", "the mapping: lines 'field = column | unit'; see above"},
    {"set", "LINES", "mapping lines on the command line, separated by ';'"},
    {"bridge", "WORDS", "what is wrong with the log and may be bridged: gap,reset,... as the refusal names it"},
    {"gap", "TIME", "rows further apart than this are a gap; bare numbers are s; default 60 s"},
    {"format", "FORM", "csv or las; default: las if the file begins with a section ~V"},
    {0},
};

const struct command log_add_command = {
    .words = "log add",
    .arguments = "HOLE FILE",
    .purpose =
        "take in a pump log, CSV or LAS 2.0: all rows are checked first; one commit, or none if there is a fault",
    .example = "log add U0013A pumps.csv --set 'time = Time; bit = Bit depth | m; hole = Hole depth | m; strokes 1 = "
               "Strokes 1'",
    .detail =
        "Mapping lines (in --map FILE a line each; # begins a remark):\n"
        "  time = Time                   RFC 3339, or ship's time if the hole has its zone\n"
        "  time = TIME | s | 2026-03-09T00:00:00Z   numbers of s, min, h or d since an instant\n"
        "  hole = Hole depth | m         depth of the hole below rig floor (m cm mm ft in); the log needs it\n"
        "  bit = Bit depth | ft          depth of the bit below rig floor; without it the bit counts as on bottom\n"
        "  strokes 1 = Strokes 1         stroke counter of pump 1\n"
        "  rate 2 = Rate 2               strokes a minute of pump 2, where it has no counter\n"
        "  rate 2 = \"80\"                 a constant for every row\n"
        "  flow = FLOW | gal/min         a flow meter into the string, instead of its pumps\n"
        "  booster = BFLOW | l/min       a flow meter into the booster line\n"
        "  strokes 3 = \"\"                left out: its column is not used, its mud is not counted\n"
        "  empty = -999.25               what stands in an empty cell; LAS says it itself\n"
        "Columns named time, bit_m, hole_ft, strokes_1, rate_2, flow_gpm, booster_m3/min map themselves; in LAS the\n"
        "curve has its unit. FILE - is standard input. Rows that are recorded already are passed over, so a log that\n"
        "grows can be taken in again and again.",
    .use = USE_MOVING,
    .options = add_options,
    .least = 2,
    .most = 2,
    .run = run_log_add,
};

/* The registry is opened for writing; what the file was held against still stands. */
static enum status open_again(struct run *run, const struct log_take *take, const struct log_basis *basis,
                              struct err *err)
{
    origins_close(run->state); /* their histories stand in the store that is closed */
    store_close(run->state->store);
    run->state->store = NULL;
    TRY(run_open(run, STORE_WRITE, err));
    return log_basis_check(run->state, take, basis, err);
}

static enum status write_down(struct run *run, const struct log_take *take, const struct log_basis *basis,
                              struct err *err)
{
    struct draft draft;
    TRY(log_draft(take, &draft, err));
    if (!run_option(run, "dry-run"))
        TRY(open_again(run, take, basis, err));
    return run_draft(run, &draft, err);
}

static enum status run_log_add(struct run *run, struct err *err)
{
    struct target target;
    struct log_basis basis;
    struct log_take *take = NULL;
    TRY(arena_take(run->state->arena, 1, sizeof *take, &take, err));
    TRY(log_open(run, run->args[1], false, &target, take, err));
    TRY(log_basis_read(run->state, take, &basis, err));
    enum status status = log_take_file(take, run->in, err);
    if (status == STATUS_OK && take->added) {
        struct findings findings = {0};
        log_check(take->last_us, run->state->now.utc_us, &findings);
        status = run_findings(run, take->hole.name, &findings, err);
    }
    if (status == STATUS_OK && take->added == 0)
        (void)fprintf(run->out, "already recorded: all %zu rows of %s; nothing changed\n", take->present,
                      log_file_words(take));
    else if (status == STATUS_OK)
        status = write_down(run, take, &basis, err);
    log_take_clear(take);
    return status;
}
