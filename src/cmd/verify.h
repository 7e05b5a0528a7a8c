/* SPDX-License-Identifier: MIT */
/* What the files of verify share. A flaw is what verify finds; nothing that it finds ends it. A check reads, holds what
 * it read against what must be so, calls flaw_add and goes on; it returns a status only for what makes going on
 * pointless: the machine failed, or memory is short. What is checked, and where:
 *
 *     verify_tree.c     every path of the state is known and a plain file; hands each hole on
 *     verify_record.c   one file by itself: readable, byte for byte as written, under its own path, numbers once
 *     verify_rule.c     the rules that one file can break by itself
 *     verify_hole.c     a hole: references, rules, corrections, supersession
 *     verify_core.c     a core with its samples: rules, references, depths, order of cores
 *     verify_rename.c   renamed cores: what a commit moved, and former names
 *     verify_label.c    labels: what they said is worked out anew at the state they name
 *     verify_commit.c   the commits: what each changed, and what it says
 *     verify_change.c   a record before and after a commit: only what an act can do
 *     verify_hook.c     git's pre-receive hook
 */
#ifndef CORETALLY_CMD_VERIFY_H
#define CORETALLY_CMD_VERIFY_H

#include "command.h"
#include "coretally/record/log_day.h"
#include "coretally/store/walk.h"

enum severity { SEVERITY_DOUBTFUL, SEVERITY_WRONG, SEVERITY_DAMAGED, SEVERITY_COUNT };
extern const char *const severity_words[];
extern const char *const severity_meanings[];

/* The one list: id, word for programs, severity, meaning. */
#define FLAW_LIST(X)                                                                                                   \
    X(OBJECT_UNREADABLE, "object-unreadable", DAMAGED,                                                                 \
      "an object of git is missing, or its bytes are not those of its hash")                                           \
    X(RECORD_UNREADABLE, "record-unreadable", DAMAGED, "a file is not of the form that its path demands")              \
    X(FILE_ORDER, "file-order", DAMAGED, "a folder has its names out of git's order: some are found, and some not")    \
    X(FORMAT_NEWER, "format-newer", DAMAGED, "a record is of a format that this program does not know yet")            \
    X(FILE_MISSING, "file-missing", DAMAGED, "a file that others rest on is not there")                                \
    X(EVIDENCE_HASH, "evidence-hash", DAMAGED, "the bytes of an evidence file are not those that its name promises")   \
    X(FILE_UNKNOWN, "file-unknown", WRONG, "no file or folder of a registry stands under this path")                   \
    X(FILE_MODE, "file-mode", WRONG, "a link, a program or another repository stands where a plain file belongs")      \
    X(FILE_TWICE, "file-twice", WRONG, "a folder holds one name twice")                                                \
    X(RECORD_FORM, "record-form", WRONG, "readable, but not byte for byte as this program writes it")                  \
    X(RECORD_PLACE, "record-place", WRONG, "the record belongs under another path")                                    \
    X(RECORD_ORDER, "record-order", WRONG, "records of one file are out of their order, or contradict one another")    \
    X(NAME_TWICE, "name-twice", WRONG, "two records have one name or number")                                          \
    X(REFERENCE_MISSING, "reference-missing", WRONG, "a record names something that is not recorded, or is withdrawn") \
    X(REFERENCE_LOOP, "reference-loop", WRONG, "records name one another in a circle")                                 \
    X(NAME_HISTORY, "name-history", WRONG,                                                                             \
      "the former names of a core are not those that the list of renamings of its hole gives")                         \
    X(RULE_BROKEN, "rule-broken", WRONG, "a rule refuses this at entry")                                               \
    X(DEPTH_ORDER, "depth-order", WRONG, "depths decrease down a core")                                                \
    X(DEPTH_PAST, "depth-past-core", WRONG, "CSF-B ends below the bottom of the run")                                  \
    X(LABEL_DEPTH, "label-depth", WRONG, "a label said another depth than its state gives")                            \
    X(LABEL_STATE, "label-state", WRONG, "a label names a commit that is not in this history")                         \
    X(RECORD_REMOVED, "record-removed", WRONG, "a commit removed a record; acts withdraw, and never remove")           \
    X(RECORD_CHANGED, "record-changed", WRONG, "a commit changed what no act changes")                                 \
    X(VERSION_COUNT, "version-count", WRONG, "a record changed and its version did not count up by one")               \
    X(WITHDRAWN_UNDONE, "withdrawn-undone", WRONG, "a withdrawn record stands again without a new version")            \
    X(ACT_MISSING, "act-missing", WRONG, "a commit does not say what act it is")                                       \
    X(COMMIT_MERGED, "commit-merged", WRONG,                                                                           \
      "a commit joins two histories; acts stand in one line: git pull --rebase")                                       \
    X(SIGNATURE_FALSE, "signature-false", WRONG,                                                                       \
      "a signature is not of the commit's author, is of whoever recorded the correction, or of other contents")        \
    X(REF_REFUSED, "ref-refused", WRONG,                                                                               \
      "a push moves or removes a tag, names one like a commit, or brings what is neither branch nor tag")              \
    X(HISTORY_REWRITTEN, "history-rewritten", WRONG, "a commit that the registry had is no longer in its history")     \
    X(BRANCH_REMOVED, "branch-removed", WRONG, "a push removes the branch")                                            \
    X(CORE_ORDER, "core-order", DOUBTFUL, "a core lies above an earlier one, and its record does not say why")         \
    X(ACT_UNKNOWN, "act-unknown", DOUBTFUL, "a commit names an act that this program does not know")                   \
    X(LABEL_REBASED, "label-rebased", DOUBTFUL,                                                                        \
      "a label names a commit that a rebase left behind; it shows the depth as of the commit that recorded it")        \
    X(TIME_BACK, "time-back", DOUBTFUL, "a commit is more than a day older than the one before it")                    \
    X(EVIDENCE_UNUSED, "evidence-unused", DOUBTFUL, "no correction names this evidence file")

