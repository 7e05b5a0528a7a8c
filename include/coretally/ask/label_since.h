/* SPDX-License-Identifier: MIT */
/* What moved a thing since its label was printed. */
#ifndef CORETALLY_ASK_LABEL_SINCE_H
#define CORETALLY_ASK_LABEL_SINCE_H

#include "coretally/domain/depth.h"
#include "coretally/state/state.h"

/* A label that does not show what it should. */
struct since_asked {
    const char *name;       /* of the thing, as it is called today */
    enum scale scale;       /* that of the label */
    const char *state;      /* of the label; ten digits or more */
    struct instant printed; /* not known of one that was scanned only */
};

struct since_act {
    struct commit commit;
    const char *cause; /* "correction 1 of U0012A (tally)", "core amended" */
    int64_t top_um;    /* by how much its top moved; LENGTH_NONE where it had or has no depth */
    int64_t bottom_um; /* its lower end */
};

struct since_acts {
    struct since_act *items; /* the oldest first */
    size_t count;
    bool is_joined; /* a join brought another depth than its sides had */
};

/* Since the state; where the registry has no such commit, since the time of printing, if that is
 * known (noted). */
MUST_CHECK enum status label_since(struct state *state, const struct since_asked *asked, struct since_acts *out,
                                   struct err *err);

#endif
