/* SPDX-License-Identifier: MIT */
/* From typed names to records; what is not there is refused with what is near. */
#include "coretally/state/resolve.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/state/former.h"
#include "coretally/state/namesake.h"
#include "resolve_short.h"

static enum status resolve_plain(struct state *state, const char *typed, struct name *out, struct err *err)
{
    struct err as_typed = {0};
    bool exists = false;
    const enum status parsed = name_parse(typed, out, &as_typed);
    if (parsed == STATUS_OK)
        TRY(hole_exists(state, out, &exists, err));
    if (exists && state->naming.option) {
        char named[HOLE_TEXT_MAX];
        name_hole(out, named);
        if (name_distance(named, state->naming.option) != 0)
            return err_set(err, STATUS_USAGE, typed, "it names hole %s, and --hole says %s", named,
                           state->naming.option);
    }
    if (exists)
        return STATUS_OK;
    return resolve_short(state, typed, parsed, &as_typed, out, err);
}

/* Parsed, and held against its check character. */
static enum status read_typed(struct state *state, const char *typed, struct label_text *label, struct name *out,
                              struct err *err)
{
    struct label_text text;
    char compact[NAME_TEXT_MAX];
    TRY(label_text_read(typed, &text, err));
    *label = text;
    TRY(resolve_plain(state, text.name, out, err));
    if (!text.check)
        return STATUS_OK;
    struct name full = *out;
    if (!*full.expedition)
        (void)snprintf(full.expedition, sizeof full.expedition, "%s", state->expedition.number);
    name_format(&full, NAME_COMPACT, compact);
    if (label_text_fits(&text, compact))
        return STATUS_OK;
    err_set(err, STATUS_INPUT, typed, "the check character %c does not fit this name: a letter or a digit is mistyped",
            text.check);
    return err_hint(err, "look at the label again; the name may be typed without '*' and its check character, too");
}

enum status resolve_typed_name(struct state *state, const char *typed, struct name *out, struct err *err)
{
    return read_typed(state, typed, &(struct label_text){.copy = 0}, out, err);
}

enum status resolve_name(struct state *state, const char *typed, struct name *out, struct err *err)
{
    struct label_text label;
    struct former former;
    struct name name;
    TRY(read_typed(state, typed, &label, &name, err));
    TRY(former_carry(state, NULL, label.is_symbol ? label.state : NULL, &name, &former, err));
    TRY(former_say(state, typed, &former, err));
    if (name.level == NAME_BAG)
        TRY(namesake_carry_bag(state, label.is_symbol ? label.state : NULL, typed, &name, err));
    *out = name;
    return STATUS_OK;
}

static enum status unknown_hole(struct state *state, const char *hole, struct err *err)
{
    struct names holes = {0};
    TRY(state_holes(state, &holes, err));
    const char *nearest = NULL;
    int best = 4; /* more slips than this is another word */
    for (size_t at = 0; at < holes.count; at++) {
        const int distance = name_distance(hole, holes.items[at]);
        if (distance < best) {
            best = distance;
            nearest = holes.items[at];
        }
    }
    if (nearest) {
        err_set(err, STATUS_UNKNOWN, hole, "unknown hole %s, did you mean %s?", hole, nearest);
        return err_hint(err, "holes are listed by: coretally hole list");
    }
    err_set(err, STATUS_UNKNOWN, hole, holes.count ? "unknown hole %s" : "no hole is recorded yet, so not %s", hole);
    return err_hint(
        err, holes.count ? "holes are listed by: coretally hole list" : "coretally hole add %s --returns seafloor",
        hole);
}

enum status resolve_hole(struct state *state, const struct name *name, struct target *out, struct err *err)
{
    bool there = false;
    out->name = *name;
    name_hole(name, out->hole_name);
    if (*name->expedition && strcmp(name->expedition, state->expedition.number) != 0) {
        err_set(err, STATUS_UNKNOWN, name->expedition, "this registry belongs to expedition %s",
                state->expedition.number);
        return err_hint(err, "leave the number out, or name another registry with --registry");
    }
    TRY(state_hole(state, out->hole_name, &out->hole, &there, err));
    return there ? STATUS_OK : unknown_hole(state, out->hole_name, err);
}

