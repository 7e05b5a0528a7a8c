/* SPDX-License-Identifier: MIT */
/* Adding up a pump log: rows through the walk, strokes times the output of their pump, into the lag's arrays. */
#include "log_sum.h"

#include <math.h>
#include <string.h>

#include "coretally/base/limits.h"

/* A bridged gap: the last row before it, the first after it. */
struct log_gap {
    int64_t before_us;
    int64_t after_us;
};

struct log_sum {
    struct lag_hole *hole;
    size_t last_day; /* days before this one are to come */
    struct log_walk walk;
    struct log_channel channels[LOG_CHANNELS_MAX];
    size_t channel_count;
    const struct pump *pumps[LOG_CHANNELS_MAX]; /* in force; NULL for flows and depths */
    int64_t pumps_until_us;                     /* when one of them changes */
    const struct geometry *state;
    int64_t state_until_us;
    bool counts_strokes;
    struct log_gap *gaps_us;
    size_t gap_count;
    size_t gap_room;
};

/* Bridges by which a value counts on from an earlier row, however early. */
#define CARRYING (LOG_FAULT_BIT(HOLE_BACK) | LOG_FAULT_BIT(MISSING) | LOG_FAULT_BIT(NEGATIVE) | LOG_FAULT_BIT(JUMP))

static void sum_block(struct log_sum *sum, const struct log_block *block)
{
    struct log_channel channels[LOG_CHANNELS_MAX];
    const struct log_walk before = sum->walk;
    memcpy(channels, sum->channels, sizeof channels);
    memcpy(sum->channels, block->channels, sizeof sum->channels);
    sum->channel_count = block->channel_count;
    log_walk_init(&sum->walk, sum->channels, sum->channel_count, block->gap_us, block->bridge);
    if (before.started) {
        struct log_walk from = before;
        from.channels = channels;
        log_walk_carry(&from, &sum->walk);
    }
    sum->pumps_until_us = INT64_MIN;
    sum->counts_strokes = false;
    for (size_t at = 0; at < sum->channel_count; at++)
        sum->counts_strokes = sum->counts_strokes || log_is_pump(sum->channels[at].kind);
}

/* The pumps in force just before a time, and until when that holds. The first row of a log adds nothing: there a pump
 * may begin at its very time. */
static enum status find_pumps(struct log_sum *sum, int64_t time_us, struct err *err)
{
    const struct pump_set *set = &sum->hole->pumps;
    sum->pumps_until_us = INT64_MAX;
    for (size_t at = 0; at < set->pump_count; at++)
        if (set->pumps[at].from.utc_us >= time_us && set->pumps[at].from.utc_us < sum->pumps_until_us)
            sum->pumps_until_us = set->pumps[at].from.utc_us;
    for (size_t at = 0; at < sum->channel_count; at++) {
        sum->pumps[at] = NULL;
        if (!log_is_pump(sum->channels[at].kind))
            continue;
        sum->pumps[at] = pump_at(set->pumps, set->pump_count, sum->channels[at].pump, time_us - 1);
        if (!sum->pumps[at])
            sum->pumps[at] = pump_at(set->pumps, set->pump_count, sum->channels[at].pump, time_us);
        if (sum->pumps[at])
            continue;
        char when[INSTANT_TEXT_MAX];
        instant_format((struct instant){.utc_us = time_us, .known = true}, when);
        err_set(err, STATUS_RULE, sum->channels[at].pump, "the log counts this pump, and it is not recorded for %s",
                when);
        return err_hint(err, "coretally pump add %s %s --from a time before it", sum->hole->target->hole_name,
                        sum->channels[at].pump);
    }
    return STATUS_OK;
}

/* The state in force just before a time, since a row tells what flowed before it. */
static void find_state(struct log_sum *sum, int64_t time_us)
{
    const struct geometry_set *set = &sum->hole->wells;
    const size_t at = geometry_at(set->states, set->state_count, time_us - 1);
    sum->state = at == SIZE_MAX ? NULL : &set->states[at];
    sum->state_until_us = INT64_MAX;
    for (size_t later = 0; later < set->state_count; later++)
        if (set->states[later].from.utc_us >= time_us && set->states[later].from.utc_us < sum->state_until_us)
            sum->state_until_us = set->states[later].from.utc_us;
}

