/* SPDX-License-Identifier: MIT */
/* What the files of this room share. A check reads, holds what it read against what must be so, calls flaw_add and goes
 * on; it returns a status only for what makes going on pointless: the machine failed, or memory is short. What is
 * checked, and where:
 *
 *     tree.c       every path of the state is known and a plain file; hands each hole on
 *     record.c     one file by itself: readable, byte for byte as written, under its own path, numbers once
 *     rule.c       the rules that one file can break by itself
 *     hole.c       a hole: references, rules, corrections, supersession
 *     core.c       a core with its samples: rules, references, depths, neighbours
 *     doubt.c      what the rules doubt in the state
 *     keeper.c     which act kept it, and which brought what none kept
 *     asked.c      the files that are asked about, and the acts on them
 *     then.c       what was doubted at an earlier commit
 *     rename.c     renamed cores: what a commit moved, and former names
 *     unseen.c     acts set on top of a renaming by who had not seen it
 *     label.c      labels: what they said is worked out anew at the state they name
 *     commit.c     the commits: what each changed, and what it says
 *     done.c       what the commit did against what an act of its kind does, and says
 *     change.c     a record before and after a commit: only what an act can do
 *     former.c     former numbers, which joins alone write
 *     join.c       a commit with two parents: what joining them gives
 *     first.c      where a flaw of the state first shows: in an act, or where two sides were joined
 *     line.c       the lines of acts between joins
 *     glance.c     the flaws of one file at an earlier commit
 *     signature.c  who signed a correction, and what
 *     open.c       fields that two sides set to different values: what each file of them names is there
 *     anchor.c     what left the registry, held against the history; anchor_label.c: labels among it
 *     push.c       what a push would move
 *     flaw.c       the list of flaws, and those that were found
 */
#ifndef CORETALLY_VERIFY_PARTS_H
#define CORETALLY_VERIFY_PARTS_H

#include "coretally/record/items.h"
#include "coretally/record/log_day.h"
#include "coretally/state/core_roll.h"
#include "coretally/state/read.h"
#include "coretally/state/record_at.h"
#include "coretally/verify/verify.h"

/* --- flaw.c --- */

/* A flaw that two sides can make together, each of them being right. */
bool flaw_may_be_open(enum flaw flaw);

/* --- tree.c --- */

/* The whole state. */
MUST_CHECK enum status verify_tree(struct verify *verify, struct err *err);
/* Of the state what paths lead to, everything that hangs together with them included. */
MUST_CHECK enum status verify_state_of(struct verify *verify, const struct differences *changed, struct err *err);

/* One hole of it, or of that (wanted not NULL) count cores and what is no core's. */
MUST_CHECK enum status verify_hole_of(struct verify *verify, const char *hole, const int32_t *wanted, size_t count,
                                      struct err *err);

/* --- record.c --- */

/* The bytes of a known path by themselves, decoded into record (of known->table; ignored for others). *sound: they
 * could be decoded and stand where they belong, whatever else is wrong with them. */
MUST_CHECK enum status verify_bytes(struct verify *verify, const struct place_known *place, struct bytes bytes,
                                    struct arena *arena, void *record, bool *sound, struct err *err);
/* The same of a file at the state. *sound false when it is not there. */
MUST_CHECK enum status verify_read(struct verify *verify, const struct place_known *place, struct arena *arena,
                                   void *record, bool *sound, struct err *err);
/* A record of any table, to be read into. */
MUST_CHECK enum status verify_room(const struct known_path *known, struct arena *arena, void **out, struct err *err);

/* The rules that one file can break by itself. */
void verify_rules_of(struct verify *verify, const struct place_known *place, const void *record);

/* Findings of the rules that refuse: rows. doubt: words of rules that the record was kept against; may be NULL. */
void verify_rules(struct verify *verify, const char *path, const char *item, const struct findings *findings,
                  const char *doubt);

/* --- doubt.c --- */

/* What is doubted of a record of the state, or a part of it, and the words that it is marked with (NULL: none): kept in
 * mind. */
void verify_doubts(struct verify *verify, const char *path, const char *item, const struct findings *findings,
                   const char *marks);
/* The same of the items of a file of bags, drilled intervals or pumps. */
void verify_doubts_of(struct verify *verify, const struct place_known *place, const void *record);

/* What is doubted of a core among those before it, whatever day it is. at: the state. */
MUST_CHECK enum status doubts_of_core(struct state *at, const struct hole *hole, const struct core *core,
                                      const struct core_neighbours *before, struct findings *out, struct err *err);
MUST_CHECK enum status doubts_of_numbered(struct core_roll *roll, const struct hole *hole, int32_t number,
                                          struct findings *out, struct err *err);
/* Behind what sample_check found. */
MUST_CHECK enum status doubts_of_sample(struct state *at, const struct core *core, const struct sample *sample,
                                        struct findings *out, struct err *err);
void doubts_of_item(const struct table *table, const void *file, const void *item, struct findings *out);

/* --- keeper.c, then.c --- */

/* What was doubted: told as kept, or as a flaw. */
MUST_CHECK enum status verify_kept(struct verify *verify, struct err *err);

/* A file of which something is doubted. */
struct doubted_file {
    struct place_known place;
    struct doubt *doubts;
    size_t count;
    struct record_at *parts; /* of each, but of a core; where its record is there no more path is "" */
    struct core_id id;       /* of the core, as it is named now */
    struct renaming_set renamings;
};
/* Is the same doubted of it at a commit ("": before the first)? out: for each of its doubts the version that the record
 * had, or its part; 0: it is not. number: of its core then; 0: not there. */