enum status resolve_core(struct state *state, struct target *target, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char typed[NAME_TEXT_MAX];
    bool there = false;
    core_path(target->hole_name, target->name.core, path);
    TRY(state_read(state, path, &core_table, &target->core, &there, err));
    target_core_name(state, target, typed);
    if (!there || target->core.type != target->name.type)
        TRY(former_refuse(state, typed, &target->name, err));
    if (!there) {
        int32_t *numbers = NULL;
        size_t count = 0;
        TRY(state_cores(state, target->hole_name, &numbers, &count, err));
        err_set(err, STATUS_UNKNOWN, typed, "hole %s has no core %d", target->hole_name, (int)target->name.core);
        if (count)
            return err_hint(err, "its cores run from %d to %d: coretally core list %s", (int)numbers[0],
                            (int)numbers[count - 1], target->hole_name);
        return err_hint(err, "none is recorded yet: coretally core add %s TOP BOTTOM", typed);
    }
    if (target->core.type != target->name.type) {
        err_set(err, STATUS_UNKNOWN, typed, "core %d of hole %s is %d%c, not %d%c", (int)target->core.number,
                target->hole_name, (int)target->core.number, target->core.type, (int)target->core.number,
                target->name.type);
        return err_hint(err, "type %d%c", (int)target->core.number, target->core.type);
    }
    return STATUS_OK;
}

enum status resolve_letter(struct state *state, const struct target *hole, struct core_word typed, struct err *err)
{
    struct target target = *hole;
    char path[REGISTRY_PATH_MAX];
    struct bytes bytes = {0};
    core_path(hole->hole_name, typed.number, path);
    TRY(state_bytes(state, path, &bytes, err));
    if (!typed.type || !bytes.data)
        return STATUS_OK;
    target.name.level = NAME_CORE;
    target.name.core = typed.number;
    target.name.type = typed.type;
    return resolve_core(state, &target, err);
}

static enum status resolve_section(struct state *state, struct target *target, struct err *err)
{
    target->section = core_section(&target->core, target->name.section);
    if (target->section)
        return STATUS_OK;
    char typed[NAME_TEXT_MAX];
    char label[SECTION_TEXT_MAX];
    struct text known;
    struct bytes bytes;
    text_init(&known, state->arena);
    for (size_t at = 0; at < target->core.section_count; at++) {
        if (target->core.sections[at].withdrawn)
            continue;
        section_format(target->core.sections[at].number, label);
        text_addf(&known, "%s%s", known.len ? ", " : "", label);
    }
    TRY(text_done(&known, &bytes, err));
    section_format(target->name.section, label);
    target_core_name(state, target, typed);
    err_set(err, STATUS_UNKNOWN, typed, "this core has no section %s", label);
    if (core_recovered(&target->core) == 0)
        return err_hint(err, "this barrel came up empty; look at the core number");
    return bytes.len ? err_hint(err, "it has: %s", bytes.data)
                     : err_hint(err, "none is recorded yet: coretally section add %s-%s LENGTH", typed, label);
}

static enum status read_samples(struct state *state, struct target *target, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    samples_path(target->hole_name, target->core.number, path);
    TRY(state_read(state, path, &sample_set_table, &target->samples, &target->has_samples, err));
    target->samples.hole = target->core.hole;
    target->samples.core = target->core.number;
    target->sample = target->samples.sample_count;
    return STATUS_OK;
}

/* An interval upside down is the name of a recorded sample, or a slip. */
static enum status check_order(const struct target *target, const char *typed, struct err *err)
{
    const struct sample_set *set = &target->samples;
    char key[SAMPLE_KEY_MAX];
    if (target->name.level != NAME_SAMPLE)
        return STATUS_OK;
    name_sample_key(&target->name, key);
    if (sample_find(set->samples, set->sample_count, key) || sample_find_former(set->samples, set->sample_count, key))
        return STATUS_OK;
    return name_check_order(&target->name, typed, err);
}

