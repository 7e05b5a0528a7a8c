/* SPDX-License-Identifier: MIT */
/* Records that are numbered within their hole and share one file: drilled
 * intervals, states of the well, pumps, lag checks. Their add, amend, withdraw
 * and show commands are the same acts; a kind says what differs.
 */
#ifndef CORETALLY_CMD_NUMBERED_H
#define CORETALLY_CMD_NUMBERED_H

#include "command.h"
#include "coretally/state/numbered.h"
#include "show.h"

struct numbered {
    const char *noun; /* "pump" */
    const struct table *set;
    const struct table *item; /* its first member is the number */
    void (*path)(const char *hole, char out[REGISTRY_PATH_MAX]);
    int (*order)(const void *, const void *); /* NULL: by number */

    /* Arguments after the hole, and what is taken over from earlier records, before the options. *items: room for one,
     * filled by record_init; may be made more, in order of time. */
    enum status (*prepare)(struct run *run, const struct target *target, const struct numbered_set *set, void **items,
                           size_t *count, struct err *err);
    /* Rules; item may be one of the set. is_silent: it is the item as it was before it is amended; nothing is said. */
    enum status (*check)(struct run *run, const struct target *target, const struct numbered_set *set, const void *item,
                         bool is_silent, struct findings *findings, struct err *err);
    /* The line of the commit; what: "", " amended", " withdrawn". */
    void (*line)(const char *hole, const void *item, const char *what, struct text *out);
    /* What else `show` tells of an item; may be NULL. */
    size_t (*extras)(const struct target *target, const void *item, struct extra *out);
};

enum { EXTRAS_MAX = 4 };

MUST_CHECK enum status numbered_read(struct state *state, const struct numbered *kind, const char *hole,
                                     struct numbered_set *out, struct err *err);
const void *numbered_item(const struct numbered *kind, const struct numbered_set *set, size_t at);
/* The item of a number; NULL: not there. */
const void *numbered_find(const struct numbered *kind, const struct numbered_set *set, int32_t number);

/* Whole commands. */
MUST_CHECK enum status numbered_add(struct run *run, const struct numbered *kind, struct err *err);
MUST_CHECK enum status numbered_amend(struct run *run, const struct numbered *kind, struct err *err);
MUST_CHECK enum status numbered_withdraw(struct run *run, const struct numbered *kind, struct err *err);
MUST_CHECK enum status numbered_show(struct run *run, const struct numbered *kind, struct err *err);

/* The kinds. */
extern const struct numbered drilled_kind;
extern const struct numbered well_kind;
extern const struct numbered pumps_kind;
extern const struct numbered lag_check_kind;

#endif
