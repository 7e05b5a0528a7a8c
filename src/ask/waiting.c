/* SPDX-License-Identifier: MIT */
/* What of a hole waits for somebody, beside what is open. */
#include "coretally/ask/waiting.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/ask/kept.h"
#include "coretally/domain/minted.h"
#include "coretally/domain/rule.h"
#include "coretally/state/log.h"
#include "coretally/store/merge.h"

struct walk {
    struct state *state;
    const struct target *hole;
    struct waiting_list *out;
};

/* What the rule of this word says of a record, with what may be typed. */
static enum status add_rule(struct walk *walk, const char *path, const char *item, const char *word,
                            const char *sentence, struct err *err)
{
    struct open_point point;
    struct waiting it = {.kind = WAITING_RULE};
    struct text text;
    struct bytes bytes;
    TRY(open_point_of(walk->state, path, item, &point, err));
    text_init(&text, walk->state->arena);
    text_addf(&text, "%s: %s", word, sentence);
    TRY(text_done(&text, &bytes, err));
    it.thing = point.thing;
    it.sentence = bytes.data;
    TRY(waiting_ways(walk->state, &point, word, &it, err));
    return waiting_add(&it, walk->out, err);
}

/* One command and no more. */
static enum status add_one(struct walk *walk, struct waiting it, struct way way, struct err *err)
{
    it.ways[0] = way;
    it.way_count = 1;
    return waiting_add(&it, walk->out, err);
}

/* --- doubts of cores --- */

static enum status add_doubts(struct walk *walk, struct err *err)
{
    struct kept kept = {.count = 0};
    char path[REGISTRY_PATH_MAX];
    TRY(kept_by_nobody(walk->state, walk->hole, &kept, err));
    for (size_t at = 0; at < kept.count; at++) {
        const struct kept_doubt *doubt = &kept.items[at];
        core_path(walk->hole->hole_name, doubt->core, path);
        TRY(add_rule(walk, path, NULL, doubt->word, doubt->sentence, err));
    }
    return STATUS_OK;
}

/* --- bags --- */

struct bag_walk {
    struct walk *walk;
    struct bag_set set;  /* looked at */
    const int64_t *days; /* of the pump log */
    size_t day_count;
    bool is_pumped; /* the hole has pumps, so a depth is wanted */
    size_t without; /* bags without a log */
    struct text first;
};

static void name_bag(const struct walk *walk, const struct bag_set *set, const struct bag *bag, char out[NAME_TEXT_MAX])
{
    struct name name = walk->hole->name;
    name.expedition[0] = '\0';
    name.level = NAME_BAG;
    name.bag = set->kind;
    name.bag_number = bag->number;
    name_format(&name, NAME_COMPACT, out);
}

static bool is_marked(const struct bag *bag)
{
    return bag->doubt && sample_list_has(bag->doubt, rule_word(RULE_BAG_OVERLAP));
}

/* Two windows that overlap, and neither was kept so: each came without knowing of the other. */
static enum status add_overlaps(struct bag_walk *bags, const struct bag *bag, struct err *err)
{
    struct walk *walk = bags->walk;
    for (const struct bag *other = bags->set.bags; other < bag; other++) {
        struct findings findings = {0};
        char path[REGISTRY_PATH_MAX];
        char item[16];
        if (is_marked(bag) || is_marked(other))
            continue;
        bag_check(bag, other, 1, INT64_MAX, &findings);
        for (size_t at = 0; at < findings.count; at++) {
            if (findings.items[at].rule != RULE_BAG_OVERLAP)
                continue;
            bags_path(walk->hole->hole_name, bags->set.kind, bag_hundred(bag->number), path);
            (void)snprintf(item, sizeof item, "%d", (int)bag->number);
            TRY(add_rule(walk, path, item, rule_word(RULE_BAG_OVERLAP), findings.items[at].text, err));
        }
    }
    return STATUS_OK;
}

