/* SPDX-License-Identifier: MIT */
/* A core or a file of bags as things that carry labels, each label with its thing. */
#include "coretally/ask/label_things.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/state/span.h"
#include "label_namesake.h"

const char *const thing_words[] = {"core", "section", "sample", "bag", "gone", NULL};

/* A thing more, with its name. */
static enum status add_thing(struct state *state, struct things *things, size_t *room, const struct name *name,
                             struct thing thing, struct err *err)
{
    struct name full = *name;
    char compact[NAME_TEXT_MAX];
    (void)snprintf(full.expedition, sizeof full.expedition, "%s", state->expedition.number);
    name_format(&full, NAME_COMPACT, compact);
    TRY(arena_copy(state->arena, compact, strlen(compact), &thing.name, err));
    TRY(arena_grow(state->arena, &things->items, things->count, room, sizeof thing, err));
    things->items[things->count++] = thing;
    return STATUS_OK;
}

static enum status add_sections(struct state *state, struct things *things, size_t *room, struct err *err)
{
    const struct core *core = &things->target.core;
    for (size_t at = 0; at < core->section_count; at++)
        for (enum half half = HALF_WORKING; half <= HALF_ARCHIVE; half++) {
            struct name name = things->target.name;
            if (core->sections[at].withdrawn)
                break;
            name.level = NAME_SECTION;
            name.section = core->sections[at].number;
            name.half = half;
            TRY(add_thing(state, things, room, &name,
                          (struct thing){.kind = THING_SECTION, .section = &core->sections[at], .half = half}, err));
        }
    return STATUS_OK;
}

/* Standing things of a core, in the order in which they lie on the table. */
static enum status add_core_things(struct state *state, struct things *things, size_t *room, struct err *err)
{
    const struct core *core = &things->target.core;
    const struct sample_set *set = &things->target.samples;
    if (core->withdrawn || core_recovered(core) == 0)
        return STATUS_OK;
    TRY(add_thing(state, things, room, &things->target.name, (struct thing){.kind = THING_CORE}, err));
    TRY(add_sections(state, things, room, err));
    for (size_t at = 0; at < set->sample_count; at++) {
        struct name name = things->target.name;
        const struct section *section = core_section(core, set->samples[at].section);
        if (set->samples[at].withdrawn || !section)
            continue;
        name.level = NAME_SAMPLE;
        name_set_sample(&name, &set->samples[at]);
        TRY(add_thing(state, things, room, &name,
                      (struct thing){.kind = THING_SAMPLE, .section = section, .sample = &set->samples[at]}, err));
    }
    return STATUS_OK;
}

static int by_name(const void *a, const void *b)
{
    return strcmp((*(const struct thing *const *)a)->name, (*(const struct thing *const *)b)->name);
}

/* Why what a label names is no more. */
static enum status find_gone(struct state *state, const struct things *things, const char *label, const char **out,
                             struct err *err)
{
    const struct sample_set *set = &things->target.samples;
    struct name name;
    struct err unread;
    char key[SAMPLE_KEY_MAX];
    *out = things->target.core.withdrawn ? "its core is withdrawn" : "it is withdrawn";
    if (name_parse(label, &name, &unread) != STATUS_OK)
        *out = "its name cannot be read";
    else if (strcmp(name.expedition, state->expedition.number) != 0)
        *out = "its label names another expedition";
    else if (name.level == NAME_SAMPLE) {
        name_sample_key(&name, key);
        const struct sample *now = sample_find_former(set->samples, set->sample_count, key);
        if (!sample_find(set->samples, set->sample_count, key) && now) {
            struct text text;
            struct bytes bytes;
            sample_key(now, key);
            text_init(&text, state->arena);
            text_addf(&text, "it is now %s", key);
            TRY(text_done(&text, &bytes, err));
            *out = bytes.data;
        }
    }
    return STATUS_OK;
}

