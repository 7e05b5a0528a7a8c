/* SPDX-License-Identifier: MIT */
/* What stands although the rules doubt it: which thing, what is doubted, who kept it, when and why. Doubts about cores
 * are worked out from the state as it is, so those of earlier versions are found, too; samples and bags carry theirs;
 * of other records the acts tell them. */
#include <string.h>

#include "command.h"
#include "coretally/base/limits.h"
#include "coretally/state/bag.h"
#include "coretally/state/former.h"

struct kept {
    struct run *run;
    struct sheet sheet;
    struct target target;
    size_t rows;
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

/* The next word of a list that is separated by blanks or commas, numbers in brackets passed over; false at its end. */
static bool next_word(const char **list, char out[40])
{
    for (;;) {
        *list += strspn(*list, " ,");
        const size_t len = strcspn(*list, " ,");
        if (!len)
            return false;
        (void)snprintf(out, 40, "%.*s", len < 39 ? (int)len : 39, *list);
        *list += len;
        if (*out != '(')
            return true;
    }
}

static const char *kept_list(const struct commit *commit)
{
    const char *at = commit->reason ? strstr(commit->reason, KEPT_AGAINST) : NULL;
    return at ? at + strlen(KEPT_AGAINST) : NULL;
}

static bool keeps(const struct commit *commit, const char *word)
{
    const char *list = kept_list(commit);
    char found[40];
    while (list && next_word(&list, found))
        if (strcmp(found, word) == 0)
            return true;
    return false;
}

/* For each finding the newest act on the core, under each name that it had, that kept the doubt; its id is "" where it
 * came in another way. The history is walked once for all of them, and not beyond the last. */
static enum status find_keepers(struct kept *kept, const char *path, const struct findings *findings,
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
    TRY(stays_open(kept->run->state, path, &stays, err));
    for (bool more = true; status == STATUS_OK && more && sought;) {
        struct commit commit = {0};
        char id[HASH_TEXT_MAX];
        status = stays_next(stays, kept->run->state->arena, &commit, id, &more, err);
        for (size_t at = 0; status == STATUS_OK && more && at < findings->count; at++)
            if (!*keepers[at].id && rule_level(findings->items[at].rule) != RULE_TOLD &&
                keeps(&commit, rule_word(findings->items[at].rule))) {
                keepers[at] = commit;
                sought--;
            }
    }
    stays_close(stays);
    return status;
}

static enum status add_row(struct kept *kept, const char *thing, const char *word, const char *sentence,
                           const struct commit *commit, struct err *err)
{
    const char *reason = NULL;
    if (commit) {
        const char *list = kept_list(commit);
        size_t len = list             ? (size_t)(list - commit->reason) - strlen(KEPT_AGAINST)
                     : commit->reason ? strlen(commit->reason)
                                      : 0;
        len -= list && len >= 2 ? 2 : 0; /* "; " */
        if (len)
            TRY(arena_copy(kept->run->state->arena, commit->reason, len, &reason, err));
    }
    const struct cell cells[] = {cell_text(thing),
                                 cell_text(word),
                                 cell_text(sentence),
                                 cell_text(commit ? commit->author : NULL),
                                 commit ? cell_instant(commit->when) : cell_nothing(),
                                 cell_commit(commit ? commit->id : NULL),
                                 cell_text(reason)};
    kept->rows++;
    return sheet_add_row(&kept->sheet, cells, err);
}

/* Every doubt that a record is marked with; the commit: since when it has these marks. */
static enum status add_marks(struct kept *kept, const char *thing, const char *words, const struct findings *findings,
                             const struct commit *commit, struct err *err)
{
    char word[40];
    while (next_word(&words, word))
        TRY(add_row(kept, thing, word, rule_sentence(word, findings), commit, err));
    return STATUS_OK;
}

static enum status add_core(struct kept *kept, struct core_roll *roll, size_t position, struct err *err)
{
    struct run *run = kept->run;
    struct target *target = &kept->target;
    char path[REGISTRY_PATH_MAX];
    char name[NAME_TEXT_MAX];
    struct findings findings = {0};
    struct sample_set set;
    bool there = false;
    const struct core *core = NULL;
    const int32_t number = roll->numbers[position];
    TRY(core_roll_at(roll, position, &core, err));
    core_path(target->hole_name, number, path);
    target->core = *core;
    target->name.core = target->core.number;
    target->name.type = target->core.type;
    target_core_name(run->state, target, name);
    TRY(core_doubts(roll, target, &target->core, &findings, err));
    struct commit *keepers = NULL;
    TRY(arena_take(run->state->arena, findings.count, sizeof *keepers, &keepers, err));
    TRY(find_keepers(kept, path, &findings, keepers, err));
    for (size_t at = 0; at < findings.count; at++)
        if (rule_level(findings.items[at].rule) != RULE_TOLD)
            TRY(add_row(kept, name, rule_word(findings.items[at].rule), findings.items[at].text,
                        *keepers[at].id ? &keepers[at] : NULL, err));
    samples_path(target->hole_name, number, path);
    TRY(state_read(run->state, path, &sample_set_table, &set, &there, err));
    for (size_t at = 0; at < set.sample_count; at++) {
        const struct sample *sample = &set.samples[at];
        struct findings own = {0};
        struct commit commit = {0};
        if (sample->withdrawn || !sample->doubt)
            continue;
        const struct sample *parent = sample->of ? sample_find(set.samples, set.sample_count, sample->of) : NULL;
        sample_check(&target->core, sample, set.samples, set.sample_count, at, parent, &own);
        sample_check_time(&target->core, sample, NOW_NONE, &own);
        TRY(time_doubt(run->state, RULE_TIME_FUTURE, "the time when it was taken", sample->taken, CLOCK_SLACK_US, &own,
                       err));
        target_sample_name(run->state, target, sample, name);
        const struct record_at marked = record_of_sample(target->hole_name, number, sample);
        TRY(origin_find(run->state, &marked, marks, &commit, err));
        TRY(add_marks(kept, name, sample->doubt, &own, &commit, err));
    }
    return STATUS_OK;
}

static enum status add_bag(struct kept *kept, enum bag_kind kind, const struct bag_set *set, const struct bag *bag,
                           struct err *err)
{
    struct run *run = kept->run;
    char text[NAME_TEXT_MAX];
    struct name name = kept->target.name;
    struct findings findings = {0};
    struct commit commit = {0};
    if (bag->withdrawn || !bag->doubt)
        return STATUS_OK;
    (void)snprintf(name.expedition, sizeof name.expedition, "%s", run->state->expedition.number);
    name.level = NAME_BAG;
    name.bag = kind;
    name.bag_number = bag->number;
    name_format(&name, NAME_PRINTED, text);
    bag_check(bag, set->bags, set->bag_count, NOW_NONE, &findings);
    TRY(time_doubt(run->state, RULE_BAG_FUTURE, "the time when it was collected", bag->to.known ? bag->to : bag->from,
                   0, &findings, err));
    const struct record_at marked = record_of_bag(kept->target.hole_name, kind, bag);
    TRY(origin_find(run->state, &marked, marks, &commit, err));
    return add_marks(kept, text, bag->doubt, &findings, &commit, err);
}

static enum status add_bags(struct kept *kept, enum bag_kind kind, struct err *err)
{
    struct run *run = kept->run;
    int32_t *hundreds = NULL;
    size_t count = 0;
    TRY(state_hundreds(run->state, kept->target.hole_name, kind, &hundreds, &count, err));
    for (size_t at = 0; at < count; at++) {
        char path[REGISTRY_PATH_MAX];
        struct bag_set set = {0};
        bool there = false;
        bags_path(kept->target.hole_name, kind, hundreds[at], path);
        TRY(state_read(run->state, path, &bag_set_table, &set, &there, err));
        for (size_t item = 0; item < set.bag_count; item++)
            TRY(add_bag(kept, kind, &set, &set.bags[item], err));
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
static enum status add_acts(struct kept *kept, struct err *err)
{
    static const char *const parts[] = {"cores",      "hole.json",       "drilled.json", "well.json",
                                        "pumps.json", "lag-checks.json", "corrections",  "log"};
    enum { PARTS = sizeof parts / sizeof parts[0] };
    char paths[PARTS][REGISTRY_PATH_MAX];
    const char *all[PARTS];
    struct trail *trail = NULL;
    enum status status = STATUS_OK;
    for (size_t at = 0; at < PARTS; at++) {
        (void)snprintf(paths[at], sizeof paths[at], "holes/%s/%s", kept->target.hole_name, parts[at]);
        all[at] = paths[at];
    }
    TRY(trail_open(kept->run->state->store, all, PARTS, &trail, err));
    for (bool more = true; status == STATUS_OK && more;) {
        struct commit commit = {0};
        uint64_t touched = 0;
        char word[40];
        status = trail_next(trail, kept->run->state->arena, &commit, &touched, &more, err);
        const char *list = status == STATUS_OK && more ? kept_list(&commit) : NULL;
        while (status == STATUS_OK && list && next_word(&list, word))
            if (is_of_act(touched, word))
                status = add_row(kept, commit.line, word, rule_sentence(word, NULL), &commit, err);
    }
    trail_close(trail);
    return status;
}

static enum status add_hole(struct kept *kept, struct err *err)
{
    struct core_roll roll;
    TRY(core_roll_open(kept->run->state, kept->target.hole_name, &roll, err));
    for (size_t at = 0; at < roll.count; at++)
        TRY(add_core(kept, &roll, at, err));
    for (enum bag_kind kind = BAG_CUTTINGS; kind <= BAG_MUD; kind++)
        TRY(add_bags(kept, kind, err));
    return add_acts(kept, err);
}

static enum status run_kept(struct run *run, struct err *err)
{
    static const struct column columns[] = {{"thing", NULL, false}, {"doubt", NULL, false}, {"sentence", NULL, false},
                                            {"by", NULL, false},    {"when", NULL, false},  {"commit", NULL, false},
                                            {"reason", NULL, false}};
    struct kept kept = {.run = run};
    struct names holes = {0};
    TRY(run_open(run, STORE_READ, err));
    sheet_init(&kept.sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    if (run->arg_count) {
        TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &kept.target, err));
        TRY(add_hole(&kept, err));
    } else {
        TRY(state_holes(run->state, &holes, err));
        for (size_t hole = 0; hole < holes.count; hole++) {
            TRY(name_parse(holes.items[hole], &kept.target.name, err));
            TRY(resolve_hole(run->state, &kept.target.name, &kept.target, err));
            TRY(add_hole(&kept, err));
        }
    }
    if (!kept.rows)
        (void)fprintf(run->talk, "nothing that stands is doubted\n");
    return run_print_sheet(run, &kept.sheet, err);
}

const struct command kept_command = {
    .words = "kept",
    .arguments = "[HOLE]",
    .purpose = "what was kept although a rule doubts it: which thing, what is doubted, who kept it, when and why",
    .example = "kept U0012A",
    .detail =
        "A doubt that nobody kept (no commit) came with another record, or with an archive of an earlier version.\n"
        "For wells, pumps, corrections and the like, and new names of cores, each act that kept something is listed, "
        "even\nif it was mended since.",
    .use = USE_READING,
    .least = 0,
    .most = 1,
    .run = run_kept,
};
