/* SPDX-License-Identifier: MIT */
/* The commands on records that are numbered within their hole: what they take from a command line, and say. */
#ifndef CORETALLY_CMD_NUMBERED_H
#define CORETALLY_CMD_NUMBERED_H

#include "coretally/act/numbered.h"
#include "coretally/run/command.h"
#include "coretally/say/show.h"

struct numbered_command {
    const struct numbered_act *act;
    /* Arguments after the hole, and what is taken over from earlier records, before the options. *items: one, filled by
     * record_init; may be made more, in order of time. */
    enum status (*prepare)(struct run *run, const struct target *target, struct numbered_items *items, struct err *err);
    /* What was measured with a change, before it is recorded; may be NULL. */
    void (*say)(struct run *run, const struct draft *draft);
    /* What else `show` tells of an item; may be NULL. */
    size_t (*extras)(const struct target *target, const void *item, struct extra *out);
    /* What is doubted of an item and no act kept, for who is sure; may be NULL. */
    enum status (*find_open)(struct run *run, const struct target *target, const void *item, struct findings *out,
                             struct err *err);
};

enum { EXTRAS_MAX = 4 };

/* Beside a list: which of them a join gave their numbers. */
void numbered_tell_former(struct run *run, const struct numbered_form *form, const struct numbered_set *set);

/* Whole commands. */
MUST_CHECK enum status run_numbered_add(struct run *run, const struct numbered_command *command, struct err *err);
MUST_CHECK enum status run_numbered_amend(struct run *run, const struct numbered_command *command, struct err *err);
MUST_CHECK enum status run_numbered_withdraw(struct run *run, const struct numbered_command *command, struct err *err);
MUST_CHECK enum status run_numbered_show(struct run *run, const struct numbered_command *command, struct err *err);

#endif
