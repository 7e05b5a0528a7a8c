/* SPDX-License-Identifier: MIT */
/* What the files of the store share. Inside the store layer only: here stand libgit2's types. */
#ifndef CORETALLY_STORE_INTERNAL_H
#define CORETALLY_STORE_INTERNAL_H

#include <git2.h>

#include "coretally/base/limits.h"
#include "coretally/store/store.h"

enum { BRANCH_MAX = 256, LOCK_WAIT_S = 30, FOREIGN_LOCK_WAIT_MS = 10000 };

/* Something that this store answered from: if it differs on another tip, the act must be thought over. */
struct seen {
    const char *path;
    bool is_listing;
    bool absent;
    git_oid id; /* of the blob, or of the list of names */
};

/* Where the two lines of a join parted. */
enum { PARTINGS_MAX = 4 };
struct parting {
    git_oid join;
    git_oid bases[PARTINGS_MAX];
    size_t count;
};

struct store {
    git_repository *repo;
    bool is_guest;                 /* repo is that of another store, which is closed later */
    char gitdir[PATH_TEXT_MAX];    /* HEAD and the index */
    char common[PATH_TEXT_MAX];    /* objects, branches and the lock: the same folder, but for a worktree */
    char work_tree[PATH_TEXT_MAX]; /* "" for a bare repository */
    char branch[BRANCH_MAX];       /* "refs/heads/main" */
    git_oid tip;
    git_tree *tree;
    char state[COMMIT_ID_MAX];
    struct late_acts late; /* of the date that it stands at */
    size_t lines;          /* that were joined for that date; 0: none were */
    git_oid came_in_of;    /* the commit of which came_in_us is known */
    int64_t came_in_us;
    bool is_came_in_whole; /* else the history was read until it was as late as that */
    int lock_fd;           /* -1 when reading */
    bool may_mend;         /* objects: its process holds the lock */
    bool is_unsynced;      /* an object that was there already could not be brought to disk */
    FILE *talk;
    int foreign_wait_ms; /* how long a branch lock that is none of ours may stand; tests shorten it */
    struct arena arena;  /* of the read set */
    struct seen *seen;
    size_t seen_count;
    size_t seen_room;
    struct parting *partings; /* of the joins that were passed */
    size_t parting_count;
    size_t parting_room;
    struct store *noting; /* whose read set takes what is read here; NULL: its own */
};

/* STATUS_SYSTEM with libgit2's own words behind ours. */
enum status git_refused(struct err *err, const char *subject, const char *what);

/* The same for what was read: STATUS_DAMAGED, unless the machine failed and not the data. */
enum status git_unreadable(struct err *err, const char *subject, const char *what);

/* open.c: from here on it may write. */
MUST_CHECK enum status store_take_lock(struct store *store, struct err *err);

/* read.c: the blob of an id, refused with this sentence; and its bytes. */
MUST_CHECK enum status blob_find(struct store *store, const char *id, const char *path, const char *refusal,
                                 git_blob **out, struct err *err);
MUST_CHECK enum status blob_copy(const git_blob *blob, struct arena *arena, struct bytes *out, struct err *err);

/* repo.c: the same registry at the same state, for reading; what libgit2 keeps of it is shared. */
MUST_CHECK enum status store_share(const struct store *store, struct store **out, struct err *err);

/* Handle release for CLEANUP. */
void tree_free_at(git_tree **tree);
void commit_free_at(git_commit **commit);
void blob_free_at(git_blob **blob);
void reference_free_at(git_reference **reference);
void tree_entry_free_at(git_tree_entry **entry);
void object_free_at(git_object **object);
void signature_free_at(git_signature **signature);

/* spot.c: where git keeps what was recorded at path: a bare repository, a folder with .git in it, that .git itself,
 * which may be a file that leads to the place. STATUS_UNKNOWN, STATUS_INPUT for one that leads nowhere. */
struct spot {
    char gitdir[PATH_TEXT_MAX];
    char common[PATH_TEXT_MAX];
    char work_tree[PATH_TEXT_MAX];
};
/* Does anything stand there, be it a link to nothing? Is it a folder of git's; common: where its objects are. */
bool is_there(const char *path);
bool is_git_folder(const char *path, char common[PATH_TEXT_MAX]);
MUST_CHECK enum status spot_find(const char *path, struct spot *out, bool *found, struct err *err);

/* plain.c: what libgit2 will open by itself is a file, of a size that makes sense; what is not there is no fault. There
 * is STATUS_DAMAGED for a pipe or a device. The settings of git, own ones of a repository or NULL, with all that they
 * include; the files of a repository; a branch or tag. */
MUST_CHECK enum status plain_check(const char *path, int64_t bytes_max, bool *there, struct err *err);
MUST_CHECK enum status plain_settings(const char *own, struct err *err);
MUST_CHECK enum status plain_repository(const char *gitdir, const char *common, struct err *err);
MUST_CHECK enum status plain_reference(const char *common, const char *name, struct err *err);

/* Start libgit2 with what must be set before any repository is opened. */
MUST_CHECK enum status store_start(struct err *err);

