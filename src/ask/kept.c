/* SPDX-License-Identifier: MIT */
/* What stands although the rules doubt it, with the acts that kept it. */
#include "coretally/ask/kept.h"

#include <string.h>

#include "coretally/ask/kept_words.h"
#include "coretally/base/limits.h"
#include "coretally/state/bag.h"
#include "coretally/state/doubt.h"
#include "coretally/state/stays.h"
#include "coretally/state/numbered.h"
#include "coretally/state/origin.h"

struct walk {
    struct state *state;
    struct target target; /* the hole, and the core that is looked at */
    struct kept *out;
    bool is_core; /* what is added is about the core itself */
};

enum { CORES_TOUCHED = 1 }; /* of the paths that add_acts asks for */

static const char *const marks[] = {"doubt", NULL};

static const char *rule_sentence(const char *word, const struct findings *findings)
{
    for (size_t at = 0; findings && at < findings->count; at++)
        if (strcmp(rule_word(findings->items[at].rule), word) == 0)
            return findings->items[at].text;
    for (int rule = 0; rule < RULE_COUNT; rule++)
        if (strcmp(rule_word((enum rule)rule), word) == 0)
            return rule_meaning((enum rule)rule);
    return word;
}

/* For each finding the newest act on the core, under each name that it had, that kept the doubt; its id is "" where it
 * came in another way. The history is walked once for all of them, and not beyond the last. */
static enum status find_keepers(struct walk *walk, const char *path, const struct findings *findings,
                                struct commit *keepers, struct err *err)
{
    struct stays *stays = NULL;
    enum status status = STATUS_OK;
    size_t sought = 0;
    for (size_t at = 0; at < findings->count; at++) {
        keepers[at] = (struct commit){.id = ""};
        sought += rule_level(findings->items[at].rule) != RULE_TOLD;
    }
    if (!sought)
        return STATUS_OK;
    TRY(stays_open(walk->state, path, &stays, err));
    for (bool more = true; status == STATUS_OK && more && sought;) {
        struct trail_act act = {.line_count = 0};
        status = stays_next_act(stays, walk->state->arena, &act, &more, err);
        for (size_t at = 0; status == STATUS_OK && more && at < findings->count; at++)
            if (!*keepers[at].id && rule_level(findings->items[at].rule) != RULE_TOLD &&
                kept_by_act(&act.commit, rule_word(findings->items[at].rule))) {
                keepers[at] = act.commit;
                sought--;
            }
    }
    stays_close(stays);
    return status;
}

/* commit NULL: it came in another way. */
static enum status add_doubt(struct walk *walk, const char *thing, const char *word, const char *sentence,
                             const struct commit *commit, struct err *err)
{
    struct state *state = walk->state;
    struct kept *out = walk->out;
    struct kept_doubt doubt = {.source = {.id = ""}};
    TRY(arena_copy(state->arena, thing, strlen(thing), &doubt.thing, err));
    TRY(arena_copy(state->arena, word, strlen(word), &doubt.word, err));
    TRY(arena_copy(state->arena, sentence, strlen(sentence), &doubt.sentence, err));
    doubt.core = walk->is_core ? walk->target.core.number : 0;
    if (commit) {
        TRY(source_of_commit(state, commit, &doubt.source, err));
        TRY(kept_reason(commit, state->arena, &doubt.reason, err));
    }
    TRY(arena_grow(state->arena, &out->items, out->count, &out->room, sizeof doubt, err));
    out->items[out->count++] = doubt;
    return STATUS_OK;
}

/* Every doubt that a record is marked with; the commit: since when it has these marks. */
static enum status add_marks(struct walk *walk, const char *thing, const char *words, const struct findings *findings,
                             const struct commit *commit, struct err *err)
{
    char word[KEPT_WORD_MAX];
    while (kept_next_word(&words, word))
        TRY(add_doubt(walk, thing, word, rule_sentence(word, findings), commit, err));
    return STATUS_OK;
}

/* A sample that carries doubts. */
static enum status add_sample(struct walk *walk, const struct core *core, const struct sample_set *set, size_t at,
                              struct err *err)
{
    const struct sample *sample = &set->samples[at];
    const struct sample *parent = sample->of ? sample_find(set->samples, set->sample_count, sample->of) : NULL;
    const struct record_at marked = record_of_sample(walk->target.hole_name, core->number, sample);
    char name[NAME_TEXT_MAX];
    struct findings own = {0};
    struct commit commit = {0};
    sample_check(core, sample, set->samples, set->sample_count, at, parent, &own);
    sample_check_time(core, sample, NOW_NONE, &own);
    TRY(time_doubt(walk->state, RULE_TIME_FUTURE, "the time when it was taken", sample->taken, CLOCK_SLACK_US, &own,
                   err));
    target_sample_name(walk->state, &walk->target, sample, name);
    TRY(origin_find(walk->state, &marked, marks, &commit, err));
    return add_marks(walk, name, sample->doubt, &own, &commit, err);
}

