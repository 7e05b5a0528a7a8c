/* SPDX-License-Identifier: MIT */
/* Which column of a pump log is what: from a mapping file, from --set, from the names and units of the columns. */
#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "coretally/domain/name.h"
#include "coretally/intake/log_words.h"
#include "log_mapper.h"

static enum status find_column(const struct log_columns *columns, const char *name, size_t *out, struct err *err)
{
    size_t found = SIZE_MAX;
    for (size_t at = 0; at < columns->count; at++)
        if (strcmp(columns->names[at], name) == 0) {
            if (found != SIZE_MAX)
                return err_set(err, STATUS_INPUT, name, "two columns have this name, so that neither can be meant");
            found = at;
        }
    if (found != SIZE_MAX) {
        *out = found;
        return STATUS_OK;
    }
    err_set(err, STATUS_INPUT, name, "the log has no column of this name");
    int best = 4; /* more slips than this is another word */
    for (size_t at = 0; at < columns->count; at++)
        if (name_distance(name, columns->names[at]) < best) {
            best = name_distance(name, columns->names[at]);
            err_hint(err, "did you mean %s?", columns->names[at]);
        }
    return err->status;
}

/* The pump of this name among those recorded for the hole; its case does not matter when only one fits. */
const char *log_map_pump(const struct pump_set *pumps, const char *name)
{
    for (size_t at = 0; at < pumps->pump_count; at++)
        if (!pumps->pumps[at].withdrawn && strcmp(pumps->pumps[at].name, name) == 0)
            return pumps->pumps[at].name;
    for (size_t at = 0; at < pumps->pump_count; at++)
        if (!pumps->pumps[at].withdrawn && strcasecmp(pumps->pumps[at].name, name) == 0)
            return pumps->pumps[at].name;
    return NULL;
}

/* "hole", "rate 2" before the equals sign; a pump as it is typed. */
static enum status read_channel(char *field, struct log_channel *out, struct err *err)
{
    char *pump = field + strcspn(field, " \t");
    if (*pump)
        *pump++ = '\0';
    pump = text_trim(pump);
    struct log_channel channel = {.kind = LOG_BIT};
    while (channel.kind < LOG_KIND_COUNT && strcasecmp(log_kind_words[channel.kind], field) != 0)
        channel.kind++;
    if (channel.kind == LOG_KIND_COUNT) {
        err_set(err, STATUS_INPUT, field, "a pump log has no such field");
        return err_hint(err, "fields are time, bit, hole, strokes PUMP, rate PUMP, flow, booster and empty");
    }
    if (!log_is_pump(channel.kind) && *pump)
        return err_set(err, STATUS_INPUT, field, "this field takes no pump, and here is '%.40s'", pump);
    if (log_is_pump(channel.kind) && !pump_is_name(pump)) {
        err_set(err, STATUS_INPUT, field, "the name of the pump is missing or not valid: '%.40s'", pump);
        return err_hint(err, "for example: %s 1 = column", log_kind_words[channel.kind]);
    }
    (void)snprintf(channel.pump, sizeof channel.pump, "%s", pump);
    *out = channel;
    return STATUS_OK;
}

enum status log_map_channel(const struct log_mapper *mapper, char *field, struct log_channel *out, struct err *err)
{
    struct log_channel channel = {0};
    TRY(read_channel(field, &channel, err));
    const char *known = log_is_pump(channel.kind) ? log_map_pump(&mapper->hole->pumps, channel.pump) : "";
    if (!known) {
        err_set(err, STATUS_RULE, field, "pump %s is not recorded for hole %s, so what a stroke delivers is not known",
                channel.pump, mapper->hole->name);
        return err_hint(err,
                        "coretally pump add %s %s --from TIME --kind triplex --bore 6in --stroke 12in "
                        "--efficiency 97; or leave the column out: %s %s = \"\"",
                        mapper->hole->name, channel.pump, log_kind_words[channel.kind], channel.pump);
    }
    (void)snprintf(channel.pump, sizeof channel.pump, "%s", known);
    *out = channel;
    return STATUS_OK;
}

