/* SPDX-License-Identifier: MIT */
/* Texts, facts and sheets of an audit's page. */
#include "coretally/say/audit_say.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum status audit_fact_add(struct sheet *sheet, const char *what, const char *value, struct err *err)
{
    const struct cell cells[] = {cell_text(what), cell_text(value)};
    return value && *value ? sheet_add_row(sheet, cells, err) : STATUS_OK;
}

enum status audit_text(struct state *state, const char **out, struct err *err, const char *format, ...)
{
    va_list measured;
    va_list written;
    char *text = NULL;
    va_start(measured, format);
    const int len = vsnprintf(NULL, 0, format, measured);
    va_end(measured);
    const size_t room = (size_t)(len < 0 ? 0 : len) + 1;
    TRY(arena_take(state->arena, room, 1, &text, err));
    va_start(written, format);
    (void)vsnprintf(text, room, format, written);
    va_end(written);
    *out = text;
    return STATUS_OK;
}

enum status audit_commit_text(struct state *state, const struct commit *commit, const char **out, struct err *err)
{
    char when[INSTANT_TEXT_MAX];
    instant_format(commit->when, when);
    return audit_text(state, out, err, "%.10s by %s <%s>, %s%s%s", commit->id, commit->author, commit->mail, when,
                      commit->station ? ", station: " : "", commit->station ? commit->station : "");
}

enum status audit_sheet_new(struct state *state, const struct column *columns, size_t count, struct sheet **out,
                            struct err *err)
{
    struct column *kept = NULL;
    struct sheet *sheet = NULL;
    TRY(arena_take(state->arena, count, sizeof *kept, &kept, err));
    TRY(arena_take(state->arena, 1, sizeof *sheet, &sheet, err));
    memcpy(kept, columns, count * sizeof *kept);
    sheet_init(sheet, state->arena, kept, count);
    *out = sheet;
    return STATUS_OK;
}

const struct correction_facts *audit_recorded(const struct audit *audit, const struct moved_act *act,
                                              const struct moved_correction *touched)
{
    for (size_t at = 0; at < audit->holes.count; at++) {
        const struct audit_hole *hole = &audit->holes.items[at];
        for (size_t i = 0; strcmp(hole->roll.target.hole_name, touched->hole) == 0 && i < hole->correction_count; i++) {
            const struct correction_facts *one = &hole->corrections[i];
            if (correction_recorded_as(one->it) == touched->number && strcmp(one->first.id, act->commit.id) == 0)
                return one;
        }
    }
    return NULL;
}