static enum status add_samples(struct walk *walk, const struct core *core, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct sample_set set;
    bool there = false;
    samples_path(walk->target.hole_name, core->number, path);
    TRY(state_read(walk->state, path, &sample_set_table, &set, &there, err));
    for (size_t at = 0; at < set.sample_count; at++)
        if (!set.samples[at].withdrawn && set.samples[at].doubt)
            TRY(add_sample(walk, core, &set, at, err));
    return STATUS_OK;
}

/* That it lies on a drilled interval was kept by whoever recorded the later of the two. */
static enum status find_drilled_keeper(struct walk *walk, const struct finding *finding, struct commit *keeper,
                                       struct err *err)
{
    struct numbered_set set;
    TRY(numbered_set_read(walk->state, &drilled_form, walk->target.hole_name, &set, err));
    for (size_t at = 0; at < set.count; at++) {
        const struct drilled *interval = numbered_item(&drilled_form, &set, at);
        const struct core_neighbours around = {.drilled = interval, .drilled_count = 1};
        struct findings own = {0};
        core_check(&walk->target.hole, &walk->target.core, &around, &own);
        if (findings_have(&own, finding))
            return kept_drilled(walk->state, walk->target.hole_name, interval, NULL, keeper, err);
    }
    return STATUS_OK;
}

/* What is doubted of the target's core, and the acts that kept it: their ids are "" where none did. */
static enum status find_core_doubts(struct walk *walk, struct core_roll *roll, struct findings *findings,
                                    struct commit **keepers, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    core_path(walk->target.hole_name, walk->target.core.number, path);
    TRY(core_doubts(roll, &walk->target, &walk->target.core, findings, err));
    TRY(arena_take(walk->state->arena, findings->count, sizeof **keepers, keepers, err));
    TRY(find_keepers(walk, path, findings, *keepers, err));
    for (size_t at = 0; at < findings->count; at++)
        if (findings->items[at].rule == RULE_CORE_ON_DRILLED && !*(*keepers)[at].id)
            TRY(find_drilled_keeper(walk, &findings->items[at], &(*keepers)[at], err));
    return STATUS_OK;
}

/* What is doubted of a core, each with the act that kept it. */
static enum status add_core_doubts(struct walk *walk, struct core_roll *roll, size_t position, bool is_kept_told,
                                   struct err *err)
{
    struct target *target = &walk->target;
    char name[NAME_TEXT_MAX];
    struct findings findings = {0};
    struct commit *keepers = NULL;
    const struct core *core = NULL;
    TRY(core_roll_at(roll, position, &core, err));
    target->core = *core;
    target->name.core = target->core.number;
    target->name.type = target->core.type;
    target_core_name(walk->state, target, name);
    TRY(find_core_doubts(walk, roll, &findings, &keepers, err));
    walk->is_core = true;
    for (size_t at = 0; at < findings.count; at++)
        if (rule_level(findings.items[at].rule) != RULE_TOLD && (is_kept_told || !*keepers[at].id))
            TRY(add_doubt(walk, name, rule_word(findings.items[at].rule), findings.items[at].text,
                          *keepers[at].id ? &keepers[at] : NULL, err));
    walk->is_core = false;
    return STATUS_OK;
}

enum status kept_open_core(struct state *state, const struct target *core, struct findings *out, struct err *err)
{
    struct walk walk = {.state = state, .target = *core};
    struct core_roll roll;
    struct commit *keepers = NULL;
    struct findings findings = {0};
    *out = (struct findings){.count = 0};
    TRY(core_roll_open(state, walk.target.hole_name, &roll, err));
    TRY(find_core_doubts(&walk, &roll, &findings, &keepers, err));
    for (size_t at = 0; at < findings.count; at++)
        if (rule_level(findings.items[at].rule) == RULE_DOUBTED && !*keepers[at].id)
            out->items[out->count++] = findings.items[at];
    return STATUS_OK;
}