/* The thing of a name among the standing ones, sorted, or among those gone so far, which are last; count: none. */
static size_t find_thing(const struct things *things, struct thing *const *sorted, size_t standing, const char *name)
{
    const struct thing wanted = {.name = name};
    const struct thing *const key = &wanted;
    struct thing *const *found = standing ? bsearch(&key, sorted, standing, sizeof(void *), by_name) : NULL;
    size_t at = found ? (size_t)(*found - things->items) : standing;
    while (!found && at < things->count && strcmp(things->items[at].name, name) != 0)
        at++;
    return at;
}

/* From the newest label back: the first of a thing on a scale is its newest. */
static enum status mark_newest(struct state *state, struct things *things, struct err *err)
{
    uint32_t *seen = NULL; /* a bit a scale */
    TRY(arena_take(state->arena, things->count, sizeof *seen, &seen, err));
    for (size_t at = things->held_count; at-- > 0;) {
        struct held_label *held = &things->held[at];
        const uint32_t bit = UINT32_C(1) << scale_find(held->label->scale);
        held->is_newest = !(seen[held->thing] & bit);
        seen[held->thing] |= bit;
    }
    return STATUS_OK;
}

/* What the thing of a label is called today: its core may have had another name when it was printed. */
static enum status name_today(struct state *state, const struct things *things, const char *label, const char **out,
                              struct err *err)
{
    const struct core *core = &things->target.core;
    struct name name;
    struct err unread;
    char text[NAME_TEXT_MAX];
    *out = label;
    if (!things->labels.core || !core->was || name_parse(label, &name, &unread) != STATUS_OK)
        return STATUS_OK;
    name.core = core->number;
    name.type = core->type;
    name_format(&name, NAME_COMPACT, text);
    return strcmp(text, label) == 0 ? STATUS_OK : arena_copy(state->arena, text, strlen(text), out, err);
}

/* A label of things, with what its thing is called today. */
static enum status hold_label(struct state *state, struct things *things, const struct label *label, size_t standing,
                              struct thing *const *sorted, struct then *then, struct err *err)
{
    const char *name = NULL;
    bool is_elsewhere = false;
    TRY(name_today(state, things, label->name, &name, err));
    TRY(label_namesake(state, things, label, then, &name, &is_elsewhere, err));
    if (is_elsewhere)
        return STATUS_OK;
    const size_t thing = find_thing(things, sorted, standing, name);
    if (thing == things->count) {
        things->items[things->count++] = (struct thing){.kind = THING_GONE, .name = name};
        TRY(find_gone(state, things, name, &things->items[thing].gone, err));
    }
    things->items[thing].copies++;
    things->held[things->held_count++] = (struct held_label){.label = label, .thing = thing};
    return STATUS_OK;
}

static enum status hold_labels(struct state *state, struct things *things, const struct label_list *further,
                               struct thing *const *sorted, struct then *then, struct err *err)
{
    const size_t standing = things->count;
    for (size_t at = 0; at < further->count; at++) /* printed before those under the name of now */
        TRY(hold_label(state, things, further->items[at], standing, sorted, then, err));
    for (size_t at = 0; at < things->labels.label_count; at++)
        TRY(hold_label(state, things, &things->labels.labels[at], standing, sorted, then, err));
    return mark_newest(state, things, err);
}

/* Each label with its thing; things gone of which one was printed are added. */
static enum status match_labels(struct state *state, struct things *things, struct err *err)
{
    const size_t standing = things->count;
    struct thing *items = NULL;
    struct thing **sorted = NULL;
    struct label_list further = {.count = 0};
    struct then then = {.store = NULL};
    TRY(label_further(state, things, &further, err));
    const size_t label_count = things->labels.label_count + further.count;
    TRY(arena_take(state->arena, standing + label_count, sizeof *items, &items, err)); /* none of them moves any more */
    if (standing)
        memcpy(items, things->items, standing * sizeof *items);
    things->items = items;
    TRY(arena_take(state->arena, standing, sizeof(void *), &sorted, err));
    for (size_t at = 0; at < standing; at++)
        sorted[at] = &items[at];
    if (standing)
        qsort(sorted, standing, sizeof(void *), by_name);
    TRY(arena_take(state->arena, label_count, sizeof *things->held, &things->held, err));
    const enum status status = hold_labels(state, things, &further, sorted, &then, err);
    then_close(&then);
    return status;
}

