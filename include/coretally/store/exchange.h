/* SPDX-License-Identifier: MIT */
/* Acts brought from another registry, or sent there: a folder, an address, a file made for mail or a stick. Git's own
 * client carries them (store/client.h), since it speaks over networks and packs what it sends small; without one a
 * folder can still be joined from.
 *
 *     struct other other;
 *     TRY(other_find(store, folder, typed, arena, &other, err));
 *     TRY(other_bring(store, &other, arena, &brought, err));     its objects are here; no lock is held meanwhile
 *     ... store_lock, join_make, store_advance ...
 *     other_let_go(store);
 *
 * What is brought is held by refs/coretally/from/PROCESS until it is let go, so that git keeps it. Whoever is killed
 * leaves that behind; the next one takes it away.
 */
#ifndef CORETALLY_STORE_EXCHANGE_H
#define CORETALLY_STORE_EXCHANGE_H

#include "coretally/store/merge.h"

enum other_kind {
    OTHER_PLACE, /* a folder of this machine or of a stick: bare, or a clone */
    OTHER_FAR,   /* an address, or a remote that has one */
    OTHER_FILE,  /* made by exchange_write */
    OTHER_HERE,  /* a branch or tag of this registry, such as one that git fetch has moved */
};

/* The registry that acts come from or go to. */
struct other {
    enum other_kind kind;
    const char *typed;          /* as it was typed, or "origin" */
    const char *place;          /* what git is told: a path, an address, the name of a remote, the branch */
    const char *folder;         /* of OTHER_PLACE: where git keeps it; NULL else */
    char commit[COMMIT_ID_MAX]; /* of OTHER_HERE and OTHER_FILE: where it stands; "" else */
};

/* What was typed; NULL: the remote called origin. A remote goes before a folder, and that before a branch.
 * STATUS_UNKNOWN where it is none of them, STATUS_INPUT for a file that is none of ours, STATUS_RULE for one that
 * builds on commits that are not here. */
MUST_CHECK enum status other_find(struct store *store, const char *folder, const char *typed, struct arena *arena,
                                  struct other *out, struct err *err);

struct brought {
    char tip[COMMIT_ID_MAX];
    int64_t bytes; /* that came over; 0: nothing had to, or it is not known */
};

/* Its objects come here. STATUS_UNKNOWN where nothing has been recorded there. */
MUST_CHECK enum status other_bring(struct store *store, const struct other *other, struct arena *arena,
                                   struct brought *out, struct err *err);
void other_let_go(struct store *store);

/* Where the other stands, without bringing anything. */
struct standing {
    char tip[COMMIT_ID_MAX]; /* "": nothing has been recorded there */
    const char *branch;      /* "refs/heads/main"; NULL: it stands on a single commit */
};
MUST_CHECK enum status other_ask(struct store *store, const struct other *other, struct arena *arena,
                                 struct standing *out, struct err *err);

/* A commit of ours becomes the tip of its branch. STATUS_CONFLICT: it has moved meanwhile; STATUS_RULE: the hook there
 * refuses it, and *words is what it said ("" else), in lines; or it is a clone with files. */
MUST_CHECK enum status other_push(struct store *store, const struct other *other, const char *branch,
                                  const char *commit, struct arena *arena, const char **words, struct err *err);

/* How many bytes go over for what is behind tip and not behind since ("": all of it). It is packed for that, as it is
 * once more when it goes. */
MUST_CHECK enum status exchange_weigh(struct store *store, const char *tip, const char *since, struct arena *arena,
                                      int64_t *out, struct err *err);

/* The way from one commit, since, to a later one that has it behind itself, as long as there is one: each commit has
 * the one before it behind itself, so each can be the tip of a branch that stood on the one before it. since "": from
 * the first commit. */
MUST_CHECK enum status exchange_way(struct store *store, const char *tip, const char *since, struct arena *arena,
                                    struct commits *out, struct err *err);

/* One file with what the state of the store has behind it, and a commit, since, has not ("": all). tip: what it leads
 * to. Never over something without replace. */
struct written {
    char tip[COMMIT_ID_MAX];
    int64_t bytes;
};
MUST_CHECK enum status exchange_write(struct store *store, const char *path, const char *since, bool replace,
                                      struct arena *arena, struct written *out, struct err *err);

/* Of a store that was opened to read: the lock of the registry, unless it has it, and the tip read anew. */
MUST_CHECK enum status store_lock(struct store *store, struct err *err);
/* Others may record; the store goes on as one that was opened to read. */
void store_unlock(struct store *store);

/* Does the registry hold this commit? */
bool store_holds(struct store *store, const char *commit);

/* Did a git merge in this clone stop half way? */
bool store_is_merging(const struct store *store);

#endif