static enum status add_bag(struct walk *walk, enum bag_kind kind, const struct bag_set *set, const struct bag *bag,
                           struct err *err)
{
    char text[NAME_TEXT_MAX];
    struct name name = walk->target.name;
    struct findings findings = {0};
    struct commit commit = {0};
    if (bag->withdrawn || !bag->doubt)
        return STATUS_OK;
    (void)snprintf(name.expedition, sizeof name.expedition, "%s", walk->state->expedition.number);
    name.level = NAME_BAG;
    name.bag = kind;
    name.bag_number = bag->number;
    name_format(&name, NAME_PRINTED, text);
    bag_check(bag, set->bags, set->bag_count, NOW_NONE, &findings);
    TRY(time_doubt(walk->state, RULE_BAG_FUTURE, "the time when it was collected", bag->to.known ? bag->to : bag->from,
                   0, &findings, err));
    const struct record_at marked = record_of_bag(walk->target.hole_name, kind, bag);
    TRY(origin_find(walk->state, &marked, marks, &commit, err));
    return add_marks(walk, text, bag->doubt, &findings, &commit, err);
}

static enum status add_bags(struct walk *walk, enum bag_kind kind, struct err *err)
{
    int32_t *hundreds = NULL;
    size_t count = 0;
    TRY(state_hundreds(walk->state, walk->target.hole_name, kind, &hundreds, &count, err));
    for (size_t at = 0; at < count; at++) {
        char path[REGISTRY_PATH_MAX];
        struct bag_set set = {0};
        bool there = false;
        bags_path(walk->target.hole_name, kind, hundreds[at], path);
        TRY(state_read(walk->state, path, &bag_set_table, &set, &there, err));
        for (size_t item = 0; item < set.bag_count; item++)
            TRY(add_bag(walk, kind, &set, &set.bags[item], err));
    }
    return STATUS_OK;
}

/* Of cores the state tells what is doubted, but for what is asked once, when one is recorded or renamed. */
static bool is_of_act(uint64_t touched, const char *word)
{
    return touched != CORES_TOUCHED || strcmp(word, rule_word(RULE_CORE_AGAIN)) == 0 ||
           strcmp(word, rule_word(RULE_CORE_COVERED)) == 0;
}

/* Records that carry no mark: the acts that kept something, each in its own words. */
static enum status add_acts(struct walk *walk, struct err *err)
{
    static const char *const parts[] = {"cores",      "hole.json",       "drilled.json", "well.json",
                                        "pumps.json", "lag-checks.json", "corrections",  "log"};
    enum { PARTS = sizeof parts / sizeof parts[0] };
    char paths[PARTS][REGISTRY_PATH_MAX];
    const char *all[PARTS];
    struct trail *trail = NULL;
    enum status status = STATUS_OK;
    for (size_t at = 0; at < PARTS; at++) {
        (void)snprintf(paths[at], sizeof paths[at], "holes/%s/%s", walk->target.hole_name, parts[at]);
        all[at] = paths[at];
    }
    TRY(trail_open(walk->state->store, all, PARTS, &trail, err));
    for (bool more = true; status == STATUS_OK && more;) {
        struct trail_act act = {.line_count = 0};
        char word[KEPT_WORD_MAX];
        status = trail_next(trail, walk->state->arena, &act, &more, err);
        const char *list = status == STATUS_OK && more ? kept_list(&act.commit) : NULL;
        while (status == STATUS_OK && list && kept_next_word(&list, word))
            if (is_of_act(act.touched, word))
                status = add_doubt(walk, act.commit.line, word, rule_sentence(word, NULL), &act.commit, err);
    }
    trail_close(trail);
    return status;
}

enum status kept_find(struct state *state, const struct target *hole, struct kept *out, struct err *err)
{
    struct walk walk = {.state = state, .target = *hole, .out = out};
    struct core_roll roll;
    TRY(core_roll_open(state, walk.target.hole_name, &roll, err));
    for (size_t at = 0; at < roll.count; at++) {
        TRY(add_core_doubts(&walk, &roll, at, true, err));
        TRY(add_samples(&walk, &walk.target.core, err));
    }
    for (enum bag_kind kind = BAG_CUTTINGS; kind <= BAG_MUD; kind++)
        TRY(add_bags(&walk, kind, err));
    return add_acts(&walk, err);
}

enum status kept_by_nobody(struct state *state, const struct target *hole, struct kept *out, struct err *err)
{
    struct walk walk = {.state = state, .target = *hole, .out = out};
    struct core_roll roll;
    TRY(core_roll_open(state, walk.target.hole_name, &roll, err));
    for (size_t at = 0; at < roll.count; at++)
        TRY(add_core_doubts(&walk, &roll, at, false, err));
    return STATUS_OK;
}