/* The core of this name is, or was, the one whose labels these are. */
static bool is_core_named(const struct core *core, int32_t number, const struct name *name)
{
    char id[CORE_ID_MAX];
    core_id_format((struct core_id){name->core, name->type}, id);
    return name->level >= NAME_CORE && name->level != NAME_BAG &&
           (name->core == number || (core->was && sample_list_has(core->was, id)));
}

/* A label of something else in this file, or half a depth: damage that no label of ours has. */
static enum status check_labels(const struct things *things, struct err *err)
{
    for (size_t at = 0; at < things->labels.label_count; at++) {
        const struct label *label = &things->labels.labels[at];
        struct name name;
        struct err unread = {0};
        char hole[HOLE_TEXT_MAX] = "";
        if (name_parse(label->name, &name, &unread) == STATUS_OK)
            name_hole(&name, hole);
        const bool is_own = things->labels.core ? is_core_named(&things->target.core, things->labels.core, &name)
                                                : name.level == NAME_BAG && name.bag == things->labels.kind;
        if (strcmp(hole, things->labels.hole) != 0 || !is_own)
            return err_set(err, STATUS_DAMAGED, things->path, "the label of '%.80s' does not belong here", label->name);
        if ((label->top_um == LENGTH_NONE) != (label->bottom_um == LENGTH_NONE))
            return err_set(err, STATUS_DAMAGED, things->path, "the label of '%.80s' shows half a depth", label->name);
    }
    return STATUS_OK;
}

static enum status read_labels(struct state *state, struct things *things, struct err *err)
{
    bool there = false;
    TRY(state_read(state, things->path, &label_set_table, &things->labels, &there, err));
    TRY(check_labels(things, err));
    return match_labels(state, things, err);
}

enum status things_of_core(struct state *state, const struct target *hole, int32_t number, struct things *things,
                           bool *there, struct err *err)
{
    struct target *target = &things->target;
    *things = (struct things){.target = *hole};
    char path[REGISTRY_PATH_MAX];
    size_t room = 0;
    core_path(target->hole_name, number, path);
    TRY(state_read(state, path, &core_table, &target->core, there, err));
    if (!*there)
        return STATUS_OK;
    samples_path(target->hole_name, number, path);
    TRY(state_read(state, path, &sample_set_table, &target->samples, &target->has_samples, err));
    target->sample = target->samples.sample_count;
    target->name.level = NAME_CORE;
    target->name.core = number;
    target->name.type = target->core.type;
    target->name.ordinal = 1;
    core_labels_path(target->hole_name, number, things->path);
    TRY(add_core_things(state, things, &room, err));
    TRY(read_labels(state, things, err));
    if (!things->labels.hole)
        things->labels.hole = target->core.hole;
    things->labels.core = number;
    return STATUS_OK;
}

enum status things_of_bags(struct state *state, const struct target *target, enum bag_kind kind, int32_t hundred,
                           struct lag_hole *lag, struct things *things, struct err *err)
{
    *things = (struct things){.target = *target, .lag = lag};
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    size_t room = 0;
    bags_path(things->target.hole_name, kind, hundred, path);
    TRY(state_read(state, path, &bag_set_table, &things->bags, &there, err));
    things->bags.kind = kind;
    things->bags.hundred = hundred;
    bag_labels_path(things->target.hole_name, kind, hundred, things->path);
    for (size_t at = 0; at < things->bags.bag_count; at++) {
        struct name name = things->target.name;
        if (things->bags.bags[at].withdrawn)
            continue;
        name.level = NAME_BAG;
        name.bag = kind;
        name.bag_number = things->bags.bags[at].number;
        TRY(add_thing(state, things, &room, &name, (struct thing){.kind = THING_BAG, .bag = &things->bags.bags[at]},
                      err));
    }
    TRY(read_labels(state, things, err));
    if (!things->labels.hole)
        things->labels.hole = things->bags.hole;
    things->labels.kind = kind;
    things->labels.hundred = hundred;
    return STATUS_OK;
}
