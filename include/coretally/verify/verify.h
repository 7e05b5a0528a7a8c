/* SPDX-License-Identifier: MIT */
/* The room that looks whether a registry is sound: what in it is damaged, wrong or doubtful, and why. It prints nothing
 * and mends nothing.
 *
 *     struct verify verify;
 *     verify_init(&verify, state, path);
 *     verify.store = ...;                              stands at the state that is looked at
 *     TRY(verify_range(&verify, "", err));             or verify_state, for the state alone
 *     ... verify.found, verify.counts ...
 *     verify_close(&verify);
 *
 * A flaw is what verify finds; nothing that it finds ends it. STATUS_SYSTEM alone does: the machine failed.
 */
#ifndef CORETALLY_VERIFY_VERIFY_H
#define CORETALLY_VERIFY_VERIFY_H

#include "coretally/ask/source.h"
#include "coretally/domain/rule.h"
#include "coretally/store/keys.h"
#include "coretally/store/walk.h"

enum severity { SEVERITY_DOUBTFUL, SEVERITY_WRONG, SEVERITY_DAMAGED, SEVERITY_COUNT };
extern const char *const severity_words[];
extern const char *const severity_meanings[];

/* The one list: id, word for programs, severity, meaning. */
#define FLAW_LIST(X)                                                                                                   \
    X(OBJECT_UNREADABLE, "object-unreadable", DAMAGED,                                                                 \
      "an object of git is missing, or its bytes are not those of its hash")                                           \
    X(RECORD_UNREADABLE, "record-unreadable", DAMAGED, "a file does not have the form that its path calls for")        \
    X(FILE_ORDER, "file-order", DAMAGED, "the names in a folder are out of git's order: some are found, some not")     \
    X(FORMAT_NEWER, "format-newer", DAMAGED, "a record is of a format that this program does not know yet")            \
    X(FILE_MISSING, "file-missing", DAMAGED, "a file that others rest on is not there")                                \
    X(EVIDENCE_HASH, "evidence-hash", DAMAGED, "the bytes of an evidence file are not those that its name promises")   \
    X(FILE_UNKNOWN, "file-unknown", WRONG, "a registry has no file or folder of this path")                            \
    X(FILE_MODE, "file-mode", WRONG, "a link, a program or another repository is where a plain file belongs")          \
    X(FILE_TWICE, "file-twice", WRONG, "a folder holds one name twice")                                                \
    X(RECORD_FORM, "record-form", WRONG, "readable, but not byte for byte as this program writes it")                  \
    X(RECORD_PLACE, "record-place", WRONG, "the record belongs under another path")                                    \
    X(RECORD_ORDER, "record-order", WRONG, "records of one file are out of order, or contradict one another")          \
    X(NAME_TWICE, "name-twice", WRONG, "two records have one name or number")                                          \
    X(REFERENCE_MISSING, "reference-missing", WRONG, "a record names something that is not recorded, or is withdrawn") \
    X(REFERENCE_LOOP, "reference-loop", WRONG, "records refer to one another in a circle")                             \
    X(NAME_HISTORY, "name-history", WRONG,                                                                             \
      "the former names of a core are not those that the list of renamings of its hole gives")                         \
    X(RULE_BROKEN, "rule-broken", WRONG, "a rule refuses this at entry")                                               \
    X(RULE_UNKEPT, "rule-unkept", WRONG,                                                                               \
      "a rule doubts this, and the act that brought it does not say that somebody was sure")                           \
    X(DEPTH_ORDER, "depth-order", WRONG, "depths decrease down a core")                                                \
    X(DEPTH_PAST, "depth-past-core", WRONG, "CSF-B ends below the bottom of the run")                                  \
    X(LABEL_DEPTH, "label-depth", WRONG, "a label showed another depth than its state gives")                          \
    X(LABEL_STATE, "label-state", WRONG, "a label names a commit that is not in this history")                         \
    X(RECORD_REMOVED, "record-removed", WRONG, "a commit removed a record; acts withdraw, and never remove")           \
    X(RECORD_CHANGED, "record-changed", WRONG, "a commit changed what no act changes")                                 \
    X(VERSION_COUNT, "version-count", WRONG, "a record changed and its version did not count up by one")               \
    X(WITHDRAWN_UNDONE, "withdrawn-undone", WRONG, "a withdrawn record stands again without a new version")            \
    X(ACT_FALSE, "act-false", WRONG, "a commit did what no act of its kind does")                                      \
    X(ACT_LINE, "act-line", WRONG, "a commit says something else than what it did")                                    \
    X(ACT_MISSING, "act-missing", WRONG, "a commit does not say what act it is")                                       \
    X(ACT_UNKNOWN, "act-unknown", WRONG,                                                                               \
      "a commit names an act that this program does not know; where a newer one recorded it, use that")                \
    X(COMMIT_MERGED, "commit-merged", WRONG,                                                                           \
      "a commit joins more than two histories; a join has two: coretally join, one after the other")                   \
    X(JOIN_FALSE, "join-false", WRONG,                                                                                 \
      "a commit that joins two histories is not what joining them gives: it undoes, drops, changes or adds")           \
    X(SIGNATURE_FALSE, "signature-false", WRONG,                                                                       \
      "a signature is not by the commit's author and committer, is by whoever did what is signed, or is of other "     \
      "contents")                                                                                                      \
    X(KEY_FALSE, "key-false", WRONG,                                                                                   \
      "a commit's signature by key is of other contents, or by the key of somebody else than its author")              \
    X(REF_REFUSED, "ref-refused", WRONG,                                                                               \
      "a push moves or removes a tag, gives one a name like a commit's, or brings what is neither branch nor tag")     \
    X(HISTORY_REWRITTEN, "history-rewritten", WRONG, "a commit that the registry had is no longer in its history")     \
    X(BRANCH_REMOVED, "branch-removed", WRONG, "a push removes the branch")                                            \
    X(ANCHOR_LOST, "anchor-lost", WRONG,                                                                               \
      "what was printed or written down names a commit that is not in the registry")                                   \
    X(ANCHOR_BESIDE, "anchor-beside", WRONG,                                                                           \
      "what was printed or written down names a commit that is not in the history of the state")                       \
    X(ANCHOR_UNCLEAR, "anchor-unclear", WRONG, "more than one object of git begins with the digits written down")      \
    X(LABEL_UNRECORDED, "label-unrecorded", WRONG, "a label in the hand is not recorded as printed")                   \
    X(LABEL_DIFFERS, "label-differs", WRONG, "a label in the hand shows another depth or state than is recorded")      \
    X(RULE_OPEN, "rule-open", DOUBTFUL,                                                                                \
      "two sides were right, each by itself; joined, they break a rule: coretally open lists it")                      \
    X(RULE_DOUBTED, "rule-doubted", DOUBTFUL,                                                                          \
      "a rule doubts this, and nobody was asked: it came with another record, or the rule is newer than the act")      \
    X(LABEL_REBASED, "label-rebased", DOUBTFUL,                                                                        \
      "a label names a commit that a rebase left behind; it shows the depth as of the commit that recorded it")        \
    X(SIGNATURE_LOST, "signature-lost", DOUBTFUL,                                                                      \
      "a signature is of an act that is not in this history: a rebase left it behind, or it was never done")           \
    X(KEY_REVOKED, "key-revoked", DOUBTFUL, "a commit is signed by a key that was revoked")                            \
    X(KEY_MISSING, "key-missing", DOUBTFUL, "acts are not signed by a key, and earlier ones of the same author are")   \
    X(ANCHOR_UNREADABLE, "anchor-unreadable", DOUBTFUL,                                                                \
      "a text begins like that of a label and cannot be read as one")                                                  \
    X(NAME_UNSEEN, "name-unseen", DOUBTFUL,                                                                            \
      "an act was set on top of a renaming; the number that it names was another core's when it was done")             \
    X(TIME_BACK, "time-back", DOUBTFUL, "a commit is more than a day older than the one before it")                    \
    X(TIME_AHEAD, "time-ahead", DOUBTFUL, "a commit is dated more than a day after git wrote it, or after today")      \
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

