/* SPDX-License-Identifier: MIT */
/* Fields that two sides set to different values, and nobody has decided about (domain/contradiction.h): which there
 * are, which record each is about, and what is said of them.
 *
 * Whoever reads a record with such a field is told, once in an invocation: state_read asks open_tell (by the shelf of
 * the state), so that no answer can forget it. A hole without any costs one look at its folder.
 */
#ifndef CORETALLY_STATE_OPEN_H
#define CORETALLY_STATE_OPEN_H

#include "coretally/state/record_at.h"

/* Where a contradiction lies: the table of the record, and how the record is found in its file. */
struct open_place {
    struct place_known known;  /* the file */
    const struct table *part;  /* of the record; NULL: a day of the pump log */
    const struct field *list;  /* the list of the file that it is an item of; NULL: it is the file */
    const struct field *field; /* NULL: the file as a whole */
};
/* false: no registry has this file, such items in it, or this field. */
bool open_place(const struct contradiction *it, struct open_place *out);

/* What finds an item in its file, as a contradiction has it: "3", "CC", "3W,45-47". */
void open_item_text(const struct table *part, const void *item, char out[SAMPLE_KEY_MAX]);
/* The record in a version of its file; NULL: not there. Of a sample also by a key that it had before. */
const void *open_pick(const struct open_place *at, const char *item, const void *file);

enum { OPEN_NAME_MAX = NAME_TEXT_MAX + 24 };
struct open_point {
    struct contradiction it;
    char path[REGISTRY_PATH_MAX]; /* of its own file */
    struct open_place at;
    const void *record;        /* as it reads now; NULL: not there */
    char thing[OPEN_NAME_MAX]; /* "901-U0020A-2H-2", "U0021A pump 2" */
    char typed[OPEN_NAME_MAX]; /* how it is typed: "U0020A-2H-2" */
    bool is_told;
};

struct open_points {
    struct open_point *items; /* in the order of their things' files and items */
    size_t count;
};

/* Those of a hole; NULL: of the expedition. */
MUST_CHECK enum status open_points_read(struct state *state, const char *hole, struct open_points *out,
                                        struct err *err);

/* What a record is called, by its file and, of an item, what finds it there: a point without claims. */
MUST_CHECK enum status open_point_of(struct state *state, const char *path, const char *item, struct open_point *out,
                                     struct err *err);

/* A value with its unit; "none" where it is left out. */
void open_add_value(const struct open_point *point, const char *value, struct text *out);
/* "curated 1.48 m or 1.47 m": the field with its values, that which stands first. */
void open_add_claims(const struct open_point *point, struct text *out);

/* The fields of a record that are open, for the note of a list, behind what stands there: "curated open". *out is
 * before where none is. A whole file tells those of its items, too. */
MUST_CHECK enum status open_note(struct state *state, const struct record_at *at, const char *before, const char **out,
                                 struct err *err);

/* The same of the open fields on which depths in a core of the hole rest: "open: section 2 curated". */
MUST_CHECK enum status open_note_depth(struct state *state, const char *hole_name, int32_t core, const char *before,
                                       const char **out, struct err *err);

/* Notes of the open fields on which answers rest, of the record at path; told before: silent. */
MUST_CHECK enum status open_tell(struct state *state, const char *path, struct err *err);
/* The same of all fields of one record, words beside its readings included. */
MUST_CHECK enum status open_tell_record(struct state *state, const struct record_at *at, struct err *err);

#endif
