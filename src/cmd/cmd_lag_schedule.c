/* SPDX-License-Identifier: MIT */
/* What is due at the shaker next: planned depths that are on their way up, with minutes and strokes to go. */
#include <math.h>
#include <string.h>
#include <time.h>

#include "coretally/base/limits.h"
#include "coretally/domain/lag_pace.h"
#include "coretally/domain/lag_steady.h"
#include "coretally/state/lag_depth.h"
#include "log_asked.h"

static enum status run_lag_schedule(struct run *run, struct err *err);

static const struct option own_options[] = {
    {"step", "LENGTH", "metres between samples; default: the plan of the hole"},
    {"count", "NUMBER", "number of rows; default 10"},
    {"follow", "FILE", "a growing log: reads its rows after the recorded ones again and again; records nothing"},
    {"map", "FILE", "with --follow: its mapping, as for log add"},
    {"set", "LINES", "with --follow: mapping lines, as for log add"},
    {"bridge", "WORDS", "with --follow: what may be bridged, as for log add"},
    {"gap", "TIME", "with --follow: rows further apart than this are a gap"},
    {"format", "FORM", "with --follow: csv or las"},
    {"every", "TIME", "with --follow: time between looks; bare numbers are s; default 10"},
    {"times", "NUMBER", "with --follow: number of looks; default: until interrupted"},
    {0},
};

const struct command lag_schedule_command = {
    .words = "lag schedule",
    .arguments = "HOLE",
    .purpose = "which samples are due at the shaker next, with minutes and strokes to go",
    .example = "lag schedule U0013A --step 5",
    .detail =
        "Now is the end of the log. What is still on its way is worked out at the flow of the last 10 minutes in which "
        "the\n"
        "pumps ran; what is not drilled yet also at the rate of the last 30 minutes in which they ran with the bit on\n"
        "bottom. Stops to come are not foreseen: while the pumps are off there is no time due, and minutes count from\n"
        "their start. Strokes are those of all pumps on the string together.\n"
        "The plan of a hole: coretally hole amend U0013A --plan '2300,2600,5; 2600,,10' --reason ...\n"
        "With --follow a new table comes whenever the file has more rows.",
    .use = USE_READING,
    .options = own_options,
    .least = 1,
    .most = 1,
    .run = run_lag_schedule,
};

/* The lag that a depth will have once it is cut, at this pace. */
static double lag_once_cut(const struct lag_hole *hole, const struct lag_pace *pace, int64_t depth_um)
{
    struct lag_steady steady;
    struct err inner;
    const size_t state = geometry_at(hole->well.states, hole->well.count, pace->now_us);
    if (state == SIZE_MAX || !(pace->stage_m3[0] > 0))
        return NAN;
    const struct lag_steady_input input = {.geometry = &hole->well.states[state],
                                           .bit_um = depth_um,
                                           .flow_m3_min = pace->stage_m3[0],
                                           .booster_m3_min = pace->booster_m3};
    return lag_steady_find(&input, &steady, &inner) == STATUS_OK ? steady.lag_s / 60 : NAN;
}

/* What was asked for. */
struct schedule_options {
    int64_t step_um; /* LENGTH_NONE: the plan of the hole */
    double count;
    double times;
    double every_s;
};

struct schedule {
    struct run *run;
    struct lag_hole *hole;
    struct lag_pace pace;
    struct sheet *sheet;
};

/* Minutes to go for what is on its way. Behind the mud the rest of the way is not told stage by stage: then by the
 * whole lag at this pace, less the pumping that it has had. */
static double on_the_way(const struct schedule *schedule, const struct lag_passage *passage)
{
    const struct lag_log *log = &schedule->hole->log;
    const struct geometry *state = &schedule->hole->well.states[passage->state];
    const double delay_min = isnan(state->shaker_delay_s) ? 0 : state->shaker_delay_s / 60;
    if (state->slip.method == SLIP_NONE)
        return lag_pace_minutes(&schedule->pace, passage->left_stage_m3) + delay_min;
    const double had_m3 = log->at_bit_m3[log->count - 1] - lag_log_at(log, log->at_bit_m3, passage->left_bit_us);
    const double minutes =
        lag_once_cut(schedule->hole, &schedule->pace, passage->hole_um) - had_m3 / schedule->pace.stage_m3[0];
    return minutes < delay_min ? delay_min : minutes;
}

