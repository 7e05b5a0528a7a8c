/* SPDX-License-Identifier: MIT */
/* The registry in git: one bare repository (or a clone with a work tree), one
 * branch, one act a commit. This header knows paths and bytes; registry.h
 * knows records.
 *
 * Reading:
 *     struct store *store = NULL;
 *     TRY(store_open(path, STORE_READ, NULL, &store, err));
 *     struct bytes text;
 *     TRY(store_read(store, "holes/U0012A/hole.json", arena, &text, err));   text.data NULL: not there
 *     store_close(store);
 *
 * Writing: open with STORE_WRITE, which takes the registry's kernel lock and
 * then reads the tip ONCE; read, check, and
 *     TRY(store_append(store, &act, changes, count, &commit, err));
 * makes one commit on that tip and moves the branch by compare-and-swap. All
 * our writers wait for one another at store_open; a git client or a writer on
 * another machine may still have moved the branch meanwhile. Then, if nothing
 * that this store has read (contents, absences and listings) differs on the
 * new tip, the same changes are redone on it; if something does, the
 * answer is STATUS_CONFLICT, naming the other act, its author and time.
 * Nothing is acknowledged before it is on disk.
 */
#ifndef CORETALLY_STORE_STORE_H
#define CORETALLY_STORE_STORE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "coretally/base/arena.h"
#include "coretally/base/clock.h"
#include "coretally/base/err.h"
#include "coretally/base/text.h"

struct store;

enum store_mode { STORE_READ, STORE_WRITE };

enum { COMMIT_ID_MAX = 41, PATH_TEXT_MAX = 4096 };

/* Who acts, from where, when. Author and mail as git would use them. */
struct actor {
    const char *name;
    const char *mail;
    const char *station;
    struct instant when;
};

/* What a commit says: a line in trade words, the kind of act ("core add"), why (may be NULL). */
struct act {
    const char *line;
    const char *kind;
    const char *reason;
    struct actor actor;
};

/* New contents of one path; data NULL removes it: a day of a withdrawn log, or the path that a renamed core leaves. */
struct change {
    const char *path;
    struct bytes bytes;
};

/* One commit, as history tells it. The strings live in the arena of the call. */
struct commit {
    char id[COMMIT_ID_MAX];
    const char *line;
    const char *author;
    const char *mail;
    const char *committer; /* who had git write it; an act's author, unless it was made or set on top by plain git */
    const char *committer_mail;
    const char *station; /* NULL when the commit has no station */
    const char *reason;  /* NULL when none was given */
    struct instant when; /* it was done */
    struct instant here; /* git wrote it: later where a rebase wrote it anew */
};

/* Make a registry at path: a bare repository on branch main with its first commit. Refused when something is there. */
MUST_CHECK enum status store_create(const char *path, const struct act *act, const struct change *changes, size_t count,
                                    char id[COMMIT_ID_MAX], struct err *err);

/* The registry to use: named if not NULL (a bare repository, or a folder holding .git or registry.git), else the
 * nearest from folder upward: the folder itself, its registry.git, its .git, if its tip holds expedition.json. A .git
 * that is a file is followed to where it leads (worktree, module, git folder kept apart). What stands in such a place
 * and cannot be followed ends the search. STATUS_UNKNOWN with a hint how to start one. */
MUST_CHECK enum status store_find(const char *named, const char *folder, char out[PATH_TEXT_MAX], struct err *err);

/* talk (may be NULL) receives the rare line that a person should read: a lock of a dead writer removed, a
 * clone's file left alone because a person changed it, waiting for another station for longer than a second. */
MUST_CHECK enum status store_open(const char *path, enum store_mode mode, FILE *talk, struct store **out,
                                  struct err *err);
/* store_find and store_open in one, so that the registry is opened once; path is where it was found. */
MUST_CHECK enum status store_open_found(const char *named, const char *folder, enum store_mode mode, FILE *talk,
                                        char path[PATH_TEXT_MAX], struct store **out, struct err *err);
void store_close(struct store *store);