static void look_for_log(struct bag_walk *bags, const struct bag *bag)
{
    char typed[NAME_TEXT_MAX];
    const int64_t day = log_day_of(bag->from.utc_us);
    for (size_t at = 0; at < bags->day_count; at++)
        if (bags->days[at] == day)
            return;
    if (!bags->is_pumped)
        return;
    name_bag(bags->walk, &bags->set, bag, typed);
    if (bags->without++ < 3)
        text_addf(&bags->first, "%s%s", bags->first.len ? ", " : "", typed);
}

/* --- numbers that another thing has now --- */

/* Labels printed of a thing under its former number, and whether any shows the present one. A label is of this thing
 * where its state has the act behind it that recorded it. */
static enum status count_labels(struct walk *walk, const struct label_set *set, const char *former, const char *now,
                                const char *commit, size_t *old, bool *is_new, struct err *err)
{
    *old = 0;
    *is_new = false;
    for (size_t at = 0; at < set->label_count; at++) {
        const struct label *label = &set->labels[at];
        struct commits bases = {0};
        struct err unread = {0};
        *is_new = *is_new || strcmp(label->name, now) == 0;
        if (strcmp(label->name, former) != 0)
            continue;
        const enum status status =
            store_bases(walk->state->store, label->state, commit, walk->state->arena, &bases, &unread);
        if (status == STATUS_SYSTEM) {
            *err = unread;
            return status;
        }
        *old += status == STATUS_OK && bases.count == 1 && strcmp(bases.ids[0], commit) == 0;
    }
    return STATUS_OK;
}

/* Names as labels have them. labels: the path of their file. */
struct renamed_thing {
    const char *labels;
    const char *former;
    const char *now;
    const char *commit;
};

static enum status add_stale(struct walk *walk, const struct renamed_thing *it, struct err *err)
{
    struct label_set set;
    char sentence[2 * NAME_TEXT_MAX + 80];
    char command[HOLE_TEXT_MAX + 48];
    bool there = false;
    bool is_new = false;
    size_t old = 0;
    TRY(state_read(walk->state, it->labels, &label_set_table, &set, &there, err));
    TRY(count_labels(walk, &set, it->former, it->now, it->commit, &old, &is_new, err));
    if (!old || is_new)
        return STATUS_OK;
    (void)snprintf(sentence, sizeof sentence, "%zu label%s still show%s %s, the number that another thing has", old,
                   old > 1 ? "s" : "", old > 1 ? "" : "s", it->former);
    (void)snprintf(command, sizeof command, "coretally label print %s --stale", walk->hole->hole_name);
    return add_one(walk, (struct waiting){.kind = WAITING_LABEL, .thing = it->now, .sentence = sentence},
                   (struct way){"print them", command}, err);
}

static enum status add_stale_bag(struct walk *walk, const struct bag_set *set, const struct bag *bag, struct err *err)
{
    struct bag then = *bag;
    const char *word = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    char names[2][NAME_TEXT_MAX];
    char path[REGISTRY_PATH_MAX];
    if (!minted_former(bag->was, &word, &len, commit))
        return STATUS_OK;
    then.number = minted_number(bag->was);
    struct name name = walk->hole->name;
    for (size_t at = 0; at < 2; at++) {
        (void)snprintf(name.expedition, sizeof name.expedition, "%s", walk->state->expedition.number);
        name.level = NAME_BAG;
        name.bag = set->kind;
        name.bag_number = at ? bag->number : then.number;
        name_format(&name, NAME_COMPACT, names[at]);
    }
    bag_labels_path(walk->hole->hole_name, set->kind, bag_hundred(then.number), path);
    return add_stale(walk, &(struct renamed_thing){path, names[0], names[1], commit}, err);
}

static enum status look_at_bags(struct walk *walk, enum bag_kind kind, struct bag_walk *bags, struct err *err)
{
    int32_t *hundreds = NULL;
    size_t count = 0;
    TRY(state_hundreds(walk->state, walk->hole->hole_name, kind, &hundreds, &count, err));
    for (size_t at = 0; at < count; at++) {
        char path[REGISTRY_PATH_MAX];
        struct bag_set set = {0};
        bool there = false;
        bags_path(walk->hole->hole_name, kind, hundreds[at], path);
        TRY(state_read(walk->state, path, &bag_set_table, &set, &there, err));
        bags->set = set;
        for (const struct bag *bag = set.bags; bag < set.bags + set.bag_count; bag++) {
            if (bag->withdrawn)
                continue;
            TRY(add_overlaps(bags, bag, err));
            TRY(add_stale_bag(walk, &set, bag, err));
            look_for_log(bags, bag);
        }
    }
    return STATUS_OK;
}

