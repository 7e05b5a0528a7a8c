/* SPDX-License-Identifier: MIT */
/* The registry as git has it, for who looks whether it is sound: folders with the modes of what stands in them, what a
 * commit changed, the commits that led to a state. What cannot be read is an answer here and no end of the walk, so
 * that everything else is looked at, too. */
#ifndef CORETALLY_STORE_WALK_H
#define CORETALLY_STORE_WALK_H

#include "coretally/store/store.h"

/* Open for reading at a state (store_stand_at), or at the whole id of a commit, which no branch need lead to; "" is the
 * tip. objects: further folders of git objects,
 * separated by ':', such as a push that is not accepted yet stands in; NULL for none. */
MUST_CHECK enum status store_open_at(const char *path, const char *commit, const char *objects, struct store **out,
                                     struct err *err);

/* The plain mode of a file, and what a folder has. */
enum { MODE_FILE = 0100644, MODE_FOLDER = 040000 };

struct entry {
    const char *name;
    char id[COMMIT_ID_MAX];
    unsigned mode;
};

struct entries {
    struct entry *items; /* in git's order */
    size_t count;
};

/* What stands in a folder ("" is the root) at the state; none where there is no such folder. */
MUST_CHECK enum status store_entries(struct store *store, const char *folder, struct arena *arena, struct entries *out,
                                     struct err *err);

/* Bytes by the id of an entry. path is for the refusal. */
MUST_CHECK enum status store_bytes(struct store *store, const char *id, const char *path, struct arena *arena,
                                   struct bytes *out, struct err *err);

/* A file that differs between two commits; an id is "" on the side where there is none. */
struct difference {
    const char *path;
    char older[COMMIT_ID_MAX];
    char newer[COMMIT_ID_MAX];
    unsigned older_mode; /* 0: not there */
    unsigned newer_mode;
    const char *why; /* not NULL: a folder that could not be compared, and why; path is its own */
};

struct differences {
    struct difference *items;
    size_t count;
    size_t room;
};

/* Every file that differs; older "" for an empty tree. Equal folders are not looked into, so the cost is that of the
 * change. */
MUST_CHECK enum status store_differences(struct store *store, const char *older, const char *newer, struct arena *arena,
                                         struct differences *out, struct err *err);

/* A commit with what it says of the act and where it stands. */
struct act_told {
    struct commit commit;
    const char *kind;   /* "core add"; NULL when it names none */
    bool is_signed;     /* by a key: keys.h */
    bool is_lengthened; /* more is said than an act says: a second line, a paragraph, or one of our trailers twice */
    size_t parent_count;
    char parent[COMMIT_ID_MAX]; /* the first; "" when there is none */
};
MUST_CHECK enum status store_act(struct store *store, const char *id, struct arena *arena, struct act_told *out,
                                 struct err *err);

/* The line of an act as its commit tells it: one line, without what a message cannot hold. */
MUST_CHECK enum status store_line_told(const char *line, struct arena *arena, const char **out, struct err *err);

/* Did it change anything at path, a file or a folder with all that is in it, against its first parent? */
MUST_CHECK enum status store_touches(struct store *store, const char *id, const char *path, bool *out, struct err *err);

struct commits {
    char (*ids)[COMMIT_ID_MAX]; /* oldest first */
    size_t count;
    const char *broken; /* the commit that could not be read, where the history ends too early; NULL */
    const char *why;
};

/* The commits that led to the state and not to since; since "" for all of them. */
MUST_CHECK enum status store_commits(struct store *store, const char *since, struct arena *arena, struct commits *out,
                                     struct err *err);

/* The newest commits of a state (store_stand_at), sorted by id: one, but for a time by which several lines had not been
 * joined yet. late: what a time leaves out. */
MUST_CHECK enum status store_heads(struct store *store, const char *state, struct arena *arena, struct commits *out,
                                   struct late_acts *late, struct err *err);

/* The commits that led to the state and to none of these, in no order: what it holds beyond them. */
MUST_CHECK enum status store_beyond(struct store *store, const struct commits *heads, struct arena *arena,
                                    struct commits *out, struct err *err);

/* Where the store stands now is the state of a time, which leaves these acts out, and for which this many lines were
 * joined in memory (0: it is a commit of the registry). Lasts until it stands elsewhere. */
void store_stand_for(struct store *store, const struct late_acts *late, size_t lines);

/* What kind of state this is, as it was typed; what is none of the others is a time. */
enum state_kind { STATE_COMMIT, STATE_TAG, STATE_BRANCH, STATE_TIME };
MUST_CHECK enum status store_state_kind(struct store *store, const char *state, enum state_kind *out, struct err *err);

/* Does the history of the state hold this commit? False also where the registry has none of this id. */
MUST_CHECK enum status store_descends(struct store *store, const char *ancestor, bool *out, struct err *err);

/* The ids of a history, for many such questions. */
struct lineage {
    char (*ids)[COMMIT_ID_MAX]; /* sorted */
    size_t count;
};
void lineage_sort(struct lineage *lineage);
bool lineage_has(const struct lineage *lineage, const char *id);

#endif
