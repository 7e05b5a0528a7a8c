/* SPDX-License-Identifier: MIT */
/* Rows to records, held against the registry and one another. Every bad row is told with its line; nothing is written.
 */
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/act/section.h"
#include "coretally/state/former.h"
#include "import.h"
#include "coretally/state/stayed.h"

enum { TOLD_ROWS_MAX = 1000 };

void row_refuse(struct import *import, size_t row, const char *format, ...)
{
    char text[1000];
    va_list args;
    va_start(args, format);
    (void)vsnprintf(text, sizeof text, format, args);
    va_end(args);
    text_make_printable(text);
    if (++import->tally.refused <= TOLD_ROWS_MAX)
        (void)fprintf(import->run->talk, "line %zu: %s\n", import->table.lines[row], text);
    import->row_cores[row] = NULL;
}

/* The text of a naming source in a row; "" when it is not mapped. */
static const char *cell_of(const struct import *import, size_t row, const struct source *source)
{
    return source->column == SIZE_MAX ? source->constant
                                      : import->table.cells[row * import->table.columns + source->column];
}

const char *row_named_cell(const struct import *import, size_t row, const char *field)
{
    for (size_t at = 0; at < import->mapping.source_count; at++)
        if (strcmp(import->mapping.sources[at].field, field) == 0)
            return cell_of(import, row, &import->mapping.sources[at]);
    return "";
}

/* The core that a row names, as the import knows it; NULL (and the row refused) when there is none. */
static enum status find_core(struct import *import, size_t row, struct import_core **out, struct err *err)
{
    struct run *run = import->run;
    char text[NAME_TEXT_MAX];
    struct name name;
    struct err own = {0};
    const char *expedition = row_named_cell(import, row, "expedition");
    (void)snprintf(text, sizeof text, "%.10s%s%.20s%.10s-%.10s%.10s", expedition, *expedition ? "-" : "",
                   row_named_cell(import, row, "site"), row_named_cell(import, row, "hole"),
                   row_named_cell(import, row, "core"), row_named_cell(import, row, "type"));
    *out = NULL;
    if (name_parse(text, &name, &own) != STATUS_OK || name.level != NAME_CORE) {
        row_refuse(import, row, "'%s' does not name a core: %s", text, own.reason);
        return STATUS_OK;
    }
    for (size_t back = import->core_count; back > 0; back--) { /* rows of a core stand together: the last ones first */
        struct import_core *known = import->cores[back - 1];
        if (known->target.name.core != name.core || strcmp(known->target.name.site, name.site) != 0 ||
            strcmp(known->target.name.letter, name.letter) != 0)
            continue;
        if (known->refused)
            row_refuse(import, row, "%s", known->refused);
        else if (known->target.name.type != name.type)
            row_refuse(import, row, "core %d is %d%c elsewhere in the file", (int)name.core, (int)name.core,
                       known->target.name.type);
        else
            *out = known;
        return STATUS_OK;
    }
    struct import_core *core = NULL;
    TRY(arena_take(run->state->arena, 1, sizeof *core, &core, err));
    core->target.name = name;
    enum status status = resolve_hole(run->state, &name, &core->target, &own);
    if (status == STATUS_OK && core->target.hole.withdrawn)
        status = err_set(&own, STATUS_RULE, core->target.hole_name, "the hole is withdrawn: %s",
                         core->target.hole.withdrawn);
    if (status == STATUS_OK && import->kind == IMPORT_CORES) {
        char path[REGISTRY_PATH_MAX];
        core_path(core->target.hole_name, name.core, path);
        status = state_read(run->state, path, &core_table, &core->target.core, &core->there, &own);
    } else if (status == STATUS_OK) {
        status = resolve_core(run->state, &core->target, &own);
        core->before = core->target.core;
    }
    if (status == STATUS_OK && core->target.core.withdrawn)
        status = err_set(&own, STATUS_RULE, text, "this core is withdrawn: %s", core->target.core.withdrawn);
    if (status == STATUS_OK && import->kind == IMPORT_SAMPLES) {
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        samples_path(core->target.hole_name, name.core, path);
        status = state_read(run->state, path, &sample_set_table, &core->set, &there, &own);
        core->old_samples = core->set.sample_count;
        core->set_room = core->set.sample_count;
        core->set.hole = core->target.hole_name;
        core->set.core = name.core;
        if (status == STATUS_OK)
            TRY(arena_take(run->state->arena, core->old_samples, sizeof *core->matched, &core->matched, err));
    }
    if (status == STATUS_DAMAGED || status == STATUS_SYSTEM) {
        *err = own;
        return status;
    }
    if (status != STATUS_OK) { /* remembered: its other rows are refused for the same reason */
        struct text why;
        struct bytes bytes;
        text_init(&why, run->state->arena);
        text_addf(&why, "%s: %s", own.subject, own.reason);
        TRY(text_done(&why, &bytes, err));
        core->refused = bytes.data;
    }
    TRY(arena_grow(run->state->arena, &import->cores, import->core_count, &import->core_room,
                   sizeof(struct import_core *), err));
    import->cores[import->core_count++] = core;
    if (core->refused)
        row_refuse(import, row, "%s", core->refused);
    else
        *out = core;
    return STATUS_OK;
}

