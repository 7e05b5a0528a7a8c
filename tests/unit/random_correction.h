/* SPDX-License-Identifier: MIT */
/* Random holes with cores and a history of corrections, some of which take the place of others and some withdrawn. */
#ifndef CORETALLY_TESTS_RANDOM_CORRECTION_H
#define CORETALLY_TESTS_RANDOM_CORRECTION_H

#include "unit.h"

#include "correction_parts.h"

enum { CORES_MOST = 4, SECTIONS_MOST = 5, HISTORY_MOST = 8, ROWS_MOST = 6, NAMES_SIZE = 60 };

/* What one correction holds besides itself. */
struct random_rows {
    struct tide_height heights[ROWS_MOST];
    struct core_offset offsets[CORES_MOST];
    struct growth_step steps[ROWS_MOST];
    struct splice_interval intervals[ROWS_MOST];
    struct match_point points[ROWS_MOST];
    struct survey_station stations[ROWS_MOST];
    char supersedes[NAMES_SIZE];
};

/* Points into itself: made in place, never copied. */
struct random_history {
    struct hole hole; /* without its corrections */
    struct core cores[CORES_MOST];
    struct section sections[CORES_MOST][SECTIONS_MOST];
    size_t core_count;
    struct correction corrections[HISTORY_MOST]; /* by number, 1 to count */
    struct random_rows rows[HISTORY_MOST];
    size_t count;
};

/* In force, none repeats another, as at the table where a repetition is refused. */
void random_history(uint64_t *seed, struct random_history *out);

/* Does it name this number? */
bool correction_names(const struct correction *it, int32_t number);

#endif
