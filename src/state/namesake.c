/* SPDX-License-Identifier: MIT */
/* What a number means that two registries gave out before they were joined. */
#include "coretally/state/namesake.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/store/walk.h"

/* --- the state of a label --- */

void then_close(struct then *then)
{
    store_close(then->store);
    *then = (struct then){.store = NULL};
}

enum status then_stand(struct state *state, const char *label_state, struct then *then, struct err *err)
{
    struct err absent = {0};
    if (then->store && strcmp(then->asked, label_state) == 0)
        return STATUS_OK;
    then_close(then);
    TRY(store_open_beside(state->store, NULL, &then->store, err));
    (void)snprintf(then->asked, sizeof then->asked, "%s", label_state);
    const enum status status = store_stand_at(then->store, label_state, &absent);
    if (status_is_failure(status)) {
        *err = absent;
        return status;
    }
    then->is_known = status == STATUS_OK;
    state_at(state, then->store, &then->state);
    return STATUS_OK;
}

/* --- numbers of a group --- */

struct minted_item {
    int32_t number;
    const char *was;
};

struct minted_list {
    struct minted_item *items;
    size_t count;
    size_t room;
};

static enum status add_item(struct state *state, struct minted_list *list, int32_t number, const char *was,
                            struct err *err)
{
    TRY(arena_grow(state->arena, &list->items, list->count, &list->room, sizeof *list->items, err));
    list->items[list->count++] = (struct minted_item){number, was};
    return STATUS_OK;
}

static const struct bag *find_bag(const struct bag_set *set, int32_t number)
{
    for (size_t at = 0; at < set->bag_count; at++)
        if (set->bags[at].number == number)
            return &set->bags[at];
    return NULL;
}

/* The bags from a number on, up to the first that is free: what had to give up a number got the next free one, so it is
 * among these. */
static enum status read_bags(struct state *state, const struct minted_group *group, int32_t from,
                             struct minted_list *out, struct err *err)
{
    struct bag_set set = {0};
    int32_t hundred = 0;
    for (int32_t number = from; number <= BAG_NUMBER_MAX; number++) {
        if (number == from || bag_hundred(number) != hundred) {
            char path[REGISTRY_PATH_MAX];
            bool there = false;
            hundred = bag_hundred(number);
            bags_path(group->hole, group->kind, hundred, path);
            set = (struct bag_set){0};
            TRY(state_read(state, path, &bag_set_table, &set, &there, err));
        }
        const struct bag *bag = find_bag(&set, number);
        if (!bag)
            break;
        TRY(add_item(state, out, number, bag->was, err));
    }
    return STATUS_OK;
}

static enum status read_numbered(struct state *state, const struct minted_group *group, struct minted_list *out,
                                 struct err *err)
{
    struct numbered_set set;
    TRY(numbered_set_read(state, group->form, group->hole, &set, err));
    for (size_t at = 0; at < set.count; at++) {
        void *item = (char *)set.items + at * group->form->item->size;
        TRY(add_item(state, out, numbered_number(item), *numbered_was(group->form, item), err));
    }
    return STATUS_OK;
}

/* Those that a number can have become. */
static enum status read_list(struct state *state, const struct minted_group *group, int32_t from,
                             struct minted_list *out, struct err *err)
{
    struct correction *all = NULL;
    size_t count = 0;
    *out = (struct minted_list){.count = 0};
    if (group->kind != BAG_NONE)
        return read_bags(state, group, from, out, err);
    if (group->form)
        return read_numbered(state, group, out, err);
    TRY(state_corrections(state, group->hole, &all, &count, err));
    for (size_t at = 0; at < count; at++)
        TRY(add_item(state, out, all[at].number, all[at].was, err));
    return STATUS_OK;
}

static const struct minted_item *find_number(const struct minted_list *list, int32_t number)
{
    for (size_t at = 0; at < list->count; at++)
        if (list->items[at].number == number)
            return &list->items[at];
    return NULL;
}

static const struct minted_item *find_same(const struct minted_list *list, const char *was)
{
    for (size_t at = 0; at < list->count; at++)
        if (minted_is_same(list->items[at].was, was))
            return &list->items[at];
    return NULL;
}

static const struct minted_item *find_former(const struct minted_list *list, int32_t number)
{
    for (size_t at = 0; at < list->count; at++)
        if (minted_number(list->items[at].was) == number)
            return &list->items[at];
    return NULL;
}

