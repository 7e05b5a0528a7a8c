/* SPDX-License-Identifier: MIT */
/* The columns of a pump log against the pumps recorded for the hole, at one instant of the log. */
#include <string.h>

#include "coretally/intake/log_take.h"

/* What the columns tell of at an instant. */
struct counted {
    int64_t utc_us;
    size_t string_pumps;
    size_t booster_pumps;
    bool string_meter;
    bool booster_meter;
};

static enum status refuse_unknown(const struct logged_hole *hole, const char *name, int64_t utc_us, struct err *err)
{
    const struct pump_set *pumps = &hole->pumps;
    const struct pump *next = NULL;
    for (size_t at = 0; at < pumps->pump_count; at++)
        if (!pumps->pumps[at].withdrawn && strcmp(pumps->pumps[at].name, name) == 0 &&
            (!next || pumps->pumps[at].from.utc_us < next->from.utc_us))
            next = &pumps->pumps[at];
    char subject[ERR_SUBJECT_MAX];
    (void)snprintf(subject, sizeof subject, "pump %s of %s", name, hole->name);
    if (next)
        err_set(err, STATUS_RULE, subject, "it is recorded from %s on, and the log has a row at %s",
                log_time_words(next->from.utc_us).text, log_time_words(utc_us).text);
    else
        err_set(err, STATUS_RULE, subject, "it is not recorded, so what a stroke delivers is not known");
    return err_hint(err, "coretally pump add %s %s --from %s --kind triplex --bore 6in --stroke 12in --efficiency 97",
                    hole->name, name, log_time_words(utc_us).text);
}

static enum status count_columns(const struct logged_hole *hole, const struct log_mapping *mapping, struct counted *out,
                                 struct err *err)
{
    const struct pump_set *pumps = &hole->pumps;
    for (size_t at = 0; at < mapping->count; at++) {
        const struct log_channel *channel = &mapping->sources[at].channel;
        out->string_meter = out->string_meter || channel->kind == LOG_FLOW;
        out->booster_meter = out->booster_meter || channel->kind == LOG_BOOSTER;
        if (!log_is_pump(channel->kind))
            continue;
        const struct pump *pump = pump_at(pumps->pumps, pumps->pump_count, channel->pump, out->utc_us);
        if (!pump)
            return refuse_unknown(hole, channel->pump, out->utc_us, err);
        out->string_pumps += pump->line != LINE_BOOSTER;
        out->booster_pumps += pump->line == LINE_BOOSTER;
    }
    return STATUS_OK;
}

static enum status refuse_twice(const char *field, const char *line, struct err *err)
{
    err_set(err, STATUS_INPUT, field, "a flow meter and strokes of the pumps into the %s would count the mud twice",
            line);
    return err_hint(err, "leave one out: %s = \"\", or strokes PUMP = \"\"", field);
}

static bool is_mapped(const struct log_mapping *mapping, const char *pump)
{
    for (size_t at = 0; at < mapping->count; at++)
        if (log_is_pump(mapping->sources[at].channel.kind) && strcmp(mapping->sources[at].channel.pump, pump) == 0)
            return true;
    return false;
}

/* strokes B = "": somebody said that nothing tells of it. */
static bool is_left_out(const struct log_mapping *mapping, const char *pump)
{
    for (size_t at = 0; at < mapping->left_out_count; at++)
        if (log_is_pump(mapping->left_out[at].kind) && strcmp(mapping->left_out[at].pump, pump) == 0)
            return true;
    return false;
}

enum status log_kept_add(struct state *state, const char *word, struct log_kept *kept, struct err *err)
{
    struct text text;
    struct bytes bytes;
    if (kept->words && strstr(kept->words, word))
        return STATUS_OK;
    text_init(&text, state->arena);
    text_addf(&text, "%s%s%s", kept->words ? kept->words : "", kept->words ? " " : "", word);
    TRY(text_done(&text, &bytes, err));
    kept->words = bytes.data;
    return STATUS_OK;
}

/* Pumps in force whose mud no column tells. */
static enum status check_left_out(struct state *state, const struct logged_hole *hole,
                                  const struct log_mapping *mapping, const struct counted *counted,
                                  struct log_kept *kept, struct err *err)
{
    const struct pump_set *pumps = &hole->pumps;
    for (size_t at = 0; at < pumps->pump_count; at++) {
        const struct pump *pump = &pumps->pumps[at];
        if (pump != pump_at(pumps->pumps, pumps->pump_count, pump->name, counted->utc_us) ||
            is_mapped(mapping, pump->name) ||
            (pump->line == LINE_BOOSTER ? counted->booster_meter : counted->string_meter))
            continue;
        char subject[ERR_SUBJECT_MAX];
        char reason[ERR_REASON_MAX];
        (void)snprintf(subject, sizeof subject, "pump %s of %s", pump->name, hole->name);
        (void)snprintf(reason, sizeof reason,
                       "it is recorded for the %s but no column tells its strokes; its mud would not be counted",
                       pump->line == LINE_BOOSTER ? "booster line" : "string");
        const bool is_said = is_left_out(mapping, pump->name);
        if (!kept->is_sure && !is_said) {
            err_set(err, STATUS_RULE, subject, "%s", reason);
            return err_hint(err,
                            "rate %s = \"80\" in the mapping if only its counter is missing, rate %s = \"0\" if it "
                            "was off, strokes %s = \"\" (or --sure) if its mud is not to be counted",
                            pump->name, pump->name, pump->name);
        }
        state_tell(state, "note: %s: %s (kept: %s)\n", subject, reason,
                   is_said ? "the mapping leaves it out" : "--sure");
        TRY(log_kept_add(state, "pump-without-column", kept, err));
    }
    return STATUS_OK;
}

enum status log_pumps_check(struct state *state, const struct logged_hole *hole, const struct log_mapping *mapping,
                            int64_t utc_us, struct log_kept *kept, struct err *err)
{
    struct counted counted = {.utc_us = utc_us};
    TRY(count_columns(hole, mapping, &counted, err));
    if (counted.string_meter && counted.string_pumps)
        return refuse_twice("flow", "string", err);
    if (counted.booster_meter && counted.booster_pumps)
        return refuse_twice("booster", "booster line", err);
    if (!counted.string_meter && !counted.string_pumps) {
        err_set(err, STATUS_RULE, hole->name,
                "no column tells what was pumped into the string: its pumps feed the booster "
                "line only");
        return err_hint(err, "map a pump of the string (strokes 1 = column), or a flow meter (flow = column | m3/min)");
    }
    return check_left_out(state, hole, mapping, &counted, kept, err);
}
