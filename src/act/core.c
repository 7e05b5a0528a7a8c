/* SPDX-License-Identifier: MIT */
/* Cores added, amended and withdrawn: held against their hole, their neighbours and their samples. */
#include "coretally/act/core.h"

#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"
#include "coretally/domain/recovery.h"
#include "coretally/state/doubt.h"
#include "coretally/state/origin.h"
#include "coretally/state/stayed.h"

/* A whole round or void that is put where a standing sample was taken: one of the two readings is wrong. */
static enum status check_taken(struct state *state, const struct target *target, const struct core *core,
                               const struct sample *sample, struct err *err)
{
    char name[NAME_TEXT_MAX];
    struct findings then = {0};
    struct findings now = {0};
    sample_check(&target->core, sample, NULL, 0, 0, NULL, &then);
    sample_check(core, sample, NULL, 0, 0, NULL, &now);
    for (size_t at = 0; at < now.count; at++) {
        const enum rule rule = now.items[at].rule;
        bool before = false;
        for (size_t old = 0; old < then.count; old++)
            before = before || then.items[old].rule == rule;
        if (before || (rule != RULE_SAMPLE_IN_ROUND && rule != RULE_SAMPLE_IN_VOID))
            continue;
        target_sample_name(state, target, sample, name);
        err_set(err, STATUS_RULE, name, "this sample lies where %s", now.items[at].text);
        return err_hint(err, "look at the interval once more, or amend or withdraw the sample first");
    }
    return STATUS_OK;
}

/* Samples that the changed sections no longer hold. */
static enum status check_samples(struct state *state, const struct target *target, const struct core *core,
                                 struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char name[NAME_TEXT_MAX];
    struct sample_set set;
    bool there = false;
    samples_path(target->hole_name, core->number, path);
    TRY(state_read(state, path, &sample_set_table, &set, &there, err));
    size_t lost = 0;
    for (size_t at = 0; at < set.sample_count; at++) {
        const struct sample *sample = &set.samples[at];
        if (sample->withdrawn || sample->of)
            continue;
        if (!core->withdrawn)
            TRY(check_taken(state, target, core, sample, err));
        const struct section *section = core->withdrawn ? NULL : core_section(core, sample->section);
        const int64_t length_um = section ? section_curated(section) : 0;
        if (section && (length_um == LENGTH_NONE || sample->bottom_um <= length_um + SAMPLE_PAST_END_UM))
            continue;
        const struct section *before = section ? core_section(&target->core, sample->section) : NULL;
        if (before && section_curated(before) != LENGTH_NONE &&
            sample->bottom_um > section_curated(before) + SAMPLE_PAST_END_UM)
            continue; /* kept outside it before */
        if (lost++ == 0)
            target_sample_name(state, target, sample, name);
    }
    if (!lost)
        return STATUS_OK;
    char core_name[NAME_TEXT_MAX];
    target_core_name(state, target, core_name);
    err_set(err, STATUS_RULE, name, "%zu standing sample%s of core %d%c would lose %s place, this one first", lost,
            lost > 1 ? "s" : "", (int)core->number, core->type, lost > 1 ? "their" : "its");
    return err_hint(err, "amend or withdraw the samples first: coretally sample list %s", core_name);
}

/* What the corrections in force make of the depth as typed: it is to be that of the driller. */
static void note_corrections(const struct target *target, const struct core *core, const char *name, struct text *notes)
{
    if (!target->hole.correction_count)
        return;
    const struct depth depth = core_top_depth(&target->hole, core, SCALE_DRF, NULL);
    const struct depth below = core_top_depth(&target->hole, core, SCALE_DSF, NULL);
    if (depth.um != LENGTH_NONE && core->datum == DATUM_RIG_FLOOR && depth.um != core->top_um) {
        text_addf(notes, "note: %s: corrections in force move its top from %s m as typed to %s m\n", name,
                  length_text(core->top_um, UNIT_M, 3).text, length_text(depth.um, UNIT_M, 3).text);
        text_addf(notes, "  right, if typed as the driller reports it; where the tally is right again, end the "
                         "correction: add it anew with --last-core or --to, and --supersedes\n");
    }
    if (below.um == LENGTH_NONE && hole_seafloor(&target->hole) != LENGTH_NONE)
        text_addf(notes, "note: %s: it has no depth below seafloor: %s\n", name, below.why);
}

