/* SPDX-License-Identifier: MIT */
/* A whole table: its rows to records, held against the registry and one another, and one draft of what they change. */
#include <stdlib.h>
#include <string.h>

#include "coretally/store/registry.h"
#include "import_row.h"

enum { FEW_FILES = 20 };

enum status import_read(struct arena *arena, const struct import_asked *asked, FILE *in, const char *path,
                        struct import *out, struct err *err)
{
    *out = (struct import){.asked = *asked};
    TRY(csv_read(arena, in, path, &out->table, err));
    return mapping_read(arena, &asked->mapping, asked->kind, &out->table, &out->mapping, err);
}

static enum status take_row(struct import *import, size_t row, struct err *err)
{
    struct import_core *core = NULL;
    TRY(row_find_core(import, row, &core, err));
    import->row_cores[row] = core;
    if (!core)
        return STATUS_OK;
    if (import->asked.kind == IMPORT_CORES)
        return row_to_core(import, row, core, err);
    if (import->asked.kind == IMPORT_SECTIONS)
        return row_to_section(import, row, core, err);
    return row_to_sample(import, row, core, err);
}

/* A core, or its samples, as the rows leave it. */
static enum status draft_core(struct import *import, struct import_core *core, struct err *err)
{
    const char *hole = core->target.hole_name;
    const int32_t number = core->target.core.number;
    char path[REGISTRY_PATH_MAX];
    if (core->samples_changed) {
        samples_path(hole, number, path);
        qsort(core->set.samples, core->set.sample_count, sizeof *core->set.samples, sample_order);
        return draft_write(import->state, &import->draft, path, &sample_set_table, &core->set, err);
    }
    core_path(hole, number, path);
    return draft_write(import->state, &import->draft, path, &core_table, &core->target.core, err);
}

static enum status take_rows(struct import *import, struct err *err)
{
    int64_t next_ms = 0;
    for (size_t row = 1; row < import->table.rows; row++) {
        state_progress(import->state, "checked", row, import->table.rows - 1, &next_ms);
        TRY(take_row(import, row, err));
    }
    if (import->asked.kind != IMPORT_SAMPLES)
        TRY(import_judge_cores(import, err));
    for (size_t at = 0; at < import->core_count && !import->tally.refused; at++)
        if (import->cores[at]->changed || import->cores[at]->samples_changed)
            TRY(draft_core(import, import->cores[at], err));
    return STATUS_OK;
}

/* The line of the commit, and how often what was kept against doubt. */
static enum status write_line(struct import *import, struct err *err)
{
    const struct tally_of_rows *tally = &import->tally;
    const char *slash = strrchr(import->table.path, '/');
    struct text text;
    struct bytes bytes;
    text_init(&text, import->state->arena);
    text_addf(&text, "Import of %s from %s: %zu new", import_words[import->asked.kind],
              slash ? slash + 1 : import->table.path, tally->added);
    if (tally->present)
        text_addf(&text, ", %zu already recorded", tally->present);
    if (tally->doubtful)
        text_addf(&text, ", %zu kept as doubtful", tally->doubtful);
    TRY(text_done(&text, &bytes, err));
    import->draft.line = bytes.data;
    text_init(&text, import->state->arena);
    for (int rule = 0; rule < RULE_COUNT; rule++)
        if (tally->kept[rule].count)
            text_addf(&text, "%s%s (%zu)", text.len ? ", " : "", rule_word((enum rule)rule), tally->kept[rule].count);
    TRY(text_done(&text, &bytes, err));
    import->draft.kept = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

enum status import_rows(struct import *import, struct state *state, struct err *err)
{
    import->state = state;
    draft_init(&import->draft);
    import->draft.name = import->table.path;
    TRY(arena_take(state->arena, import->table.rows, sizeof(struct import_core *), &import->row_cores, err));
    TRY(arena_take(state->arena, import->table.rows, sizeof *import->row_records, &import->row_records, err));
    TRY(import->asked.kind == IMPORT_BAGS ? import_bags(import, err) : take_rows(import, err));
    import->draft.is_bulk = import->draft.writing_count > FEW_FILES;
    return write_line(import, err);
}
