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
    if (!sample_may_differ(set, key))
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

/* Labels of a file of bags that show a number from this one on. */
static enum status add_labels(struct state *state, const struct things *things, int32_t hundred, int32_t from,
                              struct label_list *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct label_set *set = NULL;
    bool there = false;
    bag_labels_path(things->target.hole_name, things->bags.kind, hundred, path);
    TRY(arena_take(state->arena, 1, sizeof *set, &set, err));
    TRY(state_read(state, path, &label_set_table, set, &there, err));
    for (size_t at = 0; at < set->label_count; at++) {
        struct name name;
        struct err unread = {0};
        if (name_parse(set->labels[at].name, &name, &unread) != STATUS_OK || name.bag_number < from)
            continue;
        TRY(arena_grow(state->arena, &out->items, out->count, &out->room, sizeof(void *), err));
        out->items[out->count++] = &set->labels[at];
    }
    return STATUS_OK;
}

/* What a bag was called lies between the number that it was recorded under and the one that it has: of several joins
 * each may have given it another one. Two bags may have been recorded under one. */
enum status label_further(struct state *state, const struct things *things, struct label_list *out, struct err *err)
{
    const int32_t own = things->bags.hundred;
    int32_t from = INT32_MAX;
    for (size_t at = 0; at < things->bags.bag_count; at++) {
        const int32_t former = minted_number(things->bags.bags[at].was);
        if (former && former < from && bag_hundred(former) != own)
            from = former;
    }
    for (int32_t hundred = bag_hundred(from); from < INT32_MAX && hundred < own; hundred++)
        TRY(add_labels(state, things, hundred, from, out, err));
    return STATUS_OK;
}
