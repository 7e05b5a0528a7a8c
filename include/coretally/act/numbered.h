/* SPDX-License-Identifier: MIT */
/* Records that are numbered within their hole added, amended and withdrawn: drilled intervals, states of the well,
 * pumps, lag checks. They are the same acts; a numbered_act says what differs. */
#ifndef CORETALLY_ACT_NUMBERED_H
#define CORETALLY_ACT_NUMBERED_H

#include "coretally/act/draft.h"
#include "coretally/state/numbered.h"
#include "coretally/state/resolve.h"

/* Where such a record stands: its hole, and the others. */
struct numbered_place {
    const struct target *target;
    struct numbered_set set;
};

/* What is said of one before it is written. */
struct numbered_found {
    struct findings findings;
    const struct lag_check_result *measured; /* by a lag check; NULL */
};

struct numbered_act {
    const struct numbered_form *form;
    const char *word;                         /* of its commands: "pump" */
    int (*order)(const void *, const void *); /* NULL: by number */
    /* Rules; item may be one of the set. */
    enum status (*check)(struct state *state, const struct numbered_place *place, const void *item,
                         struct numbered_found *out, struct err *err);
};
extern const struct numbered_act drilled_act;
extern const struct numbered_act well_act;
extern const struct numbered_act pumps_act;
extern const struct numbered_act lag_check_act;

/* Records as they shall be, in order of time; the numbers are given to them. */
struct numbered_items {
    void *first;
    size_t count;
};
/* Those that stand with the same values are left out; DRAFT_PRESENT when all of them do. */
MUST_CHECK enum status numbered_add(struct state *state, const struct numbered_act *act, const struct target *target,
                                    const struct numbered_items *items, struct draft *out, struct err *err);
/* changed: the one of its number, with other values. */
MUST_CHECK enum status numbered_amend(struct state *state, const struct numbered_act *act, const struct target *target,
                                      const void *changed, struct draft *out, struct err *err);
/* The same by somebody who is sure of what is open, as core_keep. */
struct numbered_kept {
    const void *changed;
    struct findings open;
};
MUST_CHECK enum status numbered_keep(struct state *state, const struct numbered_act *act, const struct target *target,
                                     const struct numbered_kept *kept, struct draft *out, struct err *err);
/* reason: of will. STATUS_UNKNOWN without one of the number. */
struct numbered_withdrawal {
    int32_t number;
    const char *reason;
};
MUST_CHECK enum status numbered_withdraw(struct state *state, const struct numbered_act *act,
                                         const struct target *target, const struct numbered_withdrawal *withdrawal,
                                         struct draft *out, struct err *err);

/* --- what a new one takes over, before what was typed --- */

/* The datum of the last core of the hole; the rig floor without one. */
MUST_CHECK enum status drilled_begin(struct state *state, const char *hole, struct drilled *out, struct err *err);

/* The state of the well in force from then on, or the next one; *out stays as it was where there is none. */
void well_begin(const struct numbered_set *set, int64_t from_us, struct geometry *out);
/* States of which bores, string and time alone are stated; each takes over from the one before it. */
MUST_CHECK enum status well_follow(struct state *state, const struct geometry *before, const struct geometry *stated,
                                   size_t count, struct geometry **out, struct err *err);

/* The record of the name in force from then on, or the next one. kind: as typed; of a pump that is built otherwise none
 * of the dimensions holds on. NULL: not typed. The name is left to the caller. */
struct pump_asked {
    const char *name;
    const char *kind;
    int64_t from_us;
};
void pump_begin(const struct numbered_set *set, const struct pump_asked *asked, struct pump *out);

#endif
