/* SPDX-License-Identifier: MIT */
/* What the rules find in rows: told and counted, the first of them by name; kept and marked, or the row refused. */
#include <string.h>

#include "coretally/state/doubt.h"
#include "import_row.h"

/* "line 4, 901-U0012A-3H: its top ...": a core with its sections, a sample; a bag by its line. */
static enum status note_row(struct import *import, size_t row, const struct finding *finding, struct rule_rows *rows,
                            struct err *err)
{
    const struct import_core *core = import->row_cores[row];
    char name[NAME_TEXT_MAX] = "";
    struct text text;
    struct bytes bytes;
    rows->count += rows->last != row;
    rows->last = row;
    if (rows->count > NOTE_ROWS_MAX && !import->asked.each)
        return STATUS_OK;
    if (core && import->asked.kind == IMPORT_SAMPLES && import->row_records[row])
        target_sample_name(import->state, &core->target, import->row_records[row], name);
    else if (core && import->asked.kind != IMPORT_BAGS)
        target_core_name(import->state, &core->target, name);
    text_init(&text, import->state->arena);
    text_addf(&text, "line %zu%s%s: %s", import->table.lines[row], *name ? ", " : "", name, finding->text);
    TRY(text_done(&text, &bytes, err));
    TRY(arena_grow(import->state->arena, &rows->texts, rows->text_count, &rows->text_room, sizeof *rows->texts, err));
    rows->texts[rows->text_count++] = bytes.data;
    return STATUS_OK;
}

/* Refuse the row unless its findings may be kept; words of kept ones into *kept. */
enum status row_judge(struct import *import, size_t row, const struct findings *findings, const char **kept, bool *fine,
                      struct err *err)
{
    const enum keeping keeping = import->mapping.keep_doubtful ? KEEP_TAKEN : KEEP_NOTHING;
    bool fresh = false;
    *fine = true;
    for (size_t at = 0; at < findings->count; at++) {
        const struct finding *finding = &findings->items[at];
        const enum fate fate = finding_fate(finding, keeping);
        if (fate == FATE_TOLD)
            TRY(note_row(import, row, finding, &import->tally.told[finding->rule], err));
        else if (fate == FATE_KEPT)
            TRY(note_row(import, row, finding, &import->tally.kept[finding->rule], err));
        else if (fate == FATE_REFUSED) {
            row_refuse(import, row, "%s (%s)%s", finding->text, rule_word(finding->rule),
                       rule_level(finding->rule) == RULE_REFUSED ? "" : "; doubtful = keep takes it in, marked");
            *fine = false;
            return STATUS_OK;
        }
        fresh = fresh || fate == FATE_KEPT;
    }
    TRY(findings_words(findings, import->state->arena, kept, err));
    import->tally.doubtful += fresh;
    return STATUS_OK;
}
