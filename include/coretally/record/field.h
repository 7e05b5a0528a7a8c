/* SPDX-License-Identifier: MIT */
/* Records by table. One table per kind of record describes its fields; the
 * table drives JSON in and out, CSV columns, command-line options, validation,
 * templates and the JSON Schemas in schemas/.
 *
 *     struct core core;
 *     TRY(record_decode(&core_table, text, arena, &core, err));     strict: see decode.c
 *     TRY(record_encode(&core_table, &core, arena, &text, err));    canonical: equal records give equal bytes
 */
#ifndef CORETALLY_RECORD_FIELD_H
#define CORETALLY_RECORD_FIELD_H

#include "coretally/base/measure.h"
#include "coretally/base/quantity.h"
#include "coretally/domain/core.h"
#include "coretally/domain/contradiction.h"
#include "coretally/domain/correction.h"
#include "coretally/domain/bag.h"
#include "coretally/domain/hole.h"
#include "coretally/domain/label.h"
#include "coretally/domain/pump.h"
#include "coretally/domain/sample.h"
#include "coretally/domain/renaming.h"
#include "coretally/domain/signature.h"
#include "coretally/domain/well.h"

/* Where a field lives in its struct, and how it is written:
 *   type     C member                    JSON                      typed text (CSV, options)
 *   TEXT     const char *, NULL absent   string                    as it is
 *   LENGTH   int64_t um, LENGTH_NONE     number of metres, key_m   number in the field's unit, or with a suffix
 *   COUNT    int32_t, INT_NONE           whole number              digits
 *   REAL     double, NAN, 0 or more *    number                    number in the field's unit, or with a suffix
 *   WORD     enum, 0 absent              string of the list        the word
 *   LETTER   char, 0                     string                    one letter, any case
 *   SECTION  int32_t, INT_NONE           "3", "CC"                 the same
 *   INSTANT  struct instant              RFC 3339 string           RFC 3339 or ship's time
 *   ZONE     int32_t minutes, INT_NONE   "+05:30", "Z"             the same
 *   FLAG     bool, false                 true (left out if false)  yes, no
 *   LIST     pointer and size_t count    array of records          items by ';', their fields by ','
 * * or any number, where least is below 0
 */
enum field_type {
    FIELD_TEXT,
    FIELD_LENGTH,
    FIELD_COUNT,
    FIELD_REAL,
    FIELD_WORD,
    FIELD_LETTER,
    FIELD_SECTION,
    FIELD_INSTANT,
    FIELD_ZONE,
    FIELD_FLAG,
    FIELD_LIST
};

enum field_need { OPTIONAL, REQUIRED };

struct table;

struct field {
    const char *name; /* in trade words; the option is --name with '-' for '_' */
    enum field_type type;
    size_t offset;
    enum field_need need;
    enum length_unit unit;    /* LENGTH: what a bare number means when typed, and the unit of the CSV column */
    const char *suffix;       /* REAL: unit, part of key and column: volume_cm3 */
    enum measure measure;     /* REAL: which units may be typed */
    const char *const *words; /* WORD */
    int64_t least;            /* LENGTH in um, COUNT: smallest and largest value; both 0: no limit of its own */
    int64_t most;
    const char *pattern;         /* TEXT: regular expression for the schema and for people; checked by check */
    bool (*check)(const char *); /* TEXT: well formed? */
    const struct table *of;      /* LIST */
    size_t count_offset;         /* LIST */
    const char *meaning;         /* one line, with the unit and datum */
};

struct table {
    const char *kind; /* word in the stored record and name of the schema */
    bool is_file;     /* stored as a file of its own, with "format" and "kind" before the fields */
    size_t size;
    const struct field *fields;
    size_t count;
    const char *meaning;
};

/* The format version that this program writes. Older ones are read, newer ones refused. */
enum { RECORD_FORMAT = 1 };

