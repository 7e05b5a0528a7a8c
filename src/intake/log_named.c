/* SPDX-License-Identifier: MIT */
/* The mapping of a pump log as a whole: from a file, from --set, and columns that are named like our fields; then what
 * the log cannot be without. */
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "coretally/intake/log_words.h"
#include "log_mapper.h"

/* "rate_avg" is rather a mean than the rate of a pump named avg. */
static bool reads_like_pump(const struct pump_set *pumps, const char *name)
{
    return pump_is_name(name) && (log_map_pump(pumps, name) || strlen(name) == 1 || strpbrk(name, "0123456789"));
}

/* "hole_m", "strokes_1", "flow_gpm"; in LAS "HOLE", too, with the unit of the curve: is this column named like the
 * kind? */
static bool name_kind(const struct log_mapper *mapper, size_t column, enum log_kind kind, struct log_source *out)
{
    const char *name = mapper->columns->names[column];
    const char *own_unit = mapper->columns->units ? mapper->columns->units[column] : "";
    const bool las = mapper->columns->units != NULL;
    const size_t len = strlen(log_kind_words[kind]);
    struct log_source source = {.channel.kind = kind, .column = column};
    if (strncasecmp(name, log_kind_words[kind], len) != 0 || (name[len] && name[len] != '_'))
        return false;
    const char *tail = name[len] ? name + len + 1 : "";
    if (log_is_pump(kind)) {
        if (!reads_like_pump(&mapper->hole->pumps, tail) || !log_unit_find(kind, own_unit, las, &source))
            return false;
        (void)snprintf(source.channel.pump, sizeof source.channel.pump, "%s", tail);
    } else if (!log_unit_find(kind, *tail ? tail : own_unit, las, &source))
        return false;
    *out = source;
    return true;
}

/* A pump is compared as it is recorded; one that is not recorded in any case. */
static bool is_left_out(const struct log_mapper *mapper, const struct log_channel *channel)
{
    const char *known = log_map_pump(&mapper->hole->pumps, channel->pump);
    for (size_t at = 0; at < mapper->mapping->left_out_count; at++) {
        const struct log_channel *left = &mapper->mapping->left_out[at];
        if (left->kind == channel->kind &&
            (known ? strcmp(left->pump, known) == 0 : strcasecmp(left->pump, channel->pump) == 0))
            return true;
    }
    return false;
}

/* Has the mapping spoken about this channel, or about the other column of its pump? */
static bool is_settled(const struct log_mapping *mapping, const struct log_channel *channel)
{
    struct log_channel other = *channel;
    if (log_is_pump(channel->kind))
        other.kind = channel->kind == LOG_RATE ? LOG_STROKES : LOG_RATE;
    return log_map_has(mapping, channel) || log_map_has(mapping, &other);
}

static enum status check_twice(const struct log_columns *columns, size_t column, struct err *err)
{
    for (size_t other = 0; other < column; other++)
        if (strcasecmp(columns->names[column], columns->names[other]) == 0)
            return err_set(err, STATUS_INPUT, columns->names[column],
                           "two columns have this name; map the one that is meant");
    return STATUS_OK;
}

static bool is_used(const struct log_mapping *mapping, size_t column)
{
    bool used = mapping->clock.column == column;
    for (size_t at = 0; at < mapping->count; at++)
        used = used || mapping->sources[at].column == column;
    return used;
}

/* Columns of one kind, which the mapping left out, by their names. */
static enum status take_kind(const struct log_mapper *mapper, enum log_kind kind, struct err *err)
{
    for (size_t column = 0; column < mapper->columns->count; column++) {
        struct log_source source;
        char field[LOG_FIELD_MAX];
        if (is_used(mapper->mapping, column) || !name_kind(mapper, column, kind, &source))
            continue;
        TRY(check_twice(mapper->columns, column, err));
        if (is_left_out(mapper, &source.channel))
            continue;
        log_field(&source.channel, field);
        TRY(log_map_channel(mapper, field, &source.channel, err));
        if (!is_settled(mapper->mapping, &source.channel))
            TRY(log_map_add(mapper, &source, err));
    }
    return STATUS_OK;
}

