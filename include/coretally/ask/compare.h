/* SPDX-License-Identifier: MIT */
/* Two states of the registry side by side: what moved, by how much, what was added, withdrawn, amended, renamed. What
 * has the same id in both is not read. */
#ifndef CORETALLY_ASK_COMPARE_H
#define CORETALLY_ASK_COMPARE_H

#include "coretally/ask/ask.h"
#include "coretally/domain/reach.h"

/* Those that have a depth are numbered as in domain/reach.h. */
enum compare_item {
    COMPARE_CORRECTIONS = REACH_ITEM_COUNT,
    COMPARE_HOLE,
    COMPARE_DRILLED,
    COMPARE_WELL,
    COMPARE_PUMPS,
    COMPARE_CHECKS,
    COMPARE_LOG,
    COMPARE_EXPEDITION,
    COMPARE_ITEM_COUNT
};

/* What became of a thing besides its depth. */
enum compare_became {
    COMPARE_STAYS,
    COMPARE_ADDED,
    COMPARE_BROUGHT_BACK, /* was withdrawn */
    COMPARE_WITHDRAWN,
    COMPARE_NOT_THERE,
    COMPARE_RENAMED,
    COMPARE_AMENDED
};

/* One thing in which the states differ. There for the call alone. */
struct compare_change {
    const char *hole;
    int what; /* reach_item or compare_item */
    const char *name;
    const char *former; /* of what stands in both under two names: that in the first state; NULL */
    enum compare_became became;
    bool is_moved;     /* has another depth, or one in one of the states alone */
    const char *scale; /* as printed; NULL: has no depth */
    int64_t um[2];     /* LENGTH_NONE: no depth there */
};

struct compare_asked {
    enum scale scale; /* bags: the same where it is a drilled one, else MSF, or MRF without a seafloor */
    const char *hole; /* this one alone; NULL: all */
    enum status (*take)(void *context, const struct compare_change *change, struct err *err); /* NULL: counted alone */
    void *context;
};

struct compare_changes {
    size_t added;
    size_t withdrawn;
    size_t amended;
    size_t renamed;
};

/* What differs of one kind of thing in a hole. */
struct compare_row {
    char hole[HOLE_TEXT_MAX];
    int what;
    const char *scale; /* as printed; NULL: has no depth */
    struct reach_count moved;
    struct compare_changes changes;
};

struct compare_rows {
    struct compare_row *items;
    size_t count;
    size_t room;
};

/* Both states of one registry (state_at). A row a hole and kind of thing of which something differs. */
MUST_CHECK enum status compare_states(struct state *const states[2], const struct compare_asked *asked,
                                      struct compare_rows *out, struct err *err);

#endif
