/* SPDX-License-Identifier: MIT */
/* Statuses and refusals. Every function that can fail returns an enum status
 * and describes the failure in a struct err that its caller owns; nothing in
 * a library prints. Outputs are touched only when the status is STATUS_OK.
 *
 *     struct err err = {0};
 *     if (length_parse("31.2ft", UNIT_M, &top_um, &err) != STATUS_OK)
 *         ... err.subject, err.reason and err.hint say why, in the user's words
 */
#ifndef CORETALLY_BASE_ERR_H
#define CORETALLY_BASE_ERR_H

#include <stdbool.h>

/* The one list: id, exit code, word for scripts, meaning. */
#define STATUS_LIST(X)                                                                                                 \
    X(OK, 0, "ok", "done; also: already recorded, nothing to do")                                                      \
    X(USAGE, 2, "usage", "the command line was not understood")                                                        \
    X(INPUT, 3, "input", "a value, name or file is not well formed")                                                   \
    X(RULE, 4, "rule", "well formed, but refused by a rule of the trade")                                              \
    X(UNKNOWN, 5, "unknown", "no such registry, hole, core, section or sample")                                        \
    X(EXISTS, 6, "exists", "already recorded with other values")                                                       \
    X(CONFLICT, 7, "conflict", "another act changed the same record first")                                            \
    X(DAMAGED, 8, "damaged", "a stored record cannot be read, or is of a newer format")                                \
    X(SYSTEM, 9, "system", "a file, the disk, memory or git failed; nothing was recorded unless it says so")

enum status {
#define STATUS_ID(id, code, word, meaning) STATUS_##id,
    STATUS_LIST(STATUS_ID)
#undef STATUS_ID
        STATUS_COUNT
};

#define MUST_CHECK __attribute__((warn_unused_result))
#define PRINTF_LIKE(string, first) __attribute__((format(printf, string, first)))

enum { ERR_SUBJECT_MAX = 200, ERR_REASON_MAX = 600, ERR_HINT_MAX = 400 };

/* No pointers, so that out-of-memory is reported like anything else. */
struct err {
    enum status status;
    char subject[ERR_SUBJECT_MAX]; /* the thing refused: a name, a file and line, an option */
    char reason[ERR_REASON_MAX];   /* one clear sentence, with the value and its limit */
    char hint[ERR_HINT_MAX];       /* what to type instead; may be empty */
};

/* Fill err (cutting over-long text) and return status, so that a refusal is one
 * statement: return err_set(err, STATUS_INPUT, text, "...", ...). Clears the hint. */
enum status err_set(struct err *err, enum status status, const char *subject, const char *format, ...)
    PRINTF_LIKE(4, 5);

/* Add what to do instead; returns err->status. */
enum status err_hint(struct err *err, const char *format, ...) PRINTF_LIKE(2, 3);

int status_exit_code(enum status status);
/* Could it not be looked at? Not so for what is looked at and absent, or not well formed. */
bool status_is_failure(enum status status);
const char *status_word(enum status status);
const char *status_meaning(enum status status);

/* Return early on failure; the only macro here that hides control flow. */
#define TRY(call)                                                                                                      \
    do {                                                                                                               \
        const enum status try_status_ = (call);                                                                        \
        if (try_status_ != STATUS_OK)                                                                                  \
            return try_status_;                                                                                        \
    } while (0)

/* Release a foreign handle when it goes out of scope: CLEANUP(fclose_at) FILE *file. */
#define CLEANUP(function) __attribute__((cleanup(function)))

#endif
