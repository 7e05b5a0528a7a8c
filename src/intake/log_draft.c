/* SPDX-License-Identifier: MIT */
/* What a pump log that was read changes: the days, and the line of the commit; and whether what the file was held
 * against still stands. */
#include <string.h>

#include "coretally/intake/log_take.h"
#include "coretally/state/read.h"

enum status log_basis_read(struct state *state, const struct log_take *take, struct log_basis *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct log_basis basis = {.hole = ""};
    hole_path(take->hole.name, path);
    TRY(store_look(state->store, path, basis.hole, err));
    pumps_path(take->hole.name, path);
    TRY(store_look(state->store, path, basis.pumps, err));
    if (take->recorded_count) {
        log_day_path(take->hole.name, take->recorded[take->recorded_count - 1], path);
        TRY(store_look(state->store, path, basis.last_day, err));
    }
    *out = basis;
    return STATUS_OK;
}

/* The days that are recorded, and those that the file adds to. */
static enum status days_stand(struct state *state, const struct log_take *take, bool *same, struct err *err)
{
    int64_t *days = NULL;
    size_t count = 0;
    TRY(state_log_days(state, take->hole.name, &days, &count, err));
    *same = count == take->recorded_count && (!count || memcmp(days, take->recorded, count * sizeof *days) == 0);
    for (size_t at = 0; *same && at < take->days.text_count; at++) {
        const struct log_day_text *text = &take->days.texts[at];
        char path[REGISTRY_PATH_MAX];
        char id[HASH_TEXT_MAX];
        log_day_path(take->hole.name, text->day, path);
        TRY(store_look(state->store, path, id, err));
        *same = strcmp(id, text->before) == 0;
    }
    return STATUS_OK;
}

enum status log_basis_check(struct state *state, const struct log_take *take, const struct log_basis *basis,
                            struct err *err)
{
    struct log_basis now;
    bool same = false;
    TRY(log_basis_read(state, take, &now, err));
    if (strcmp(now.hole, basis->hole) == 0 && strcmp(now.pumps, basis->pumps) == 0 &&
        strcmp(now.last_day, basis->last_day) == 0)
        TRY(days_stand(state, take, &same, err));
    if (same)
        return STATUS_OK;
    err_set(err, STATUS_CONFLICT, take->hole.name,
            "another act changed the hole, its pumps or its log while the file was read");
    return err_hint(err, "type the command again; nothing was recorded");
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

enum status log_draft(const struct log_take *take, struct draft *out, struct err *err)
{
    struct arena *arena = take->state->arena;
    draft_init(out);
    out->name = take->hole.name;
    out->kept = take->kept.words;
    out->is_bulk = true;
    TRY(make_line(take, &out->line, err));
    TRY(arena_take(arena, take->days.text_count, sizeof *out->writings, &out->writings, err));
    for (size_t at = 0; at < take->days.text_count; at++) {
        struct writing *writing = &out->writings[out->writing_count++];
        char path[REGISTRY_PATH_MAX];
        log_day_path(take->hole.name, take->days.texts[at].day, path);
        TRY(arena_copy(arena, path, strlen(path), &writing->path, err));
        writing->bytes = take->days.texts[at].after;
    }
    return STATUS_OK;
}
