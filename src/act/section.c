/* SPDX-License-Identifier: MIT */
/* Sections: typed lists of lengths, and sections added, amended and withdrawn. */
#include "coretally/act/section.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/act/core.h"

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

/* The core as it shall be with its changed section. */
static enum status write_section(struct state *state, const struct target *target, const struct core *core,
                                 struct draft *out, struct err *err)
{
    struct core_roll roll;
    TRY(core_roll_open(state, target->hole_name, &roll, err));
    return core_write(&roll, target, core, out, err);
}

static enum status section_present(struct state *state, const struct target *target, const struct section *present,
                                   struct draft *out, struct err *err)
{
    const struct record_at at = record_of_section(target->hole_name, target->core.number, present);
    char name[NAME_TEXT_MAX];
    target_section_name(state, target, present->number, name);
    return draft_present(state, out, name, &at, err);
}

enum status sections_add(struct state *state, const struct target *target, const char *typed, struct draft *out,
                         struct err *err)
{
    char name[NAME_TEXT_MAX];
    struct core_roll roll;
    struct core core = target->core;
    struct core alone = {0};
    draft_init(out);
    target_core_name(state, target, name);
    if (core_standing_sections(&core)) { /* the same list again changes nothing; another one is not guessed at */
        const struct field *list = field_find(&core_table, "sections");
        TRY(sections_take(state, typed, &alone, err));
        if (field_is_equal(list, &alone, &core)) {
            char sections[NAME_TEXT_MAX + 20];
            (void)snprintf(sections, sizeof sections, "the sections of %s", name);
            return draft_present(state, out, sections, NULL, err);
        }
        err_set(err, STATUS_EXISTS, name, "this core has sections already (%zu)", core_standing_sections(&core));
        return err_hint(err, "add one more by itself: coretally section add %s-NUMBER LENGTH", name);
    }
    TRY(sections_take(state, typed, &core, err));
    TRY(core_roll_open(state, target->hole_name, &roll, err));
    return core_write(&roll, target, &core, out, err);
}

enum status section_add(struct state *state, const struct target *target, const struct section *section,
                        struct draft *out, struct err *err)
{
    struct core core = target->core;
    char name[NAME_TEXT_MAX];
    draft_init(out);
    const struct section *present = core_section(&core, section->number);
    if (present && record_is_equal(&section_table, section, present))
        return section_present(state, target, present, out, err);
    if (present) {
        target_section_name(state, target, present->number, name);
        err_set(err, STATUS_EXISTS, name, "this section is already recorded, with other values");
        return err_hint(err, "to change it: coretally section amend %s --curated LENGTH --reason ...", name);
    }
    TRY(section_insert(state, &core, section, err));
    out->changed = (struct changed){.part = &section_table, .after = core_section(&core, section->number)};
    return write_section(state, target, &core, out, err);
}

/* The core of the target with its section replaced. */
static enum status replace_section(struct state *state, const struct target *target, const struct section *section,
                                   struct core *out, struct section **replaced, struct err *err)
{
    struct core core = target->core;
    const size_t at = (size_t)(target->section - target->core.sections);
    TRY(arena_take(state->arena, core.section_count, sizeof *core.sections, &core.sections, err));
    memcpy(core.sections, target->core.sections, core.section_count * sizeof *core.sections);
    core.sections[at] = *section;
    core.sections[at].version = section->version ? section->version + 1 : 2;
    *replaced = &core.sections[at];
    *out = core;
    return STATUS_OK;
}

enum status section_amend(struct state *state, const struct target *target, const struct section *changed,
                          struct draft *out, struct err *err)
{
    struct core core;
    struct section *section = NULL;
    draft_init(out);
    if (record_is_equal(&section_table, changed, target->section))
        return section_present(state, target, target->section, out, err);
    TRY(replace_section(state, target, changed, &core, &section, err));
    out->needs_reason = true;
    out->changed = (struct changed){&section_table, target->section, section};
    return write_section(state, target, &core, out, err);
}

enum status section_withdraw(struct state *state, const struct target *target, const char *reason, struct draft *out,
                             struct err *err)
{
    struct core core;
    struct section withdrawn = *target->section;
    struct section *section = NULL;
    draft_init(out);
    withdrawn.withdrawn = reason;
    TRY(replace_section(state, target, &withdrawn, &core, &section, err));
    out->needs_reason = true;
    out->changed = (struct changed){.part = &section_table, .after = section};
    return write_section(state, target, &core, out, err);
}