enum flaw {
#define FLAW_ID(id, word, severity, meaning) FLAW_##id,
    FLAW_LIST(FLAW_ID)
#undef FLAW_ID
        FLAW_COUNT
};

const char *flaw_word(enum flaw flaw);
enum severity flaw_severity(enum flaw flaw);
const char *flaw_meaning(enum flaw flaw);

/* One go at verify. */
struct verify {
    struct state *state; /* its arena keeps what outlives a look; its notes are told */
    bool is_short;       /* ids of commits are cut for the eye */
    struct store *store;
    const char *path;    /* of the registry */
    const char *objects; /* store_open_at; NULL */
    const char *commit;  /* looked at; "" for the state */
    struct sheet sheet;
    size_t counts[SEVERITY_COUNT];
    bool failed; /* a row could not be kept: failure says why */
    struct err failure;
    size_t files;
    size_t commits;
    size_t labels;
    int64_t next_ms;
    bool is_whole;          /* the whole state is looked at, so a commit's new files are not read twice */
    struct lineage lineage; /* of the state; filled when a label asks */
    bool has_lineage;
    bool is_broken;        /* and ends too early, which is told by itself */
    bool is_orphan;        /* labels under the eyes name no commit of this history */
    struct store *past;    /* stands at the states of labels */
    const char **evidence; /* hashes that corrections name */
    size_t evidence_count;
    size_t evidence_room;
};

/* A row, unless the same one was told before; path and item may be "". */
void flaw_add(struct verify *verify, enum flaw flaw, const char *path, const char *item, const char *format, ...)
    PRINTF_LIKE(5, 6);

/* What could not be read becomes a row; STATUS_SYSTEM is passed on into err. */
MUST_CHECK enum status flaw_unreadable(struct verify *verify, enum flaw flaw, const char *path, const struct err *why,
                                       struct err *err);

void verify_init(struct verify *verify, struct state *state, const char *path, bool is_short);
void verify_close(struct verify *verify);
/* Rows, what was looked at, and the answer: STATUS_DAMAGED for anything worse than a doubt. */
MUST_CHECK enum status verify_say(struct run *run, struct verify *verify, struct err *err);

/* --- verify_tree.c --- */

/* The whole state; or of it what paths lead to, everything that hangs together with them included. */
MUST_CHECK enum status verify_state(struct verify *verify, struct err *err);
MUST_CHECK enum status verify_state_of(struct verify *verify, const struct differences *changed, struct err *err);

/* --- verify_record.c --- */

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

/* --- verify_hole.c, verify_core.c, verify_label.c --- */

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
bool view_has_core(const struct hole_view *view, int32_t number);

MUST_CHECK enum status verify_cores(struct verify *verify, const struct hole_view *view, const int32_t *wanted,
                                    size_t count, struct err *err);
/* The store of the past, opened once, standing at a state. */
MUST_CHECK enum status verify_stand_at(struct verify *verify, const char *state, struct err *err);
/* Every label of a file, its depth worked out anew. */
MUST_CHECK enum status verify_labels(struct verify *verify, const struct place_known *place, struct err *err);

/* --- verify_commit.c, verify_change.c --- */

/* The commits that led to the state and not to since ("": all). */
MUST_CHECK enum status verify_commits(struct verify *verify, const char *since, struct err *err);

/* Two versions of a record. is_merge: more than one act may lie between them. */
void verify_change(struct verify *verify, const struct place_known *place, const void *older, const void *newer,
                   bool is_merge);
/* Signatures that the commit under the eyes added; older NULL: all of them. */
MUST_CHECK enum status verify_signatures(struct verify *verify, const struct place_known *place,
                                         const struct commit *commit, const struct signature_set *older,
                                         const struct signature_set *newer, struct arena *arena, struct err *err);
void verify_log_change(struct verify *verify, const struct place_known *place, const struct log_day *older,
                       const struct log_day *newer);
/* A record that was not there before. */
void verify_new(struct verify *verify, const struct place_known *place, const void *record);

/* --- verify_rename.c --- */

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
bool verify_is_moved(const struct verify_moves *moves, const struct place_known *place);
/* The list of renamings of a hole into view, and whether what it names is there. */
MUST_CHECK enum status verify_renamed(struct verify *verify, struct hole_view *view, struct err *err);
void verify_former_names(struct verify *verify, const struct hole_view *view, const char *path,
                         const struct core *core);

/* --- verify_hook.c --- */

MUST_CHECK enum status verify_hook(struct run *run, const char *kind, struct err *err);
extern const char hook_text[];

/* A range of the history, since "" for all: commits, then the state of what they changed. */
MUST_CHECK enum status verify_range(struct verify *verify, const char *since, struct err *err);

#endif