/* A share of what a row adds, as a row of its own. */
static void add_share(struct log_sum *sum, const struct log_step *step, int64_t time_us, double share, int64_t bit_um,
                      int64_t hole_um)
{
    double string_m3 = 0;
    double booster_m3 = 0;
    double strokes = 0;
    for (size_t at = 0; at < sum->channel_count; at++) {
        const struct pump *pump = sum->pumps[at];
        const double added = step->added[at] * share;
        if (pump && pump->line == LINE_BOOSTER)
            booster_m3 += added * pump_output(pump);
        else if (pump) {
            string_m3 += added * pump_output(pump);
            strokes += added;
        } else if (sum->channels[at].kind == LOG_FLOW)
            string_m3 += added;
        else if (sum->channels[at].kind == LOG_BOOSTER)
            booster_m3 += added;
    }
    if (booster_m3 > 0 && (!sum->state || sum->state->inlet_um == LENGTH_NONE))
        sum->hole->booster_unknown = true;
    lag_log_add(&sum->hole->log, sum->state, time_us, bit_um, hole_um, string_m3, booster_m3,
                sum->counts_strokes ? strokes : NAN);
}

/* Pumps and state in force just before a time. */
static enum status look_up(struct log_sum *sum, int64_t time_us, struct err *err)
{
    if (time_us > sum->pumps_until_us || sum->pumps_until_us == INT64_MIN)
        TRY(find_pumps(sum, time_us, err));
    if (time_us > sum->state_until_us || sum->state_until_us == INT64_MIN)
        find_state(sum, time_us);
    return STATUS_OK;
}

/* A counter that was not read in the rows before: its strokes were made over all that time. What belongs to the rows
 * before goes there, the rest stays with this row. */
static enum status spread(struct log_sum *sum, struct log_step *step, int64_t before_us, struct err *err)
{
    for (size_t at = 0; at < sum->channel_count; at++) {
        if (step->since_us[at] >= before_us || !(step->added[at] > 0) || !log_is_pump(sum->channels[at].kind))
            continue;
        TRY(look_up(sum, before_us, err));
        const struct pump *pump = sum->pumps[at];
        const double earlier =
            step->added[at] * (double)(before_us - step->since_us[at]) / (double)(step->time_us - step->since_us[at]);
        const bool boosts = pump->line == LINE_BOOSTER;
        lag_log_spread(&sum->hole->log, sum->state, step->since_us[at], boosts ? 0 : earlier * pump_output(pump),
                       boosts ? earlier * pump_output(pump) : 0, boosts ? 0 : earlier);
        step->added[at] -= earlier;
    }
    return STATUS_OK;
}

static enum status sum_row(struct log_sum *sum, const int64_t *cells, struct err *err)
{
    struct log_step step;
    const struct log_walk before = sum->walk;
    const unsigned faults = log_walk_row(&sum->walk, cells, &step);
    if (!step.keep)
        return STATUS_OK;
    int64_t from_us = before.started ? before.time_us : step.time_us;
    TRY(spread(sum, &step, from_us, err));
    const double span_us = (double)(step.time_us - from_us);
    while (from_us < step.time_us) { /* cut where a pump or the well changes between two rows */
        TRY(look_up(sum, from_us + 1, err));
        int64_t to_us = sum->pumps_until_us < sum->state_until_us ? sum->pumps_until_us : sum->state_until_us;
        if (to_us <= from_us || to_us >= step.time_us)
            break;
        const double passed = (double)(to_us - before.time_us) / span_us;
        add_share(sum, &step, to_us, (double)(to_us - from_us) / span_us,
                  before.bit_um + llround((double)(step.bit_um - before.bit_um) * passed),
                  before.hole_um + llround((double)(step.hole_um - before.hole_um) * passed));
        from_us = to_us;
    }
    TRY(look_up(sum, step.time_us, err));
    if (faults & LOG_FAULT_BIT(GAP)) {
        TRY(arena_grow(&sum->hole->arena, &sum->gaps_us, sum->gap_count, &sum->gap_room, sizeof *sum->gaps_us, err));
        sum->gaps_us[sum->gap_count].before_us = before.time_us;
        sum->gaps_us[sum->gap_count++].after_us = step.time_us;
    }
    add_share(sum, &step, step.time_us, span_us > 0 ? (double)(step.time_us - from_us) / span_us : 1, step.bit_um,
              step.hole_um);
    return STATUS_OK;
}

