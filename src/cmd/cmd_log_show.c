/* SPDX-License-Identifier: MIT */
/* Pump logs: days listed, rows shown as read. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/intake/log_words.h"
#include "coretally/state/log.h"
#include "coretally/state/log_stored.h"
#include "coretally/run/command.h"

static enum status run_log_list(struct run *run, struct err *err);
static enum status run_log_show(struct run *run, struct err *err);

const struct command log_list_command = {
    .words = "log list",
    .arguments = "HOLE",
    .purpose = "the days of a hole's pump log: rows, times, depths at the end, columns, what was bridged",
    .example = "log list U0013A",
    .detail = "Depths are below rig floor, as read; days and times are UTC.",
    .use = USE_READING,
    .least = 1,
    .most = 1,
    .run = run_log_list,
};

static const struct option show_options[] = {
    {"from", "TIME", "first time shown; default: an hour before --to"},
    {"to", "TIME", "last time shown; default: an hour after --from, else the end of the log"},
    {"all", NULL, "even if there are more than 5000 rows"},
    {0},
};

const struct command log_show_command = {
    .words = "log show",
    .arguments = "HOLE",
    .purpose = "rows of a hole's pump log as they were read",
    .example = "log show U0013A --from 2026-03-09T04:00:00Z --to 2026-03-09T04:10:00Z",
    .detail =
        "Depths are below rig floor, strokes are counters, rates strokes a minute; times are UTC. Faults that were\n"
        "bridged are shown as they stand.",
    .use = USE_READING,
    .options = show_options,
    .least = 1,
    .most = 1,
    .run = run_log_show,
};

enum { ROWS_SHOWN = 5000 };

static enum status gather(struct run *run, struct target *target, int64_t **days, size_t *count, struct err *err)
{
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, target, err));
    return state_log_days(run->state, target->hole_name, days, count, err);
}

/* The last cell of the day in a column of this kind that is not empty. */
static int64_t last_depth(const struct log_day *day, enum log_kind kind)
{
    for (size_t at = day->block_count; at > 0; at--) {
        const struct log_block *block = &day->blocks[at - 1];
        for (size_t channel = 0; channel < block->channel_count; channel++)
            for (size_t row = block->channels[channel].kind == kind ? block->row_count : 0; row > 0; row--) {
                const int64_t cell = block->cells[(row - 1) * (1 + block->channel_count) + 1 + channel];
                if (cell != LENGTH_NONE)
                    return cell;
            }
    }
    return LENGTH_NONE;
}

static bool has_channel(const struct log_channel *channels, size_t count, const struct log_channel *channel, size_t *at)
{
    for (*at = 0; *at < count; (*at)++)
        if (log_channel_is_same(&channels[*at], channel))
            return true;
    return false;
}

enum { UNION_MAX = 30 }; /* a sheet has at most 32 columns */

/* The channels of all blocks, in the order of kinds and pumps. */
static void join_channels(const struct log_day *day, struct log_channel channels[UNION_MAX], size_t *count)
{
    for (size_t at = 0; at < day->block_count; at++)
        for (size_t own = 0; own < day->blocks[at].channel_count; own++) {
            const struct log_channel *channel = &day->blocks[at].channels[own];
            size_t place = 0;
            if (*count == UNION_MAX || has_channel(channels, *count, channel, &place))
                continue;
            while (place > 0 && (channels[place - 1].kind > channel->kind ||
                                 (channels[place - 1].kind == channel->kind &&
                                  strcmp(channels[place - 1].pump, channel->pump) > 0))) {
                channels[place] = channels[place - 1];
                place--;
            }
            channels[place] = *channel;
            (*count)++;
        }
}

