/* SPDX-License-Identifier: MIT */
/* The records of a state, by path and by hole. What is read lives as long as the arena of the state. Each file is read
 * and decoded once in an invocation, whichever states ask for it, so what comes out is shared: it is not to be changed,
 * but in a state that is_edited, where every caller is given a copy. */
#ifndef CORETALLY_STATE_READ_H
#define CORETALLY_STATE_READ_H

#include "coretally/state/state.h"

/* The record at path; *there false (and the record left absent) when the state has none. STATUS_DAMAGED names the path,
 * also for a record that belongs under another one. */
MUST_CHECK enum status state_read(struct state *state, const char *path, const struct table *table, void *record,
                                  bool *there, struct err *err);

/* An earlier version of the record, by the id that history_next tells; NULL for an id of "". It is not checked against
 * its path. What cannot be decoded is refused in the words of record_decode alone. */
MUST_CHECK enum status state_version(struct state *state, const char *id, const char *path, const struct table *table,
                                     const void **out, struct err *err);

/* Bytes of a file; data NULL when there is none. */
MUST_CHECK enum status state_bytes(struct state *state, const char *path, struct bytes *out, struct err *err);

/* A hole with its corrections in force and, for a sidetrack, its parent with those of its own: everything that its
 * depths rest on but its cores. Holes are read by this and nothing else wherever a depth is made. */
MUST_CHECK enum status state_hole(struct state *state, const char *hole, struct hole *out, bool *there,
                                  struct err *err);

/* The hole with other corrections in force: all standing ones of count. */
MUST_CHECK enum status hole_under(struct state *state, const struct hole *hole, const struct correction *all,
                                  size_t count, struct hole *out, struct err *err);

/* Every correction of a hole, withdrawn ones included, by number. */
MUST_CHECK enum status state_corrections(struct state *state, const char *hole, struct correction **out, size_t *count,
                                         struct err *err);

/* Cores of a hole that were given another name; an empty set where none was. */
MUST_CHECK enum status state_renamings(struct state *state, const char *hole, struct renaming_set *out,
                                       struct err *err);

/* What there is: a folder (registry_list), names of the holes, numbers of the cores of a hole (withdrawn ones
 * included), hundreds of bags of a kind, days of the pump log; each ascending. */
MUST_CHECK enum status state_list(struct state *state, const char *folder, struct known_files *out, struct err *err);
MUST_CHECK enum status state_holes(struct state *state, struct names *out, struct err *err);
MUST_CHECK enum status state_cores(struct state *state, const char *hole, int32_t **out, size_t *count,
                                   struct err *err);
MUST_CHECK enum status state_hundreds(struct state *state, const char *hole, enum bag_kind kind, int32_t **out,
                                      size_t *count, struct err *err);
MUST_CHECK enum status state_log_days(struct state *state, const char *hole, int64_t **out, size_t *count,
                                      struct err *err);

#endif