bool log_map_has(const struct log_mapping *mapping, const struct log_channel *channel)
{
    for (size_t at = 0; at < mapping->count; at++)
        if (log_channel_is_same(&mapping->sources[at].channel, channel))
            return true;
    return false;
}

enum status log_map_add(const struct log_mapper *mapper, const struct log_source *source, struct err *err)
{
    struct log_mapping *mapping = mapper->mapping;
    char field[LOG_FIELD_MAX];
    log_field(&source->channel, field);
    if (log_map_has(mapping, &source->channel))
        return err_set(err, STATUS_INPUT, field, "this field is mapped twice");
    if (mapping->count == LOG_CHANNELS_MAX)
        return err_set(err, STATUS_INPUT, field, "more than %d fields are mapped", LOG_CHANNELS_MAX);
    struct log_source own = *source;
    if (own.column != SIZE_MAX) {
        const char *name = mapper->columns->names[own.column];
        TRY(arena_copy(mapper->arena, name, strlen(name), &own.name, err));
    }
    mapping->sources[mapping->count++] = own;
    return STATUS_OK;
}

static enum status set_clock(const struct log_mapper *mapper, size_t column, struct err *err)
{
    struct log_clock *clock = &mapper->mapping->clock;
    if (clock->column != SIZE_MAX)
        return err_set(err, STATUS_INPUT, "time", "this field is mapped twice");
    const char *name = mapper->columns->names[column];
    TRY(arena_copy(mapper->arena, name, strlen(name), &clock->name, err));
    clock->column = column;
    return STATUS_OK;
}

/* "time = column", "time = column | s | 2026-03-09T00:00:00Z"; in LAS the unit may be left to the curve. */
enum status log_map_clock(const struct log_mapper *mapper, const char *column, const char *unit, const char *from,
                          struct err *err)
{
    struct log_clock *clock = &mapper->mapping->clock;
    size_t at = 0;
    struct instant instant;
    TRY(find_column(mapper->columns, column, &at, err));
    TRY(set_clock(mapper, at, err));
    const bool las = mapper->columns->units != NULL;
    if (!las && !*unit && !*from)
        return STATUS_OK;
    if (!*unit && las)
        unit = mapper->columns->units[at];
    if (!log_time_unit_find(unit, &clock->unit_us)) {
        err_set(err, STATUS_INPUT, "time", "'%.40s' is not a unit of time", unit);
        return err_hint(err, "numbers count s, min, h or d from an instant: time = %.40s | s | 2026-03-09T00:00:00Z",
                        column);
    }
    if (!*from) {
        err_set(err, STATUS_INPUT, "time", "the instant from which column %.40s counts is not stated", column);
        return err_hint(err, "for example: time = %.40s | %.10s | 2026-03-09T00:00:00Z", column, unit);
    }
    TRY(instant_take(from, clock->zone_min, &instant, err));
    clock->is_number = true;
    clock->from_us = instant.utc_us;
    return STATUS_OK;
}

enum status log_map_empty(struct log_mapping *mapping, const char *text, struct err *err)
{
    struct decimal decimal;
    const size_t len = strlen(text);
    if (len == 0 || len >= LOG_EMPTY_MAX || mapping->empty_count == LOG_EMPTIES_MAX)
        return err_set(err, STATUS_INPUT, "empty",
                       "'%.40s': up to %d words or numbers of up to %d letters can stand "
                       "for an empty cell",
                       text, LOG_EMPTIES_MAX, LOG_EMPTY_MAX - 1);
    struct log_empty *empty = &mapping->empties[mapping->empty_count++];
    (void)snprintf(empty->text, sizeof empty->text, "%s", text);
    empty->is_number = decimal_take(text, &decimal);
    empty->value = empty->is_number ? decimal_value(&decimal) : 0;
    return STATUS_OK;
}

