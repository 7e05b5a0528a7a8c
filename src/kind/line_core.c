/* SPDX-License-Identifier: MIT */
/* Lines of cores and of what is in them. */
#include <string.h>

#include "coretally/domain/recovery.h"
#include "coretally/state/read.h"
#include "line.h"

/* The name of something in a hole, of the expedition as it was then. */
static void begin_name(const struct deed *deed, const char *hole, enum name_level level, struct name *out)
{
    struct err ignored = {0};
    if (name_parse(hole, out, &ignored) != STATUS_OK)
        *out = (struct name){.ordinal = 1};
    (void)snprintf(out->expedition, sizeof out->expedition, "%s",
                   deed->state->expedition.number ? deed->state->expedition.number : "");
    out->level = level;
    out->half = HALF_NONE;
    out->ordinal = 1;
}

/* As the core is called where something is said of it. */
static void put_core(const struct deed *deed, struct core_id core, struct name *out)
{
    const struct core_id called = deed->called.number ? deed->called : core;
    out->core = called.number;
    out->type = called.type;
}

static void core_name(const struct deed *deed, const char *hole, struct core_id core, char out[NAME_TEXT_MAX])
{
    struct name name;
    begin_name(deed, hole, NAME_CORE, &name);
    put_core(deed, core, &name);
    name_format(&name, NAME_PRINTED, out);
}

/* "Core 901-U0012A-12H: 105.200-114.700 m below seafloor, recovered 9.430 m (99.3 %), 7 sections". */
void line_add_core(const struct deed *deed, const struct core *core, const char *what, struct text *out)
{
    char name[NAME_TEXT_MAX];
    char percent[RECOVERY_TEXT_MAX];
    const int64_t bottom_um = core_bottom(core);
    const int64_t recovered_um = core_recovered(core);
    core_name(deed, core->hole, (struct core_id){core->number, core->type}, name);
    text_addf(out, "Core %s%s: %s", name, what, length_text(core->top_um, UNIT_M, 3).text);
    text_addf(out, "-%s m below %s", bottom_um == LENGTH_NONE ? "?" : length_text(bottom_um, UNIT_M, 3).text,
              core->datum == DATUM_SEAFLOOR ? "seafloor" : "rig floor");
    if (recovered_um == 0)
        text_add(out, ", empty barrel");
    else if (recovered_um != LENGTH_NONE) {
        recovery_format(recovered_um, core_advance(core), 1, percent);
        text_addf(out, ", recovered %s m (%s%s)", length_text(recovered_um, UNIT_M, 3).text,
                  core_is_wide(core) ? "wide interval" : percent,
                  core_is_wide(core) || strcmp(percent, "n/a") == 0 ? "" : " %");
    }
    const size_t sections = core_standing_sections(core);
    if (sections)
        text_addf(out, ", %zu section%s", sections, sections > 1 ? "s" : "");
}

void line_add_section(const struct deed *deed, const struct core *core, const struct section *section, const char *what,
                      struct text *out)
{
    struct name name;
    char text[NAME_TEXT_MAX];
    const int64_t length_um = section_curated(section);
    begin_name(deed, core->hole, NAME_SECTION, &name);
    put_core(deed, (struct core_id){core->number, core->type}, &name);
    name.section = section->number;
    name_format(&name, NAME_PRINTED, text);
    text_addf(out, "Section %s%s", text, what);
    if (length_um != LENGTH_NONE)
        text_addf(out, ": curated %s m", length_text(length_um, UNIT_M, 3).text);
}

enum status line_add_sample(const struct deed *deed, const struct touch *touch, const char *what, struct text *out,
                            struct err *err)
{
    const struct sample *sample = touch->newer;
    char path[REGISTRY_PATH_MAX];
    char text[NAME_TEXT_MAX];
    struct core core;
    struct name name;
    bool there = false;
    core_path(touch->place.hole, touch->place.number, path);
    TRY(state_read(deed->state, path, &core_table, &core, &there, err));
    if (!there)
        core.type = '?';
    begin_name(deed, touch->place.hole, NAME_SAMPLE, &name);
    put_core(deed, (struct core_id){touch->place.number, core.type}, &name);
    name_set_sample(&name, sample);
    name_format(&name, NAME_PRINTED, text);
    text_addf(out, "Sample %s%s", text, what);
    if (sample->purpose)
        text_addf(out, " for %s", sample->purpose);
    if (sample->requester)
        text_addf(out, " (%s)", sample->requester);
    return STATUS_OK;
}

/* The core as it was, with what it has under its number. */
static enum status read_renamed(const struct deed *deed, const char *hole, int32_t number, size_t counts[3],
                                struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct core core;
    struct sample_set samples;
    struct label_set labels;
    bool there = false;
    core_path(hole, number, path);
    TRY(state_read(deed->state, path, &core_table, &core, &there, err));
    counts[0] = there ? core_standing_sections(&core) : 0;
    samples_path(hole, number, path);
    TRY(state_read(deed->state, path, &sample_set_table, &samples, &there, err));
    counts[1] = samples.sample_count;
    core_labels_path(hole, number, path);
    TRY(state_read(deed->state, path, &label_set_table, &labels, &there, err));
    counts[2] = labels.label_count;
    return STATUS_OK;
}

enum status line_add_renaming(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err)
{
    static const char *const nouns[] = {"section", "sample", "label"};
    const struct renaming *it = touch->newer;
    struct core_id ids[2] = {{0, '?'}, {0, '?'}};
    char names[2][NAME_TEXT_MAX];
    size_t counts[3] = {0};
    bool any = false;
    (void)core_id_parse(it->from, strlen(it->from), &ids[0]);
    (void)core_id_parse(it->to, strlen(it->to), &ids[1]);
    for (int side = 0; side < 2; side++)
        core_name(deed, touch->place.hole, ids[side], names[side]);
    text_addf(out, "Core %s amended: it is %s now", names[0], names[1]);
    TRY(read_renamed(deed, touch->place.hole, ids[0].number, counts, err));
    for (size_t at = 0; at < sizeof counts / sizeof counts[0]; at++) {
        if (!counts[at])
            continue;
        text_addf(out, "%s %zu %s%s", any ? "," : ", with", counts[at], nouns[at], counts[at] > 1 ? "s" : "");
        any = true;
    }
    return STATUS_OK;
}

void line_add_bag(const struct deed *deed, const struct place_known *place, const struct bag *bag, const char *what,
                  struct text *out)
{
    static const char *const kind_words[] = {[BAG_CUTTINGS] = "Cuttings", [BAG_GAS] = "Gas", [BAG_MUD] = "Mud"};
    struct name name;
    char text[NAME_TEXT_MAX];
    char from[INSTANT_TEXT_MAX];
    char to[INSTANT_TEXT_MAX];
    begin_name(deed, place->hole, NAME_BAG, &name);
    name.bag = place->bag;
    name.bag_number = bag->number;
    name_format(&name, NAME_PRINTED, text);
    instant_format(bag->from, from);
    instant_format(bag->to, to);
    text_addf(out, "%s %s%s: %s%s%s", kind_words[place->bag], text, what, from, bag->to.known ? " to " : "",
              bag->to.known ? to : "");
    if (bag->lithology)
        text_addf(out, ", %s", bag->lithology);
}