static enum status add_day(struct run *run, struct sheet *sheet, const struct log_stored *stored, struct err *err)
{
    struct log_channel channels[UNION_MAX];
    size_t count = 0;
    unsigned bridge = 0;
    char day[DAY_TEXT_MAX];
    struct text columns;
    struct text bridged;
    struct bytes column_bytes;
    struct bytes bridged_bytes;
    join_channels(&stored->day, channels, &count);
    text_init(&columns, run->state->arena);
    text_init(&bridged, run->state->arena);
    for (size_t at = 0; at < count; at++) {
        char field[LOG_FIELD_MAX];
        log_field(&channels[at], field);
        text_addf(&columns, "%s%s", at ? ", " : "", field);
    }
    for (size_t at = 0; at < stored->day.block_count; at++)
        bridge |= stored->day.blocks[at].bridge;
    log_bridge_add(&bridged, bridge, ", ");
    TRY(text_done(&columns, &column_bytes, err));
    TRY(text_done(&bridged, &bridged_bytes, err));
    day_format(stored->day.day, day);
    const struct cell cells[] = {cell_text(day),
                                 cell_count(stored->row_count),
                                 cell_instant(log_instant(log_stored_first_us(stored))),
                                 cell_instant(log_instant(log_stored_last_us(stored))),
                                 cell_length(last_depth(&stored->day, LOG_BIT), 3),
                                 cell_length(last_depth(&stored->day, LOG_HOLE), 3),
                                 cell_text(column_bytes.data),
                                 cell_text(bridged_bytes.data)};
    return sheet_add_row(sheet, cells, err);
}

static enum status run_log_list(struct run *run, struct err *err)
{
    struct target target;
    struct sheet sheet;
    int64_t *days = NULL;
    size_t count = 0;
    TRY(gather(run, &target, &days, &count, err));
    const char *unit = run_unit(run);
    const struct column columns[] = {{"day", NULL, false},     {"rows", NULL, true},    {"first", NULL, false},
                                     {"last", NULL, false},    {"bit", unit, true},     {"hole", unit, true},
                                     {"columns", NULL, false}, {"bridged", NULL, false}};
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t at = 0; at < count; at++) {
        struct log_stored stored = {0};
        enum status status = log_stored_read(run->state, target.hole_name, days[at], &stored, err);
        if (status == STATUS_OK)
            status = add_day(run, &sheet, &stored, err);
        log_stored_clear(&stored);
        TRY(status);
    }
    return run_print_sheet(run, &sheet, err);
}

/* What is shown. */
struct window {
    int64_t from_us;
    int64_t to_us; /* inclusive */
    struct log_channel channels[UNION_MAX];
    size_t channel_count;
    size_t row_count;
};

typedef enum status window_row(struct run *run, const struct window *window, const struct log_block *block,
                               const int64_t *cells, struct sheet *sheet, struct err *err);

/* A day's rows inside the window; counted only, or each to on_row. */
static enum status visit_day(struct run *run, const char *hole, int64_t day, struct window *window, window_row *on_row,
                             struct sheet *sheet, struct err *err)
{
    struct log_stored stored = {0};
    enum status status = log_stored_read(run->state, hole, day, &stored, err);
    for (size_t at = 0; status == STATUS_OK && at < stored.day.block_count; at++) {
        const struct log_block *block = &stored.day.blocks[at];
        bool met = false;
        for (size_t row = 0; status == STATUS_OK && row < block->row_count; row++) {
            const int64_t *cells = block->cells + row * (1 + block->channel_count);
            if (cells[0] < window->from_us || cells[0] > window->to_us)
                continue;
            met = true;
            if (on_row)
                status = on_row(run, window, block, cells, sheet, err);
            else
                window->row_count++;
        }
        if (met && !on_row) {
            const struct log_day one = {.blocks = &stored.day.blocks[at], .block_count = 1};
            join_channels(&one, window->channels, &window->channel_count);
        }
    }
    log_stored_clear(&stored);
    return status;
}

static enum status add_row(struct run *run, const struct window *window, const struct log_block *block,
                           const int64_t *cells, struct sheet *sheet, struct err *err)
{
    struct cell row[1 + UNION_MAX] = {cell_instant(log_instant(cells[0]))};
    (void)run;
    for (size_t at = 0; at < window->channel_count; at++) {
        size_t own = 0;
        const enum log_kind kind = window->channels[at].kind;
        row[1 + at] = cell_nothing();
        if (!has_channel(block->channels, block->channel_count, &window->channels[at], &own) ||
            cells[1 + own] == LENGTH_NONE)
            continue;
        row[1 + at] = kind == LOG_BIT || kind == LOG_HOLE ? cell_length(cells[1 + own], 3)
                                                          : cell_micro(log_cell_micro(kind, cells[1 + own]));
    }
    return sheet_add_row(sheet, row, err);
}

