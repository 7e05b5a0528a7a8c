/* SPDX-License-Identifier: MIT */
/* Bags of cuttings, gas and mud: added, amended, withdrawn; held against one another and against the lag. */
#include "coretally/act/bag.h"

#include <string.h>

#include "coretally/state/doubt.h"

/* The window against the bags of this hundred, and against those of its neighbours. */
static enum status check_window(struct state *state, const struct bag_target *at, const struct bag *bag,
                                struct findings *findings, struct err *err)
{
    bag_check(bag, at->set.bags, at->set.bag_count, state->now.utc_us, findings);
    for (int32_t number = bag->number - BAGS_A_FILE; number <= bag->number + BAGS_A_FILE; number += 2 * BAGS_A_FILE) {
        struct bag_target beside = {0};
        struct findings further = {0};
        if (number < 0 || number > BAG_NUMBER_MAX)
            continue;
        TRY(bag_read(state, &at->target, at->set.kind, number, &beside, err));
        bag_check(bag, beside.set.bags, beside.set.bag_count, state->now.utc_us, &further);
        for (size_t found = 0; found < further.count; found++)
            if (further.items[found].rule == RULE_BAG_OVERLAP)
                findings_add(findings, RULE_BAG_OVERLAP, "%s", further.items[found].text);
    }
    return STATUS_OK;
}

/* Depth and rules of a bag. A hole without log or well yet: the depth is not known yet. */
static enum status find_doubts(struct state *state, const struct bag_target *at, const struct bag *bag,
                               struct lag_depth *depth, struct findings *findings, struct err *err)
{
    struct lag_hole hole;
    *depth = (struct lag_depth){0};
    TRY(check_window(state, at, bag, findings, err));
    if (findings_level(findings) != RULE_REFUSED) {
        TRY(lag_hole_try(state, &at->target, &hole, err));
        const enum status status = bag_depth(state, &hole, at->set.kind, bag, depth, err);
        lag_hole_close(&hole);
        TRY(status);
        lag_depth_check(&at->target.hole, depth, findings);
    }
    return STATUS_OK;
}

/* before: the bag as it is recorded, NULL for none. The marks of the bag into bag->doubt. */
static enum status judge(struct state *state, const struct bag_target *at, const struct bag *before, struct bag *bag,
                         bool keeps, struct bag_draft *out, struct err *err)
{
    struct findings *const findings = &out->draft.findings;
    TRY(find_doubts(state, at, bag, &out->depth, findings, err));
    if (before && !before->withdrawn) {
        struct lag_depth ignored;
        struct findings then = {0};
        TRY(find_doubts(state, at, before, &ignored, &then, err));
        findings_settle(findings, &then);
    }
    const char *const marks = before ? before->doubt : NULL;
    for (size_t found = 0; keeps && found < findings->count; found++) /* what came with a join is kept by who is sure */
        if (rule_level(findings->items[found].rule) == RULE_DOUBTED &&
            !(marks && sample_list_has(marks, rule_word(findings->items[found].rule))))
            findings->items[found].is_settled = false;
    return findings_words(findings, state->arena, &bag->doubt, err);
}

static enum status check_hole(const struct bag_target *at, struct err *err)
{
    const struct hole *hole = &at->target.hole;
    if (hole->withdrawn)
        return err_set(err, STATUS_RULE, at->target.hole_name, "this hole is withdrawn: %s", hole->withdrawn);
    if (hole->returns == RETURNS_SHIP)
        return STATUS_OK;
    err_set(err, STATUS_RULE, at->name,
            "this hole is drilled riserless: its mud and cuttings return to the seafloor, none come on board");
    return err_hint(err, "once the riser is on: coretally hole amend %s --returns ship --reason ...",
                    at->target.hole_name);
}

bool bag_is_same(const struct bag *a, const struct bag *b)
{
    struct bag other = *b;
    other.doubt = a->doubt;
    other.was = a->was;
    other.version = a->version;
    return record_is_equal(&bag_table, a, &other);
}

/* A bag of another number that says the very same: the command was typed twice without a number. */
static const struct bag *find_same_window(const struct bag_target *at, const struct bag *typed)
{
    for (size_t other = 0; other < at->set.bag_count; other++) {
        struct bag again = *typed;
        again.number = at->set.bags[other].number;
        if (!at->set.bags[other].withdrawn && bag_is_same(&again, &at->set.bags[other]))
            return &at->set.bags[other];
    }
    return NULL;
}

static enum status bag_present(struct state *state, const struct bag_target *at, const struct bag *bag,
                               struct draft *out, struct err *err)
{
    const struct record_at record = record_of_bag(at->target.hole_name, at->set.kind, bag);
    char text[NAME_TEXT_MAX];
    struct name name = at->target.name;
    name.bag_number = bag->number;
    name_format(&name, NAME_PRINTED, text);
    return draft_present(state, out, text, &record, err);
}

