/* SPDX-License-Identifier: MIT */
/* Records in the registry: which path holds what, read and decoded. Layout:
 *
 *     expedition.json
 *     holes/U0012A/hole.json                 the hole
 *     holes/U0012A/drilled.json              its intervals drilled without coring
 *     holes/U0012A/renamed.json              its cores that were given another number or letter
 *     holes/U0012A/well.json                 its well geometry, state by state
 *     holes/U0012A/pumps.json                its pumps
 *     holes/U0012A/lag-checks.json           tracers sent through the well
 *     holes/U0012A/corrections/0003.json     a correction of depth
 *     holes/U0012A/corrections/0003.signed.json  signatures under it
 *     signed/3f2a9c4d1e0f...json             signatures under an act, by the id of its commit
 *     evidence/8ab686eafeb1f44702738c8b...   a file attached to a correction, by the hash git has of it
 *     holes/U0012A/log/2026-03-09.log        a day of its pump log (record/log_day.h)
 *     holes/U0012A/bags/bag-0001.json        cuttings bags 0 to 99; gas-0001.json, mud-0001.json likewise
 *     holes/U0012A/cores/0012.json           core 12 with its sections
 *     holes/U0012A/cores/0012.samples.json   the samples of core 12
 *     holes/U0012A/cores/0012.labels.json    labels printed of core 12, its sections and samples
 *     holes/U0012A/bags/bag-0001.labels.json labels printed of bags 1 to 99
 *     holes/U0012A/open/0123456789abcdef.json a field that two sides set to different values; of the expedition: open/
 */
#ifndef CORETALLY_STORE_REGISTRY_H
#define CORETALLY_STORE_REGISTRY_H

#include "coretally/record/field.h"
#include "coretally/store/store.h"

#define EXPEDITION_PATH "expedition.json"

enum { REGISTRY_PATH_MAX = 64, HOLE_NAME_MAX = 12 };
void hole_path(const char *hole, char out[REGISTRY_PATH_MAX]);
void renamed_path(const char *hole, char out[REGISTRY_PATH_MAX]);
void drilled_path(const char *hole, char out[REGISTRY_PATH_MAX]);
void core_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX]);
void samples_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX]);
void core_labels_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX]);
void bag_labels_path(const char *hole, enum bag_kind kind, int32_t hundred, char out[REGISTRY_PATH_MAX]);
void well_path(const char *hole, char out[REGISTRY_PATH_MAX]);
void pumps_path(const char *hole, char out[REGISTRY_PATH_MAX]);
void lag_checks_path(const char *hole, char out[REGISTRY_PATH_MAX]);
void bags_path(const char *hole, enum bag_kind kind, int32_t hundred, char out[REGISTRY_PATH_MAX]);
void log_day_path(const char *hole, int64_t day, char out[REGISTRY_PATH_MAX]);
void correction_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX]);
void signatures_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX]);
void act_signatures_path(const char *act, char out[REGISTRY_PATH_MAX]);
void evidence_path(const char *hash, char out[REGISTRY_PATH_MAX]);
void contradiction_path(const struct contradiction *contradiction, char out[REGISTRY_PATH_MAX]);
/* The folder of the contradictions of a hole; NULL: of the expedition. */
void contradictions_folder(const char *hole, char out[REGISTRY_PATH_MAX]);

/* A path of the list above, taken apart. What stands under any other path is no part of a registry. */
enum known_kind { KNOWN_RECORD, KNOWN_LOG_DAY, KNOWN_EVIDENCE };
struct known_path {
    const char *pattern; /* %h hole, %n number in four digits or more, %b kind of bag, %d day, %e hash, %a act, %c
                            contradiction */
    enum known_kind kind;
    const struct table *table; /* of a KNOWN_RECORD */
};
extern const struct known_path known_paths[]; /* ends with a NULL pattern */

struct place_known {
    const struct known_path *known;
    char path[REGISTRY_PATH_MAX];
    char hole[HOLE_NAME_MAX]; /* "" outside the holes */
    int32_t number;           /* core, correction or hundred; 0: none */
    enum bag_kind bag;
    int64_t day;
};
bool registry_place(const char *path, struct place_known *out);
/* A file of one core: its record, its samples, its labels. */
bool place_is_of_core(const struct place_known *place);
/* Is it a folder that known paths lead through? */
bool registry_folder(const char *path);

/* What stands in a folder of a registry, in the order of its bytes; a folder in it has no known. Every command that
 * goes through a folder goes through it by this, so that no name is taken for a record that the program would not
 * itself have written: STATUS_DAMAGED names the path of anything else, also of a folder in the place of a file, a file
 * in the place of a folder, a link, another repository, a name that stands twice. None where there is no such folder.
 */
struct known_files {
    struct place_known *items;
    size_t count;
};
MUST_CHECK enum status registry_list(struct store *store, const char *folder, struct arena *arena,
                                     struct known_files *out, struct err *err);

/* The path that a record itself says it belongs under. */
void registry_own_path(const struct table *table, const void *record, char out[REGISTRY_PATH_MAX]);

/* A decoded record against the path that it stands under, and what every reader relies on: STATUS_DAMAGED. */
MUST_CHECK enum status registry_check(const char *path, const struct table *table, const void *record, struct err *err);

/* Names of the holes, "U0012A", sorted. */
MUST_CHECK enum status registry_holes(struct store *store, struct arena *arena, struct names *out, struct err *err);

/* Numbers of the cores of a hole, ascending, withdrawn ones included. */
MUST_CHECK enum status registry_cores(struct store *store, const char *hole, struct arena *arena, int32_t **out,
                                      size_t *count, struct err *err);

/* Which hundreds of bags of a kind a hole has, ascending. */
MUST_CHECK enum status registry_hundreds(struct store *store, const char *hole, enum bag_kind kind, struct arena *arena,
                                         int32_t **out, size_t *count, struct err *err);

/* Days (since 1970-01-01) of which the pump log of a hole has rows, ascending. */
MUST_CHECK enum status registry_log_days(struct store *store, const char *hole, struct arena *arena, int64_t **out,
                                         size_t *count, struct err *err);

#endif
