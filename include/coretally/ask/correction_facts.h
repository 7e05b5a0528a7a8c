/* SPDX-License-Identifier: MIT */
/* A correction with what is known of it: how it stands, since which act, who signed it, what it moves. As the list of a
 * hole and the audit have it. */
#ifndef CORETALLY_ASK_CORRECTION_FACTS_H
#define CORETALLY_ASK_CORRECTION_FACTS_H

#include "coretally/ask/reach.h"
#include "coretally/ask/signed.h"

struct correction_facts {
    const struct correction *it; /* of the roll */
    bool in_force;
    struct signed_all by;
    bool waits;              /* it is in force and nobody has signed it as it is */
    struct commit commit;    /* behind what it says: that recorded it, where nobody changed it */
    struct commit withdrawn; /* of one that is */
    struct commit first;     /* that recorded it */
    size_t first_part;       /* of the parts that it was put to; where it is in force */
    size_t part_count;
};

/* Everything but what it moves, and without the first act. */
MUST_CHECK enum status correction_facts_find(struct state *state, const struct correction_roll *roll,
                                             const struct correction *it, struct correction_facts *out,
                                             struct err *err);

/* The act that recorded it. */
MUST_CHECK enum status correction_facts_first(struct state *state, const struct correction_roll *roll,
                                              struct correction_facts *facts, struct err *err);

/* Where it is in force: its parts put behind those that are there, to be found together by reach_find. */
MUST_CHECK enum status correction_facts_reach(struct state *state, const struct correction_roll *roll,
                                              struct correction_facts *facts, struct reach_parts *parts,
                                              struct err *err);

/* What is asked of the list of a hole. */
struct corrections_asked {
    bool with_reach;
    bool unsigned_only; /* those that wait for a signature */
};

struct corrections {
    const struct correction_roll *roll;
    struct corrections_asked asked;
    struct correction_facts *items; /* by number */
    size_t count;
    size_t waiting; /* of all, whatever is asked */
    struct reach_parts parts;
};

MUST_CHECK enum status corrections_find(struct state *state, const struct correction_roll *roll,
                                        const struct corrections_asked *asked, struct corrections *out,
                                        struct err *err);

#endif
