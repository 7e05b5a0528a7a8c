/* SPDX-License-Identifier: MIT */
/* Typed section lists, the checks of a changed core, its commit. */
#include "core_act.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/depth.h"
#include "coretally/base/limits.h"
#include "coretally/domain/recovery.h"

enum status section_insert(struct state *state, struct core *core, const struct section *section, struct err *err)
{
    struct section *grown = NULL;
    char label[SECTION_TEXT_MAX];
    size_t at = 0;
    for (; at < core->section_count && core->sections[at].number <= section->number; at++)
        if (core->sections[at].number == section->number) {
            section_format(section->number, label);
            if (!core->sections[at].withdrawn)
                return err_set(err, STATUS_EXISTS, label, "core %d%c already has a section %s", (int)core->number,
                               core->type, label);
            break;
        }
    const bool replaces = at < core->section_count && core->sections[at].number == section->number;
    TRY(arena_take(state->arena, core->section_count + 1, sizeof *grown, &grown, err));
    if (at)
        memcpy(grown, core->sections, at * sizeof *grown);
    grown[at] = *section;
    if (replaces) /* a withdrawn one comes back as its next version */
        grown[at].version = core->sections[at].version ? core->sections[at].version + 1 : 2;
    const size_t rest = core->section_count - at - replaces;
    if (rest)
        memcpy(grown + at + 1, core->sections + at + replaces, rest * sizeof *grown);
    core->sections = grown;
    core->section_count += !replaces;
    return STATUS_OK;
}

static enum status bad_list(const char *typed, struct err *err)
{
    err_set(err, STATUS_INPUT, typed, "this is not a list of section lengths");
    return err_hint(err, "type lengths in metres from the top: 6x1.5,0.93,cc:0.23");
}

enum status sections_take(struct state *state, const char *typed, struct core *core, struct err *err)
{
    int32_t next = 1;
    for (size_t at = 0; at < core->section_count; at++)
        if (core->sections[at].number < SECTION_CATCHER)
            next = core->sections[at].number + 1;
    for (const char *rest = typed; *rest;) {
        const char *part = NULL;
        const size_t len = strcspn(rest, ",; ");
        int32_t number = next;
        long times = 1;
        char *after = NULL;
        TRY(arena_copy(state->arena, rest, len, &part, err));
        rest += len + (rest[len] != '\0');
        if (!*part)
            continue;
        const char *colon = strchr(part, ':');
        if (colon) {
            const char *label = NULL;
            TRY(arena_copy(state->arena, part, (size_t)(colon - part), &label, err));
            if (!section_parse(label, &number))
                return bad_list(typed, err);
            part = colon + 1;
        } else if (isdigit((unsigned char)*part)) {
            const long count = strtol(part, &after, 10);
            if (*after == 'x' || *after == '*') {
                if (count < 1 || count > 99)
                    return bad_list(typed, err);
                times = count;
                part = after + 1;
            }
        }
        if (!*part)
            return bad_list(typed, err);
        for (; times > 0; times--) {
            if (number > SECTION_NUMBER_MAX && number != SECTION_CATCHER)
                return bad_list(typed, err);
            struct section section;
            record_init(&section_table, &section);
            section.number = number;
            if (field_set(field_find(&section_table, "curated"), part, UNIT_M, INT_NONE, state->arena, &section, err) !=
                STATUS_OK)
                return err->status;
            TRY(section_insert(state, core, &section, err));
            next = number < SECTION_CATCHER ? number + 1 : next;
            number = next;
        }
    }
    return STATUS_OK;
}

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

