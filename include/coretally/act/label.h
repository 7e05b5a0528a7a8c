/* SPDX-License-Identifier: MIT */
/* Labels that are printed are recorded: each is a copy more in the file of its core, or of its bags. What they show was
 * found before; here they are numbered and put to those that are there. One printing is one act, whatever names it was
 * asked for by, and prints no label twice. */
#ifndef CORETALLY_ACT_LABEL_H
#define CORETALLY_ACT_LABEL_H

#include "coretally/act/draft.h"
#include "coretally/domain/label.h"
#include "coretally/state/state.h"

struct printing {
    struct state *state; /* what is to be written lives in its arena */
    const char *layout;
    struct draft draft; /* the files as they will be */
    size_t count;       /* of labels */
};
void printing_init(struct printing *printing, struct state *state, const char *layout);

/* One file, while labels are put to it. */
struct printed_file {
    const char *path;
    struct label_set set; /* the recorded ones, then those of this act */
    size_t recorded;
    size_t before; /* labels of this act when it was opened */
};

/* recorded: as the state has it; more: labels that may come, at most. What it takes from the arena of state may go once
 * it is closed. */
MUST_CHECK enum status printing_open(struct state *state, const struct printing *printing, const char *path,
                                     const struct label_set *recorded, size_t more, struct printed_file *out,
                                     struct err *err);
/* Does this act print a label of that name on that scale? */
bool printing_has(const struct printed_file *file, const char *name, const char *scale);
/* label has its name, scale, depth and hazard; copy, time, state and layout are given to it. STATUS_RULE after the last
 * copy that there can be. */
MUST_CHECK enum status printing_add(struct printing *printing, struct printed_file *file, struct label *label,
                                    struct err *err);
MUST_CHECK enum status printing_close(struct printing *printing, const struct printed_file *file, struct err *err);

/* The whole of it. name: the one that was asked for; NULL: several or none. */
MUST_CHECK enum status printing_draft(struct printing *printing, const char *name, struct draft *out, struct err *err);

#endif
