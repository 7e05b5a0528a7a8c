/* SPDX-License-Identifier: MIT */
/* What commands that act share: findings told, what is there already said, one commit written and said. */
#ifndef CORETALLY_CMD_RUN_COMMIT_H
#define CORETALLY_CMD_RUN_COMMIT_H

#include "coretally/run/command.h"

/* Tell what is told; refuse the worst of the rest; what is settled passes. With --sure doubted findings are told
 * instead. */
MUST_CHECK enum status run_findings(struct run *run, const char *subject, const struct findings *findings,
                                    struct err *err);

/* What a draft comes to: what is there already is said; else findings and notes are told, refused ones end it, and
 * what stays is committed and said, with what an amendment changed. */
MUST_CHECK enum status run_draft(struct run *run, const struct draft *draft, struct err *err);

/* To call before an act is put down: a reader of our output that goes away must not end us half way. */
void run_outlive_readers(void);

/* "already recorded", with the commit that did it. */
MUST_CHECK enum status run_already(struct run *run, const char *name, const struct record_at *at, struct err *err);

/* --reason is demanded of amendments and withdrawals. */
MUST_CHECK enum status run_need_reason(const struct run *run, struct err *err);

/* A withdrawn record is amended only to bring it back (--restore, which clears *withdrawn). Part of the tables of the
 * amending commands. */
MUST_CHECK enum status run_standing(const struct run *run, const char *name, const char **withdrawn, struct err *err);
extern const struct option restore_options[];

#endif
