/* SPDX-License-Identifier: MIT */
/* What first.c stands on: the lines of acts between the joins of a history (line.c), and the flaws of one file at a
 * commit (glance.c). */
#ifndef CORETALLY_VERIFY_FIRST_H
#define CORETALLY_VERIFY_FIRST_H

#include "coretally/store/merge.h"
#include "parts.h"

/* --- line.c --- */

/* A commit that was met. */
struct line_node {
    char id[COMMIT_ID_MAX];
    struct parents parents;
    const struct line_node *end; /* of its line; NULL: not known yet */
};

/* Those that were met, by id. */
struct line_map {
    struct arena *arena;
    struct line_node **slots; /* a power of two, at most half full */
    size_t room;
    size_t count;
};

MUST_CHECK enum status line_find(struct line_map *map, struct store *store, const char *id,
                                 const struct line_node **out, struct err *err);

/* Back along first parents to the next commit that has not one parent: a join, or the first of all. */
MUST_CHECK enum status line_end(struct line_map *map, struct store *store, const struct line_node *from,
                                const struct line_node **out, struct err *err);

/* --- glance.c --- */

/* A flaw as it is told apart from others of its file. */
enum { MARK_RULE_MAX = 40 };
struct mark {
    enum flaw flaw;
    const char *item;
    char rule[MARK_RULE_MAX]; /* the word of a rule that is broken; "" */
};
struct mark mark_of(const struct flaw_found *found);
bool mark_is_same(const struct mark *a, const struct mark *b);

/* What a file showed while all that it rests on had these ids. */
struct glance {
    struct glance *next;
    const char *key;
    struct mark *marks;
    size_t count;
};
bool glance_has(const struct glance *glance, const struct mark *mark);

/* A file under the eyes. */
struct sight {
    struct sight *next;
    struct place_known place;
    struct glance *glances;
};

struct sights {
    struct verify *verify;
    struct state aside; /* what is worked out ends with it */
    struct store *store;
    struct sight *all;
};
void sights_begin(struct sights *sights, struct verify *verify);
void sights_end(struct sights *sights);

/* *out NULL: a file of which nothing can be open. */
MUST_CHECK enum status sight_find(struct sights *sights, const char *path, struct sight **out, struct err *err);
/* The flaws of a file at a commit, where sights->store stands then. */
MUST_CHECK enum status sight_look(struct sights *sights, struct sight *sight, const char *commit, struct glance **out,
                                  struct err *err);

#endif