static enum status take_source(const struct log_mapper *mapper, char *field, const char *column, const char *unit,
                               struct err *err)
{
    struct log_source source = {.column = SIZE_MAX};
    TRY(log_map_channel(mapper, field, &source.channel, err));
    const bool las = mapper->columns->units != NULL;
    TRY(find_column(mapper->columns, column, &source.column, err));
    if (!*unit && las)
        unit = mapper->columns->units[source.column];
    if (log_unit_find(source.channel.kind, unit, las, &source))
        return log_map_add(mapper, &source, err);
    char name[LOG_FIELD_MAX];
    log_field(&source.channel, name);
    if (*unit)
        err_set(err, STATUS_INPUT, name, "'%.40s' is not a unit of this field", unit);
    else
        err_set(err, STATUS_INPUT, name, "the unit of its column is not stated");
    return err_hint(err, "for example: %s = %.60s | %.*s   (%s)", name, column,
                    (int)strcspn(log_units(source.channel.kind), ","), log_units(source.channel.kind),
                    log_units(source.channel.kind));
}

/* A field that no column is to be taken for, whatever the columns are named; its pump need not be recorded. */
static enum status leave_out(const struct log_mapper *mapper, char *field, struct err *err)
{
    struct log_mapping *mapping = mapper->mapping;
    struct log_channel own;
    struct log_channel *channel = &own;
    TRY(read_channel(field, channel, err));
    const char *known = log_is_pump(channel->kind) ? log_map_pump(&mapper->hole->pumps, channel->pump) : NULL;
    if (known)
        (void)snprintf(channel->pump, sizeof channel->pump, "%s", known);
    if (log_map_has(mapping, channel) || mapping->left_out_count == LOG_CHANNELS_MAX)
        return err_set(err, STATUS_INPUT, log_kind_words[channel->kind], "this field is mapped twice");
    mapping->left_out[mapping->left_out_count++] = *channel;
    return STATUS_OK;
}

/* One line: "field = column | unit | instant", "field = "constant"", "field = """. */
enum status log_map_line(void *context, char *line, struct err *err)
{
    const struct log_mapper *mapper = context;
    char *equals = strchr(line, '=');
    if (!equals) {
        err_set(err, STATUS_INPUT, line, "a mapping line reads field = column | unit");
        return err_hint(err, "for example: hole = Hole depth | m");
    }
    *equals = '\0';
    char *field = text_trim(line);
    char *parts[3] = {equals + 1, "", ""};
    for (size_t at = 1; at < 3; at++) {
        char *bar = strchr(parts[at - 1], '|');
        if (!bar)
            break;
        *bar = '\0';
        parts[at] = bar + 1;
    }
    if (strchr(parts[2], '|'))
        return err_set(err, STATUS_INPUT, field, "a mapping line has at most two bars");
    for (size_t at = 0; at < 3; at++)
        if (*parts[at])
            parts[at] = text_trim(parts[at]);
    if (strcasecmp(field, "time") == 0)
        return log_map_clock(mapper, parts[0], parts[1], parts[2], err);
    if (strcasecmp(field, "empty") == 0)
        return log_map_empty(mapper->mapping, parts[0], err);
    if (*parts[2])
        return err_set(err, STATUS_INPUT, field, "only time counts from an instant, and here is '%.40s'", parts[2]);
    const size_t len = strlen(parts[0]);
    if (len < 2 || parts[0][0] != '"' || parts[0][len - 1] != '"')
        return take_source(mapper, field, parts[0], parts[1], err);
    struct log_source source = {.column = SIZE_MAX};
    parts[0][len - 1] = '\0';
    if (len == 2)
        return leave_out(mapper, field, err);
    TRY(log_map_channel(mapper, field, &source.channel, err));
    TRY(log_constant(parts[0] + 1, &source, err));
    return log_map_add(mapper, &source, err);
}