/* Answer from an earlier state: a commit by full or short id, a tag, a branch (main; origin/main as it was fetched
 * last), or a time (RFC 3339; a date alone: the end of that day, UTC). A time means what had come in by then on any
 * line, where an act counts from the latest time on it and on all that it stands on: of its author, and of the
 * committer, which a rebase sets anew. For a store opened to read. STATUS_UNKNOWN where there is no such state,
 * STATUS_RULE for a time in a clone that lacks the older part of its history, or by which several lines had not been
 * joined (join/join.h joins them), STATUS_INPUT for anything else. Cost of a time: the whole history is read. */
MUST_CHECK enum status store_stand_at(struct store *store, const char *state, struct err *err);

/* Acts done by a time that came into the history after it, so that the state of that time is without them. */
struct late_acts {
    size_t count;
    char first[COMMIT_ID_MAX];  /* the first of them along the history */
    struct instant came_in;     /* when that one did */
    char behind[COMMIT_ID_MAX]; /* the commit that has this time: itself, where git wrote it anew, or one before it */
    char whole[COMMIT_ID_MAX];  /* the first state that has them all */
    size_t later;               /* acts in that state that were done after the time */
};
/* Those of the time that the store stands at; NULL: none, or it stands at no time. */
const struct late_acts *store_late(const struct store *store);

/* How many lines were joined in memory for the time that the store stands at: the id of such a state names no commit of
 * the registry. 0: it stands at one. */
size_t store_lines(const struct store *store);

/* When the state came in: the latest time of an author or a committer on its commit and on all that led to it. Reading
 * stops where enough_us is reached, which is mostly at the first commit. In a clone that lacks the older part of its
 * history the newest commit alone tells it. */
MUST_CHECK enum status store_came_in(struct store *store, int64_t enough_us, int64_t *out_us, struct err *err);

/* Is this a clone that lacks the older part of its history? */
bool store_is_shallow(const struct store *store);

/* Does this clone stand on a single commit, and on no branch? Then it is read, and not written to. */
bool store_is_detached(const struct store *store);

/* The same registry once more, for reading, at a state of its own; NULL: where store stands; "": at the tip. It is
 * closed before store is, and finds what an act tried on store has made. */
MUST_CHECK enum status store_open_beside(const struct store *store, const char *state, struct store **out,
                                         struct err *err);

/* The state twice, for reading: as it is, and as it would be with these changes. Nothing is written; what is new lives
 * in memory. What is read or listed of the first counts as read by store, so that what was told of the changes holds
 * when they are appended. */
MUST_CHECK enum status store_try(struct store *store, const struct change *changes, size_t count, struct store *out[2],
                                 struct err *err);

/* The hash that git has of these bytes, as an evidence file is named by it. */
enum { HASH_TEXT_MAX = COMMIT_ID_MAX };
MUST_CHECK enum status store_hash(struct bytes bytes, char out[HASH_TEXT_MAX], struct err *err);

/* Commit that every read of this store answers from. */
const char *store_state(const struct store *store);

/* Where it is, as store_open_at takes it. */
const char *store_folder(const struct store *store);

/* The id that git has of a file, or of a folder with all that is in it, at the state; "" where there is nothing. */
MUST_CHECK enum status store_id(struct store *store, const char *path, char out[HASH_TEXT_MAX], struct err *err);

/* The id of the file at path, "" where there is none; refused and remembered as store_read does. */
MUST_CHECK enum status store_look(struct store *store, const char *path, char out[HASH_TEXT_MAX], struct err *err);

/* Bytes of a file at the state; data NULL when there is none. */
MUST_CHECK enum status store_read(struct store *store, const char *path, struct arena *arena, struct bytes *out,
                                  struct err *err);

struct names {
    const char **items; /* sorted by byte value; folders end in '/' */
    size_t count;
};

/* Names in a folder at the state; none when the folder is not there. "" is the root. STATUS_DAMAGED where a file stands
 * in its place, where anything but files and folders stands in it, and for more or longer names than a registry has. */
MUST_CHECK enum status store_list(struct store *store, const char *folder, struct arena *arena, struct names *out,
                                  struct err *err);

/* One commit, or nothing. STATUS_OK also when the changes equal what is there: then id is the state and *made is
 * false. bulk: objects are synced together once instead of one by one (same promise, for imports). */
MUST_CHECK enum status store_append(struct store *store, const struct act *act, const struct change *changes,
                                    size_t count, bool bulk, char id[COMMIT_ID_MAX], bool *made, struct err *err);

