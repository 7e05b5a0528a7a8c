/* SPDX-License-Identifier: MIT */
/* Pump logs from text to cells: CSV and LAS 2.0, columns by lines and by names, units, empty cells, and what is
 * refused.
 */
#include "intake.h"

#include "coretally/intake/log_mapping.h"

enum { ZONE_MIN = 330, ROWS_KEPT = 8 };

/* A log as it was read. */
struct reading {
    struct intake *intake;
    const char *lines; /* of the mapping */
    struct log_mapping mapping;
    size_t rows;
    int64_t cells[ROWS_KEPT][1 + LOG_CHANNELS_MAX];
};

static struct pump pumps[] = {{.name = "1"}, {.name = "2"}, {.name = "B", .line = LINE_BOOSTER}};

static enum status take_columns(void *context, const struct log_columns *columns, struct err *err)
{
    struct reading *reading = context;
    const struct mapping_asked asked = {.lines = reading->lines};
    const struct logged_hole hole = {.name = "U0013A",
                                     .zone_min = ZONE_MIN,
                                     .seafloor_um = LENGTH_NONE,
                                     .pumps = {.hole = "U0013A", .pumps = pumps, .pump_count = 3}};
    return log_mapping_read(&reading->intake->arena, &asked, &hole, columns, &reading->mapping, err);
}

static enum status take_row(void *context, const char *const *row, size_t line, struct err *err)
{
    struct reading *reading = context;
    assert_true(reading->rows < ROWS_KEPT);
    TRY(log_cells(&reading->mapping, row, line, reading->cells[reading->rows], err));
    reading->rows++;
    return STATUS_OK;
}

static enum status read(struct reading *reading, const char *text, const char *format, const char *mapping)
{
    struct intake *intake = reading->intake;
    const struct log_taker taker = {take_columns, take_row, reading};
    struct lines lines;
    FILE *in = intake_text(text);
    reading->lines = mapping;
    reading->rows = 0;
    intake_ok(intake, lines_open(in, "-", &lines, &intake->err));
    const enum status status = log_each(&lines, format, &taker, &intake->err);
    lines_close(&lines);
    (void)fclose(in);
    return status;
}

static int open_reading(void **state)
{
    void *intake = NULL;
    struct reading *reading = calloc(1, sizeof *reading);
    if (!reading || intake_open(&intake) != 0)
        return 1;
    reading->intake = intake;
    *state = reading;
    return 0;
}

static int close_reading(void **state)
{
    struct reading *reading = *state;
    void *intake = reading->intake;
    free(reading);
    return intake_close(&intake);
}

static void columns_named_like_ours_map_themselves(void **state)
{
    static const char text[] = "time,hole_ft,bit_m,strokes_1,rate_2,booster_gpm,Mud temp\n"
                               "2026-03-09T05:30:00,1000,304.5,12345,80.5,100,31\n"
                               "2026-03-09T05:30:01.5,1001,,12346,0,100,31\n";
    struct reading *reading = *state;
    intake_ok(reading->intake, read(reading, text, NULL, NULL));
    assert_int_equal(reading->rows, 2);
    assert_int_equal(reading->mapping.count, 5); /* in the order of kinds */
    const int64_t *row = reading->cells[0];
    assert_int_equal(row[0], INT64_C(1773014400000000)); /* 2026-03-09T00:00:00Z: ship's time is 5 h 30 min ahead */
    assert_int_equal(row[1], 304500000);                 /* bit, um */
    assert_int_equal(row[2], 304800000);                 /* hole: 1 ft = 0.3048 m, NIST SP 811 (2008), B.8 */
    assert_int_equal(row[3], 12345000);                  /* thousandths of a stroke */
    assert_int_equal(row[4], 80500);
    assert_int_equal(row[5], 378541); /* cm3/min: 1 gal = 231 in3 = 3.785411784 l, NIST SP 811 (2008), B.8 */
    assert_int_equal(reading->cells[1][0] - row[0], 1500000);
    assert_int_equal(reading->cells[1][1], LENGTH_NONE);
}

static void lines_say_what_names_do_not(void **state)
{
    static const char text[] = "T,DEPTH,CNT,FLOW_GPM\n10,2000,5,0\n20,-999.250,6,0\n";
    struct reading *reading = *state;
    intake_ok(reading->intake,
              read(reading, text, NULL,
                   "time = T | min | 2026-03-09T00:00:00Z\nhole = DEPTH | m\nstrokes 1 = CNT\nrate 2 = \"90 spm\"\n"
                   "flow = \"\"\nempty = -999.25"));
    assert_int_equal(reading->mapping.count, 3);
    assert_int_equal(reading->mapping.left_out_count, 1);
    assert_int_equal(reading->cells[0][0], INT64_C(1773014400000000) + INT64_C(600000000));
    assert_int_equal(reading->cells[1][1], LENGTH_NONE); /* the same number, written otherwise */
    assert_int_equal(reading->cells[0][3], 90000);
}