enum status core_note_left(struct core_roll *roll, const struct target *target, int32_t to, struct text *notes,
                           struct err *err)
{
    const int32_t number = target->core.number;
    struct core_neighbours around = {0};
    struct findings then = {0};
    struct findings now = {0};
    TRY(core_roll_around(roll, number, 0, &around, err));
    const struct core *below = around.below;
    if (!below || !around.above || (to > around.above->number && to < below->number))
        return STATUS_OK;
    TRY(core_asked(roll, target, below, 0, &then, err));
    TRY(core_asked(roll, target, below, number, &now, err));
    findings_settle(&now, &then);
    for (size_t at = 0; at < now.count; at++)
        if (rule_level(now.items[at].rule) != RULE_TOLD && !now.items[at].is_settled)
            text_addf(notes, "note: without core %d%c, core %d%c is doubted: %s\n", (int)number, target->core.type,
                      (int)below->number, below->type, now.items[at].text);
    return STATUS_OK;
}

enum status core_write(struct core_roll *roll, const struct target *target, const struct core *core, struct draft *out,
                       struct err *err)
{
    struct state *state = roll->state;
    struct core *written = NULL;
    struct text notes;
    struct bytes bytes;
    char path[REGISTRY_PATH_MAX];
    char name[NAME_TEXT_MAX];
    target_core_name(state, target, name);
    TRY(draft_copy(state, name, &out->name, err));
    if (target->hole.withdrawn && !core->withdrawn)
        return err_set(err, STATUS_RULE, name, "its hole is withdrawn: %s", target->hole.withdrawn);
    TRY(check_samples(state, target, core, err));
    if (!core->withdrawn)
        TRY(core_asked(roll, target, core, 0, &out->findings, err));
    if (!core->withdrawn && target->core.hole && !target->core.withdrawn) {
        struct findings then = {0};
        TRY(core_asked(roll, target, &target->core, 0, &then, err));
        findings_settle(&out->findings, &then);
        findings_settle_notes(&out->findings, &then); /* a gap above is not told anew with each of the sections */
    }
    text_init(&notes, state->arena);
    if (core->withdrawn)
        TRY(core_note_left(roll, target, 0, &notes, err));
    else
        note_corrections(target, core, name, &notes);
    TRY(text_done(&notes, &bytes, err));
    out->notes = bytes.len ? bytes.data : NULL;
    TRY(arena_take(state->arena, 1, sizeof *written, &written, err));
    *written = *core;
    if (!out->changed.part)
        out->changed = (struct changed){.part = &core_table, .after = written};
    core_path(target->hole_name, core->number, path);
    return draft_write(state, out, path, &core_table, written, err);
}

/* What the depths count from, where it was not said: as for the core above, else the rig floor. */
static enum status take_datum(struct core_roll *roll, struct core *core, struct err *err)
{
    struct core_neighbours around = {0};
    if (core->datum != DATUM_NONE)
        return STATUS_OK;
    TRY(core_roll_around(roll, core->number, 0, &around, err));
    core->datum = around.above ? around.above->datum : DATUM_RIG_FLOOR;
    return STATUS_OK;
}

/* Recorded, under its name or under the one that it was given since. */
enum status core_present(struct state *state, const struct target *target, const struct core *core, struct draft *out,
                         struct err *err)
{
    struct target its = *target;
    struct core *present = NULL;
    char name[NAME_TEXT_MAX];
    its.name.core = core->number;
    its.name.type = core->type;
    target_core_name(state, &its, name);
    TRY(arena_take(state->arena, 1, sizeof *present, &present, err));
    *present = *core;
    const struct record_at at = record_of_core(target->hole_name, present);
    return draft_present(state, out, name, &at, err);
}

/* The number is that of a core with other readings: whose, since when. */
static enum status refuse_taken(struct state *state, const struct target *target, const struct core *present,
                                struct err *err)
{
    const struct record_at at = record_of_core(target->hole_name, present);
    char name[NAME_TEXT_MAX];
    char when[INSTANT_TEXT_MAX];
    struct commit commit = {0};
    target_core_name(state, target, name);
    TRY(origin_find(state, &at, NULL, &commit, err));
    instant_format(commit.when, when);
    err_set(err, STATUS_EXISTS, name, "core number %d is taken: \"%s\" by %s, %s (commit %.10s)", (int)present->number,
            commit.line, commit.author, when, commit.id);
    return err_hint(err, "look at it: coretally core show %s-%d%c; to change it: coretally core amend",
                    target->hole_name, (int)present->number, present->type);
}

