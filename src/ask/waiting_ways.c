/* SPDX-License-Identifier: MIT */
/* What may be typed about a thing that a rule speaks of: whole commands, in which only values are to be filled in. */
#include <string.h>

#include "coretally/ask/waiting.h"
#include "coretally/domain/rule.h"

enum status waiting_add(const struct waiting *it, struct waiting_list *out, struct err *err)
{
    struct waiting own = {.kind = it->kind};
    struct arena *const arena = out->arena;
    TRY(arena_copy(arena, it->thing, strlen(it->thing), &own.thing, err));
    TRY(arena_copy(arena, it->sentence, strlen(it->sentence), &own.sentence, err));
    for (; own.way_count < it->way_count; own.way_count++) {
        const struct way *way = &it->ways[own.way_count];
        own.ways[own.way_count].word = way->word;
        TRY(arena_copy(arena, way->command, strlen(way->command), &own.ways[own.way_count].command, err));
    }
    TRY(arena_grow(arena, &out->items, out->count, &out->room, sizeof own, err));
    out->items[out->count++] = own;
    return STATUS_OK;
}

enum status waiting_way(struct waiting *it, const char *word, struct text *command, struct err *err)
{
    struct bytes bytes;
    TRY(text_done(command, &bytes, err));
    if (it->way_count < WAYS_MAX)
        it->ways[it->way_count++] = (struct way){word, bytes.data};
    return STATUS_OK;
}

/* By the kind of record; keeps: its act keeps what is doubted where somebody is sure. */
static const struct amending {
    const struct table *part;
    const char *words;
    const char *values;
    bool keeps;
} amendings[] = {
    {&core_table, "core amend", "--top DEPTH --bottom DEPTH", true},
    {&section_table, "section amend", "--curated LENGTH", false},
    {&sample_table, "sample amend", "--top CM --bottom CM", true},
    {&bag_table, "bag amend", "--from TIME --to TIME", true},
    {&drilled_table, "drilled amend", "--top DEPTH --bottom DEPTH", true},
    {&hole_table, "hole amend", "--seafloor DEPTH --seafloor-by WORD", false},
    {&geometry_table, "well amend", "--bores BORES --string STRING", false},
    {&pump_table, "pump amend", "--bore SIZE --stroke LENGTH", false},
    {&lag_check_table, "check withdraw", "", false},
    {&correction_table, "correction withdraw", "", false},
};

/* What it takes where that is not what is told of the kind. part NULL: of any. */
static const struct {
    const char *rule;
    const struct table *part;
    const char *values;
} values_of[] = {
    {"core-order", NULL, "--order-note TEXT"},
    {"above-seafloor", NULL, "--top DEPTH"},
    {"above-kickoff", &core_table, "--top DEPTH"},
    {"datum-mixed", NULL, "--datum rig-floor"},
    {"recovery-far-over", NULL, "--recovered LENGTH"},
    {"sections-exceed", NULL, "--recovered LENGTH"},
    {"length-negative", NULL, "--recovered LENGTH"},
    {"empty-with-sections", NULL, "--recovered LENGTH"},
    {"sections-sum", NULL, "--curated LENGTH"},
    {"time-future", &core_table, "--on-deck TIME"},
    {"deck-order", NULL, "--on-deck TIME"},
    {"deck-far", NULL, "--on-deck TIME"},
    {"time-future", &sample_table, "--taken TIME"},
    {"taken-early", NULL, "--taken TIME"},
    {"kickoff", NULL, "--parent HOLE --kickoff DEPTH"},
    {"above-kickoff", &hole_table, "--kickoff DEPTH"},
    {"plan-order", NULL, "--plan PLAN"},
};

static enum rule find_rule(const char *word)
{
    int rule = 0;
    while (word && rule < RULE_COUNT && strcmp(rule_word((enum rule)rule), word) != 0)
        rule++;
    return word ? (enum rule)rule : RULE_COUNT;
}

static const struct amending *find_amending(const struct table *part)
{
    for (size_t at = 0; at < sizeof amendings / sizeof amendings[0]; at++)
        if (amendings[at].part == part)
            return &amendings[at];
    return NULL;
}

