/* SPDX-License-Identifier: MIT */
/* The rows of a pump log, one after the other: held against what is recorded, walked, gathered by days. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/intake/log_take.h"
#include "coretally/domain/rule.h"
#include "coretally/state/read.h"

static enum status check_hole(const struct target *target, struct err *err)
{
    if (target->hole.withdrawn)
        return err_set(err, STATUS_RULE, target->hole_name, "this hole is withdrawn: %s", target->hole.withdrawn);
    if (target->hole.returns != RETURNS_SHIP) {
        err_set(err, STATUS_RULE, target->hole_name,
                "its returns stay at the seafloor: no cuttings come up, and a pump log tells nothing about them");
        return err_hint(err, "if it is drilled with a riser: coretally hole amend %s --returns ship --reason ...",
                        target->hole_name);
    }
    return STATUS_OK;
}

enum status log_take_open(struct state *state, const struct target *target, const struct log_asked *asked,
                          struct log_take *take, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    TRY(check_hole(target, err));
    take->state = state;
    take->asked = *asked;
    take->kept.is_sure = asked->is_sure;
    take->hole = (struct logged_hole){
        .name = target->hole_name, .zone_min = target->hole.zone_min, .seafloor_um = hole_seafloor(&target->hole)};
    pumps_path(target->hole_name, path);
    TRY(state_read(state, path, &pump_set_table, &take->hole.pumps, &there, err));
    return state_log_days(state, target->hole_name, &take->recorded, &take->recorded_count, err);
}

/* Columns that no field was taken from. */
static void tell_unused(const struct log_take *take, const struct log_columns *columns)
{
    bool any = false;
    for (size_t column = 0; column < columns->count; column++) {
        bool used = take->mapping.clock.column == column;
        for (size_t at = 0; at < take->mapping.count; at++)
            used = used || take->mapping.sources[at].column == column;
        char name[120];
        (void)snprintf(name, sizeof name, "%s", columns->names[column]);
        text_make_printable(name);
        if (!used)
            state_tell(take->state, "%s%s", any ? ", " : "note: columns not used: ", name);
        any = any || !used;
    }
    if (any)
        state_tell(take->state, "\n");
}

static enum status take_columns(void *context, const struct log_columns *columns, struct err *err)
{
    struct log_take *take = context;
    TRY(log_mapping_read(take->state->arena, &take->asked.mapping, &take->hole, columns, &take->mapping, err));
    const size_t count = take->mapping.count;
    for (size_t at = 0; at < count; at++)
        take->channels[at] = take->mapping.sources[at].channel;
    tell_unused(take, columns);
    log_walk_init(&take->walk, take->channels, count, take->asked.gap_us, take->asked.bridge);
    take->days = (struct log_days){
        .state = take->state,
        .hole = take->hole.name,
        .block = {.channel_count = count, .gap_us = take->asked.gap_us, .bridge = take->asked.bridge},
    };
    memcpy(take->days.block.channels, take->channels, sizeof take->channels);
    arena_init(&take->days.arena, ARENA_LIMIT_BYTES);
    if (take->recorded_count == 0)
        return STATUS_OK;
    TRY(log_stored_read(take->state, take->hole.name, take->recorded[take->recorded_count - 1], &take->last, err));
    log_stored_walk(&take->last, &take->walk);
    return STATUS_OK;
}

const char *log_file_words(const struct log_take *take)
{
    return strcmp(take->asked.file, "-") == 0 ? "standard input" : take->asked.file;
}

static void name_row(const int64_t *cells, size_t line, char out[ERR_SUBJECT_MAX])
{
    (void)snprintf(out, ERR_SUBJECT_MAX, "line %zu (%s)", line, log_time_words(cells[0]).text);
}

static void add_channels(struct text *out, const struct log_channel *channels, size_t count)
{
    for (size_t at = 0; at < count; at++) {
        char field[LOG_FIELD_MAX];
        log_field(&channels[at], field);
        text_addf(out, "%s%s", at ? ", " : "", field);
    }
}

/* The first channel in which the row of the file differs from the recorded one of its time. */
static enum status refuse_other(const struct log_take *take, const int64_t *cells, size_t line,
                                const struct log_block *block, const int64_t *other, struct err *err)
{
    const size_t count = take->mapping.count;
    char where[ERR_SUBJECT_MAX];
    char field[LOG_FIELD_MAX] = "";
    struct log_cell_words found = {.text = ""};
    struct log_cell_words recorded = {.text = ""};
    name_row(cells, line, where);
    if (!log_channels_are_same(block->channels, block->channel_count, take->channels, count)) {
        struct text text;
        struct bytes bytes;
        text_init(&text, take->state->arena);
        text_add(&text, "this time is recorded with other columns: ");
        add_channels(&text, block->channels, block->channel_count);
        text_add(&text, "; the file has ");
        add_channels(&text, take->channels, count);
        TRY(text_done(&text, &bytes, err));
        err_set(err, STATUS_EXISTS, where, "%s", bytes.data);
        return err_hint(err, "map the columns that were mapped then, or leave the recorded rows out");
    }
    for (size_t at = 0; at < count; at++)
        if (cells[1 + at] != other[1 + at]) {
            log_field(&take->channels[at], field);
            found = log_cell_words(&take->channels[at], cells[1 + at]);
            recorded = log_cell_words(&take->channels[at], other[1 + at]);
            break;
        }
    err_set(err, STATUS_EXISTS, where, "this time is recorded with other values: %s is %s there, and the file says %s",
            field, recorded.text, found.text);
    return err_hint(err, "coretally log show %s --from %s --to %s", take->hole.name, log_time_words(cells[0]).text,
                    log_time_words(cells[0] + MINUTE_US).text);
}