static enum status open_sheet(struct run *run, const struct window *window, struct sheet *sheet, struct err *err)
{
    struct column *columns = NULL;
    TRY(arena_take(run->state->arena, 1 + window->channel_count, sizeof *columns, &columns, err));
    columns[0] = (struct column){"time", NULL, false};
    for (size_t at = 0; at < window->channel_count; at++) {
        const enum log_kind kind = window->channels[at].kind;
        char field[LOG_FIELD_MAX];
        log_field(&window->channels[at], field);
        columns[1 + at] = (struct column){.unit = kind == LOG_BIT || kind == LOG_HOLE       ? run_unit(run)
                                                  : kind == LOG_FLOW || kind == LOG_BOOSTER ? "m3/min"
                                                                                            : NULL,
                                          .number = true};
        TRY(arena_copy(run->state->arena, field, strlen(field), &columns[1 + at].name, err));
    }
    sheet_init(sheet, run->state->arena, columns, 1 + window->channel_count);
    return STATUS_OK;
}

/* --from and --to; without them the last hour of the log, or an hour from the one that was given. */
static enum status choose_window(struct run *run, const struct target *target, const int64_t *days, size_t count,
                                 struct window *out, struct err *err)
{
    const int64_t hour_us = 60 * MINUTE_US;
    const char *from = run_option(run, "from");
    const char *to = run_option(run, "to");
    struct instant instant = {0};
    if (from) {
        TRY(instant_take(from, target->hole.zone_min, &instant, err));
        out->from_us = instant.utc_us;
        out->to_us = instant.utc_us + hour_us;
    }
    if (to) {
        TRY(instant_take(to, target->hole.zone_min, &instant, err));
        out->to_us = instant.utc_us;
    } else if (!from) {
        struct log_stored stored = {0};
        const enum status status = log_stored_read(run->state, target->hole_name, days[count - 1], &stored, err);
        out->to_us = log_stored_last_us(&stored);
        log_stored_clear(&stored);
        TRY(status);
    }
    if (!from)
        out->from_us = out->to_us - hour_us;
    if (out->from_us <= out->to_us)
        return STATUS_OK;
    return err_set(err, STATUS_INPUT, "--from", "%s is later than --to, %s", log_time_words(out->from_us).text,
                   log_time_words(out->to_us).text);
}

static enum status run_log_show(struct run *run, struct err *err)
{
    struct target target;
    struct window window = {0};
    struct sheet sheet;
    int64_t *days = NULL;
    size_t count = 0;
    TRY(gather(run, &target, &days, &count, err));
    if (count == 0) {
        err_set(err, STATUS_UNKNOWN, target.hole_name, "no pump log is recorded for this hole yet");
        return err_hint(err, "coretally log add %s FILE", target.hole_name);
    }
    TRY(choose_window(run, &target, days, count, &window, err));
    for (int pass = 0; pass < 2; pass++) {
        for (size_t at = 0; at < count; at++)
            if (days[at] >= log_day_of(window.from_us) && days[at] <= log_day_of(window.to_us))
                TRY(visit_day(run, target.hole_name, days[at], &window, pass ? add_row : NULL, &sheet, err));
        if (pass == 0 && window.row_count > ROWS_SHOWN && !run_option(run, "all")) {
            err_set(err, STATUS_RULE, target.hole_name, "%zu rows lie between %s and %s, more than %d",
                    window.row_count, log_time_words(window.from_us).text, log_time_words(window.to_us).text,
                    ROWS_SHOWN);
            return err_hint(err, "take a shorter time, or add --all");
        }
        if (pass == 0)
            TRY(open_sheet(run, &window, &sheet, err));
    }
    return run_print_sheet(run, &sheet, err);
}
