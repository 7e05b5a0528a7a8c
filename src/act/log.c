/* SPDX-License-Identifier: MIT */
/* Days of a pump log that were taken in wrongly are taken out again. */
#include "coretally/act/log.h"

#include "coretally/record/log_day.h"

enum status log_withdraw(struct state *state, const struct target *target, int64_t from_day, struct draft *out,
                         struct err *err)
{
    int64_t *days = NULL;
    size_t count = 0;
    char from[DAY_TEXT_MAX];
    struct text line;
    struct bytes bytes;
    draft_init(out);
    out->needs_reason = true;
    out->is_bulk = true;
    day_format(from_day, from);
    TRY(draft_copy(state, target->hole_name, &out->name, err));
    TRY(state_log_days(state, target->hole_name, &days, &count, err));
    for (size_t at = 0; at < count; at++) {
        char path[REGISTRY_PATH_MAX];
        if (days[at] < from_day)
            continue;
        log_day_path(target->hole_name, days[at], path);
        TRY(draft_remove(state, out, path, err));
    }
    if (!out->writing_count) {
        err_set(err, STATUS_UNKNOWN, from, "hole %s has no pump log from this day on", target->hole_name);
        return err_hint(err, "its days are listed by: coretally log list %s", target->hole_name);
    }
    text_init(&line, state->arena);
    text_addf(&line, "Pump log of %s withdrawn from %s on: %zu day%s", target->hole_name, from, out->writing_count,
              out->writing_count == 1 ? "" : "s");
    TRY(text_done(&line, &bytes, err));
    out->line = bytes.data;
    return STATUS_OK;
}
