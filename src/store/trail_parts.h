/* SPDX-License-Identifier: MIT */
/* What the files of the trail share: how the paths look at a commit, and how they looked where two lines parted. */
#ifndef CORETALLY_STORE_TRAIL_PARTS_H
#define CORETALLY_STORE_TRAIL_PARTS_H

#include "internal.h"

struct look {
    git_oid id;
    bool absent;
};

/* All paths at one commit. */
struct looks {
    struct looks *next; /* among those that are free */
    size_t turn;        /* which of its paths the thing stands at */
    struct look above;
    struct look at[];
};

struct trail {
    struct store *store;
    struct arena arena;
    const char **paths;
    size_t count;
    const struct history_path *turns; /* in place of the one path: where the thing stood, back in time; NULL */
    size_t turn_count;
    const char *above;     /* the folder that holds them all; "" for none */
    struct looks *free;    /* that can be used again */
    struct node **pending; /* acts that can come next */
    size_t pending_count;
    size_t pending_room;
    struct node **slots; /* all acts, once two lines were met: both may lead to one */
    size_t slot_room;
    size_t slot_count;
    bool is_forked;
    bool is_skewed; /* an act was seen that is younger than one that stands on it */
    int asked;      /* how often it was asked whether one leads to another */
};

/* From an act to the one before it. */
struct way {
    git_oid parent;
    struct looks *looks; /* there; NULL: there is no parent */
    struct look before;  /* of the first path */
    uint64_t touched;
};

struct node {
    git_oid id;
    git_time_t time;
    struct look there; /* of the first path */
    bool is_join;
    bool is_pending;
    bool is_done; /* told, or left out */
    struct way ways[TRAIL_LINES_MAX];
    size_t way_count;
};

/* trail_run.c: from a commit, where the paths look so, to the next act, itself or one behind it; NULL where there is
 * none. Takes over both. */
MUST_CHECK enum status trail_run(struct trail *trail, git_commit *from, struct looks *looks, struct node **out,
                                 struct err *err);

/* trail_looks.c: */
MUST_CHECK enum status looks_take(struct trail *trail, struct looks **out, struct err *err);
void looks_give_back(struct trail *trail, struct looks *looks);

/* All paths at a commit. */
MUST_CHECK enum status looks_first(struct trail *trail, git_tree *tree, struct looks *out, struct err *err);

/* From how they look at a commit (its tree) to one before it, with what differs. */
MUST_CHECK enum status looks_back(struct trail *trail, const git_oid *tree, const struct looks *now, git_commit *before,
                                  struct looks *then, uint64_t *touched, struct err *err);

/* What is there at all. */
uint64_t looks_present(const struct trail *trail, const struct looks *looks);

/* Do the paths at a parent differ from where the two lines of a join parted? *base (may be NULL): the commit with the
 * same looks, all zero where they differ or where the lines began apart. */
MUST_CHECK enum status looks_own(struct trail *trail, git_commit *join, git_commit *parent, const struct looks *there,
                                 bool *own, git_oid *base, struct err *err);

#endif
