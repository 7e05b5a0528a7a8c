/* SPDX-License-Identifier: MIT */
/* What an audit tells of a hole: what its readings rest on, its corrections with what each one moves and all of them
 * together, the shift of its cores against depth, and its lag checks. */
#ifndef CORETALLY_ASK_AUDIT_H
#define CORETALLY_ASK_AUDIT_H

#include "coretally/ask/correction_facts.h"
#include "coretally/ask/lag_checks.h"

/* A core: as the driller reported it, and by how much its corrections moved it, on the scale of the audit. */
struct audit_core {
    struct core_id core;
    int64_t top_um;
    int64_t bottom_um;
    int64_t shift_um;
    size_t sections; /* that stand */
};

/* Neighbours that moved alike: of the cores so many. */
struct audit_group {
    size_t first;
    size_t count;
};

/* One of the cores that moved most. */
struct audit_most {
    const struct audit_core *core;
    size_t samples;        /* that stand */
    struct source reading; /* of its drilled top */
};

enum { AUDIT_MOST_MAX = 10 };

/* The seafloor that depths count from. */
struct audit_seafloor {
    const struct hole *of; /* the hole, or the one up the line that has the reading */
    int64_t um;            /* as recorded; LENGTH_NONE: not */
    int64_t corrected_um;  /* where no time decides */
    struct source source;
};

/* A bag: as the readings alone have it, and by how much corrections and lag checks moved it, on the audit's scale. */
struct audit_bag {
    enum bag_kind kind;
    int32_t number;
    int64_t top_um;
    int64_t bottom_um; /* LENGTH_NONE: taken at once */
    int64_t shift_um;
};

/* What is open about the lag: a check is due, or one that was made tells nothing or little. */
struct audit_lag_open {
    bool is_due;
    const char *sentence;
};

struct audit_hole {
    struct correction_roll roll;
    struct hole reported; /* without any correction */
    enum scale scale;     /* DSF or, without a seafloor, DRF */
    struct audit_seafloor seafloor;
    const struct reach_part *together;    /* all corrections against none */
    struct correction_facts *corrections; /* in force in the order of the chain, then the others by number */
    size_t correction_count;
    struct audit_core *cores; /* those with a depth, by number */
    size_t core_count;
    struct audit_group *groups;
    size_t group_count;
    struct audit_most most[AUDIT_MOST_MAX]; /* by the size of their shift; none that did not move */
    size_t most_count;
    struct audit_bag *bags; /* those with a depth, by depth */
    size_t bag_count;
    size_t bag_room;
    struct lag_checks checks;
    struct audit_lag_open *lag_open;
    size_t lag_open_count;
    size_t lag_open_room;
};

struct audit_holes {
    struct audit_hole *items;
    size_t count;
    struct reach_parts parts; /* of all holes: what is moved is found for all of them at once */
};

/* By the typed names of holes, in their order. */
MUST_CHECK enum status audit_find(struct state *state, const struct names *typed, struct audit_holes *out,
                                  struct err *err);

/* Its bags. audit_bags.c */
MUST_CHECK enum status audit_bags_find(struct state *state, struct audit_hole *hole, struct err *err);

/* Its lag checks, and what is open about them. audit_lag.c */
MUST_CHECK enum status audit_lag_find(struct state *state, struct audit_hole *hole, struct err *err);

/* What is to be done about a correction in force; false: nothing. */
struct audit_open {
    bool is_unsigned;
    bool was_signed; /* only as it was before */
    bool is_bare;    /* no evidence was given */
};
bool audit_is_open(const struct correction_facts *it, struct audit_open *out);

#endif