/* The fields of a row into a record; false (and the row refused) when one is not well formed. */
enum status row_take_fields(struct import *import, size_t row, const struct import_core *core, void *record, bool *fine,
                            struct err *err)
{
    *fine = true;
    for (size_t at = 0; at < import->mapping.source_count; at++) {
        const struct source *source = &import->mapping.sources[at];
        const char *cell = cell_of(import, row, source);
        if (!source->as || !*cell)
            continue;
        struct err own = {0};
        const enum length_unit unit = source->as->type == FIELD_LENGTH ? source->unit : source->as->unit;
        if (field_set(source->as, cell, unit, core->target.hole.zone_min, import->run->state->arena, record, &own) ==
            STATUS_OK)
            continue;
        if (own.status == STATUS_SYSTEM) {
            *err = own;
            return own.status;
        }
        const char *header = source->column == SIZE_MAX ? "constant" : import->table.cells[source->column];
        row_refuse(import, row, "column %s: %s: %s", header, own.subject, own.reason);
        *fine = false;
        return STATUS_OK;
    }
    return STATUS_OK;
}

/* "recovered: 9.4 is recorded, the file says 9.5". */
void row_refuse_other(struct import *import, size_t row, const struct table *table, const void *present,
                      const void *typed)
{
    struct text text;
    text_init(&text, import->run->state->arena);
    for (size_t at = 0; at < table->count; at++) {
        const struct field *field = &table->fields[at];
        if (field_is_equal(field, present, typed) || field->type == FIELD_LIST)
            continue;
        text_addf(&text, "%s%s: ", text.len ? "; " : "", field->name);
        field_format(field, present, &text);
        text_add(&text, " is recorded, the file says ");
        field_format(field, typed, &text);
        if (field_is_absent(field, typed))
            text_add(&text, "nothing");
    }
    row_refuse(import, row, "already recorded with other values: %s", text.data ? text.data : "its lists differ");
}

/* What a record cannot be without; tells and refuses. */
bool row_is_complete(struct import *import, size_t row, const void *record)
{
    const struct table *table = import_table(import->kind);
    for (size_t at = 0; at < table->count; at++)
        if (table->fields[at].need == REQUIRED && field_is_absent(&table->fields[at], record)) {
            row_refuse(import, row, "'%s' is empty, and the row needs it", table->fields[at].name);
            return false;
        }
    return true;
}

/* What stayed behind under the number of a core would be taken for samples of this one. */
static enum status check_stayed(struct import *import, size_t row, const struct import_core *core, bool *fine,
                                struct err *err)
{
    struct stayed stayed;
    struct err why = {0};
    TRY(stayed_find(import->run->state, core->target.hole_name, core->target.name.core, &stayed, err));
    *fine = stayed.samples == 0;
    if (*fine)
        return STATUS_OK;
    const enum status status = stayed_refuse(import->run->state, core->target.hole_name, core->target.name.core,
                                             core->target.hole_name, &stayed, &why);
    if (status == STATUS_RULE)
        row_refuse(import, row, "%s", why.reason);
    else
        *err = why;
    return status == STATUS_RULE ? STATUS_OK : status;
}

static enum status row_to_core(struct import *import, size_t row, struct import_core *core, struct err *err)
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
    if (!core->there) {
        struct core former;
        enum core_former found = CORE_FORMER_NONE;
        TRY(core_former_find(import->run->state, core->target.hole_name, &typed, &former, &found, err));
        if (found != CORE_FORMER_SAME) {
            TRY(check_stayed(import, row, core, &fine, err));
            if (!fine)
                return STATUS_OK;
        }
        core->target.core = typed;
        core->changed = found != CORE_FORMER_SAME;
        import->tally.present += found == CORE_FORMER_SAME; /* under the name that it was given since */
        return STATUS_OK;
    }
    struct core present = core->target.core;
    typed.sections = present.sections; /* this table does not carry them */
    typed.section_count = present.section_count;
    typed.version = present.version;
    typed.was = present.was; /* nor what it was called */
    if (record_is_equal(&core_table, &present, &typed))
        import->tally.present++;
    else
        row_refuse_other(import, row, &core_table, &present, &typed);
    return STATUS_OK;
}

