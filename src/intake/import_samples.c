/* SPDX-License-Identifier: MIT */
/* Rows that are samples: which sample of the registry a row means, and whether a new one may be taken. */
#include <string.h>

#include "coretally/act/sample.h"
#include "import_row.h"

/* The sample of the registry that a row means: by lab id, else by saying the same; not one that another row has
 * claimed. */
static const struct sample *find_present(struct import_core *core, const struct sample *typed)
{
    for (size_t at = 0; at < core->old_samples; at++) {
        const struct sample *other = &core->set.samples[at];
        const bool same_parent = typed->of ? other->of && strcmp(other->of, typed->of) == 0 : !other->of;
        if (core->matched[at] || other->withdrawn || !same_parent)
            continue;
        if (typed->lab_id ? other->lab_id && strcmp(other->lab_id, typed->lab_id) == 0
                          : other->section == typed->section && other->top_um == typed->top_um &&
                                other->bottom_um == typed->bottom_um && other->half == typed->half && !other->lab_id) {
            core->matched[at] = true;
            return other;
        }
    }
    return NULL;
}

/* It is recorded already: the same, or refused. With --each it is looked at for what is told of it. */
static enum status take_present(struct import *import, size_t row, const struct import_core *core,
                                const struct sample *present, struct sample *typed, struct err *err)
{
    const struct sample *const all = core->set.samples;
    struct findings findings = {0};
    const char *kept = NULL;
    bool fine = false;
    typed->ordinal = present->ordinal;
    typed->number = present->number;
    typed->version = present->version;
    typed->was = present->was;
    typed->doubt = present->doubt;
    if (!record_is_equal(&sample_table, present, typed)) {
        row_refuse_other(import, row, &sample_table, present, typed);
        return STATUS_OK;
    }
    import->tally.present++;
    if (!import->asked.each)
        return STATUS_OK;
    sample_check(&core->target.core, present, all, core->old_samples, (size_t)(present - all),
                 present->of ? sample_find(all, core->old_samples, present->of) : NULL, &findings);
    findings_settle(&findings, &findings);
    return row_judge(import, row, &findings, &kept, &fine, err);
}

/* The sample that a row gives; *fine false (and the row refused) where it is none of this core. */
static enum status read_typed(struct import *import, size_t row, const struct import_core *core, struct sample *typed,
                              bool *fine, struct err *err)
{
    record_init(&sample_table, typed);
    TRY(row_take_fields(import, row, core, typed, fine, err));
    if (!*fine)
        return STATUS_OK;
    if (row_is_catcher(import, row))
        typed->section = SECTION_CATCHER;
    *fine = row_is_complete(import, row, typed);
    if (!*fine)
        return STATUS_OK;
    import->row_records[row] = typed;
    *fine = core_section(&core->target.core, typed->section) != NULL;
    if (!*fine) {
        char label[SECTION_TEXT_MAX];
        section_format(typed->section, label);
        row_refuse(import, row, "core %d%c has no section %s", (int)core->target.core.number, core->target.core.type,
                   label);
    }
    return STATUS_OK;
}

/* A new one: its lab id is its own, and the sample that it is a part of (*parent; NULL: none) stands. Otherwise the row
 * is refused. */
static bool fits_others(struct import *import, size_t row, const struct sample_set *set, const struct sample *typed,
                        const struct sample **parent)
{
    *parent = typed->of ? sample_find(set->samples, set->sample_count, typed->of) : NULL;
    if (sample_with_lab_id(set, SIZE_MAX, typed->lab_id))
        row_refuse(import, row, "another sample of this core has the lab id %s", typed->lab_id);
    else if (*parent && (*parent)->withdrawn)
        row_refuse(import, row, "its parent %s is withdrawn", typed->of);
    else if (typed->of && !*parent)
        row_refuse(import, row, "its parent %s is not a sample of this core", typed->of);
    else
        return true;
    return false;
}

static enum status take_new(struct import *import, size_t row, struct import_core *core, struct sample *typed,
                            struct err *err)
{
    struct sample_set *set = &core->set;
    const struct sample *parent = NULL;
    struct findings findings = {0};
    bool fine = fits_others(import, row, set, typed, &parent);
    if (!fine)
        return STATUS_OK;
    sample_number(set, typed);
    sample_hold(&core->target.core, set, typed, parent, import->state->now.utc_us, &findings);
    TRY(row_judge(import, row, &findings, &typed->doubt, &fine, err));
    if (!fine)
        return STATUS_OK;
    TRY(arena_grow(import->state->arena, &set->samples, set->sample_count, &core->set_room, sizeof *typed, err));
    set->samples[set->sample_count++] = *typed;
    core->samples_changed = true;
    import->tally.added++;
    return STATUS_OK;
}

enum status row_to_sample(struct import *import, size_t row, struct import_core *core, struct err *err)
{
    struct sample *typed = NULL;
    bool fine = false;
    TRY(arena_take(import->state->arena, 1, sizeof *typed, &typed, err));
    TRY(read_typed(import, row, core, typed, &fine, err));
    if (!fine)
        return STATUS_OK;
    const struct sample *present = find_present(core, typed);
    return present ? take_present(import, row, core, present, typed, err) : take_new(import, row, core, typed, err);
}
