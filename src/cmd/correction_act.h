/* SPDX-License-Identifier: MIT */
/* What the commands on corrections share: the corrections of a hole, new ones made from what was typed. */
#ifndef CORETALLY_CMD_CORRECTION_ACT_H
#define CORETALLY_CMD_CORRECTION_ACT_H

#include "coretally/domain/rule.h"
#include "coretally/intake/correction_file.h"
#include "coretally/state/correction_roll.h"
#include "command.h"

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

enum { DRAFTS_MAX = CORRECTION_HOLES_MAX };

struct drafts {
    struct correction_draft *items;
    size_t count;
};

/* Read the hole of a typed name, and its corrections. */
MUST_CHECK enum status draft_open(struct state *state, const char *typed, struct correction_draft *out,
                                  struct err *err);

/* --supersedes: numbers that are in force and of its kind; "standing": every one in force that it would repeat. */
MUST_CHECK enum status draft_supersede(struct run *run, struct correction_draft *draft, struct err *err);
/* Is one in force that says the same, but for its number and whose place it took? Then that is the one added. */
void draft_find_present(struct correction_draft *draft);

/* The bytes of the attached file, data NULL where there is none: read before the registry is locked. Then its hash and
 * name into every draft. */
MUST_CHECK enum status evidence_read(struct run *run, struct bytes *out, struct err *err);
MUST_CHECK enum status evidence_take(struct run *run, const struct drafts *drafts, struct bytes evidence,
                                     struct err *err);

/* The rows of a file (intake/correction_file.h) into the drafts, one a hole, the first one there already; offsets that
 * were left out are worked out. */
MUST_CHECK enum status drafts_take_file(struct state *state, const struct correction_file *file, struct drafts *drafts,
                                        struct err *err);

/* correction_tie.c: offsets from features and from the core above, in the order of the file. */
struct tie_row {
    size_t draft;
    size_t line;
    struct core_offset offset; /* offset_um LENGTH_NONE: to be found */
};
MUST_CHECK enum status ties_find(struct state *state, const char *path, struct drafts *drafts, struct tie_row *rows,
                                 size_t count, struct err *err);
/* Do the features that composite offsets were worked out from still meet, with these holes as they would be? Told. */
MUST_CHECK enum status ties_check(struct state *state, const struct hole *const *changed, size_t changed_count,
                                  struct findings *findings, struct err *err);
/* What ties_check reads, so that it is still at hand when reach has gone through the hole; what cannot be read is told
 * by ties_check. */
void ties_read_ahead(struct state *state, const struct hole *const *changed, size_t changed_count);
/* Gaps and overlaps between the intervals of a splice, over all holes. */
MUST_CHECK enum status splice_check(struct state *state, const struct drafts *drafts, struct findings *findings,
                                    struct err *err);

#endif
