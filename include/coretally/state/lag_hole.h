/* SPDX-License-Identifier: MIT */
/* What the lag of a hole rests on: its well, pumps, lag checks, and as many days of its pump log as a question needs.
 *
 *     struct lag_hole hole;
 *     TRY(lag_hole_open(state, &target, 0, NULL, &hole, err));
 *     TRY(lag_hole_back(state, &hole, &terms, ts_us, &passage, err));       loads what it needs
 *     lag_hole_close(&hole);                                              on every way out
 *
 * Days are loaded as a window that replaces the one before: what was asked of hole.log earlier is asked again after a
 * lag_hole_cover.
 */
#ifndef CORETALLY_STATE_LAG_HOLE_H
#define CORETALLY_STATE_LAG_HOLE_H

#include "coretally/domain/lag_check.h"
#include "coretally/state/log.h"
#include "coretally/state/resolve.h"

struct lag_hole {
    const struct target *target;
    struct geometry_set wells;
    struct pump_set pumps;
    struct lag_check_set checks;
    struct lag_check_result *results; /* of the standing checks, in order */
    struct lag_check *measured;       /* the same checks */
    size_t measured_count;
    struct lag_well well; /* with the checks in it */
    struct lag_origin *origins;
    int64_t
        *cement_um; /* bottom of the hole when cement was circulated, a state; LENGTH_NONE: not told, or not known */
    int64_t *bottoms_um;  /* bottom of the hole at the end of a day of the log; LENGTH_NONE: not looked up yet */
    bool carries;         /* a bridge carries values on from row to row: the walk must begin with the log */
    double tolerance_pct; /* the widest of its pumps */
    const struct log_day_text *fresh; /* days with rows that are not recorded yet: they stand in the place of theirs */
    size_t fresh_count;
    int64_t *days; /* of the log, ascending; fresh ones, too */
    size_t day_count;
    bool booster_unknown; /* the log counts a booster while the well has no inlet */
    bool is_told;         /* that it does */
    bool is_quiet;        /* nothing is told of what is left out: another reading of the hole tells it */
    const char *why;      /* lag_hole_try: what is missing, why no depth can be known; NULL */
    size_t ahead;         /* load so many days more than asked: for questions in order of time */
    struct arena arena;
    struct lag_log log; /* of days first_day to last_day - 1 */
    size_t first_day;
    size_t last_day;
    size_t row_room; /* rows that the arrays of the log have place for */
};

/* leave_out: number of a check to do without; 0: none. extra: a check not recorded yet (its number counts), or NULL. */
MUST_CHECK enum status lag_hole_open(struct state *state, const struct target *target, int32_t leave_out,
                                     const struct lag_check *extra, struct lag_hole *out, struct err *err);
/* The same with rows of the log that are not recorded yet: days as log_take_file makes them. */
MUST_CHECK enum status lag_hole_open_fresh(struct state *state, const struct target *target,
                                           const struct log_day_text *fresh, size_t fresh_count, struct lag_hole *out,
                                           struct err *err);
/* For what is recorded whatever the lag says: records that are missing or contradict one another become hole->why. */
MUST_CHECK enum status lag_hole_try(struct state *state, const struct target *target, struct lag_hole *out,
                                    struct err *err);
/* The same as the earlier of two readings, which leaves the notes to the later one. */
MUST_CHECK enum status lag_hole_try_quiet(struct state *state, const struct target *target, struct lag_hole *out,
                                          struct err *err);
void lag_hole_close(struct lag_hole *hole);

/* Where corrections are in force: what the depths of a table by depth are. */
void lag_hole_say_reported(struct state *state, const struct lag_hole *hole);

/* Below seafloor, with every correction, of a depth as the driller reports it and the passage of its cuttings;
 * LENGTH_NONE where not known. */
int64_t lag_hole_msf(const struct lag_hole *hole, const struct lag_passage *passage, int64_t reported_um);

/* A refusal as one text, for where it stands in the place of a depth. */
MUST_CHECK enum status lag_why(struct state *state, const struct err *refusal, const char **out, struct err *err);

/* Load the days that hold this span, as far as there are any. */
MUST_CHECK enum status lag_hole_cover(struct state *state, struct lag_hole *hole, int64_t from_us, int64_t to_us,
                                      struct err *err);

/* The questions of domain/lag.h; days are loaded until the answer needs no more. */
MUST_CHECK enum status lag_hole_back(struct state *state, struct lag_hole *hole, const struct lag_terms *terms,
                                     int64_t at_shaker_us, struct lag_passage *out, struct err *err);
MUST_CHECK enum status lag_hole_of_depth(struct state *state, struct lag_hole *hole, const struct lag_terms *terms,
                                         int64_t depth_um, struct lag_passage *out, struct err *err);

/* First and last instant of the whole log; false when there is none. */
MUST_CHECK enum status lag_hole_span(struct state *state, const struct lag_hole *hole, int64_t *first_us,
                                     int64_t *last_us, struct err *err);

/* An instant, to the second, in the ship's zone of the hole where it has one; "" for INT64_MIN. */
struct ship_time {
    char text[INSTANT_TEXT_MAX];
};
struct ship_time ship_time(const struct hole *hole, int64_t utc_us);
struct instant ship_instant(const struct hole *hole, int64_t utc_us); /* not known for INT64_MIN */

/* Nominal; and with everything stated as uncertain such that depths come out shallow or deep. */
struct lag_terms lag_terms_nominal(void);
struct lag_terms lag_terms_shallow(const struct lag_hole *hole);
struct lag_terms lag_terms_deep(const struct lag_hole *hole);

#endif