/* Point the store at the commit that the branch names now. */
MUST_CHECK enum status store_read_branch(struct store *store, enum store_mode mode, struct err *err);
MUST_CHECK enum status store_read_tip(struct store *store, struct err *err);

/* Id of what stands at path in tree: *absent when nothing does. Folders answer with the id of their list of names. */
MUST_CHECK enum status tree_look(git_repository *repo, git_tree *tree, const char *path, bool is_listing, git_oid *id,
                                 bool *absent, struct err *err);
/* Refused where anything but a plain file stands at path, or anything but a folder on the way to it. */
MUST_CHECK enum status tree_check_count(const git_tree *tree, const char *folder, struct err *err);
MUST_CHECK enum status tree_check_file(git_tree *tree, const char *path, struct err *err);
MUST_CHECK enum status store_note(struct store *store, const char *path, bool is_listing, bool absent,
                                  const git_oid *id, struct err *err);

/* lock.c: the kernel lock of the registry, and branch locks that dead writers left. */
MUST_CHECK enum status lock_take(struct store *store, struct err *err);
void lock_release(struct store *store);
/* After GIT_ELOCKED: wait a little; past the bound, and with the very same lock file (in the git folder, without
 * ".lock") all along, put it aside. */
MUST_CHECK enum status lock_recover(const struct store *store, const char *locked, struct err *err);

/* sweep.c: take away what writers that were killed left among the objects, an hour ago or longer. The folder that is
 * gone through has 256 folders and what was left, however large the registry is. Never fails. */
void sweep_leftovers(const struct store *store);

/* history.c: the words of a commit (a line, then trailers), and whether this name, at this time, may sign it. */
MUST_CHECK enum status write_message(const struct act *act, struct arena *arena, const char **out, struct err *err);
MUST_CHECK enum status check_signer(const struct actor *actor, struct err *err);

/* date.c: the newest commits of the state that a time means, sorted by id, and what it leaves out. */
struct commits;
MUST_CHECK enum status date_find(const struct store *store, const char *text, struct arena *arena, struct commits *out,
                                 struct late_acts *late, struct err *err);

/* history.c: a commit as history tells it; the value of a trailer in the last paragraph of a message, NULL: none. */
MUST_CHECK enum status commit_tell(git_commit *commit, struct arena *arena, struct commit *out, struct err *err);
MUST_CHECK enum status trailer_read(const char *message, const char *key, struct arena *arena, const char **out,
                                    struct err *err);

/* guard.c: read the loose objects of a folder such that one cut short is refused, and sync those that a commit of this
 * store is about to rest on although it did not write them; is_unsynced where that failed. */
MUST_CHECK enum status guard_add(git_odb *odb, const char *folder, struct store *store, struct err *err);

/* sync.c: all of the file system; the folders that objects and the branch need; the log of the branch; one file with
 * its folder. */
MUST_CHECK enum status sync_all(const struct store *store, struct err *err);
MUST_CHECK enum status sync_before_branch(const struct store *store, struct err *err);
void sync_branch_log(const struct store *store);
MUST_CHECK bool sync_file(const char *path);

/* key_sign.c: does git's settings say that commits are signed? */
MUST_CHECK enum status key_is_wanted(git_repository *repo, bool *out, struct err *err);
bool commit_is_signed(const git_commit *commit);
struct new_commit {
    const git_oid *tree;
    const git_oid *parent; /* NULL: the first */
    const git_signature *who;
    const char *message;
};
/* Written and signed by git. STATUS_SYSTEM with its words where it could not. */
MUST_CHECK enum status commit_by_key(git_repository *repo, const struct new_commit *it, struct arena *arena,
                                     git_oid *out, struct err *err);

/* append.c: the contents of changes as objects, and the tree with them put onto base. */
MUST_CHECK enum status make_blobs(git_repository *repo, const struct change *changes, size_t count, git_oid *out,
                                  struct err *err);
MUST_CHECK enum status make_tree(git_repository *repo, git_tree *base, const struct change *changes, size_t count,
                                 const git_oid *blobs, git_oid *out, struct err *err);

/* append.c: move the branch from the store's tip to this commit, with all on disk; *moved false when somebody was
 * faster or holds it. When it has moved: the store stands there, and a work tree follows in what changed. Takes over
 * tree. */
MUST_CHECK enum status branch_move(struct store *store, const git_oid *commit, const char *kind, bool *moved,
                                   struct err *err);
void branch_moved(struct store *store, const git_oid *commit, git_tree *tree, const struct change *changes,
                  size_t count);

/* append.c: the first commit of a repository that nobody else can see yet. */
MUST_CHECK enum status append_first(git_repository *repo, const struct act *act, const struct change *changes,
                                    size_t count, char id[COMMIT_ID_MAX], struct err *err);

/* work_tree.c: bring the touched files of a work tree in step. old_tree: before the act. Never fails the act; says what
 * it left. */
void clone_update(struct store *store, git_tree *old_tree, const struct change *changes, size_t count);

#endif