/* One that was found. */
struct flaw_found {
    enum flaw flaw;
    const char *path;   /* "": the history */
    const char *item;   /* "": the whole file */
    const char *commit; /* that brought it; "": found in the state */
    const char *sentence;
};

/* Acts signed by keys (keys.c). */
struct verify_author;
struct verify_keys {
    size_t counts[KEY_STATE_COUNT]; /* of the acts looked at */
    const char **commits;           /* signed, to be checked together */
    size_t commit_count;
    size_t commit_room;
    struct verify_author *authors; /* who signed */
    size_t author_count;
    size_t author_room;
};

/* What a rule doubts in the state. */
struct doubt {
    enum rule rule;
    const char *path;
    const char *item; /* "": the whole file */
    const char *sentence;
    bool is_marked; /* the record says that it was kept */
};

/* One that an act kept. */
struct kept_found {
    struct doubt doubt;
    const char *thing; /* as printed */
    struct source source;
    const char *reason; /* in the words of a person; NULL */
};

/* One go at verify. */
struct verify {
    struct state *state;     /* its arena keeps what outlives a look; its notes are told */
    const char *const *acts; /* the kinds of act that there are; ends with NULL */
    struct store *store;
    const char *path;    /* of the registry */
    const char *objects; /* store_open_at; NULL */
    const char *commit;  /* looked at; "" for the state */
    struct flaw_found *found;
    size_t found_count; /* FLAWS_MAX at most are kept; counts tells how many there are */
    size_t found_room;
    size_t counts[SEVERITY_COUNT];
    struct kept_found *kept; /* no flaws */
    size_t kept_count;
    size_t kept_room;
    struct doubt *doubts; /* of the state that is looked at */
    size_t doubt_count;
    size_t doubt_room;
    size_t doubts_left; /* beyond those that are looked at */
    bool failed;        /* a row could not be kept: failure says why */
    struct err failure;
    size_t files;
    size_t commits;
    size_t labels;
    int64_t next_ms;
    bool is_rules;          /* of a hole alone what the rules say (verify_hole_rules) */
    bool is_whole;          /* the whole state is looked at, so a commit's new files are not read twice */
    struct lineage lineage; /* of the state; filled when a label asks */
    bool has_lineage;
    bool is_broken;                    /* and ends too early, which is told by itself */
    bool is_orphan;                    /* labels under the eyes name no commit of this history */
    struct store *past;                /* stands at the states of labels */
    char expedition_id[HASH_TEXT_MAX]; /* of the one below; "": none was read */
    struct expedition expedition;      /* of the state before an act */
    struct {
        char join[COMMIT_ID_MAX]; /* the first that is not what it should be; "" */
        char ours[COMMIT_ID_MAX]; /* its parents */
        char theirs[COMMIT_ID_MAX];
    } undo;
    struct verify_keys keys;
    bool is_anchors_alone; /* nothing but anchors is looked at (anchor.h) */
    size_t anchors_failed;
    const char **evidence; /* hashes that corrections name */
    size_t evidence_count;
    size_t evidence_room;
};