static bool is_same_core(const struct core *typed, const struct core *present)
{
    struct core same = *typed;
    same.was = present->was; /* under the name that it has now nobody types the former ones */
    same.version = present->version;
    return record_is_equal(&core_table, &same, present);
}

/* What stayed behind under the number of a core would be taken for samples of this one. */
static enum status check_stayed(struct state *state, const struct target *target, struct err *err)
{
    struct stayed stayed;
    char name[NAME_TEXT_MAX];
    TRY(stayed_find(state, target->hole_name, target->name.core, &stayed, err));
    if (!stayed.samples)
        return STATUS_OK;
    target_core_name(state, target, name);
    return stayed_refuse(state, target->hole_name, target->name.core, name, &stayed, err);
}

enum status core_seek(struct state *state, const struct target *target, const struct core *typed,
                      const struct core *present, struct core_sought *out, struct err *err)
{
    *out = (struct core_sought){.found = CORE_NEW};
    if (present) {
        out->found = is_same_core(typed, present) ? CORE_SAME : CORE_OTHER;
        out->core = *present;
        return STATUS_OK;
    }
    TRY(core_former_find(state, target->hole_name, typed, &out->core, &out->former, err));
    if (out->former == CORE_FORMER_SAME) {
        out->found = CORE_RENAMED;
        return STATUS_OK;
    }
    return check_stayed(state, target, err);
}

enum status core_add(struct state *state, const struct target *target, const struct core *typed, struct draft *out,
                     struct err *err)
{
    struct core_roll roll;
    struct core core = *typed;
    struct core present;
    struct core_sought sought;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    draft_init(out);
    TRY(core_roll_open(state, target->hole_name, &roll, err));
    TRY(take_datum(&roll, &core, err));
    core_path(target->hole_name, core.number, path);
    TRY(state_read(state, path, &core_table, &present, &there, err));
    TRY(core_seek(state, target, &core, there ? &present : NULL, &sought, err));
    if (sought.found == CORE_OTHER)
        return refuse_taken(state, target, &present, err);
    if (sought.found != CORE_NEW)
        return core_present(state, target, &sought.core, out, err);
    if (sought.former == CORE_FORMER_OTHER)
        core_again_check(&core, &sought.core, &out->findings);
    core_number_check(&core, core_roll_below(&roll, core.number), &out->findings);
    return core_write(&roll, target, &core, out, err);
}

enum status core_amend(struct state *state, const struct target *target, const struct core *changed, struct draft *out,
                       struct err *err)
{
    return core_keep(state, target, changed, &(struct findings){.count = 0}, out, err);
}

enum status core_keep(struct state *state, const struct target *target, const struct core *changed,
                      const struct findings *open, struct draft *out, struct err *err)
{
    struct core_roll roll;
    struct core core = *changed;
    const bool is_equal = record_is_equal(&core_table, &core, &target->core);
    draft_init(out);
    if (is_equal && !open->count)
        return core_present(state, target, &core, out, err);
    core.version = core.version ? core.version + 1 : 2;
    out->needs_reason = true;
    TRY(core_roll_open(state, target->hole_name, &roll, err));
    TRY(core_write(&roll, target, &core, out, err));
    findings_open(&out->findings, open);
    out->changed.before = &target->core;
    return STATUS_OK;
}

enum status core_withdraw(struct state *state, const struct target *target, const char *reason, struct draft *out,
                          struct err *err)
{
    struct core_roll roll;
    struct core core = target->core;
    char id[CORE_ID_MAX];
    draft_init(out);
    core_id_format((struct core_id){core.number, core.type}, id);
    if (core.withdrawn)
        return draft_withdrawn(state, out, id, core.withdrawn, err);
    core.withdrawn = reason;
    core.version = core.version ? core.version + 1 : 2;
    out->needs_reason = true;
    TRY(core_roll_open(state, target->hole_name, &roll, err));
    return core_write(&roll, target, &core, out, err);
}
