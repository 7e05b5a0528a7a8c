/* SPDX-License-Identifier: MIT */
/* Corrections of depth added, superseded, withdrawn and signed. What one moves is asked about between being judged and
 * being drafted (ask/reach.h), by whoever calls: its findings go to those of the draft. */
#ifndef CORETALLY_ACT_CORRECTION_H
#define CORETALLY_ACT_CORRECTION_H

#include "coretally/act/draft.h"
#include "coretally/state/correction_roll.h"

/* --- added, to one hole or to several by one table --- */

/* A hole, what it has, and what is to be added to it. */
struct correction_draft {
    struct target target;
    struct correction *all; /* as recorded, with room for one more */
    size_t count;
    struct correction added;
    struct hole with;         /* the hole as it would be */
    struct findings findings; /* what the rules say */
    bool is_present;          /* the registry has it already: added is that one */
};

struct correction_drafts {
    struct correction_draft *items;
    size_t count;
};

/* A hole that was resolved, with its corrections. */
MUST_CHECK enum status correction_open(struct state *state, const struct target *hole, struct correction_draft *out,
                                       struct err *err);
/* Further holes of a table, behind the first; what was typed holds for all. */
MUST_CHECK enum status corrections_open(struct state *state, const struct target *holes, size_t count,
                                        struct correction_drafts *corrections, struct err *err);
/* Holes that no row is of take no part: the first one may be named for its site alone. */
void corrections_drop_empty(struct correction_drafts *corrections);

/* How it was asked for. */
struct correction_typed {
    const char *kind;       /* as typed */
    const char *table;      /* the file of its rows; NULL */
    const char *supersedes; /* numbers, or "standing": every one in force that it would repeat; NULL */
};
/* Number, rules, and the hole as it would be; is_present where one in force says the same but for its number and whose
 * place it took. */
MUST_CHECK enum status correction_judge(struct state *state, const struct correction_typed *asked,
                                        struct correction_draft *draft, struct err *err);

/* A file that shows it; data NULL: none. */
struct evidence {
    const char *path; /* as typed */
    struct bytes bytes;
};
/* Its hash and name into every one. */
MUST_CHECK enum status evidence_take(struct state *state, const struct evidence *evidence,
                                     const struct correction_drafts *corrections, struct err *err);

/* All that are not present, with the evidence. */
MUST_CHECK enum status corrections_draft(struct state *state, const struct correction_drafts *corrections,
                                         const struct evidence *evidence, struct draft *out, struct err *err);

/* --- correction_tie.c: offsets from features and from the core above, in the order of the file --- */

struct tie_row {
    size_t draft;
    size_t line;
    struct core_offset offset; /* offset_um LENGTH_NONE: to be found */
};
struct tie_rows {
    const char *path; /* of the file */
    struct tie_row *items;
    size_t count;
};
MUST_CHECK enum status ties_find(struct state *state, const struct correction_drafts *corrections,
                                 const struct tie_rows *rows, struct err *err);
/* Do the features that composite offsets were worked out from still meet, with these holes as they would be? Told. */
MUST_CHECK enum status ties_check(struct state *state, const struct hole *const *changed, size_t changed_count,
                                  struct findings *findings, struct err *err);
/* What ties_check reads, so that it is still at hand when reach has gone through the hole; what cannot be read is told
 * by ties_check. */
void ties_read_ahead(struct state *state, const struct hole *const *changed, size_t changed_count);
/* Gaps and overlaps between the intervals of a splice, over all holes. */
MUST_CHECK enum status splice_check(struct state *state, const struct correction_drafts *corrections,
                                    struct findings *findings, struct err *err);

/* --- withdrawn, signed --- */

struct correction_withdrawal {
    struct hole with; /* the hole as it would be */
    struct draft draft;
};
/* What comes back into force may repeat what is in force: a finding. */
MUST_CHECK enum status correction_withdraw(struct state *state, const struct correction_roll *roll,
                                           const struct correction *it, const char *reason,
                                           struct correction_withdrawal *out, struct err *err);

/* signature: name, mail and remark of whoever signs it as it stands; time and hash are given to it. STATUS_RULE to
 * whoever recorded the correction or changed it since. */
MUST_CHECK enum status correction_sign(struct state *state, const struct correction_roll *roll,
                                       const struct correction *it, const struct signature *signature,
                                       struct draft *out, struct err *err);
#endif