MUST_CHECK enum status doubted_then(struct verify *verify, const struct doubted_file *file, const char *commit,
                                    int32_t *out, int32_t *number, struct err *err);

/* --- hole.c, core.c, label.c --- */

/* A hole under the eyes: which files it has, and what its depths rest on. */
struct hole_view {
    const char *name;
    const struct place_known *places; /* in git's order */
    size_t place_count;
    struct arena *arena;
    struct hole hole;
    bool has_hole;  /* it could be read with its corrections and parents */
    int32_t *cores; /* numbers of core files, ascending */
    size_t core_count;
    struct renaming_set renamed;
};

/* wanted (count of them, sorted): these cores, and the hole without its bags, log and labels; NULL: everything. */
MUST_CHECK enum status verify_hole(struct verify *verify, struct hole_view *view, const int32_t *wanted, size_t count,
                                   struct err *err);
/* Its cores, by number. */
MUST_CHECK enum status view_list_cores(struct hole_view *view, struct err *err);
bool view_has_core(const struct hole_view *view, int32_t number);

MUST_CHECK enum status verify_cores(struct verify *verify, const struct hole_view *view, const int32_t *wanted,
                                    size_t count, struct err *err);
/* The store of the past, opened once, standing at a state. */
MUST_CHECK enum status verify_stand_at(struct verify *verify, const char *state, struct err *err);
/* Is it a commit of this history? */
MUST_CHECK enum status verify_has_commit(struct verify *verify, const char *commit, bool *out, struct err *err);
/* Every label of a file, its depth worked out anew. */
MUST_CHECK enum status verify_labels(struct verify *verify, const struct place_known *place, struct err *err);

/* --- commit.c, change.c, former.c --- */

/* Two versions of a record, the newer one by this act. */
void verify_change(struct verify *verify, const struct place_known *place, const struct commit *commit,
                   const void *older, const void *newer);
/* A file of signatures, under a correction or an act; those that the commit under the eyes added, older NULL: all of
 * them. */
bool verify_is_signatures(const struct place_known *place);
MUST_CHECK enum status verify_signatures(struct verify *verify, const struct place_known *place,
                                         const struct commit *commit, const void *older, const void *newer,
                                         struct err *err);
/* Those under an act, as the state has them. */
MUST_CHECK enum status verify_act_signatures(struct verify *verify, const struct place_known *place, struct err *err);
/* What the act is signed by is held against its author once all are known. */
MUST_CHECK enum status verify_note_key(struct verify *verify, const struct act_told *act, struct err *err);
MUST_CHECK enum status verify_hold_keys(struct verify *verify, struct err *err);
void verify_log_change(struct verify *verify, const struct place_known *place, const struct log_day *older,
                       const struct log_day *newer);
/* Former numbers of a record or an item that the commit under the eyes took away or changed, and those that none of
 * the older ones has. */
void verify_formers_kept(struct verify *verify, const char *path, const char *item, const struct table *table,
                         const void *older, const void *newer);
void verify_formers_new(struct verify *verify, const char *path, const char *item, const void *newer,
                        const struct items *older);
/* A record that was not there before. */
void verify_new(struct verify *verify, const struct place_known *place, const void *record);

/* --- open.c --- */

/* A contradiction: its record, its field and the acts that it names. */
MUST_CHECK enum status verify_contradiction(struct verify *verify, const struct place_known *place, struct err *err);

/* Is it one that a commit took away? It is decided where the act settles, or changes the file of its record. */
bool verify_is_open(const struct difference *it);
MUST_CHECK enum status verify_decided(struct verify *verify, const struct act_told *act,
                                      const struct differences *differences, size_t at, struct arena *arena,
                                      struct err *err);

/* --- join.c, first.c --- */

/* The commit under the eyes, which has more than one parent. */
MUST_CHECK enum status verify_join(struct verify *verify, const struct act_told *act, struct arena *arena,
                                   struct err *err);

/* Of what was found, from one row on: such as a join brought is open, and no longer wrong. */
MUST_CHECK enum status verify_first(struct verify *verify, size_t from, struct err *err);

/* --- rename.c, unseen.c --- */

/* Cores that a commit renamed, one a hole. */
struct verify_move {
    char hole[HOLE_NAME_MAX];
    int32_t from;
    int32_t to;
};
struct verify_moves {
    struct verify_move items[8];
    size_t count;
};

/* Where difference number at is the list of renamings of a hole: what became of the files of the core that it renames.
 * They are looked at here and nowhere else in the commit. */
MUST_CHECK enum status verify_renamings(struct verify *verify, const struct act_told *act,
                                        const struct differences *changed, size_t at, struct arena *arena,
                                        struct verify_moves *out, struct err *err);
/* A file of a core that the act under the eyes wrote, in ignorance of whose number that is by now. */
MUST_CHECK enum status verify_unseen(struct verify *verify, const struct act_told *act, const struct place_known *place,
                                     struct arena *arena, struct err *err);
bool verify_is_moved(const struct verify_moves *moves, const struct place_known *place);
/* The list of renamings of a hole into view, and whether what it names is there. */
MUST_CHECK enum status verify_renamed(struct verify *verify, struct hole_view *view, struct err *err);
void verify_former_names(struct verify *verify, const struct hole_view *view, const char *path,
                         const struct core *core);

#endif