/* One row's time: minutes to go, when that is by the clock, and what must happen first. */
struct due {
    double minutes;
    int64_t at_us; /* INT64_MIN: no clock tells, since the pumps stand or nothing is drilled */
    char note[160];
};

/* What is not cut yet: down to it at the rate of the last drilling, then the lag that it will have. */
static struct due due_once_cut(const struct schedule *schedule, int64_t depth_um)
{
    const struct lag_pace *pace = &schedule->pace;
    const struct lag_log *log = &schedule->hole->log;
    const double lag_min = lag_once_cut(schedule->hole, pace, depth_um);
    const double drill_min = lag_pace_drill(pace, log->hole_um[log->count - 1], depth_um);
    struct due due = {.minutes = NAN, .at_us = INT64_MIN};
    char lag[64] = "";
    if (!isnan(lag_min))
        (void)snprintf(lag, sizeof lag, isnan(pace->strokes) ? "%.0f min" : "%.0f min, %.0f strokes", lag_min,
                       lag_min * pace->strokes);
    if (isnan(lag_min) || isnan(drill_min)) {
        (void)snprintf(due.note, sizeof due.note, "not drilled yet%s%s", *lag ? "; then " : "", lag);
        return due;
    }
    due.minutes = drill_min + lag_min;
    if (pace->is_drilling)
        due.at_us = pace->now_us + llround(due.minutes * 6e7);
    (void)snprintf(due.note, sizeof due.note, "not drilled yet; %.0f min of drilling, then %s", drill_min, lag);
    return due;
}

static struct due due_on_the_way(const struct schedule *schedule, const struct lag_passage *passage)
{
    const struct lag_pace *pace = &schedule->pace;
    struct due due = {.minutes = on_the_way(schedule, passage), .at_us = INT64_MIN};
    if (!isnan(due.minutes) && pace->is_pumping)
        due.at_us = pace->now_us + llround(due.minutes * 6e7);
    (void)snprintf(due.note, sizeof due.note, "on its way%s",
                   isnan(due.minutes) ? "; not coming up at this flow"
                   : pace->is_pumping ? ""
                                      : "; counts from the start of the pumps");
    return due;
}

static enum status add_row(struct schedule *schedule, int64_t depth_um, struct err *err)
{
    struct run *run = schedule->run;
    const struct lag_pace *pace = &schedule->pace;
    const struct lag_terms nominal = lag_terms_nominal();
    struct lag_passage passage;
    struct due due = {.minutes = NAN, .at_us = INT64_MIN};
    TRY(lag_hole_of_depth(run->state, schedule->hole, &nominal, depth_um, &passage, err));
    (void)snprintf(due.note, sizeof due.note, "%s", lag_end_meaning(passage.end));
    if (passage.end == LAG_ARRIVED) {
        due.minutes = passage.at_shaker_us > pace->now_us ? (double)(passage.at_shaker_us - pace->now_us) / 6e7 : 0;
        due.at_us = passage.at_shaker_us;
        (void)snprintf(due.note, sizeof due.note, "%s", due.minutes > 0 ? "on its way" : "has come up");
    } else if (passage.end == LAG_ON_THE_WAY)
        due = due_on_the_way(schedule, &passage);
    else if (passage.end == LAG_NOT_DRILLED)
        due = due_once_cut(schedule, depth_um);
    const struct cell cells[] = {cell_length(depth_um, 2),
                                 cell_length(lag_hole_msf(schedule->hole, &passage, depth_um), 2),
                                 cell_instant(ship_instant(&schedule->hole->target->hole, due.at_us)),
                                 cell_amount(due.minutes, 1),
                                 cell_amount(due.minutes * pace->strokes, 0),
                                 cell_text(due.note)};
    return sheet_add_row(schedule->sheet, cells, err);
}

