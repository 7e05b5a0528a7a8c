/* SPDX-License-Identifier: MIT */
/* Every commit that led to a state, with the time when it came in. Inside the store layer only. */
#ifndef CORETALLY_STORE_ANCESTRY_H
#define CORETALLY_STORE_ANCESTRY_H

#include "internal.h"

struct ancestor {
    git_oid id;
    size_t parents; /* where they begin in the list of parents */
    size_t parent_count;
    int64_t done_us;
    int64_t came_in_us;
    size_t came_in_with; /* the one that has this time */
    size_t held_since;   /* the place in the line that was the first to hold it */
};

struct ancestry {
    struct arena arena;
    struct ancestor *items;
    size_t count;
    size_t room;
    size_t *parents;
    size_t parent_count;
    size_t parent_room;
    size_t *order; /* all of them, each behind its parents; it follows from the commits alone */
    size_t *line;  /* first parents, oldest first */
    size_t line_count;
    size_t *table; /* where an id stands, by its first bytes; SIZE_MAX: nowhere */
    size_t table_room;
};

/* When a commit was done, and the later one of that and of when git wrote it here. */
int64_t ancestor_times(const git_commit *commit, int64_t *done_us);

/* Each commit is read once. Clear it, also after a refusal. */
MUST_CHECK enum status ancestry_read(const struct store *store, struct ancestry *out, struct err *err);
void ancestry_clear_at(struct ancestry *it);

/* A commit that only joins is no act. */
bool ancestor_is_act(const struct ancestor *it);

#endif
