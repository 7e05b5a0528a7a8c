/* SPDX-License-Identifier: MIT */
/* Two states of the registry side by side: what moved, by how much, what was added, withdrawn, amended, renamed. What
 * has the same id in both is not read. */
#ifndef CORETALLY_CMD_COMPARE_H
#define CORETALLY_CMD_COMPARE_H

#include "coretally/domain/reach.h"
#include "command.h"
#include "coretally/state/lag_hole.h"

/* Those that have a depth are numbered as in reach.h. */
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

struct compare_asked {
    const char *states[2]; /* as typed; NULL: where run->store stands */
    enum scale scale;      /* bags: the same where it is a drilled one, else MSF, or MRF without a seafloor */
    const char *hole;      /* this one alone; NULL: all */
};

enum { COMPARE_COLUMNS = 13, COMPARE_EACH_COLUMNS = 8 };
void compare_columns(const struct run *run, struct column out[COMPARE_COLUMNS]);
void compare_each_columns(const struct run *run, struct column out[COMPARE_EACH_COLUMNS]);

/* A row a hole and kind of thing of which something differs; into each (may be NULL) one a thing. states: the commits
 * that were compared. */
MUST_CHECK enum status compare_states(struct run *run, const struct compare_asked *asked, struct sheet *summary,
                                      struct sheet *each, char states[2][COMMIT_ID_MAX], struct err *err);

/* --- inside --- */

struct compare_changes {
    size_t added;
    size_t withdrawn;
    size_t amended;
    size_t renamed;
};

struct compare {
    struct run *run;
    const struct compare_asked *asked;
    struct store *stores[2];
    struct state sides[2]; /* as compare_at made them last */
    enum scale bag_scale;
    struct sheet *each;
    bool only_moved;  /* of an act that is to be told: what moves, not what else became of things */
    bool only_cores;  /* sections and samples are left out */
    bool has_labels;  /* labels made stale are counted, too */
    int64_t since_us; /* the lag of what came up before is the same in both; INT64_MIN: of nothing */
    int64_t next_ms;
    /* The hole that is looked at. */
    struct target targets[2]; /* with the hole of each side */
    bool has_hole[2];
    bool same_hole; /* the hole's own record, its corrections and those of its parents are the same */
    struct reach reach;
    struct compare_changes changes[COMPARE_ITEM_COUNT];
};

/* The state of a side. */
struct state *compare_at(struct compare *compare, int side);

/* One thing on both sides. */
struct compare_thing {
    int what; /* reach_item or compare_item */
    const char *name;
    bool there[2];
    bool stands[2];
    bool is_equal;
    const char *former;     /* its name on the first side, where that is another */
    struct depth depths[2]; /* of things that have one: their top, or their bottom where the top stays */
};

/* Count it, and tell it where each is asked for. */
MUST_CHECK enum status compare_tell(struct compare *compare, const struct compare_thing *thing, struct err *err);

/* Top and bottom on both sides: before and after of the top or, where that stays, of the bottom. */
void compare_ends(const struct depth before[2], const struct depth after[2], struct depth out[2]);

/* Does a path hold the same on both sides? *there (may be NULL): on which it is there. */
MUST_CHECK enum status compare_same(struct compare *compare, const char *path, bool *same, bool there[2],
                                    struct err *err);

/* The hole on both sides; counts begin anew. */
MUST_CHECK enum status compare_hole_open(struct compare *compare, const char *hole, struct err *err);

/* Has the hole a seafloor on neither side, so that drilled depths alone can be told? */
bool compare_is_below_rig(const struct compare *compare);

MUST_CHECK enum status compare_cores(struct compare *compare, struct err *err); /* compare_core.c */
MUST_CHECK enum status compare_core(struct compare *compare, int32_t number,
                                    struct err *err);                             /* by its number on the second side */
MUST_CHECK enum status compare_bags(struct compare *compare, struct err *err);    /* compare_bag.c */
MUST_CHECK enum status compare_records(struct compare *compare, struct err *err); /* compare_record.c */

/* compare_label.c: labels of a core, or of a file of bags with the lag of both sides. */
MUST_CHECK enum status compare_core_labels(struct compare *compare, int32_t number, struct err *err);
MUST_CHECK enum status compare_bag_labels(struct compare *compare, enum bag_kind kind, int32_t hundred,
                                          struct lag_hole lags[2], struct err *err);

#endif