/* state: its arena keeps what outlives a look, its notes are told; path: of the registry. */
void verify_init(struct verify *verify, struct state *state, const char *path, const char *const *acts);
void verify_close(struct verify *verify);

/* A flaw, unless the same one was found before; path and item may be "". */
void flaw_add(struct verify *verify, enum flaw flaw, const char *path, const char *item, const char *format, ...)
    PRINTF_LIKE(5, 6);

/* What could not be read becomes a row; STATUS_SYSTEM is passed on into err. */
MUST_CHECK enum status flaw_unreadable(struct verify *verify, enum flaw flaw, const char *path, const struct err *why,
                                       struct err *err);

/* The whole state. */
MUST_CHECK enum status verify_state(struct verify *verify, struct err *err);

/* What the rules refuse in the state of a hole, and what its records name that is not there, as rows of found. Labels,
 * the pump log and evidence are not read. What is read is that of verify->state, so whoever asks it has it at hand. */
MUST_CHECK enum status verify_hole_rules(struct verify *verify, const char *hole, struct err *err);

/* A range of the history, since "" for all: commits, then the state of what they changed. */
MUST_CHECK enum status verify_range(struct verify *verify, const char *since, struct err *err);

/* What a push would move, as a line of git's pre-receive hook tells it: OLD NEW REF. verify->objects: where git keeps
 * what is pushed. */
MUST_CHECK enum status verify_push(struct verify *verify, const char *line, struct err *err);

#endif
