/* SPDX-License-Identifier: MIT */
/* Labels on which a name stands that two things had before registries were joined. Inside ask only. */
#ifndef CORETALLY_ASK_LABEL_NAMESAKE_H
#define CORETALLY_ASK_LABEL_NAMESAKE_H

#include "coretally/ask/label_things.h"
#include "coretally/state/namesake.h"

struct label_list {
    const struct label **items;
    size_t count;
    size_t room;
};

/* *name, of a label's thing today, where the state of the label says that it has another one by now. *is_elsewhere: it
 * is a bag of another file, which has its labels there. */
MUST_CHECK enum status label_namesake(struct state *state, const struct things *things, const struct label *label,
                                      struct then *then, const char **name, bool *is_elsewhere, struct err *err);

/* Labels in other files that may be of bags of this one: those of the numbers that bags had before a join. */
MUST_CHECK enum status label_further(struct state *state, const struct things *things, struct label_list *out,
                                     struct err *err);

#endif
