/* SPDX-License-Identifier: MIT */
/* Which thing a label is of, where a join gave its name to another thing. */
#include "label_namesake.h"

#include <string.h>

/* As labels have it. */
static enum status compact(struct state *state, const struct name *name, const char **out, struct err *err)
{
    char text[NAME_TEXT_MAX];
    name_format(name, NAME_COMPACT, text);
    return arena_copy(state->arena, text, strlen(text), out, err);
}

static enum status find_sample(struct state *state, const struct things *things, const struct label *label,
                               struct then *then, struct name *name, const char **out, struct err *err)
{
    const struct sample_set *set = &things->target.samples;
    const struct sample *sample = NULL;
    struct namesake namesake;
    char key[SAMPLE_KEY_MAX];
    name_sample_key(name, key);
    const struct sample *present = sample_find(set->samples, set->sample_count, key);
    bool is_minted = false; /* what only amendments changed is as it was */
    for (size_t at = 0; at < set->sample_count && !is_minted; at++)
        is_minted = set->samples[at].was && strchr(set->samples[at].was, '@');
    if (!is_minted || !sample_has_namesake(set, present, key))
        return STATUS_OK;
    TRY(namesake_sample(state, &things->target, label->state, then, key, &sample, &namesake, err));
    if (!sample || !namesake.is_certain || namesake.what != NAMESAKE_CARRIED)
        return STATUS_OK;
    name_set_sample(name, sample);
    return compact(state, name, out, err);
}

static enum status find_bag(struct state *state, const struct things *things, const struct label *label,
                            struct then *then, struct name *name, const char **out, bool *is_elsewhere, struct err *err)
{
    const struct minted_group group = {.hole = things->target.hole_name, .kind = name->bag};
    struct namesake namesake;
    TRY(namesake_number(state, &group, label->state, then, name->bag_number, &namesake, err));
    if (namesake.is_certain)
        name->bag_number = namesake.number;
    *is_elsewhere = things->bags.hundred && bag_hundred(name->bag_number) != things->bags.hundred;
    return namesake.is_certain && namesake.what == NAMESAKE_CARRIED ? compact(state, name, out, err) : STATUS_OK;
}

enum status label_namesake(struct state *state, const struct things *things, const struct label *label,
                           struct then *then, const char **name, bool *is_elsewhere, struct err *err)
{
    struct name parsed;
    struct err unread = {0};
    *is_elsewhere = false;
    if (name_parse(*name, &parsed, &unread) != STATUS_OK)
        return STATUS_OK;
    if (parsed.level == NAME_SAMPLE)
        return find_sample(state, things, label, then, &parsed, name, err);
    if (parsed.level == NAME_BAG)
        return find_bag(state, things, label, then, &parsed, name, is_elsewhere, err);
    return STATUS_OK;
}

static enum status add_labels(struct state *state, const struct things *things, int32_t number, struct label_list *out,
                              struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct label_set *set = NULL;
    bool there = false;
    bag_labels_path(things->target.hole_name, things->bags.kind, bag_hundred(number), path);
    TRY(arena_take(state->arena, 1, sizeof *set, &set, err));
    TRY(state_read(state, path, &label_set_table, set, &there, err));
    for (size_t at = 0; at < set->label_count; at++) {
        struct name name;
        struct err unread = {0};
        if (name_parse(set->labels[at].name, &name, &unread) != STATUS_OK || name.bag_number != number)
            continue;
        TRY(arena_grow(state->arena, &out->items, out->count, &out->room, sizeof(void *), err));
        out->items[out->count++] = &set->labels[at];
    }
    return STATUS_OK;
}

enum status label_further(struct state *state, const struct things *things, struct label_list *out, struct err *err)
{
    for (size_t at = 0; at < things->bags.bag_count; at++) {
        const int32_t former = minted_number(things->bags.bags[at].was);
        if (former && bag_hundred(former) != bag_hundred(things->bags.bags[at].number))
            TRY(add_labels(state, things, former, out, err));
    }
    return STATUS_OK;
}