bool row_is_catcher(const struct import *import, size_t row)
{
    const char *cell = row_named_cell(import, row, "catcher");
    return strcmp(cell, "yes") == 0 || strcmp(cell, "true") == 0 || strcmp(cell, "1") == 0 || strcmp(cell, "CC") == 0;
}

static enum status row_to_section(struct import *import, size_t row, struct import_core *core, struct err *err)
{
    struct section *typed = NULL;
    bool fine = false;
    TRY(arena_take(import->run->state->arena, 1, sizeof *typed, &typed, err));
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
    TRY(section_insert(import->run->state, &core->target.core, typed, err));
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
static enum status judge_number(const struct import *import, const struct core_roll *roll,
                                const struct import_core *core, struct findings *findings, struct err *err)
{
    int32_t below = core_roll_below(roll, core->target.core.number);
    if (core->there)
        return STATUS_OK;
    for (size_t at = 0; at < import->core_count; at++) {
        const struct import_core *other = import->cores[at];
        if (other->changed && other->target.core.number < core->target.core.number &&
            other->target.core.number > below && strcmp(other->target.hole_name, core->target.hole_name) == 0)
            below = other->target.core.number;
    }
    core_number_check(&core->target.core, below, findings);
    struct core former;
    enum core_former found = CORE_FORMER_NONE;
    TRY(core_former_find(import->run->state, core->target.hole_name, &core->target.core, &former, &found, err));
    if (found == CORE_FORMER_OTHER)
        core_again_check(&core->target.core, &former, findings);
    return STATUS_OK;
}

/* Cores are judged when all rows are in: against their neighbours, and with all their sections. */
static enum status judge_cores(struct import *import, struct err *err)
{
    struct core_roll roll = {.hole = ""}; /* of the hole of the rows before */
    for (size_t row = 1; row < import->table.rows; row++) {
        struct import_core *core = import->row_cores[row];
        struct core_neighbours around = {0};
        struct findings findings = {0};
        const char *kept = NULL;
        bool fine = false;
        if (!core || core->judged || (!core->changed && !run_option(import->run, "each")))
            continue;
        core->judged = true; /* once, at its first row */
        if (strcmp(roll.hole, core->target.hole_name) != 0)
            TRY(core_roll_open(import->run->state, core->target.hole_name, &roll, err));
        TRY(core_roll_around(&roll, core->target.core.number, 0, &around, err));
        if (core->target.core.on_deck.known)
            TRY(core_roll_timed(&roll, core->target.core.number, 0, &around, err));
        nearer(import, core, &around);
        core_check(&core->target.hole, &core->target.core, &around, &findings);
        if (import->kind == IMPORT_CORES)
            TRY(judge_number(import, &roll, core, &findings, err));
        core_check_time(&core->target.hole, &core->target.core, &around, import->run->state->now.utc_us, &findings);
        if (core->before.hole) {
            struct findings then = {0};
            core_check(&core->target.hole, &core->before, &around, &then);
            core_check_time(&core->target.hole, &core->before, &around, import->run->state->now.utc_us, &then);
            findings_settle(&findings, &then);
        }
        if (!core->changed) /* recorded before: looked at for what is told of it */
            findings_settle(&findings, &findings);
        TRY(row_judge(import, row, &findings, &kept, &fine, err));
        import->tally.added += fine && core->changed && import->kind == IMPORT_CORES;
    }
    return STATUS_OK;
}

enum status import_rows(struct import *import, struct err *err)
{
    int64_t next_ms = 0;
    struct run *run = import->run;
    TRY(arena_take(run->state->arena, import->table.rows, sizeof(struct import_core *), &import->row_cores, err));
    TRY(arena_take(run->state->arena, import->table.rows, sizeof *import->row_records, &import->row_records, err));
    for (size_t row = 1; row < import->table.rows; row++) {
        struct import_core *core = NULL;
        state_progress(run->state, "checked", row, import->table.rows - 1, &next_ms);
        TRY(find_core(import, row, &core, err));
        import->row_cores[row] = core;
        if (!core)
            continue;
        if (import->kind == IMPORT_CORES)
            TRY(row_to_core(import, row, core, err));
        else if (import->kind == IMPORT_SECTIONS)
            TRY(row_to_section(import, row, core, err));
        else
            TRY(row_to_sample(import, row, core, err));
    }
    return import->kind == IMPORT_SAMPLES ? STATUS_OK : judge_cores(import, err);
}