/* A longer copy of one array. */
static enum status lengthen(struct arena *arena, void *array, size_t count, size_t rows, struct err *err)
{
    void *grown = NULL;
    void *old = NULL;
    TRY(arena_take(arena, rows, sizeof(int64_t), &grown, err));
    memcpy(&old, array, sizeof old);
    if (count)
        memcpy(grown, old, count * sizeof(int64_t));
    memcpy(array, &grown, sizeof grown);
    return STATUS_OK;
}

static enum status make_room(struct lag_hole *hole, size_t rows, struct err *err)
{
    struct lag_log *log = &hole->log;
    void *const arrays[] = {&log->time_us,   &log->bit_um,  &log->hole_um,       &log->at_bit_m3,   &log->middle_m3,
                            &log->at_top_m3, &log->strokes, &log->off_bottom_m3, &log->off_bottom_s};
    for (size_t at = 0; at < sizeof arrays / sizeof arrays[0]; at++)
        TRY(lengthen(&hole->arena, arrays[at], log->count, rows, err));
    return STATUS_OK;
}

/* Rows that are not recorded yet stand in the place of theirs. */
static enum status read_day(struct state *state, const struct lag_hole *hole, size_t day, struct arena *arena,
                            struct log_day *out, struct err *err)
{
    const struct log_day *stored = NULL;
    const char *name = hole->target->hole_name;
    for (size_t at = 0; at < hole->fresh_count; at++)
        if (hole->fresh[at].day == hole->days[day] && hole->fresh[at].after.data)
            return log_day_open(hole->fresh[at].after, name, hole->days[day], arena, out, err);
    TRY(state_log_day(state, name, hole->days[day], &stored, err));
    if (!stored) /* the folder was listed at the same state */
        return log_day_open((struct bytes){0}, name, hole->days[day], arena, out, err);
    *out = *stored;
    return STATUS_OK;
}

/* One day into the sum; its rows as read live no longer than this. */
static enum status sum_day(struct state *state, struct log_sum *sum, size_t day, struct err *err)
{
    struct arena scratch;
    struct log_day stored = {0};
    size_t rows = 0;
    arena_init(&scratch, ARENA_LIMIT_BYTES);
    enum status status = read_day(state, sum->hole, day, &scratch, &stored, err);
    for (size_t at = 0; at < stored.block_count; at++)
        rows += stored.blocks[at].row_count;
    rows += sum->hole->pumps.pump_count + sum->hole->wells.state_count; /* each may cut a row */
    if (status == STATUS_OK && sum->hole->log.count + rows > sum->hole->row_room) {
        sum->hole->row_room = sum->hole->log.count + rows * (sum->last_day - day); /* days are alike */
        status = make_room(sum->hole, sum->hole->row_room, err);
    }
    for (size_t at = 0; status == STATUS_OK && at < stored.block_count; at++) {
        const struct log_block *block = &stored.blocks[at];
        sum->hole->carries = sum->hole->carries || (block->bridge & CARRYING);
        sum_block(sum, block);
        for (size_t row = 0; status == STATUS_OK && row < block->row_count; row++)
            status = sum_row(sum, block->cells + row * (1 + block->channel_count), err);
    }
    arena_clear(&scratch);
    return status;
}

enum status log_sum(struct state *state, struct lag_hole *hole, size_t first, size_t last, struct err *err)
{
    struct log_sum sum = {.hole = hole, .last_day = last, .pumps_until_us = INT64_MIN, .state_until_us = INT64_MIN};
    hole->row_room = 0;
    for (size_t day = first; day < last; day++)
        TRY(sum_day(state, &sum, day, err));
    hole->log.gap_us = sum.gaps_us ? &sum.gaps_us->before_us : NULL;
    hole->log.gap_count = sum.gap_count;
    return STATUS_OK;
}

enum status log_day_span(struct state *state, const struct lag_hole *hole, size_t day, int64_t *first_us,
                         int64_t *last_us, struct err *err)
{
    struct arena scratch;
    struct log_day stored = {0};
    arena_init(&scratch, ARENA_LIMIT_BYTES);
    const enum status status = read_day(state, hole, day, &scratch, &stored, err);
    if (status == STATUS_OK) {
        const struct log_block *first = &stored.blocks[0];
        const struct log_block *last = &stored.blocks[stored.block_count - 1];
        if (first_us)
            *first_us = first->cells[0];
        if (last_us)
            *last_us = last->cells[(last->row_count - 1) * (1 + last->channel_count)];
    }
    arena_clear(&scratch);
    return status;
}
