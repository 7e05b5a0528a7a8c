/* SPDX-License-Identifier: MIT */
/* What an audit tells (ask/audit.h), put into a page. */
#ifndef CORETALLY_SAY_AUDIT_SAY_H
#define CORETALLY_SAY_AUDIT_SAY_H

#include "coretally/view/page.h"
#include "coretally/ask/act_signed.h"
#include "coretally/ask/audit.h"
#include "coretally/ask/evidence.h"
#include "coretally/ask/moved.h"
#include "coretally/say/open_say.h"
#include "coretally/say/reach_say.h"
#include "coretally/verify/verify.h"

struct audit {
    struct run *run;
    struct page page;
    struct audit_holes holes;
    struct commit state;
    const char *from;       /* state of --from; NULL */
    const char *from_named; /* by what others find it: its digits, or the time for which it was made */
    struct moved moved;     /* since then, or since the beginning */
    struct verify verify;   /* of the whole registry or, where holes are named, of their rules */
    struct open_say open;   /* what waits for a decision */
};

/* audit_first_say.c: what an auditor asks first, on one screen. */
MUST_CHECK enum status audit_first_write(struct audit *audit, struct err *err);

/* audit_moved_say.c: what moved: all acts that the first screen has no room for, with who, when, why, on what. */
enum { AUDIT_ACTS_FIRST = 8 };
MUST_CHECK enum status audit_between_write(struct audit *audit, struct err *err);
MUST_CHECK enum status audit_acts_first_write(struct audit *audit, struct err *err);
MUST_CHECK enum status audit_decided_write(struct audit *audit, struct err *err);

/* Who signed an act or, of one that recorded corrections (*is_recording), these; *out NULL: nobody. */
MUST_CHECK enum status audit_signers(struct audit *audit, const struct moved_act *act, const char **out,
                                     bool *is_recording, struct err *err);

/* audit_bounds_say.c: the acts that changed how far depths may be off; nothing where none did. */
MUST_CHECK enum status audit_bounds_write(struct audit *audit, struct err *err);

/* audit_open_say.c: what is open, in a few rows; then each of it. */
MUST_CHECK enum status audit_open_rows(struct audit *audit, struct err *err);
MUST_CHECK enum status audit_open_write(struct audit *audit, struct err *err);

/* Of the corrections that an act touched one that it recorded, whatever number a join has given it since; NULL: it
 * changed or withdrew it, or no hole of the audit has it. */
const struct correction_facts *audit_recorded(const struct audit *audit, const struct moved_act *act,
                                              const struct moved_correction *touched);

/* audit_hole_say.c: one hole into the page. */
MUST_CHECK enum status audit_hole_write(struct audit *audit, const struct audit_hole *hole, struct err *err);

/* audit_sidetrack_say.c: what it has from the hole that it leaves, and what not. Nothing of another hole. */
MUST_CHECK enum status audit_sidetrack_add(struct audit *audit, const struct audit_hole *hole, struct sheet *facts,
                                           struct err *err);

/* audit_correction_say.c */
MUST_CHECK enum status audit_corrections_write(struct audit *audit, const struct audit_hole *hole, struct err *err);

/* audit_core_say.c: shift against depth of cores and bags, and what moved most. */
MUST_CHECK enum status audit_cores_write(struct audit *audit, const struct audit_hole *hole, struct err *err);

/* audit_ways_say.c: the commands by which an outsider checks it. */
MUST_CHECK enum status audit_ways_write(struct audit *audit, struct err *err);

/* A row of a sheet of facts. A value of NULL or "" adds none. */
MUST_CHECK enum status audit_fact_add(struct sheet *sheet, const char *what, const char *value, struct err *err);

/* A sheet that lives as long as the run. */
MUST_CHECK enum status audit_sheet_new(struct state *state, const struct column *columns, size_t count,
                                       struct sheet **out, struct err *err);

/* "0f3a9c21bd by Mira Tamm, 2026-03-01T04:12:00Z, station: core table" */
MUST_CHECK enum status audit_commit_text(struct state *state, const struct commit *commit, const char **out,
                                         struct err *err);

/* A formatted text that lives as long as the run. */
MUST_CHECK enum status audit_text(struct state *state, const char **out, struct err *err, const char *format, ...)
    PRINTF_LIKE(4, 5);

#endif