static bool is_recorded(const struct log_take *take, int64_t day)
{
    size_t low = 0;
    size_t high = take->recorded_count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (take->recorded[middle] < day)
            low = middle + 1;
        else
            high = middle;
    }
    return low < take->recorded_count && take->recorded[low] == day;
}

/* The recorded day of a row; NULL when there is none. */
static enum status find_day(struct log_take *take, int64_t day, struct log_stored **out, struct err *err)
{
    *out = day == take->last.day.day ? &take->last : &take->looked;
    if (day == take->last.day.day || (take->looked.is_there && take->looked.day.day == day))
        return STATUS_OK;
    if (!is_recorded(take, day)) {
        *out = NULL;
        return STATUS_OK;
    }
    if (++take->turns > take->recorded_count + TURNS_MORE_THAN_DAYS) {
        err_set(err, STATUS_INPUT, log_file_words(take), "the rows jump between days again and again");
        return err_hint(err, "put the rows into the order of their times first");
    }
    return log_stored_read(take->state, take->hole.name, day, &take->looked, err);
}

/* Is the row recorded? One that is not must follow what is: the file has come to its end before. */
static enum status look_up(struct log_take *take, const int64_t *cells, size_t line, bool *is_there, struct err *err)
{
    const int64_t day = log_day_of(cells[0]);
    const struct log_block *block = NULL;
    const int64_t *other = NULL;
    struct log_stored *stored = NULL;
    const bool at_end = log_stored_at_end(&take->last);
    *is_there = false;
    take->is_new = take->is_new || at_end || cells[0] > log_stored_last_us(&take->last);
    if (cells[0] > log_stored_last_us(&take->last) || (at_end && day == take->last.day.day))
        return STATUS_OK;
    TRY(find_day(take, day, &stored, err));
    const enum log_found found =
        stored ? log_stored_find(stored, take->channels, take->mapping.count, cells, &block, &other)
               : LOG_FOUND_NOTHING;
    *is_there = found == LOG_FOUND;
    if (*is_there || take->is_new) /* a clock that ran back is for the walk to find */
        return STATUS_OK;
    if (found == LOG_FOUND_OTHER)
        return refuse_other(take, cells, line, block, other, err);
    char where[ERR_SUBJECT_MAX];
    name_row(cells, line, where);
    err_set(err, STATUS_EXISTS, where, "it lies before the end of the log of %s, %s, and is not in it", take->hole.name,
            log_time_words(log_stored_last_us(&take->last)).text);
    return err_hint(err, "rows can only be added behind what is recorded: leave out those up to that time");
}

static void note_step(struct log_take *take, int64_t time_us, size_t line)
{
    if (take->row_count == 0)
        take->first_us = take->last_us = time_us;
    const int64_t step_us = time_us - take->last_us;
    if (step_us > take->longest_us) {
        take->longest_us = step_us;
        take->longest_line = line;
    }
    if (time_us > take->last_us)
        take->last_us = time_us;
    take->row_count++;
}

/* A hole above the seafloor is rather a depth in another unit, or below another datum. */
static enum status check_depth(struct log_take *take, const int64_t *cells, size_t line, struct err *err)
{
    size_t at = 0;
    char where[ERR_SUBJECT_MAX];
    char reason[ERR_REASON_MAX];
    while (take->channels[at].kind != LOG_HOLE)
        at++;
    const int64_t hole_um = cells[1 + at];
    take->has_depth = hole_um >= 0;
    if (hole_um < 0 || take->hole.seafloor_um == LENGTH_NONE || hole_um >= take->hole.seafloor_um - DEPTH_SLACK_UM)
        return STATUS_OK;
    name_row(cells, line, where);
    (void)snprintf(reason, sizeof reason, "the hole at %s m lies above the seafloor at %s m below rig floor",
                   length_text(hole_um, UNIT_M, 3).text, length_text(take->hole.seafloor_um, UNIT_M, 3).text);
    if (!take->kept.is_sure) {
        err_set(err, STATUS_RULE, where, "%s (%s)", reason, rule_word(RULE_ABOVE_SEAFLOOR));
        return err_hint(err,
                        "look at the unit of column %.60s, and whether it counts from the rig floor; else add --sure",
                        take->mapping.sources[at].name);
    }
    state_tell(take->state, "note: %s: %s (kept: --sure)\n", where, reason);
    return log_kept_add(take->state, rule_word(RULE_ABOVE_SEAFLOOR), &take->kept, err);
}

