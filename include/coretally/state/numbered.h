/* SPDX-License-Identifier: MIT */
/* Records that are numbered within their hole and share one file, as one shape: drilled intervals, states of the well,
 * pumps, lag checks. */
#ifndef CORETALLY_STATE_NUMBERED_H
#define CORETALLY_STATE_NUMBERED_H

#include "coretally/state/read.h"

/* The common shape of drilled_set, geometry_set, pump_set and lag_check_set. */
struct numbered_set {
    const char *hole;
    void *items;
    size_t count;
};

/* What one of the four kinds is called, and where its set stands. */
struct numbered_form {
    const char *noun; /* "lag check" */
    const struct table *set;
    const struct table *item; /* its first member is the number */
    void (*path)(const char *hole, char out[REGISTRY_PATH_MAX]);
};
extern const struct numbered_form drilled_form;
extern const struct numbered_form well_form;
extern const struct numbered_form pumps_form;
extern const struct numbered_form lag_check_form;

/* The set of a hole; an empty one where there is none. */
MUST_CHECK enum status numbered_set_read(struct state *state, const struct numbered_form *form, const char *hole,
                                         struct numbered_set *out, struct err *err);
const void *numbered_item(const struct numbered_form *form, const struct numbered_set *set, size_t at);
/* The item of a number; NULL: not there. */
const void *numbered_find(const struct numbered_form *form, const struct numbered_set *set, int32_t number);

/* Members that every such record has. */
int32_t numbered_number(const void *item);
const char **numbered_was(const struct numbered_form *form, void *item);
const char **numbered_withdrawn(const struct numbered_form *form, void *item);
int32_t *numbered_version(const struct numbered_form *form, void *item);

#endif
