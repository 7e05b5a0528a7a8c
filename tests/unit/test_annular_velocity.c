/* SPDX-License-Identifier: MIT */
/* A printed sheet of annular velocities, metres a minute for each m3 a minute: 1 / area of our segments. An excerpt
 * stands in published.inc; where LAG_EXAMPLES names a folder the whole annular_velocity_multipliers.csv there is read.
 */
#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "coretally/domain/well.h"

#define MULTIPLIER_ROWS
static const struct multiplier {
    int pipe_mm;
    int bit_mm;
    double printed;
} multipliers[] = {
#include "published.inc"
};

static double multiplier_compute(int pipe_mm, int bit_mm)
{
    struct bore bore = {BORE_OPEN, 0, LENGTH_NONE, (int64_t)bit_mm * 1000, NAN, LENGTH_NONE};
    struct part part = {"pipe", LENGTH_NONE, (int64_t)pipe_mm * 1000, LENGTH_NONE};
    const struct geometry geometry = {.bores = &bore,
                                      .bore_count = 1,
                                      .parts = &part,
                                      .part_count = 1,
                                      .inlet_um = LENGTH_NONE,
                                      .loss_um = LENGTH_NONE,
                                      .loss_pct = NAN};
    struct segments split;
    struct err err = {0};
    if (well_split(&geometry, 1000 * METRE, &split, &err) != STATUS_OK)
        fail_msg("%s: %s", err.subject, err.reason);
    assert_int_equal(split.count, 1);
    return 1 / split.items[0].area_m2;
}

/* Half of the last printed digit or 0.1 %, whichever is larger. */
static bool is_printed(double found, double printed)
{
    return fabs(found - printed) <= fmax(0.05, 0.001 * printed);
}

/* Three figures of the sheet are not those of their headings. The column headed 165 mm, both rows, holds what a 156 mm
 * hole gives. 127 mm pipe in a 219 mm hole gives 40.0, printed is 40.4; the other rows of the 219 mm column fit. */
static void multiplier_check(const struct multiplier *row)
{
    const double found = multiplier_compute(row->pipe_mm, row->bit_mm);
    const bool wrong_heading = row->bit_mm == 165;
    const bool wrong_figure = row->bit_mm == 219 && row->pipe_mm == 127;
    if (is_printed(found, row->printed) == (wrong_heading || wrong_figure))
        fail_msg("%d mm in %d mm: %.3f, printed %.1f", row->pipe_mm, row->bit_mm, found, row->printed);
    assert_true(!wrong_heading || is_printed(multiplier_compute(row->pipe_mm, 156), row->printed));
    assert_true(!wrong_figure || is_printed(found, 40.0));
}

static void the_excerpt_agrees(void **state)
{
    (void)state;
    assert_true(COUNT_OF(multipliers) >= 15);
    for (size_t at = 0; at < COUNT_OF(multipliers); at++)
        multiplier_check(&multipliers[at]);
}

static void the_whole_sheet_agrees(void **state)
{
    char line[512];
    if (!*state)
        skip();
    (void)snprintf(line, sizeof line, "%s/annular_velocity_multipliers.csv", (const char *)*state);
    FILE *file = fopen(line, "r");
    assert_non_null(file);
    assert_non_null(fgets(line, sizeof line, file)); /* the heading */
    int rows = 0;
    size_t quoted = 0;
    while (fgets(line, sizeof line, file)) {
        struct multiplier row = {0};
        assert_int_equal(sscanf(line, "%d,%d,%lf", &row.pipe_mm, &row.bit_mm, &row.printed), 3);
        multiplier_check(&row);
        for (size_t at = 0; at < COUNT_OF(multipliers); at++)
            if (multipliers[at].pipe_mm == row.pipe_mm && multipliers[at].bit_mm == row.bit_mm) {
                assert_true(multipliers[at].printed == row.printed);
                quoted++;
            }
        rows++;
    }
    (void)fclose(file);
    assert_int_equal(rows, 51);
    assert_int_equal(quoted, COUNT_OF(multipliers));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_excerpt_agrees),
        cmocka_unit_test_prestate(the_whole_sheet_agrees, getenv("LAG_EXAMPLES")),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
