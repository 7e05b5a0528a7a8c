/* SPDX-License-Identifier: MIT */
/* Which column of a table is which field, in which unit and on which scale. */
#ifndef CORETALLY_INTAKE_MAPPING_H
#define CORETALLY_INTAKE_MAPPING_H

#include "coretally/domain/hole.h"
#include "coretally/intake/csv.h"
#include "coretally/record/field.h"

/* What was asked: lines of a mapping in a file, and typed ones, separated by ';' or line ends; NULL: none. */
struct mapping_asked {
    const char *file;
    const char *lines;
};

/* The lines of the file, then those typed, without remarks and blanks around, none empty. A line is the callee's to cut
 * up and good as long as the arena; what is wrong with it is reported with its number. */
typedef enum status mapping_line(void *context, char *line, struct err *err);
MUST_CHECK enum status mapping_each_line(struct arena *arena, const struct mapping_asked *asked, mapping_line *on_line,
                                         void *context, struct err *err);

enum import_kind { IMPORT_CORES, IMPORT_SECTIONS, IMPORT_SAMPLES, IMPORT_BAGS };
extern const char *const import_words[]; /* "cores", ..., NULL */

/* Where one field of the rows comes from. */
struct source {
    const char *field;      /* field of the record, or expedition, site, hole, core, type, catcher */
    const struct field *as; /* NULL for those that only name */
    size_t column;          /* SIZE_MAX: constant */
    const char *constant;
    enum length_unit unit;
    enum datum datum; /* of top and bottom of cores; NONE where it was not said */
};

/* A figure in the file that is compared with ours. */
enum compared { COMPARE_RECOVERY, COMPARE_DSF, COMPARE_CSF_A, COMPARE_CSF_B, COMPARE_CCSF, COMPARE_COUNT };
struct comparison {
    enum compared what;
    bool at_bottom;
    size_t column;
    enum length_unit unit;
};

enum { SOURCES_MAX = 40, COMPARISONS_MAX = 8 };

struct mapping {
    struct source sources[SOURCES_MAX];
    size_t source_count;
    struct comparison comparisons[COMPARISONS_MAX];
    size_t comparison_count;
    bool keep_doubtful;
};

/* The mapping as asked and, for what it leaves out, columns named like ours. Constants live as long as the arena. */
MUST_CHECK enum status mapping_read(struct arena *arena, const struct mapping_asked *asked, enum import_kind kind,
                                    const struct table_text *table, struct mapping *out, struct err *err);

/* "cores" and the table of what a row of them becomes; the header line of such a table, every column named as ours. */
MUST_CHECK enum status import_kind_find(const char *word, enum import_kind *out, struct err *err);
const struct table *import_table(enum import_kind kind);
MUST_CHECK enum status import_template(const char *word, struct text *out, struct err *err);

#endif