static enum status add_bags(struct walk *walk, struct err *err)
{
    struct bag_walk bags = {.walk = walk};
    int64_t *days = NULL;
    struct pump_set pumps;
    char path[REGISTRY_PATH_MAX];
    struct text text;
    struct bytes bytes;
    char command[HOLE_TEXT_MAX + 32];
    pumps_path(walk->hole->hole_name, path);
    TRY(state_read(walk->state, path, &pump_set_table, &pumps, &bags.is_pumped, err));
    TRY(state_log_days(walk->state, walk->hole->hole_name, &days, &bags.day_count, err));
    bags.days = days;
    text_init(&bags.first, walk->state->arena);
    for (enum bag_kind kind = BAG_CUTTINGS; kind <= BAG_MUD; kind++)
        TRY(look_at_bags(walk, kind, &bags, err));
    if (!bags.without)
        return STATUS_OK;
    TRY(text_done(&bags.first, &bytes, err));
    text_init(&text, walk->state->arena);
    text_addf(&text, "no pump log covers the day of %s", bytes.data);
    if (bags.without > 3)
        text_addf(&text, " and %zu more", bags.without - 3);
    TRY(text_done(&text, &bytes, err));
    (void)snprintf(command, sizeof command, "coretally log add %s FILE", walk->hole->hole_name);
    return add_one(walk, (struct waiting){.thing = walk->hole->hole_name, .sentence = bytes.data},
                   (struct way){"add it", command}, err);
}

/* --- samples that have another number --- */

static enum status add_stale_sample(struct walk *walk, const struct core *core, const struct sample *sample,
                                    struct err *err)
{
    const char *word = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    char names[2][NAME_TEXT_MAX];
    char path[REGISTRY_PATH_MAX];
    struct name name = walk->hole->name;
    if (sample->withdrawn || !minted_former(sample->was, &word, &len, commit))
        return STATUS_OK;
    (void)snprintf(name.expedition, sizeof name.expedition, "%s", walk->state->expedition.number);
    name.level = NAME_CORE;
    name.core = core->number;
    name.type = core->type;
    name_format(&name, NAME_COMPACT, names[0]);
    const size_t stem = strlen(names[0]);
    if (stem + 1 + len >= sizeof names[0])
        return STATUS_OK;
    (void)snprintf(names[0] + stem, sizeof names[0] - stem, "-%.*s", (int)len, word);
    name.level = NAME_SAMPLE;
    name_set_sample(&name, sample);
    name_format(&name, NAME_COMPACT, names[1]);
    core_labels_path(walk->hole->hole_name, core->number, path);
    return add_stale(walk, &(struct renamed_thing){path, names[0], names[1], commit}, err);
}

static enum status add_samples(struct walk *walk, struct err *err)
{
    int32_t *numbers = NULL;
    size_t count = 0;
    TRY(state_cores(walk->state, walk->hole->hole_name, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        char path[REGISTRY_PATH_MAX];
        struct core core;
        struct sample_set set;
        bool there = false;
        core_path(walk->hole->hole_name, numbers[at], path);
        TRY(state_read(walk->state, path, &core_table, &core, &there, err));
        samples_path(walk->hole->hole_name, numbers[at], path);
        TRY(state_read(walk->state, path, &sample_set_table, &set, &there, err));
        for (size_t it = 0; there && it < set.sample_count; it++)
            TRY(add_stale_sample(walk, &core, &set.samples[it], err));
    }
    return STATUS_OK;
}

enum status waiting_find(struct state *state, const struct target *hole, struct waiting_list *out, struct err *err)
{
    struct walk walk = {state, hole, out};
    TRY(add_doubts(&walk, err));
    TRY(waiting_joined(state, hole, out, err));
    TRY(add_bags(&walk, err));
    return add_samples(&walk, err);
}
