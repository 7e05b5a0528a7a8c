/* SPDX-License-Identifier: MIT */
/* Inside compare: one hole in two states. moves.c asks about single cores of it. */
#ifndef CORETALLY_ASK_COMPARE_PARTS_H
#define CORETALLY_ASK_COMPARE_PARTS_H

#include "coretally/ask/compare.h"
#include "coretally/state/lag_hole.h"

struct compare {
    struct state *whole[2];  /* holes are read in these: they are parents of others, too */
    struct state *states[2]; /* the rest of a hole, in these */
    const struct compare_asked *asked;
    enum scale bag_scale;
    bool only_moved;  /* of an act that is to be told: what moves, not what else became of things */
    bool only_cores;  /* sections and samples are left out */
    bool has_runs;    /* cores without sections are counted, too, by their runs on DSF */
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

/* Two states inside two others: what is read of one is at hand for the other. Left by state_leave of the first. */
void compare_nest(struct state *const outer[2], struct state inner[2]);

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

/* Count it, and hand it on where each is asked for. */
MUST_CHECK enum status compare_tell(struct compare *compare, const struct compare_thing *thing, struct err *err);

/* A core that stands on both sides without sections: it has no depth but that of its run. core: as it was told. */
MUST_CHECK enum status compare_tell_run(struct compare *compare, const struct core cores[2],
                                        const struct compare_thing *core, struct err *err);

/* Top and bottom on both sides: before and after of the top or, where that stays, of the bottom. */
void compare_ends(const struct depth before[2], const struct depth after[2], struct depth out[2]);

/* Does a path hold the same on both sides? *there (may be NULL): on which it is there. */
MUST_CHECK enum status compare_same(const struct compare *compare, const char *path, bool *same, bool there[2],
                                    struct err *err);

/* The hole on both sides; counts begin anew. */
MUST_CHECK enum status compare_hole_open(struct compare *compare, const char *hole, struct err *err);

/* The scale on which a kind of thing is compared, as people call it; NULL for what has no depth. */
const char *compare_scale_word(const struct compare *compare, int what);

/* Has the hole a seafloor on neither side, so that drilled depths alone can be told? */
bool compare_is_below_rig(const struct compare *compare);

/* compare_renumbered.c: pairs of samples of which joins gave one another number in a state. pairs has room for all of
 * both sets. */
MUST_CHECK enum status compare_renumbered(struct state *const states[2], const struct sample_set sets[2],
                                          struct sample_pair *pairs, size_t *count, struct err *err);

/* compare_bag_pairs.c: the bags of one file, each of a state beside itself in the other; NULL where that has none. */
struct bag_pair {
    const struct bag *of[2];
};
MUST_CHECK enum status compare_pair_bags(const struct compare *compare, const struct bag_set sets[2],
                                         struct bag_pair **out, size_t *count, struct err *err);

MUST_CHECK enum status compare_cores(struct compare *compare, struct err *err); /* compare_core.c */
/* By its number on the second side; it is read in states of its own. */
MUST_CHECK enum status compare_core(struct compare *compare, struct state sides[2], int32_t number, struct err *err);
MUST_CHECK enum status compare_bags(struct compare *compare, struct err *err);    /* compare_bag.c */
MUST_CHECK enum status compare_records(struct compare *compare, struct err *err); /* compare_record.c */

/* compare_label.c: labels of a core, or of a file of bags with the lag of both sides. */
MUST_CHECK enum status compare_core_labels(struct compare *compare, struct state sides[2], int32_t number,
                                           struct err *err);
MUST_CHECK enum status compare_bag_labels(struct compare *compare, enum bag_kind kind, int32_t hundred,
                                          struct lag_hole lags[2], struct err *err);

#endif