/* Was something renumbered past this number? It may have had it between two joins. */
static bool is_passed(const struct minted_list *list, int32_t number)
{
    for (size_t at = 0; at < list->count; at++) {
        const int32_t former = minted_number(list->items[at].was);
        if (former && former < number && list->items[at].number >= number)
            return true;
    }
    return false;
}

static void take_commit(const char *was, char out[MINTED_COMMIT_MAX])
{
    const char *name = NULL;
    size_t len = 0;
    *out = '\0';
    (void)minted_former(was, &name, &len, out);
}

/* --- what it means --- */

/* What had the number in the state of the label had been renumbered already: it is known by the word for that. Before
 * the join that wrote the word it has the number that the word tells. */
static enum status find_by_word(struct state *state, const struct minted_group *group, const char *was,
                                struct minted_item *out, bool *is_found, struct err *err)
{
    struct minted_list now;
    TRY(read_list(state, group, minted_number(was), &now, err));
    const struct minted_item *found = find_same(&now, was);
    if (!found)
        found = find_number(&now, minted_number(was));
    *is_found = found != NULL;
    if (found)
        *out = *found;
    return STATUS_OK;
}

/* What had the number in the state of the label, where that had no other one before: one that was renumbered since, if
 * the commit that recorded it led to that state. */
static enum status find_renumbered(const struct minted_list *now, const struct minted_list *list, struct then *then,
                                   int32_t number, struct minted_item *out, bool *is_found, struct err *err)
{
    for (size_t at = 0; !*is_found && at < now->count; at++) {
        char commit[MINTED_COMMIT_MAX];
        const struct minted_item *it = &now->items[at];
        if (minted_number(it->was) != number || find_same(list, it->was))
            continue;
        take_commit(it->was, commit);
        TRY(store_descends(then->store, commit, is_found, err));
        *out = *it;
    }
    return STATUS_OK;
}

/* By the state of a label. *is_found false: it does not tell. */
static enum status find_then(struct state *state, const struct minted_group *group, const struct minted_list *now,
                             struct then *then, int32_t number, struct minted_item *out, bool *is_found,
                             struct err *err)
{
    struct minted_list list;
    TRY(read_list(&then->state, group, number, &list, err));
    const struct minted_item *it = find_number(&list, number);
    if (!it)
        return STATUS_OK;
    if (it->was)
        return find_by_word(state, group, it->was, out, is_found, err);
    TRY(find_renumbered(now, &list, then, number, out, is_found, err));
    const struct minted_item *present = find_number(now, number);
    if (*is_found || !present)
        return STATUS_OK;
    *out = *present;
    *is_found = true;
    return STATUS_OK;
}

static enum status ask_label(struct state *state, const struct minted_group *group, const struct minted_list *now,
                             const char *label_state, struct then *then, int32_t number, struct namesake *out,
                             struct err *err)
{
    struct minted_item meant = {0};
    bool is_found = false;
    TRY(then_stand(state, label_state, then, err));
    if (then->is_known)
        TRY(find_then(state, group, now, then, number, &meant, &is_found, err));
    if (!is_found)
        return STATUS_OK;
    *out = (struct namesake){
        .what = meant.number == number ? NAMESAKE_NONE : NAMESAKE_CARRIED, .is_certain = true, .number = meant.number};
    take_commit(meant.was, out->commit);
    return STATUS_OK;
}

enum status namesake_number(struct state *state, const struct minted_group *group, const char *label_state,
                            struct then *then, int32_t number, struct namesake *out, struct err *err)
{
    struct minted_list now;
    struct then own = {.store = NULL};
    *out = (struct namesake){.what = NAMESAKE_NONE, .number = number};
    TRY(read_list(state, group, number, &now, err));
    const struct minted_item *present = find_number(&now, number);
    const struct minted_item *former = find_former(&now, number);
    if (present && !former && !(label_state && is_passed(&now, number)))
        return STATUS_OK;
    if (label_state) {
        const enum status status = ask_label(state, group, &now, label_state, then ? then : &own, number, out, err);
        then_close(&own);
        TRY(status);
    }
    if (out->is_certain || !former)
        return STATUS_OK;
    out->what = present ? NAMESAKE_TWICE : NAMESAKE_CARRIED;
    out->number = former->number;
    take_commit(former->was, out->commit);
    return STATUS_OK;
}