static enum status take_row(void *context, const char *const *row, size_t line, struct err *err)
{
    struct log_take *take = context;
    int64_t cells[1 + LOG_CHANNELS_MAX];
    struct log_step step;
    TRY(log_cells(&take->mapping, row, line, cells, err));
    note_step(take, cells[0], line);
    state_progress(take->state, "read", take->row_count, 0, &take->next_ms);
    if (take->recorded_count) {
        bool is_there = false;
        TRY(look_up(take, cells, line, &is_there, err));
        take->present += is_there;
        if (is_there)
            return STATUS_OK;
    }
    if (take->added++ == 0) {
        take->first_added_us = take->last_added_us = cells[0];
        TRY(log_pumps_check(take->state, &take->hole, &take->mapping, cells[0], &take->kept, err));
    }
    if (!take->has_depth)
        TRY(check_depth(take, cells, line, err));
    if (cells[0] > take->last_added_us)
        take->last_added_us = cells[0];
    const struct log_walk before = take->walk;
    const unsigned faults = log_walk_row(&take->walk, cells, &step);
    if (faults) {
        log_tally_add(&take->tally, faults, &step, &before, cells, line);
        take->is_doomed = take->is_doomed || (faults & ~take->asked.bridge);
    }
    return take->is_doomed ? STATUS_OK : log_days_add(&take->days, cells, line, err);
}

/* Pumps that were changed while the log ran. */
static enum status check_pumps_later(struct log_take *take, struct err *err)
{
    for (size_t at = 0; at < take->hole.pumps.pump_count; at++) {
        const struct pump *pump = &take->hole.pumps.pumps[at];
        if (!pump->withdrawn && pump->from.utc_us > take->first_added_us && pump->from.utc_us <= take->last_added_us)
            TRY(log_pumps_check(take->state, &take->hole, &take->mapping, pump->from.utc_us, &take->kept, err));
    }
    return STATUS_OK;
}

static void tell_rows(const struct log_take *take)
{
    const int64_t span_us = take->last_us - take->first_us;
    state_tell(take->state, "note: %zu row%s, %s to %s", take->row_count, take->row_count == 1 ? "" : "s",
               log_time_words(take->first_us).text, log_time_words(take->last_us).text);
    if (take->row_count > 1 && take->longest_us)
        state_tell(take->state, ": a step of %s on average, the longest %s (to line %zu)",
                   log_span_words(span_us / (int64_t)(take->row_count - 1)).text, log_span_words(take->longest_us).text,
                   take->longest_line);
    state_tell(take->state, "\n");
}

static enum status refuse_faults(const struct log_take *take, struct err *err)
{
    struct text words;
    struct bytes bytes;
    unsigned met = 0;
    size_t count = 0;
    for (int fault = 0; fault < LOG_FAULT_COUNT; fault++)
        if (take->tally.counts[fault]) {
            met |= 1U << fault;
            count += take->asked.bridge & (1U << fault) ? 0 : take->tally.counts[fault];
        }
    text_init(&words, take->state->arena);
    log_bridge_add(&words, met | take->asked.bridge, ",");
    TRY(text_done(&words, &bytes, err));
    err_set(err, STATUS_RULE, log_file_words(take), "%zu fault%s in %zu row%s %s not bridged; nothing was recorded",
            count, count == 1 ? "" : "s", take->row_count, take->row_count == 1 ? "" : "s", count == 1 ? "is" : "are");
    return err_hint(err, "look at the lines above; if it may be bridged as they say, add --bridge %s", bytes.data);
}

static enum status tell_tally(const struct log_take *take, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, take->state->arena);
    log_tally_text(&take->tally, take->asked.bridge, &text);
    TRY(text_done(&text, &bytes, err));
    if (bytes.len)
        state_tell(take->state, "%s", bytes.data);
    return STATUS_OK;
}

enum status log_take_file(struct log_take *take, FILE *in, struct err *err)
{
    const struct log_taker taker = {take_columns, take_row, take};
    struct lines lines = {0};
    TRY(lines_open(in, take->asked.file, &lines, err));
    lines.is_growing = take->asked.is_growing;
    enum status status = log_each(&lines, take->asked.format, &taker, err);
    lines_close(&lines);
    TRY(status);
    if (take->row_count == 0 && take->asked.is_growing)
        return STATUS_OK;
    if (take->row_count == 0)
        return err_set(err, STATUS_INPUT, log_file_words(take), "the log has no rows");
    tell_rows(take);
    if (take->added == 0)
        return STATUS_OK;
    TRY(check_pumps_later(take, err));
    TRY(tell_tally(take, err));
    return take->is_doomed ? refuse_faults(take, err) : log_days_end(&take->days, err);
}

void log_take_clear(struct log_take *take)
{
    log_stored_clear(&take->last);
    log_stored_clear(&take->looked);
    arena_clear(&take->days.arena);
}