enum status core_line(struct state *state, const struct target *target, const struct core *core, const char *what,
                      const char **out, struct err *err)
{
    char name[NAME_TEXT_MAX];
    char percent[RECOVERY_TEXT_MAX];
    struct text text;
    struct bytes bytes;
    const int64_t bottom_um = core_bottom(core);
    const int64_t recovered_um = core_recovered(core);
    target_core_name(state, target, name);
    text_init(&text, state->arena);
    text_addf(&text, "Core %s%s: %s", name, what, length_text(core->top_um, UNIT_M, 3).text);
    text_addf(&text, "-%s m below %s", bottom_um == LENGTH_NONE ? "?" : length_text(bottom_um, UNIT_M, 3).text,
              core->datum == DATUM_SEAFLOOR ? "seafloor" : "rig floor");
    if (recovered_um == 0)
        text_add(&text, ", empty barrel");
    else if (recovered_um != LENGTH_NONE) {
        recovery_format(recovered_um, core_advance(core), 1, percent);
        text_addf(&text, ", recovered %s m (%s%s)", length_text(recovered_um, UNIT_M, 3).text,
                  core_is_wide(core) ? "wide interval" : percent,
                  core_is_wide(core) || strcmp(percent, "n/a") == 0 ? "" : " %");
    }
    const size_t sections = core_standing_sections(core);
    if (sections)
        text_addf(&text, ", %zu section%s", sections, sections > 1 ? "s" : "");
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

/* What the corrections in force make of the depth as typed: it is to be that of the driller. */
static void tell_corrections(struct state *state, const struct target *target, const struct core *core,
                             const char *name)
{
    if (!target->hole.correction_count)
        return;
    const struct depth depth = core_top_depth(&target->hole, core, SCALE_DRF, NULL);
    const struct depth below = core_top_depth(&target->hole, core, SCALE_DSF, NULL);
    if (depth.um != LENGTH_NONE && core->datum == DATUM_RIG_FLOOR && depth.um != core->top_um) {
        state_tell(state, "note: %s: corrections in force move its top from %s m as typed to %s m\n", name,
                   length_text(core->top_um, UNIT_M, 3).text, length_text(depth.um, UNIT_M, 3).text);
        state_tell(state, "  right, if typed as the driller reports it; where the tally is right again, end the "
                          "correction: add it anew with --last-core or --to, and --supersedes\n");
    }
    if (below.um == LENGTH_NONE && hole_seafloor(&target->hole) != LENGTH_NONE)
        state_tell(state, "note: %s: it has no depth below seafloor: %s\n", name, below.why);
}

enum status core_tell_left(struct core_roll *roll, const struct target *target, int32_t to, struct err *err)
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
            state_tell(roll->state, "note: without core %d%c, core %d%c is doubted: %s\n", (int)number,
                       target->core.type, (int)below->number, below->type, now.items[at].text);
    return STATUS_OK;
}

enum status core_commit(struct run *run, const struct target *target, const struct core *core, const char *line,
                        struct err *err)
{
    struct core_roll roll;
    TRY(core_roll_open(run->state, target->hole_name, &roll, err));
    return core_commit_found(run, &roll, target, core, line, &(struct findings){.count = 0}, err);
}

enum status core_commit_found(struct run *run, struct core_roll *roll, const struct target *target,
                              const struct core *core, const char *line, const struct findings *before, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char name[NAME_TEXT_MAX];
    struct findings findings = *before;
    const char *sure = NULL;
    target_core_name(run->state, target, name);
    if (target->hole.withdrawn && !core->withdrawn)
        return err_set(err, STATUS_RULE, name, "its hole is withdrawn: %s", target->hole.withdrawn);
    TRY(check_samples(run->state, target, core, err));
    if (!core->withdrawn)
        TRY(core_asked(roll, target, core, 0, &findings, err));
    if (!core->withdrawn && target->core.hole && !target->core.withdrawn) {
        struct findings then = {0};
        TRY(core_asked(roll, target, &target->core, 0, &then, err));
        findings_settle(&findings, &then);
        findings_settle_notes(&findings, &then); /* a gap above the core is not told anew with each of its sections */
    }
    TRY(run_findings(run, name, &findings, &sure, err));
    if (core->withdrawn)
        TRY(core_tell_left(roll, target, 0, err));
    else
        tell_corrections(run->state, target, core, name);
    core_path(target->hole_name, core->number, path);
    const struct writing writing = {path, &core_table, core};
    return run_commit(run, line, sure, &writing, 1, err);
}