/* Name, mail and station as git's environment and settings have them (GIT_AUTHOR_NAME, GIT_AUTHOR_EMAIL, then
 * user.name, user.email; station from coretally.station, else the host's name). environment reads a variable;
 * STATUS_INPUT with the git command to type when there is no name. when is left to the caller. */
typedef const char *environment_read(void *context, const char *variable);
MUST_CHECK enum status store_actor(struct store *store, environment_read *environment, void *context,
                                   struct arena *arena, struct actor *out, struct err *err);

/* Commits that changed anything at one of these paths (files, or folders with all that is in them), from the state back
 * along all parents: children before parents, else the latest first. A join is among them where both sides changed
 * something there since they parted; two lines are then behind it. Where one side alone did, the way goes on there, and
 * where none did, at the commit where they parted. Cost: one comparison a commit where the folder above all paths is as
 * it was, one a path where it is not. */
enum { TRAIL_PATHS_MAX = 64, TRAIL_LINES_MAX = 2 };
struct trail;
struct trail_line {
    char parent[COMMIT_ID_MAX]; /* of the act, on this line; "" for the first commit */
    char older[COMMIT_ID_MAX];  /* the next one of these acts there; "": none */
    uint64_t touched;           /* bit N: path N differs from the parent */
    char id[HASH_TEXT_MAX];     /* of what the first path has there; "": nothing */
};
struct trail_act {
    struct commit commit;
    bool is_join; /* it is nobody's; but what neither line has was put there by whoever merged by hand */
    char id[HASH_TEXT_MAX];
    struct trail_line lines[TRAIL_LINES_MAX];
    size_t line_count; /* 1 or 2 */
    uint64_t touched;  /* on any line */
};
MUST_CHECK enum status trail_open(struct store *store, const char *const *paths, size_t count, struct trail **out,
                                  struct err *err);
MUST_CHECK enum status trail_next(struct trail *trail, struct arena *arena, struct trail_act *act, bool *more,
                                  struct err *err);
/* The act of this id, which a line of one that was told leads to, is not told, nor what is behind it alone. */
void trail_drop(struct trail *trail, const char *id);
/* Was it a join whose first path has the same bytes on one side? The other one, where it differs, is then left out. */
bool trail_pass(struct trail *trail, const struct trail_act *act);
void trail_close(struct trail *trail);

/* The same for one thing whose file was moved: its present path, then back in time. It is looked for at the next path
 * where an act has it and the state before does not: nor anything at sign (NULL: whatever stands there), and with the
 * commit behind it (NULL: any). With a holder it is at the path only where that file holds the text: another thing may
 * have stood there on its line. The paths last as long as the trail. */
struct history_path {
    const char *path;
    const char *sign;
    const char *behind; /* the whole id of a commit */
    const char *holder; /* NULL: the thing is there where the file is */
    const char *holds;  /* what the holder tells it by */
};
MUST_CHECK enum status trail_open_turning(struct store *store, const struct history_path *paths, size_t count,
                                          struct trail **out, struct err *err);

/* Versions of one file that led to the present one, newest first: each call gives the commit that put the present bytes
 * there and their id ("": the path was absent); STATUS_OK with *more false at the end. At a join the way is that of the
 * side that has the same bytes; where neither has, the join is told, and then both sides. */
struct history;
MUST_CHECK enum status history_open(struct store *store, const char *path, struct history **out, struct err *err);
MUST_CHECK enum status history_next(struct history *history, struct arena *arena, struct commit *commit,
                                    char id[HASH_TEXT_MAX], bool *more, struct err *err);
/* The bytes of such a version. path is for the refusal. */
MUST_CHECK enum status history_bytes(struct store *store, const char *id, const char *path, struct arena *arena,
                                     struct bytes *out, struct err *err);
void history_close(struct history *history);

/* Is a commit, by its whole id, another one or behind it? False also where the registry has none of this id. */
MUST_CHECK enum status store_leads(struct store *store, const char *ancestor, const char *commit, bool *out,
                                   struct err *err);

/* The commit at the tip of the state, and any commit by full or short id. */
MUST_CHECK enum status store_commit(struct store *store, const char *id, struct arena *arena, struct commit *out,
                                    struct err *err);

#endif
