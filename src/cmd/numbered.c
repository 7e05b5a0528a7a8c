/* SPDX-License-Identifier: MIT */
/* Add, amend, withdraw and show for records that are numbered within their hole. */
#include "numbered.h"

#include <assert.h>
#include <string.h>

#include "coretally/state/namesake.h"
#include "run_commit.h"

/* The item that the second argument numbers. */
static enum status find_item(struct run *run, const struct numbered_act *act, const struct target *target,
                             const void **out, struct err *err)
{
    struct numbered_set set;
    void *wanted = NULL;
    TRY(numbered_set_read(run->state, act->form, target->hole_name, &set, err));
    TRY(arena_take(run->state->arena, 1, act->form->item->size, &wanted, err));
    record_init(act->form->item, wanted);
    if (run_set(run->state, act->form->item, "number", run->args[1], INT_NONE, wanted, err) != STATUS_OK)
        return err_hint(err, "the numbers are listed by: coretally %s list %s", act->word, target->hole_name);
    const struct minted_group group = {.hole = target->hole_name, .form = act->form};
    TRY(namesake_carry_number(run->state, &group, act->form->noun, wanted, err)); /* its first member */
    *out = numbered_find(act->form, &set, numbered_number(wanted));
    if (*out)
        return STATUS_OK;
    err_set(err, STATUS_UNKNOWN, run->args[1], "hole %s has no %s of this number", target->hole_name, act->form->noun);
    return err_hint(err, "they are listed by: coretally %s list %s", act->word, target->hole_name);
}

void numbered_tell_former(struct run *run, const struct numbered_form *form, const struct numbered_set *set)
{
    for (size_t at = 0; at < set->count; at++) {
        void *item = (char *)set->items + at * form->item->size;
        const int32_t former = minted_number(*numbered_was(form, item));
        if (former)
            (void)fprintf(run->talk, "note: %s %d was %d before the registries were joined\n", form->noun,
                          (int)numbered_number(item), (int)former);
    }
}

static enum status finish(struct run *run, const struct numbered_command *command, const struct draft *draft,
                          struct err *err)
{
    if (draft->kind == DRAFT_CHANGE && command->say)
        command->say(run, draft);
    return run_draft(run, draft, err);
}

enum status run_numbered_add(struct run *run, const struct numbered_command *command, struct err *err)
{
    const struct table *const table = command->act->form->item;
    const struct target *const target = &run->target;
    struct numbered_items items = {.count = 1};
    struct draft draft;
    bool any = false;
    TRY(arena_take(run->state->arena, 1, table->size, &items.first, err));
    record_init(table, items.first);
    TRY(command->prepare(run, target, &items, err));
    for (size_t at = 0; at < items.count; at++)
        TRY(run_take_fields(run, table, target->hole.zone_min, (char *)items.first + at * table->size, &any, err));
    TRY(numbered_add(run->state, command->act, target, &items, &draft, err));
    return finish(run, command, &draft, err);
}

enum status run_numbered_amend(struct run *run, const struct numbered_command *command, struct err *err)
{
    const struct numbered_form *const form = command->act->form;
    const struct target *const target = &run->target;
    struct draft draft;
    const void *item = NULL;
    void *changed = NULL;
    bool any = false;
    TRY(find_item(run, command->act, target, &item, err));
    TRY(arena_take(run->state->arena, 1, form->item->size, &changed, err));
    assert(item);
    memcpy(changed, item, form->item->size);
    TRY(run_standing(run, target->hole_name, numbered_withdrawn(form, changed), err));
    TRY(run_take_fields(run, form->item, target->hole.zone_min, changed, &any, err));
    struct numbered_kept kept = {.changed = changed};
    if (command->find_open && run_option(run, "sure"))
        TRY(command->find_open(run, target, item, &kept.open, err));
    TRY(numbered_keep(run->state, command->act, target, &kept, &draft, err));
    return finish(run, command, &draft, err);
}

enum status run_numbered_withdraw(struct run *run, const struct numbered_command *command, struct err *err)
{
    const struct target *const target = &run->target;
    struct draft draft;
    const void *item = NULL;
    TRY(find_item(run, command->act, target, &item, err));
    const struct numbered_withdrawal withdrawal = {numbered_number(item), run_option(run, "reason")};
    TRY(numbered_withdraw(run->state, command->act, target, &withdrawal, &draft, err));
    return run_draft(run, &draft, err);
}

enum status run_numbered_show(struct run *run, const struct numbered_command *command, struct err *err)
{
    struct extra extras[EXTRAS_MAX];
    const struct target *const target = &run->target;
    const void *item = NULL;
    TRY(find_item(run, command->act, target, &item, err));
    const struct record_at at = record_of_numbered(target->hole_name, command->act->form->set, item);
    if (run_option(run, "history"))
        return show_history(run, &at, err);
    const size_t count = command->extras ? command->extras(target, item, extras) : 0;
    return show_record(run, target->hole_name, &at, &(struct below){extras, count, NULL, 0}, err);
}
