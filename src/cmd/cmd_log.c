/* SPDX-License-Identifier: MIT */
/* Pump logs: take one in. Reading a long one takes its time, so it is done before the registry is locked; what it was
 * held against must then still stand. */
#include <math.h>
#include <string.h>

#include "log_asked.h"

/* What the file is held against, as it was read. */
struct basis {
    struct bytes hole;
    struct bytes pumps;
    struct bytes last_day;
};

static enum status read_basis(struct run *run, const struct log_take *take, struct basis *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct basis basis = {0};
    hole_path(take->hole.name, path);
    TRY(state_bytes(run->state, path, &basis.hole, err));
    pumps_path(take->hole.name, path);
    TRY(state_bytes(run->state, path, &basis.pumps, err));
    if (take->recorded_count) {
        log_day_path(take->hole.name, take->recorded[take->recorded_count - 1], path);
        TRY(state_bytes(run->state, path, &basis.last_day, err));
    }
    *out = basis;
    return STATUS_OK;
}

static bool is_same(struct bytes a, struct bytes b)
{
    if (!a.data || !b.data)
        return !a.data && !b.data;
    return a.len == b.len && memcmp(a.data, b.data, a.len) == 0;
}

/* The pumps into one line: " 1, 2", " by meter". */
static size_t add_line(const struct log_take *take, bool booster, struct text *out)
{
    size_t count = 0;
    for (size_t at = 0; at < take->mapping.count; at++) {
        const struct log_channel *channel = &take->channels[at];
        const struct pump *pump =
            log_is_pump(channel->kind)
                ? pump_at(take->hole.pumps.pumps, take->hole.pumps.pump_count, channel->pump, take->last_added_us)
                : NULL;
        const bool meter = channel->kind == (booster ? LOG_BOOSTER : LOG_FLOW);
        if (meter || (pump && (pump->line == LINE_BOOSTER) == booster))
            text_addf(out, "%s %s", count++ ? "," : "", meter ? "by meter" : channel->pump);
    }
    return count;
}

/* ", pumps 1, 2, booster B" */
static enum status add_sources(const struct log_take *take, struct text *out, struct err *err)
{
    for (int booster = 0; booster < 2; booster++) {
        struct text names;
        struct bytes bytes;
        text_init(&names, take->state->arena);
        const size_t count = add_line(take, booster, &names);
        const struct log_channel flow = {.kind = LOG_FLOW};
        const bool meter = log_map_has(&take->mapping, &flow);
        TRY(text_done(&names, &bytes, err));
        if (count)
            text_addf(out, ", %s%s", booster ? "booster" : meter ? "flow" : count > 1 ? "pumps" : "pump", bytes.data);
    }
    return STATUS_OK;
}

/* "Pump log of U0013A: 86400 rows, 2026-03-09T00:00:00Z to ..., pumps 1, 2, booster B; bridged: gap (3)" */
static enum status make_line(const struct log_take *take, const char **out, struct err *err)
{
    struct text line;
    struct bytes bytes;
    bool any = false;
    text_init(&line, take->state->arena);
    text_addf(&line, "Pump log of %s: %zu row%s, %s to %s", take->hole.name, take->added, take->added == 1 ? "" : "s",
              log_time_words(take->first_added_us).text, log_time_words(take->last_added_us).text);
    TRY(add_sources(take, &line, err));
    if (take->present)
        text_addf(&line, "; %zu already recorded", take->present);
    for (int fault = 0; fault < LOG_FAULT_COUNT; fault++)
        if (take->tally.counts[fault]) {
            text_addf(&line, "%s%s (%zu)", any ? ", " : "; bridged: ", log_fault_word((enum log_fault)fault),
                      take->tally.counts[fault]);
            any = true;
        }
    TRY(text_done(&line, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

/* The registry is opened for writing; what the file was held against still stands. */
static enum status open_again(struct run *run, const struct log_take *take, const struct basis *before, struct err *err)
{
    struct basis now;
    int64_t *days = NULL;
    size_t count = 0;
    store_close(run->state->store);
    run->state->store = NULL;
    TRY(run_open(run, STORE_WRITE, err));
    TRY(read_basis(run, take, &now, err));
    TRY(state_log_days(run->state, take->hole.name, &days, &count, err));
    bool same = is_same(now.hole, before->hole) && is_same(now.pumps, before->pumps) &&
                is_same(now.last_day, before->last_day) && count == take->recorded_count &&
                (!count || memcmp(days, take->recorded, count * sizeof *days) == 0);
    for (size_t at = 0; same && at < take->days.text_count; at++) {
        const struct log_day_text *text = &take->days.texts[at];
        char path[REGISTRY_PATH_MAX];
        struct bytes bytes = {0};
        log_day_path(take->hole.name, text->day, path);
        TRY(state_bytes(run->state, path, &bytes, err));
        same = is_same(bytes, text->before);
    }
    if (same)
        return STATUS_OK;
    err_set(err, STATUS_CONFLICT, take->hole.name,
            "another act changed the hole, its pumps or its log while the file was read");
    return err_hint(err, "type the command again; nothing was recorded");
}

static enum status write_down(struct run *run, const struct log_take *take, const struct basis *basis, struct err *err)
{
    const char *line = NULL;
    struct change *changes = NULL;
    TRY(make_line(take, &line, err));
    TRY(arena_take(run->state->arena, take->days.text_count, sizeof *changes, &changes, err));
    for (size_t at = 0; at < take->days.text_count; at++) {
        char path[REGISTRY_PATH_MAX];
        log_day_path(take->hole.name, take->days.texts[at].day, path);
        TRY(arena_copy(run->state->arena, path, strlen(path), &changes[at].path, err));
        changes[at].bytes = take->days.texts[at].after;
    }
    if (!run_option(run, "dry-run"))
        TRY(open_again(run, take, basis, err));
    return run_commit_changes(run, line, take->kept.words, changes, take->days.text_count, true, err);
}

static enum status run_log_add(struct run *run, struct err *err)
{
    struct target target;
    struct basis basis;
    struct log_take *take = NULL;
    TRY(arena_take(run->state->arena, 1, sizeof *take, &take, err));
    TRY(log_open(run, run->args[1], false, &target, take, err));
    TRY(read_basis(run, take, &basis, err));
    enum status status = log_take_file(take, run->in, err);
    if (status == STATUS_OK && take->added) {
        struct findings findings = {0};
        const char *sure = NULL;
        log_check(take->last_us, run->state->now.utc_us, &findings);
        status = run_findings(run, take->hole.name, &findings, &sure, err);
    }
    if (status == STATUS_OK && take->added == 0)
        (void)fprintf(run->out, "already recorded: all %zu rows of %s; nothing changed\n", take->present,
                      log_file_words(take));
    else if (status == STATUS_OK)
        status = write_down(run, take, &basis, err);
    log_take_clear(take);
    return status;
}

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
