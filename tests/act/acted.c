/* SPDX-License-Identifier: MIT */
/* Which kind of act a draft is: by the record that it is about, before and after. */
#include "acted.h"

#include <string.h>

#include "coretally/kind/pair.h"

static const char *text_in(const struct table *table, const char *name, const void *record)
{
    const struct field *field = field_find(table, name);
    return field ? *(const char *const *)(const void *)((const char *)record + field->offset) : NULL;
}

/* What it is about: said by the act, or the only record that is written. */
static void find_subject(const struct draft *draft, const struct table **table, const void **record)
{
    const bool is_said = draft->changed.part && draft->changed.after;
    const struct writing none = {.table = NULL};
    const struct writing *first = draft->writing_count ? draft->writings : &none;
    *table = is_said ? draft->changed.part : first->table;
    *record = is_said ? draft->changed.after : first->record;
}

static const char *noun_of(const struct table *table)
{
    static const struct {
        const struct table *table;
        const char *noun;
    } nouns[] = {{&drilled_table, "drilled"}, {&geometry_table, "well"}, {&lag_check_table, "check"}};
    for (size_t at = 0; at < sizeof nouns / sizeof nouns[0]; at++)
        if (nouns[at].table == table)
            return nouns[at].noun;
    return table->kind;
}

static const char *verb_of(const struct draft *draft, const struct table *table, const void *record)
{
    if (draft->changed.before || (item_version(table, record) > 1 && !item_is_withdrawn(table, record)))
        return "amend";
    return item_is_withdrawn(table, record) ? "withdraw" : "add";
}

static struct will fit(const struct draft *draft, const struct will *will, char kind[40])
{
    struct will own = *will;
    const struct table *table = NULL;
    const void *record = NULL;
    find_subject(draft, &table, &record);
    if (!table || strcmp(will->command, "settle") == 0)
        return own;
    if (table == &signature_table)
        (void)snprintf(kind, 40, "correction sign");
    else if (table == &expedition_table && !draft->needs_reason)
        (void)snprintf(kind, 40, "start");
    else
        (void)snprintf(kind, 40, "%s %s", noun_of(table), verb_of(draft, table, record));
    own.command = kind;
    if (own.reason && item_is_withdrawn(table, record))
        own.reason = text_in(table, "withdrawn", record);
    return own;
}

enum status acted_encode(struct room *room, const struct draft *draft, const struct will *will, struct act *act,
                         struct change **changes)
{
    char kind[40] = "";
    const struct will own = fit(draft, will, kind);
    const enum status status = draft_encode(room->state, draft, &own, act, changes, &room->err);
    if (act->kind == kind)
        room_ok(room, arena_copy(room->arena, kind, strlen(kind), &act->kind, &room->err));
    return status;
}

const char *acted_line(struct room *room, const struct draft *draft, bool settles)
{
    const struct will will = {.command = settles ? "settle" : "core amend",
                              .reason = text_in(&correction_table, "reason",
                                                draft->changed.after && draft->changed.part == &correction_table
                                                    ? draft->changed.after
                                                    : &(struct correction){.reason = "sheet 3"}),
                              .keeping = KEEP_DOUBTED};
    struct act act = {.line = NULL};
    struct change *changes = NULL;
    room_ok(room, acted_encode(room, draft, &will, &act, &changes));
    return act.line ? act.line : "";
}