static void las_brings_units_and_the_empty_cell(void **state)
{
    static const char text[] = "# a remark\n~Version\nVERS. 2.0 :\nWRAP. NO :\n~Well\nNULL. -9999 :\n"
                               "~Curve\nTIME.S : since midnight\nHOLE.F :\nBIT.F :\nSTROKES_1. :\n~ASCII\n"
                               "0 1000 999 7\n1 1000 -9999.0 8\n";
    static const char wrapped[] =
        "~V\nVERS. 2.0 :\nWRAP. YES :\n~W\nNULL. -1 :\n~C\nTIME.S :\nHOLE.M :\nSTROKES_1. :\n~A\n"
        "5\n2000\n7\n6\n2000 8\n";
    struct reading *reading = *state;
    intake_ok(reading->intake, read(reading, text, NULL, "time = TIME | | 2026-03-09T00:00:00Z"));
    assert_int_equal(reading->rows, 2);
    assert_int_equal(reading->cells[0][2], 304800000);
    assert_int_equal(reading->cells[1][0] - reading->cells[0][0], 1000000);
    assert_int_equal(reading->cells[1][1], LENGTH_NONE);
    intake_ok(reading->intake, read(reading, wrapped, "LAS", "time = TIME | | 2026-03-09T00:00:00Z"));
    assert_int_equal(reading->rows, 2);
    assert_int_equal(reading->cells[1][1], 2000000000);
    assert_int_equal(reading->cells[1][2], 8000);
    intake_refused(reading->intake, read(reading, text, "csv", NULL), STATUS_INPUT, "", "");
    intake_refused(reading->intake, read(reading, text, "xls", NULL), STATUS_INPUT, "xls",
                   "a pump log has no such form");
}

static void a_bad_mapping_is_refused(void **state)
{
    static const char text[] = "time,hole_m,CNT,RATE\n2026-03-09T00:00:00Z,2000,5,60\n";
    static const struct {
        const char *mapping;
        enum status status;
        const char *subject;
        const char *reason;
    } cases[] = {
        {NULL, STATUS_INPUT, "strokes", "no column is mapped to this field"},
        {"strokes 9 = CNT", STATUS_RULE, "strokes", "pump 9 is not recorded for hole U0013A"},
        {"strokes = CNT", STATUS_INPUT, "strokes", "the name of the pump is missing"},
        {"strokes 1 = COUNT", STATUS_INPUT, "COUNT", "the log has no column of this name"},
        {"strokes 1 = CNT; rate 1 = RATE", STATUS_INPUT, "pump 1", "would count its mud twice"},
        {"strokes 1 = CNT; strokes 1 = RATE", STATUS_INPUT, "strokes 1", "this field is mapped twice"},
        {"strokes 1 = \"5\"", STATUS_INPUT, "strokes 1", "a counter cannot be a constant"},
        {"flow = RATE | m", STATUS_INPUT, "flow", "'m' is not a unit of this field"},
        {"flow = RATE", STATUS_INPUT, "flow", "the unit of its column is not stated"},
        {"weight = CNT", STATUS_INPUT, "weight", "a pump log has no such field"},
        {"time = CNT | s; strokes 1 = RATE", STATUS_INPUT, "time", "is not stated"},
    };
    struct reading *reading = *state;
    for (size_t at = 0; at < sizeof cases / sizeof cases[0]; at++)
        intake_refused(reading->intake, read(reading, text, NULL, cases[at].mapping), cases[at].status,
                       cases[at].subject, cases[at].reason);
}

static void a_bad_cell_is_refused_with_its_line_and_column(void **state)
{
    static const struct {
        const char *row;
        const char *subject;
        const char *reason;
    } cases[] = {
        {"2026-03-09T00:00:00Z,20 m,1", "line 2, column hole_m", "'20 m' is not a number"},
        {"2026-03-09T00:00:00Z,99999,1", "line 2, column hole_m", "depth"},
        {"2026-03-09T00:00:00Z,2000,1e13", "line 2, column strokes_1", "counter"},
        {"2026-03-09T00:00:99Z,2000,1", "line 2, column time", "'2026-03-09T00:00:99Z'"},
        {",2000,1", "line 2, column time", "a row without its time"},
        {"2205-03-09T00:00:00Z,2000,1", "line 2, column time", "lies outside the years 1970 to 2199"},
    };
    struct reading *reading = *state;
    for (size_t at = 0; at < sizeof cases / sizeof cases[0]; at++) {
        char text[160];
        (void)snprintf(text, sizeof text, "time,hole_m,strokes_1\n%s\n", cases[at].row);
        intake_refused(reading->intake, read(reading, text, NULL, NULL), STATUS_INPUT, cases[at].subject,
                       cases[at].reason);
        assert_int_equal(reading->rows, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(columns_named_like_ours_map_themselves, open_reading, close_reading),
        cmocka_unit_test_setup_teardown(lines_say_what_names_do_not, open_reading, close_reading),
        cmocka_unit_test_setup_teardown(las_brings_units_and_the_empty_cell, open_reading, close_reading),
        cmocka_unit_test_setup_teardown(a_bad_mapping_is_refused, open_reading, close_reading),
        cmocka_unit_test_setup_teardown(a_bad_cell_is_refused_with_its_line_and_column, open_reading, close_reading),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
