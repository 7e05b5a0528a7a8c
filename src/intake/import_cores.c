/* SPDX-License-Identifier: MIT */
/* Rows that are cores or their sections: whether the registry has them, and what the rules say of them among their
 * neighbours. */
#include <string.h>

#include "coretally/act/core.h"
#include "coretally/act/section.h"
#include "coretally/state/core_roll.h"
#include "import_row.h"

enum status row_to_core(struct import *import, size_t row, struct import_core *core, struct err *err)
{
    struct core typed;
    bool fine = false;
    record_init(&core_table, &typed);
    typed.hole = core->target.hole_name;
    typed.number = core->target.name.core;
    typed.type = core->target.name.type;
    TRY(row_take_fields(import, row, core, &typed, &fine, err));
    for (size_t at = 0; at < import->mapping.source_count; at++)
        if (import->mapping.sources[at].datum != DATUM_NONE)
            typed.datum = import->mapping.sources[at].datum;
    if (!fine || !row_is_complete(import, row, &typed))
        return STATUS_OK;
    if (core->changed) {
        row_refuse(import, row, "core %d%c occurs twice in the file", (int)typed.number, typed.type);
        return STATUS_OK;
    }
    const struct core *present = core->there ? &core->target.core : NULL;
    if (present) {
        typed.sections = present->sections; /* this table does not carry them */
        typed.section_count = present->section_count;
        typed.version = present->version;
        typed.was = present->was; /* nor what it was called */
    }
    struct core_sought sought;
    struct err why = {0};
    const enum status status = core_seek(import->state, &core->target, &typed, present, &sought, &why);
    if (status == STATUS_RULE) {
        row_refuse(import, row, "%s", why.reason);
        return STATUS_OK;
    }
    if (status != STATUS_OK) {
        *err = why;
        return status;
    }
    if (sought.found == CORE_OTHER)
        row_refuse_other(import, row, &core_table, present, &typed);
    else if (sought.found == CORE_NEW) {
        core->target.core = typed;
        core->changed = true;
        if (sought.former == CORE_FORMER_OTHER)
            core->former = sought.core;
    } else
        import->tally.present++; /* or under the name that it was given since */
    return STATUS_OK;
}

enum status row_to_section(struct import *import, size_t row, struct import_core *core, struct err *err)
{
    struct section *typed = NULL;
    bool fine = false;
    TRY(arena_take(import->state->arena, 1, sizeof *typed, &typed, err));
    record_init(&section_table, typed);
    TRY(row_take_fields(import, row, core, typed, &fine, err));
    if (!fine)
        return STATUS_OK;
    if (row_is_catcher(import, row))
        typed->number = SECTION_CATCHER;
    if (!row_is_complete(import, row, typed))
        return STATUS_OK;
    import->row_records[row] = typed;
    if (section_curated(typed) == LENGTH_NONE) {
        row_refuse(import, row, "the section has no length: neither curated, nor liner, nor pieces");
        return STATUS_OK;
    }
    const struct section *present = core_section(&core->target.core, typed->number);
    if (present) {
        struct section same = *typed;
        same.version = present->version;
        if (record_is_equal(&section_table, present, &same))
            import->tally.present++;
        else
            row_refuse_other(import, row, &section_table, present, &same);
        return STATUS_OK;
    }
    TRY(section_insert(import->state, &core->target.core, typed, err));
    core->changed = true;
    import->tally.added++;
    return STATUS_OK;
}

/* The nearest core above or below by number, of the file or of the registry. */
static void nearer(const struct import *import, const struct import_core *core, struct core_neighbours *around)
{
    for (size_t at = 0; at < import->core_count; at++) {
        const struct import_core *other = import->cores[at];
        const struct core *it = &other->target.core;
        if (other == core || !other->changed || strcmp(other->target.hole_name, core->target.hole_name) != 0)
            continue;
        if (it->number < core->target.core.number && (!around->above || it->number > around->above->number) &&
            !core_is_wide(it))
            around->above = it;
        if (it->number > core->target.core.number && (!around->below || it->number < around->below->number))
            around->below = it;
        if (it->on_deck.known && it->number < core->target.core.number &&
            (!around->timed_above || it->number > around->timed_above->number))
            around->timed_above = it;
        if (it->on_deck.known && it->number > core->target.core.number &&
            (!around->timed_below || it->number < around->timed_below->number))
            around->timed_below = it;
    }
}

/* Numbers that neither the registry nor the file has. */
static void judge_number(const struct import *import, const struct core_roll *roll, const struct import_core *core,
                         struct findings *findings)
{
    int32_t below = core_roll_below(roll, core->target.core.number);
    if (core->there)
        return;
    for (size_t at = 0; at < import->core_count; at++) {
        const struct import_core *other = import->cores[at];
        if (other->changed && other->target.core.number < core->target.core.number &&
            other->target.core.number > below && strcmp(other->target.hole_name, core->target.hole_name) == 0)
            below = other->target.core.number;
    }
    core_number_check(&core->target.core, below, findings);
    if (core->former.hole)
        core_again_check(&core->target.core, &core->former, findings);
}

enum status import_judge_cores(struct import *import, struct err *err)
{
    struct core_roll roll = {.hole = ""}; /* of the hole of the rows before */
    for (size_t row = 1; row < import->table.rows; row++) {
        struct import_core *core = import->row_cores[row];
        struct core_neighbours around = {0};
        struct findings findings = {0};
        const char *kept = NULL;
        bool fine = false;
        if (!core || core->judged || (!core->changed && !import->asked.each))
            continue;
        core->judged = true; /* once, at its first row */
        if (strcmp(roll.hole, core->target.hole_name) != 0)
            TRY(core_roll_open(import->state, core->target.hole_name, &roll, err));
        TRY(core_roll_around(&roll, core->target.core.number, 0, &around, err));
        if (core->target.core.on_deck.known)
            TRY(core_roll_timed(&roll, core->target.core.number, 0, &around, err));
        nearer(import, core, &around);
        core_check(&core->target.hole, &core->target.core, &around, &findings);
        if (import->asked.kind == IMPORT_CORES)
            judge_number(import, &roll, core, &findings);
        core_check_time(&core->target.hole, &core->target.core, &around, import->state->now.utc_us, &findings);
        if (core->before.hole) {
            struct findings then = {0};
            core_check(&core->target.hole, &core->before, &around, &then);
            core_check_time(&core->target.hole, &core->before, &around, import->state->now.utc_us, &then);
            findings_settle(&findings, &then);
        }
        if (!core->changed) /* recorded before: looked at for what is told of it */
            findings_settle(&findings, &findings);
        TRY(row_judge(import, row, &findings, &kept, &fine, err));
        import->tally.added += fine && core->changed && import->asked.kind == IMPORT_CORES;
    }
    return STATUS_OK;
}