/* By what the times were reckoned. */
static void say_pace(const struct schedule *schedule)
{
    struct run *run = schedule->run;
    const struct lag_pace *pace = &schedule->pace;
    const struct ship_time now = ship_time(&schedule->hole->target->hole, pace->now_us);
    (void)fprintf(run->talk, "as of %s, the end of the log", now.text);
    if (pace->pumped_s > 0)
        (void)fprintf(run->talk, "; flow of the last %.3g min of pumping: %.3f m3/min", pace->pumped_s / 60,
                      pace->stage_m3[0]);
    if (!isnan(pace->drilled_m))
        (void)fprintf(run->talk, "; rate of the last %.3g min of drilling: %s %s/h", pace->drilled_s / 60,
                      run_length(run, llround(pace->drilled_m * 60 * 1e6), 1).text, run_unit(run));
    (void)fputc('\n', run->talk);
    if (!pace->is_pumping)
        (void)fprintf(run->talk, "the pumps are off: minutes count from their start, strokes stay valid%s\n",
                      pace->is_boosting ? "; the booster runs: what is in the riser comes sooner" : "");
    else if (!pace->is_drilling && !isnan(pace->drilled_m))
        (void)fprintf(
            run->talk,
            "nothing is drilled now: for what is not drilled yet, minutes count from when drilling goes on\n");
}

/* The step at a depth: --step, else the plan of the hole. LENGTH_NONE: neither. */
static int64_t step_at(const struct hole *hole, int64_t option_um, int64_t depth_um, int64_t *origin_um)
{
    const struct sampling_plan *plan = option_um == LENGTH_NONE ? plan_at(hole, depth_um) : NULL;
    *origin_um = plan ? plan->top_um : 0;
    return plan ? plan->step_um : option_um;
}

/* Where what is at the shaker now was cut: what is deeper is still to come. */
static enum status find_start(struct schedule *schedule, int64_t *out_um, struct err *err)
{
    const struct lag_terms nominal = lag_terms_nominal();
    struct lag_passage passage;
    TRY(lag_hole_back(schedule->run->state, schedule->hole, &nominal, schedule->pace.now_us, &passage, err));
    const struct lag_log *log = &schedule->hole->log;
    *out_um = passage.end == LAG_ARRIVED ? passage.hole_um : log->hole_um[0];
    return STATUS_OK;
}

/* A table of the next count samples as of the last row of hole->log. */
static enum status show_table(struct run *run, struct lag_hole *hole, int64_t step_um, int32_t count, struct err *err)
{
    const struct column columns[] = {{"MRF", run_unit(run), true}, {"MSF", run_unit(run), true}, {"due", NULL, false},
                                     {"to go", "min", true},       {"to go", "strokes", true},   {"note", NULL, false}};
    struct sheet sheet;
    struct schedule schedule = {.run = run, .hole = hole, .sheet = &sheet};
    int64_t depth_um = 0;
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    lag_pace_find(&hole->log, &schedule.pace);
    TRY(find_start(&schedule, &depth_um, err));
    for (int32_t row = 0; row < count; row++) {
        int64_t origin_um = 0;
        const int64_t step = step_at(&hole->target->hole, step_um, depth_um, &origin_um);
        if (step == LENGTH_NONE && row == 0) {
            err_set(err, STATUS_USAGE, hole->target->hole_name, "no interval is planned at %s m below rig floor",
                    length_text(depth_um, UNIT_M, 2).text);
            return err_hint(err,
                            "add --step 5, or record the plan: coretally hole amend %s --plan '2300,2600,5' "
                            "--reason ...",
                            hole->target->hole_name);
        }
        if (step == LENGTH_NONE)
            break;
        depth_um = origin_um + ((depth_um - origin_um) / step + 1) * step;
        TRY(add_row(&schedule, depth_um, err));
    }
    say_pace(&schedule);
    return run_print_sheet(run, &sheet, err);
}

static enum status read_options(struct run *run, struct schedule_options *out, struct err *err)
{
    const char *count = run_option(run, "count");
    const char *times = run_option(run, "times");
    const char *every = run_option(run, "every");
    *out = (struct schedule_options){.step_um = LENGTH_NONE, .count = 10, .times = INFINITY, .every_s = 10};
    if (run_option(run, "step"))
        TRY(length_parse(run_option(run, "step"), UNIT_M, &out->step_um, err));
    if (out->step_um != LENGTH_NONE && (out->step_um < 1000 || out->step_um > 1000000000))
        return err_set(err, STATUS_INPUT, run_option(run, "step"), "a step is 1 mm to 1000 m");
    if (count)
        TRY(measure_parse(count, MEASURE_RATIO, &out->count, err));
    if (!(out->count >= 1 && out->count <= 10000))
        return err_set(err, STATUS_INPUT, count, "a schedule has 1 to 10000 rows");
    if (times)
        TRY(measure_parse(times, MEASURE_RATIO, &out->times, err));
    if (!(out->times >= 1))
        return err_set(err, STATUS_INPUT, times, "a schedule is shown at least once");
    if (every)
        TRY(measure_parse(every, MEASURE_TIME, &out->every_s, err));
    if (!(out->every_s >= 0.1 && out->every_s <= 86400))
        return err_set(err, STATUS_INPUT, every, "a growing log is looked at every 0.1 s to 24 h");
    if (run_option(run, "follow"))
        return STATUS_OK;
    for (const char *const *only =
             (const char *const[]){"map", "set", "bridge", "gap", "format", "every", "times", NULL};
         *only; only++)
        if (run_option(run, *only))
            return err_set(err, STATUS_USAGE, *only,
                           "this says how to follow a growing log, and --follow was not typed");
    return STATUS_OK;
}