extern const struct table expedition_table;
extern const struct table hole_table;
extern const struct table drilled_table;
extern const struct table drilled_set_table;
extern const struct table core_table;
extern const struct table section_table;
extern const struct table gap_table;
extern const struct table whole_round_table;
extern const struct table piece_table;
extern const struct table sample_table;
extern const struct table sample_set_table;
extern const struct table renaming_table;
extern const struct table renaming_set_table;
extern const struct table plan_table;
extern const struct table bore_table;
extern const struct table part_table;
extern const struct table geometry_table;
extern const struct table geometry_set_table;
extern const struct table pump_table;
extern const struct table pump_set_table;
extern const struct table bag_table;
extern const struct table bag_set_table;
extern const struct table lag_check_table;
extern const struct table lag_check_set_table;
extern const struct table correction_table;
extern const struct table tide_height_table;
extern const struct table core_offset_table;
extern const struct table splice_interval_table;
extern const struct table growth_step_table;
extern const struct table match_point_table;
extern const struct table survey_station_table;
extern const struct table label_table;
extern const struct table label_set_table;
extern const struct table signature_table;
extern const struct table signature_set_table;
extern const struct table act_signature_table;
extern const struct table act_signature_set_table;
extern const struct table claim_table;
extern const struct table contradiction_table;

/* The tables whose records are files, NULL at the end. */
extern const struct table *const file_tables[];

/* All fields absent. */
void record_init(const struct table *table, void *record);

/* Key in JSON: name, with _m for lengths and _suffix for reals. Column in CSV: the same with the field's unit. */
enum { FIELD_KEY_MAX = 48 };
void field_key(const struct field *field, char out[FIELD_KEY_MAX]);
void field_column(const struct field *field, char out[FIELD_KEY_MAX]);

/* The field of this name, key or column; NULL when there is none. '-' counts as '_'. */
const struct field *field_find(const struct table *table, const char *name);

bool field_is_absent(const struct field *field, const void *record);

/* Take one field from typed text into the record. "" clears an optional field. ship_zone_min: for times without offset
 * (INT_NONE: refuse them). bare: what a bare length means here, normally field->unit. */
MUST_CHECK enum status field_set(const struct field *field, const char *string, enum length_unit bare,
                                 int32_t ship_zone_min, struct arena *arena, void *record, struct err *err);

/* One field as typed text ("" when absent), lengths exact in the field's unit; field_set reads it back equal. */
void field_format(const struct field *field, const void *record, struct text *out);

/* New texts may hold less than what earlier versions recorded (base/shown.h): field_set asks for typed ones, this for a
 * record that came whole. */
MUST_CHECK enum status record_check_texts(const struct table *table, const void *record, struct err *err);

/* Required fields there, limits kept, texts well formed; subject names the record for the refusal. */
MUST_CHECK enum status record_validate(const struct table *table, const void *record, const char *subject,
                                       struct err *err);

/* Same values in every field? */
bool record_is_equal(const struct table *table, const void *a, const void *b);
bool field_is_equal(const struct field *field, const void *a, const void *b);
/* The value of one field into another record of the table; texts and lists are shared. */
void field_copy(const struct field *field, const void *from, void *to);

/* The same in all that a depth, a name or a warning rests on? Remarks, masses and the like may differ (alike.c). */
bool record_is_alike(const struct table *table, const void *a, const void *b);

/* Strict reading of stored text. STATUS_DAMAGED with the path to the value otherwise. */
MUST_CHECK enum status record_decode(const struct table *table, struct bytes text, struct arena *arena, void *record,
                                     struct err *err);

/* Was this text, which record_decode refused, written in a newer format than RECORD_FORMAT? */
bool record_is_newer(struct bytes text);

/* Canonical text: keys in table order, absent fields left out, a line a key, items of a list a line each. */
MUST_CHECK enum status record_encode(const struct table *table, const void *record, struct arena *arena,
                                     struct bytes *out, struct err *err);

/* One record as a single line of JSON without a line end, for output. */
void record_print(const struct table *table, const void *record, struct text *out);

/* The JSON Schema (2020-12) of a file table. */
void record_schema(const struct table *table, struct text *out);

#endif