static enum status resolve_sample(struct state *state, struct target *target, const char *as_typed, struct err *err)
{
    char typed[NAME_TEXT_MAX];
    const struct sample_set *set = &target->samples;
    const struct sample *found = NULL;
    struct namesake namesake;
    TRY(namesake_find_sample(state, as_typed, target, &found, &namesake, err));
    name_format(&target->name, NAME_PRINTED, typed);
    if (!found) {
        char section[NAME_TEXT_MAX];
        err_set(err, STATUS_UNKNOWN, typed, "no such sample is recorded");
        target_section_name(state, target, target->name.section, section);
        return err_hint(err, "its section's samples: coretally sample list %s", section);
    }
    if (namesake.what == NAMESAKE_CARRIED && !*namesake.commit) {
        char key[SAMPLE_KEY_MAX];
        sample_key(found, key);
        state_tell(state, "note: %s was amended and is now %s\n", typed, key);
    }
    target->sample = (size_t)(found - set->samples);
    return STATUS_OK;
}

enum status resolve_level(const char *typed, const struct name *name, enum name_level least, enum name_level most,
                          struct err *err)
{
    static const char *const words[] = {"a hole", "a core", "a section", "a place in a section", "a sample", "a bag"};
    static const char *const shown[] = {
        "U0012A", "U0012A-12H", "U0012A-12H-3", "U0012A-12H-3, 45 cm", "U0012A-12H-3W, 45-47 cm", "U0013A-BAG12"};
    if (name->level >= least && name->level <= most)
        return STATUS_OK;
    const enum name_level want = name->level < least ? least : most;
    err_set(err, STATUS_INPUT, typed, "this names %s; %s is wanted here", words[name->level], words[want]);
    return name->level == NAME_BAG && want != NAME_BAG
               ? err_hint(err, "its depth: coretally depth --scale all %s; step by step: coretally explain %s", typed,
                          typed)
               : err_hint(err, "for example %s", shown[want]);
}

/* A sample is found also where another side withdrew its section: it is to be moved, or withdrawn. */
static enum status resolve_in_core(struct state *state, struct target *target, const char *typed, bool is_sample,
                                   struct err *err)
{
    TRY(read_samples(state, target, err));
    if (is_sample && !core_section(&target->core, target->name.section)) {
        char key[SAMPLE_KEY_MAX];
        name_sample_key(&target->name, key);
        if (sample_find(target->samples.samples, target->samples.sample_count, key))
            return STATUS_OK;
    }
    TRY(resolve_section(state, target, err));
    return check_order(target, typed, err);
}

enum status resolve_named(struct state *state, const char *typed, const struct name *name, enum name_level least,
                          struct target *out, struct err *err)
{
    struct target target = {0};
    const bool is_sample = name->level == NAME_SAMPLE && least == NAME_SAMPLE;
    TRY(resolve_hole(state, name, &target, err));
    if (target.name.level >= NAME_CORE && target.name.level != NAME_BAG)
        TRY(resolve_core(state, &target, err));
    if (target.name.level >= NAME_SECTION && target.name.level != NAME_BAG)
        TRY(resolve_in_core(state, &target, typed, is_sample, err));
    if (is_sample)
        TRY(resolve_sample(state, &target, typed, err));
    *out = target;
    return STATUS_OK;
}

enum status resolve(struct state *state, const char *typed, enum name_level least, enum name_level most,
                    struct target *out, struct err *err)
{
    struct name name;
    TRY(resolve_name(state, typed, &name, err));
    TRY(resolve_level(typed, &name, least, most, err));
    return resolve_named(state, typed, &name, least, out, err);
}

static struct name base_name(const struct state *state, const struct target *target, enum name_level level)
{
    struct name name = target->name;
    (void)snprintf(name.expedition, sizeof name.expedition, "%s", state->expedition.number);
    name.level = level;
    name.half = HALF_NONE;
    name.ordinal = 1;
    name.sub_count = 0;
    return name;
}

void target_core_name(const struct state *state, const struct target *target, char out[NAME_TEXT_MAX])
{
    const struct name name = base_name(state, target, NAME_CORE);
    name_format(&name, NAME_PRINTED, out);
}

void target_section_name(const struct state *state, const struct target *target, int32_t section,
                         char out[NAME_TEXT_MAX])
{
    struct name name = base_name(state, target, NAME_SECTION);
    name.section = section;
    name_format(&name, NAME_PRINTED, out);
}

void target_sample_name(const struct state *state, const struct target *target, const struct sample *sample,
                        char out[NAME_TEXT_MAX])
{
    struct name name = base_name(state, target, NAME_SAMPLE);
    name_set_sample(&name, sample);
    name_format(&name, NAME_PRINTED, out);
}