enum status bag_insert(struct state *state, struct bag_set *set, size_t *room, const struct bag *bag, struct err *err)
{
    TRY(arena_grow(state->arena, &set->bags, set->bag_count, room, sizeof *bag, err));
    size_t place = set->bag_count++;
    for (; place > 0 && set->bags[place - 1].number > bag->number; place--)
        set->bags[place] = set->bags[place - 1];
    set->bags[place] = *bag;
    return STATUS_OK;
}

/* The set of the hundred with this bag, which takes the place of the recorded one. */
static enum status write_bag(struct state *state, const struct bag_target *at, const struct bag *bag, struct draft *out,
                             struct err *err)
{
    struct bag_set *set = NULL;
    struct bag *after = NULL;
    size_t room = at->set.bag_count + 1;
    TRY(draft_copy(state, at->name, &out->name, err));
    TRY(arena_take(state->arena, 1, sizeof *set, &set, err));
    TRY(arena_take(state->arena, 1, sizeof *after, &after, err));
    *after = *bag;
    *set = at->set;
    TRY(arena_take(state->arena, room, sizeof *set->bags, &set->bags, err));
    if (set->bag_count)
        memcpy(set->bags, at->set.bags, set->bag_count * sizeof *set->bags);
    if (at->bag)
        set->bags[at->bag - at->set.bags] = *bag;
    else
        TRY(bag_insert(state, set, &room, bag, err));
    out->changed.part = &bag_table;
    out->changed.after = after;
    return draft_write(state, out, at->path, &bag_set_table, set, err);
}

/* The same bag under its own number or, where it had none, under one of its hundred or at the end of the one before;
 * NULL: it is new. where: the place that it is found in. */
static enum status find_same(struct state *state, const struct bag_target *at, const struct bag *typed,
                             struct bag_target *where, const struct bag **out, struct err *err)
{
    *where = *at;
    *out = NULL;
    if (at->bag) {
        *out = bag_is_same(typed, at->bag) ? at->bag : NULL;
        return STATUS_OK;
    }
    *out = find_same_window(at, typed);
    if (*out || typed->number % BAGS_A_FILE != 0)
        return STATUS_OK;
    TRY(bag_read(state, &at->target, at->set.kind, typed->number - 1, where, err));
    *out = find_same_window(where, typed);
    return STATUS_OK;
}

enum status bag_add(struct state *state, const struct bag_target *at, const struct bag *typed, struct bag_draft *out,
                    struct err *err)
{
    struct bag bag = *typed;
    struct bag_target where;
    const struct bag *same = NULL;
    draft_init(&out->draft);
    TRY(find_same(state, at, &bag, &where, &same, err));
    if (same)
        return bag_present(state, &where, same, &out->draft, err);
    if (at->bag) {
        err_set(err, STATUS_EXISTS, at->name, "it is already recorded, with other values");
        return err_hint(err, "coretally bag show %s; the next free number is taken by: bag add %s", at->name,
                        at->target.hole_name);
    }
    TRY(check_hole(at, err));
    TRY(judge(state, at, NULL, &bag, false, out, err));
    return write_bag(state, at, &bag, &out->draft, err);
}

static bool is_same_text(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : !a && !b;
}

static enum status amend(struct state *state, const struct bag_target *at, const struct bag *changed, bool keeps,
                         struct bag_draft *out, struct err *err)
{
    const bool is_equal = record_is_equal(&bag_table, changed, at->bag);
    struct bag bag = *changed;
    draft_init(&out->draft);
    out->draft.needs_reason = true;
    if (is_equal && !keeps)
        return bag_present(state, at, at->bag, &out->draft, err);
    bag.version = bag.version ? bag.version + 1 : 2;
    TRY(check_hole(at, err));
    TRY(judge(state, at, at->bag, &bag, keeps, out, err));
    if (is_equal && is_same_text(bag.doubt, at->bag->doubt))
        return bag_present(state, at, at->bag, &out->draft, err);
    out->draft.changed.before = at->bag;
    return write_bag(state, at, &bag, &out->draft, err);
}

enum status bag_amend(struct state *state, const struct bag_target *at, const struct bag *changed,
                      struct bag_draft *out, struct err *err)
{
    return amend(state, at, changed, false, out, err);
}

enum status bag_keep(struct state *state, const struct bag_target *at, const struct bag *changed, struct bag_draft *out,
                     struct err *err)
{
    return amend(state, at, changed, true, out, err);
}

enum status bag_withdraw(struct state *state, const struct bag_target *at, const char *reason, struct draft *out,
                         struct err *err)
{
    struct bag bag = *at->bag;
    draft_init(out);
    out->needs_reason = true;
    if (bag.withdrawn)
        return draft_withdrawn(state, out, at->name, bag.withdrawn, err);
    bag.withdrawn = reason;
    bag.version = bag.version ? bag.version + 1 : 2;
    return write_bag(state, at, &bag, out, err);
}
