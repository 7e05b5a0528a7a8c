/* SPDX-License-Identifier: MIT */
/* Records that are numbered within their hole: added, amended and withdrawn. */
#include "coretally/act/numbered.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/minted.h"

/* The hole with a copy of its set, and room for more. */
static enum status open_place(struct state *state, const struct numbered_form *form, const struct target *target,
                              size_t more, struct numbered_place *out, struct err *err)
{
    struct numbered_set recorded;
    void *items = NULL;
    TRY(numbered_set_read(state, form, target->hole_name, &recorded, err));
    TRY(arena_take(state->arena, recorded.count + more, form->item->size, &items, err));
    if (recorded.count)
        memcpy(items, recorded.items, recorded.count * form->item->size);
    *out = (struct numbered_place){target, {target->hole_name, items, recorded.count}};
    return STATUS_OK;
}

static void *item_at(const struct numbered_form *form, const struct numbered_set *set, size_t at)
{
    return (char *)set->items + at * form->item->size;
}

static void *find_item(const struct numbered_form *form, const struct numbered_set *set, int32_t number)
{
    for (size_t at = 0; at < set->count; at++)
        if (numbered_number(item_at(form, set, at)) == number)
            return item_at(form, set, at);
    return NULL;
}

/* A copy that lasts; sorting moves the items. */
static enum status keep(struct state *state, const struct numbered_form *form, const void *item, void **out,
                        struct err *err)
{
    TRY(arena_take(state->arena, 1, form->item->size, out, err));
    memcpy(*out, item, form->item->size);
    return STATUS_OK;
}

static void raise_version(const struct numbered_form *form, void *item)
{
    int32_t *version = numbered_version(form, item);
    *version = *version ? *version + 1 : 2;
}

/* The set as it shall be. */
static enum status write_set(struct state *state, const struct numbered_act *act, struct numbered_place *place,
                             struct draft *out, struct err *err)
{
    struct numbered_set *written = NULL;
    char path[REGISTRY_PATH_MAX];
    if (act->order)
        qsort(place->set.items, place->set.count, act->form->item->size, act->order);
    TRY(arena_take(state->arena, 1, sizeof *written, &written, err));
    *written = place->set;
    TRY(draft_copy(state, place->target->hole_name, &out->name, err));
    written->hole = out->name;
    act->form->path(out->name, path);
    return draft_write(state, out, path, act->form->set, written, err);
}

static enum status check_hole_stands(const struct target *target, struct err *err)
{
    if (target->hole.withdrawn)
        return err_set(err, STATUS_RULE, target->hole_name, "this hole is withdrawn: %s", target->hole.withdrawn);
    return STATUS_OK;
}

static enum status present(struct state *state, const struct numbered_form *form, const struct target *target,
                           const void *item, struct draft *out, struct err *err)
{
    void *kept = NULL;
    TRY(keep(state, form, item, &kept, err));
    const struct record_at at = record_of_numbered(target->hole_name, form->set, kept);
    return draft_present(state, out, target->hole_name, &at, err);
}

/* A standing record that says the same but for its number. NULL: none. */
static const void *find_equal(const struct numbered_form *form, const struct numbered_set *set, void *typed)
{
    for (size_t at = 0; at < set->count; at++) {
        void *item = item_at(form, set, at);
        *(int32_t *)typed = numbered_number(item);
        *numbered_was(form, typed) = *numbered_was(form, item);
        *numbered_version(form, typed) = *numbered_version(form, item);
        if (!*numbered_withdrawn(form, item) && record_is_equal(form->item, item, typed))
            return item;
    }
    *numbered_version(form, typed) = 0;
    *numbered_was(form, typed) = NULL;
    return NULL;
}

/* One item behind the set, with the next number, held against what is there; *equal: it is there already. */
static enum status put(struct state *state, const struct numbered_act *act, struct numbered_place *place, void *item,
                       struct numbered_found *found, const void **equal, struct err *err)
{
    char command[40];
    int32_t last = 0;
    *equal = find_equal(act->form, &place->set, item);
    if (*equal)
        return STATUS_OK;
    for (size_t at = 0; at < place->set.count; at++) {
        void *other = item_at(act->form, &place->set, at);
        const int32_t former = minted_number(*numbered_was(act->form, other)); /* may be asked for still */
        last = numbered_number(other) > last ? numbered_number(other) : last;
        last = former > last ? former : last;
    }
    *(int32_t *)item = last + 1;
    (void)snprintf(command, sizeof command, "%s add", act->word);
    TRY(record_validate(act->form->item, item, command, err));
    TRY(act->check(state, place, item, found, err));
    memcpy(item_at(act->form, &place->set, place->set.count++), item, act->form->item->size);
    return STATUS_OK;
}