/* The kinds in their order: where a log has both, the counter of a pump comes before its rate. */
static enum status take_by_name(const struct log_mapper *mapper, struct err *err)
{
    const struct log_columns *columns = mapper->columns;
    for (size_t column = 0; column < columns->count && mapper->mapping->clock.column == SIZE_MAX; column++)
        if (strcasecmp(columns->names[column], "time") == 0 && !is_used(mapper->mapping, column)) {
            for (size_t other = column + 1; other < columns->count; other++)
                if (strcasecmp(columns->names[other], "time") == 0)
                    TRY(check_twice(columns, other, err));
            TRY(log_map_clock(mapper, columns->names[column], "", "", err));
        }
    for (int kind = 0; kind < LOG_KIND_COUNT; kind++)
        TRY(take_kind(mapper, (enum log_kind)kind, err));
    return STATUS_OK;
}

/* What to type, with the columns that there are: nobody has to open the log for them. */
static enum status missing(const struct log_columns *columns, const char *field, const char *example, struct err *err)
{
    char names[240] = ""; /* the first ones; a log of fifty columns is not told whole */
    for (size_t at = 0, len = 0; at < columns->count; at++) {
        const bool fits = len + strlen(columns->names[at]) + sizeof ", , ..." < sizeof names;
        len += (size_t)snprintf(names + len, sizeof names - len, "%s%s", at ? ", " : "",
                                fits ? columns->names[at] : "...");
        if (!fits)
            break;
    }
    text_make_printable(names);
    err_set(err, STATUS_INPUT, field, "no column is mapped to this field, and the log needs it");
    return err_hint(err, "add a line to the mapping, or --set '%s'; its columns are %s", example, names);
}

static enum status demand(const struct log_mapping *mapping, const struct log_columns *columns, struct err *err)
{
    bool has[LOG_KIND_COUNT] = {false};
    for (size_t at = 0; at < mapping->count; at++) {
        const struct log_channel *channel = &mapping->sources[at].channel;
        struct log_channel rate = *channel;
        rate.kind = LOG_RATE;
        has[channel->kind] = true;
        if (channel->kind == LOG_STROKES && log_map_has(mapping, &rate)) {
            char pump[LOG_FIELD_MAX];
            (void)snprintf(pump, sizeof pump, "pump %s", channel->pump);
            err_set(err, STATUS_INPUT, pump, "its strokes and its rate would count its mud twice");
            return err_hint(err, "map one of them; the counter is the better one");
        }
    }
    if (mapping->clock.column == SIZE_MAX)
        return missing(columns, "time", "time = column", err);
    if (!has[LOG_HOLE])
        return missing(columns, "hole", "hole = column | m", err);
    if (!has[LOG_STROKES] && !has[LOG_RATE] && !has[LOG_FLOW])
        return missing(columns, "strokes", "strokes 1 = column' or 'rate 1 = column' or 'flow = column | m3/min", err);
    return STATUS_OK;
}

static int compare_sources(const void *a, const void *b)
{
    const struct log_channel *one = &((const struct log_source *)a)->channel;
    const struct log_channel *other = &((const struct log_source *)b)->channel;
    return one->kind != other->kind ? (one->kind > other->kind) - (one->kind < other->kind)
                                    : strcmp(one->pump, other->pump);
}

enum status log_mapping_read(struct arena *arena, const struct mapping_asked *asked, const struct logged_hole *hole,
                             const struct log_columns *columns, struct log_mapping *out, struct err *err)
{
    struct log_mapping mapping = {.clock = {.column = SIZE_MAX, .zone_min = hole->zone_min}};
    struct log_mapper mapper = {arena, hole, columns, &mapping};
    if (columns->empty)
        TRY(log_map_empty(&mapping, columns->empty, err));
    TRY(mapping_each_line(arena, asked, log_map_line, &mapper, err));
    TRY(take_by_name(&mapper, err));
    TRY(demand(&mapping, columns, err));
    qsort(mapping.sources, mapping.count, sizeof *mapping.sources, compare_sources);
    *out = mapping;
    return STATUS_OK;
}