/* The table as of the end of the log, be it recorded or fresh. */
static enum status show(struct run *run, struct lag_hole *hole, const struct schedule_options *options, struct err *err)
{
    int64_t first_us = 0;
    int64_t last_us = 0;
    TRY(lag_hole_span(run->state, hole, &first_us, &last_us, err));
    TRY(lag_hole_cover(run->state, hole, last_us - DAY_US, last_us, err));
    if (!hole->log.count) {
        err_set(err, STATUS_RULE, hole->target->hole_name, "the log tells no depth of the hole on its last days");
        return err_hint(err, "look at: coretally log show %s", hole->target->hole_name);
    }
    TRY(show_table(run, hole, options->step_um, (int32_t)options->count, err));
    run_say_caution(run);
    return STATUS_OK;
}

/* One look at the growing log: its rows behind those that are recorded. *last_us: its end; a look that finds no further
 * row shows nothing. */
static enum status look(struct run *run, const struct schedule_options *options, int64_t *last_us, struct err *err)
{
    struct target target;
    struct lag_hole hole;
    struct log_take *take = NULL;
    TRY(arena_take(run->state->arena, 1, sizeof *take, &take, err));
    TRY(log_open(run, run_option(run, "follow"), true, &target, take, err));
    struct state quiet = *run->state;
    quiet.sink = NULL;
    if (*last_us != INT64_MIN)
        take->state = &quiet; /* what was told of the file once is not told again */
    enum status status = log_take_file(take, run->in, err);
    if (status == STATUS_OK && take->row_count && take->last_us != *last_us) {
        *last_us = take->last_us;
        status = lag_hole_open_fresh(run->state, &target, take->days.texts, take->days.text_count, &hole, err);
        if (status == STATUS_OK) {
            status = show(run, &hole, options, err);
            lag_hole_close(&hole);
        }
        (void)fflush(run->out);
    }
    log_take_clear(take);
    return status;
}

/* Each look has a state and memory of its own, so that a watch of weeks needs no more than one of minutes. */
static enum status look_afresh(struct run *run, const struct schedule_options *options, int64_t *last_us,
                               struct err *err)
{
    struct state *const outer = run->state;
    struct state_shared shared;
    struct arena arena;
    struct state state;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    state_init(&state, &shared, &arena, outer->sink);
    state.now = outer->now;
    state.naming = outer->naming;
    run->state = &state;
    const enum status status = look(run, options, last_us, err);
    run->state = outer;
    state_clear(&state);
    arena_clear(&arena);
    return status;
}

static enum status follow(struct run *run, const struct schedule_options *options, struct err *err)
{
    const struct timespec pause = {.tv_sec = (time_t)options->every_s,
                                   .tv_nsec = (long)((options->every_s - floor(options->every_s)) * 1e9)};
    int64_t last_us = INT64_MIN;
    for (int64_t time = 1;; time++) {
        TRY(look_afresh(run, options, &last_us, err));
        if ((double)time >= options->times)
            return STATUS_OK;
        (void)nanosleep(&pause, NULL);
    }
}

static enum status run_lag_schedule(struct run *run, struct err *err)
{
    struct target target;
    struct lag_hole hole;
    struct schedule_options options;
    TRY(read_options(run, &options, err));
    if (run_option(run, "follow"))
        return follow(run, &options, err);
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
    TRY(lag_hole_open(run->state, &target, 0, NULL, &hole, err));
    const enum status status = show(run, &hole, &options, err);
    lag_hole_close(&hole);
    return status;
}