/* "U0021A pump 2" is typed U0021A 2 there. */
static void add_typed(const struct open_point *point, struct text *out)
{
    const char *number = strrchr(point->typed, ' ');
    if (number)
        text_addf(out, "%.*s%s", (int)strcspn(point->typed, " "), point->typed, number);
    else
        text_add(out, point->typed);
}

static enum status add_amending(struct state *state, const struct open_point *point, const char *values,
                                const char *word, struct waiting *it, struct err *err)
{
    struct text text;
    text_init(&text, state->arena);
    text_addf(&text, "coretally %s ", find_amending(point->at.part)->words);
    add_typed(point, &text);
    text_addf(&text, "%s%s --reason WHY", *values ? " " : "", values);
    return waiting_way(it, word, &text, err);
}

static enum status add_withdrawal(struct state *state, const struct open_point *point, const char *words,
                                  struct waiting *it, struct err *err)
{
    struct text text;
    text_init(&text, state->arena);
    text_addf(&text, "coretally %s ", words);
    add_typed(point, &text);
    text_add(&text, " --reason WHY");
    return waiting_way(it, "withdraw", &text, err);
}

/* --- a sample without its core, its section or its parent --- */

static enum status add_section(struct state *state, const struct open_point *point, const struct core *core,
                               const struct sample *sample, struct waiting *it, struct err *err)
{
    struct text text;
    char label[SECTION_TEXT_MAX];
    const struct section *gone = section_in(core, sample->section);
    const int64_t length_um = gone ? section_curated(gone) : LENGTH_NONE;
    section_format(sample->section, label);
    text_init(&text, state->arena);
    text_addf(&text, "coretally section add %s-%d%c-%s %s", point->at.known.hole, (int)core->number, core->type, label,
              length_um == LENGTH_NONE ? "LENGTH" : length_text(length_um, UNIT_M, 3).text);
    TRY(waiting_way(it, "restore the section", &text, err));
    return add_amending(state, point, "--section NUMBER", "move the sample", it, err);
}

static enum status add_lost(struct state *state, const struct open_point *point, struct waiting *it, struct err *err)
{
    const struct sample *sample = point->record;
    const struct place_known *known = &point->at.known;
    struct core core;
    struct text text;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    core_path(known->hole, known->number, path);
    TRY(state_read(state, path, &core_table, &core, &there, err));
    text_init(&text, state->arena);
    if (there && core.withdrawn) {
        text_addf(&text, "coretally core amend %s-%d%c --restore --reason WHY", known->hole, (int)core.number,
                  core.type);
        TRY(waiting_way(it, "restore the core", &text, err));
    } else if (sample->of) {
        text_addf(&text, "coretally sample amend %s-%d%c-%s --restore --reason WHY", known->hole, (int)core.number,
                  core.type, sample->of);
        TRY(waiting_way(it, "restore its parent", &text, err));
    } else if (there && !core_section(&core, sample->section))
        TRY(add_section(state, point, &core, sample, it, err));
    return add_withdrawal(state, point, "sample withdraw", it, err);
}

enum status waiting_ways(struct state *state, const struct open_point *point, const char *word, struct waiting *it,
                         struct err *err)
{
    const struct amending *amending = find_amending(point->at.part);
    const enum rule rule = find_rule(word);
    struct text text;
    text_init(&text, state->arena);
    if (!amending || !point->record) { /* what is not there is told, with the way back, by the list */
        text_addf(&text, "coretally sample list %s", point->at.known.hole);
        return waiting_way(it, "look", &text, err);
    }
    if (rule == RULE_COUNT && amending->part == &sample_table)
        return add_lost(state, point, it, err);
    const char *values = amending->values;
    for (size_t at = 0; at < sizeof values_of / sizeof values_of[0]; at++)
        if (word && strcmp(values_of[at].rule, word) == 0 &&
            (!values_of[at].part || values_of[at].part == amending->part))
            values = values_of[at].values;
    TRY(add_amending(state, point, values, *values ? "change" : "withdraw", it, err));
    if (amending->part == &sample_table)
        TRY(add_withdrawal(state, point, "sample withdraw", it, err));
    if (amending->part == &drilled_table)
        TRY(add_withdrawal(state, point, "drilled withdraw", it, err));
    if (rule == RULE_COUNT || rule_level(rule) != RULE_DOUBTED || !amending->keeps)
        return STATUS_OK;
    return add_amending(state, point, "--sure", "keep it", it, err);
}
