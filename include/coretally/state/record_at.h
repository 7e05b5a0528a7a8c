/* SPDX-License-Identifier: MIT */
/* A record of the registry, or a part of one, by one name: the file it stands in, what tells it apart in there, and how
 * it reads now. Who shows a record, asks for its history or for the act that it came with is given this.
 */
#ifndef CORETALLY_STATE_RECORD_AT_H
#define CORETALLY_STATE_RECORD_AT_H

#include "coretally/state/state.h"

struct record_at {
    char path[REGISTRY_PATH_MAX];
    const struct table *table;                                /* of the file */
    const void *(*pick)(const void *record, const void *key); /* finds the part in a version; NULL: the whole file */
    const void *key;                                          /* what pick goes by; it must last as long as this */
    const struct table *part;                                 /* of the part; of a whole file its table */
    const void *present;                                      /* the record, or its part, as it reads now */
};

struct record_at record_of_expedition(const struct expedition *expedition);
struct record_at record_of_hole(const char *hole, const struct hole *present);
struct record_at record_of_core(const char *hole, const struct core *core);
struct record_at record_of_section(const char *hole, int32_t core, const struct section *section);
/* Earlier versions are found by the earlier keys of the sample. */
struct record_at record_of_sample(const char *hole, int32_t core, const struct sample *sample);
struct record_at record_of_correction(const char *hole, const struct correction *correction);
/* An item of a file whose items are numbered within their hole: set is drilled_set_table, geometry_set_table,
 * pump_set_table or lag_check_set_table. */
struct record_at record_of_numbered(const char *hole, const struct table *set, const void *item);
struct record_at record_of_bag(const char *hole, enum bag_kind kind, const struct bag *bag);

/* The part in one version of the file; NULL: it was not there. */
const void *record_at_pick(const struct record_at *at, const void *version);

/* The same in the version that a commit has, where registries were joined: what got another number then is found by the
 * one that it had on its own line, and what had its number on another line is not taken for it. among: a later version
 * of the file, which tells whose numbers were taken; NULL: nobody's. */
MUST_CHECK enum status record_at_then(struct store *store, const struct record_at *at, const void *among,
                                      const void *version, const char *commit, const void **out, struct err *err);

/* The section of a number in a core, and a sample as it is now in an earlier set; NULL: not there. */
const struct section *section_in(const struct core *core, int32_t number);
const struct sample *sample_then(const struct sample_set *set, const struct sample *present);

#endif
