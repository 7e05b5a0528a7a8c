/* SPDX-License-Identifier: MIT */
/* Commands introduce themselves by a const entry; dispatch, --help, the manual
 * and the completion are made from it (cmd/dispatch.h). A command then does four things in
 * order: gather (read everything, write nothing), work out, write down (one
 * commit or nothing), say.
 */
#ifndef CORETALLY_RUN_COMMAND_H
#define CORETALLY_RUN_COMMAND_H

#include "coretally/act/draft.h"
#include "coretally/domain/name.h"
#include "coretally/domain/rule.h"
#include "coretally/record/field.h"
#include "coretally/domain/depth.h"
#include "coretally/state/bag.h"
#include "coretally/state/core_roll.h"
#include "coretally/state/doubt.h"
#include "coretally/state/origin.h"
#include "coretally/state/resolve.h"
#include "coretally/view/sheet.h"

struct run;
struct shown_stream;

/* An option that is no field of a record. */
struct option {
    const char *name;
    const char *argument; /* NULL: a switch */
    const char *meaning;
};

enum command_use {
    USE_NOTHING,     /* needs no registry */
    USE_CALCULATING, /* needs none either; --json, --csv, --feet */
    USE_READING,     /* --json, --csv, --feet */
    USE_WRITING,     /* --dry-run, --sure, --reason, --station */
    USE_MOVING,      /* the same, where depths may move: told before it is recorded; --each, --watch, --brief */
    USE_EXCHANGING,  /* with another registry: --dry-run; no act is made */
};

/* What a command works on: opened and found before it begins. The first argument names it. */
enum command_on {
    ON_ITSELF, /* opens what it needs by itself: files are read first, or options say what is opened */
    ON_STATE,  /* the registry, at --as-of where that is given; names are its own matter */
    ON_HOLE,   /* run->target */
    ON_CORE,
    ON_SECTION,
    ON_SAMPLE,
    ON_HOLE_TO_CORE,
    ON_HOLE_TO_SECTION,
    ON_BAG, /* run->bag */
};

struct command {
    const char *words;     /* "core add" */
    const char *arguments; /* "CORE TOP BOTTOM" */
    const char *purpose;   /* one line */
    const char *example;   /* what follows "coretally "; shown first */
    const char *detail;    /* further lines of help; may be NULL */
    enum command_use use;
    enum command_on on;
    bool needs_reason;            /* it changes what was recorded: --reason is demanded before all else */
    const struct table *table;    /* its fields named in fields are options */
    const char *const *fields;    /* ends with NULL */
    const struct option *options; /* ends with a NULL name */
    size_t least;                 /* arguments */
    size_t most;
    enum status (*run)(struct run *run, struct err *err);
};

struct option_value {
    const char *name;
    const char *value; /* "" for a switch */
};

/* One invocation: everything that a command may touch. */
struct run {
    const struct command *command;
    struct state *state;   /* of the registry; its store is opened by run_open */
    struct target target;  /* what a command works on (enum command_on) */
    struct bag_target bag; /* the same of ON_BAG */
    const char *const *args;
    size_t arg_count;
    struct option_value *options;
    size_t option_count;
    environment_read *environment;
    void *environment_context;
    const char *folder; /* working folder */
    FILE *in;
    FILE *out;                    /* data; both through a shown_stream */
    FILE *talk;                   /* notes, progress */
    FILE *raw;                    /* below out, for files handed out as they are: flush out first */
    struct shown_stream *shown;   /* of out */
    char recorded[COMMIT_ID_MAX]; /* the commit of the act, once it stands; "" before */
    enum sheet_format format;
    enum length_unit unit; /* for output */
};

/* --- run.c: what commands share --- */

/* The value of an option; NULL when it was not given. */
const char *run_option(const struct run *run, const char *name);

/* Open the registry named by --registry, CORETALLY_REGISTRY or the working folder; reads the expedition. */
MUST_CHECK enum status run_open(struct run *run, enum store_mode mode, struct err *err);

/* Stand at a state as it was typed: a commit, a tag, a branch, a time. What a time leaves out is told. */
MUST_CHECK enum status run_stand_at(struct run *run, struct store *store, const char *typed, struct err *err);
/* The registry once more, at such a state; NULL: where the run stands. Closed before the run is. */
MUST_CHECK enum status run_open_beside(struct run *run, const char *typed, struct store **out, struct err *err);

/* Take the options that are fields of the table into the record; *any tells whether one was given. */
MUST_CHECK enum status run_take_fields(struct run *run, const struct table *table, int32_t ship_zone_min, void *record,
                                       bool *any, struct err *err);

/* Set one field of a record from typed text. */
MUST_CHECK enum status run_set(struct state *state, const struct table *table, const char *field, const char *value,
                               int32_t ship_zone_min, void *record, struct err *err);

/* May a file be made at this path of --out? Nothing may stand there; with --replace a plain file may. */
MUST_CHECK enum status run_check_out(const struct run *run, const char *path, struct err *err);

/* The scale of --NAME; *out untouched when the option was not given. */
MUST_CHECK enum status scale_option(const struct run *run, const char *name, enum scale *out, struct err *err);

MUST_CHECK enum status run_print_text(struct run *run, struct text *text, struct err *err);
MUST_CHECK enum status run_print_sheet(struct run *run, const struct sheet *sheet, struct err *err);

/* "state 0f3a9c...", all 40 digits, by which a report is held against the history later; what was joined for a time
 * alone has none. */
enum { STATE_WORDS_MAX = COMMIT_ID_MAX + 60 };
void run_state_words(const struct store *store, char out[STATE_WORDS_MAX]);

/* A length for output in the chosen unit, "" when unknown. */
struct length_text run_length(const struct run *run, int64_t um, int decimals);
const char *run_unit(const struct run *run);

/* A volume in m3 or, with --feet, in barrels. */
struct cell run_volume(const struct run *run, double volume_m3, int decimals);
const char *run_volume_unit(const struct run *run);

/* The caution that goes with every lag, once, on the talk. */
void run_say_caution(struct run *run);

/* Findings as notes; nothing is refused. */
void run_tell(struct run *run, const char *subject, const struct findings *findings);

#endif