/* The findings of a further item. A refusal of its own comes after what is doubted of those before it. */
static enum status put_all(struct state *state, const struct numbered_act *act, struct numbered_place *place,
                           const struct numbered_items *items, struct draft *out, const void **equal, struct err *err)
{
    struct judged *further = NULL;
    size_t added = 0;
    TRY(arena_take(state->arena, items->count, sizeof *further, &further, err));
    out->further = further;
    for (size_t at = 0; at < items->count; at++) {
        struct numbered_found found = {.measured = NULL};
        void *item = (char *)items->first + at * act->form->item->size;
        if (put(state, act, place, item, &found, equal, err) != STATUS_OK)
            return added ? draft_refuse(state, out, err) : err->status;
        if (*equal)
            continue;
        if (added++)
            further[out->further_count++] = (struct judged){place->target->hole_name, found.findings};
        else
            out->findings = found.findings;
        out->measured = found.measured;
        TRY(keep(state, act->form, item, (void **)&out->changed.after, err));
    }
    return STATUS_OK;
}

enum status numbered_add(struct state *state, const struct numbered_act *act, const struct target *target,
                         const struct numbered_items *items, struct draft *out, struct err *err)
{
    struct numbered_place place;
    const void *equal = NULL;
    draft_init(out);
    TRY(check_hole_stands(target, err));
    TRY(open_place(state, act->form, target, items->count, &place, err));
    out->changed.part = act->form->item;
    TRY(put_all(state, act, &place, items, out, &equal, err));
    if (!out->changed.after) {
        assert(equal);
        return present(state, act->form, target, equal, out, err);
    }
    return write_set(state, act, &place, out, err);
}

/* What is doubted of it as it shall be, and was not before. */
static enum status judge_amended(struct state *state, const struct numbered_act *act,
                                 const struct numbered_place *place, const void *before, struct draft *out,
                                 struct err *err)
{
    struct numbered_found found = {.measured = NULL};
    struct numbered_found then = {.measured = NULL};
    struct err refused = {0}; /* what cannot be worked out before has no doubts that could be settled */
    TRY(act->check(state, place, out->changed.after, &found, err));
    if (!*numbered_withdrawn(act->form, (void *)before)) {
        const enum status status = act->check(state, place, before, &then, &refused);
        if (status == STATUS_OK)
            findings_settle(&found.findings, &then.findings);
        else if (status == STATUS_SYSTEM) {
            *err = refused;
            return status;
        }
    }
    out->findings = found.findings;
    out->measured = found.measured;
    return STATUS_OK;
}

/* The item of the number, to be changed. */
static enum status find_standing(const struct numbered_act *act, const struct numbered_place *place, int32_t number,
                                 void **out, struct err *err)
{
    char typed[24];
    *out = find_item(act->form, &place->set, number);
    if (*out)
        return STATUS_OK;
    (void)snprintf(typed, sizeof typed, "%d", (int)number);
    err_set(err, STATUS_UNKNOWN, typed, "hole %s has no %s of this number", place->target->hole_name, act->form->noun);
    return err_hint(err, "they are listed by: coretally %s list %s", act->word, place->target->hole_name);
}

enum status numbered_amend(struct state *state, const struct numbered_act *act, const struct target *target,
                           const void *changed, struct draft *out, struct err *err)
{
    return numbered_keep(state, act, target, &(struct numbered_kept){.changed = changed}, out, err);
}

enum status numbered_keep(struct state *state, const struct numbered_act *act, const struct target *target,
                          const struct numbered_kept *kept, struct draft *out, struct err *err)
{
    const void *const changed = kept->changed;
    struct numbered_place place;
    void *item = NULL;
    void *before = NULL;
    void *after = NULL;
    draft_init(out);
    TRY(open_place(state, act->form, target, 0, &place, err));
    TRY(find_standing(act, &place, numbered_number(changed), &item, err));
    const bool is_equal = record_is_equal(act->form->item, changed, item);
    if (is_equal && !kept->open.count)
        return present(state, act->form, target, item, out, err);
    TRY(check_hole_stands(target, err));
    TRY(keep(state, act->form, item, &before, err));
    memcpy(item, changed, act->form->item->size);
    raise_version(act->form, item);
    TRY(keep(state, act->form, item, &after, err));
    out->changed = (struct changed){act->form->item, before, after};
    out->needs_reason = true;
    TRY(judge_amended(state, act, &place, before, out, err));
    findings_open(&out->findings, &kept->open);
    return write_set(state, act, &place, out, err);
}

enum status numbered_withdraw(struct state *state, const struct numbered_act *act, const struct target *target,
                              const struct numbered_withdrawal *withdrawal, struct draft *out, struct err *err)
{
    struct numbered_place place;
    void *item = NULL;
    void *after = NULL;
    draft_init(out);
    TRY(open_place(state, act->form, target, 0, &place, err));
    TRY(find_standing(act, &place, withdrawal->number, &item, err));
    if (*numbered_withdrawn(act->form, item)) {
        char name[60];
        (void)snprintf(name, sizeof name, "%s %d", act->form->noun, (int)withdrawal->number);
        return draft_withdrawn(state, out, name, *numbered_withdrawn(act->form, item), err);
    }
    *numbered_withdrawn(act->form, item) = withdrawal->reason;
    raise_version(act->form, item);
    TRY(keep(state, act->form, item, &after, err));
    out->changed = (struct changed){.part = act->form->item, .after = after};
    out->needs_reason = true;
    return write_set(state, act, &place, out, err);
}
