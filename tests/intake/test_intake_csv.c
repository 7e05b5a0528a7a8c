/* SPDX-License-Identifier: MIT */
/* Lines and CSV: cells as RFC 4180 (section 2) has them, lines of rows, and what is no table. */
#include "intake.h"

#include "coretally/base/limits.h"

static void cells_are_those_of_rfc_4180(void **state)
{
    static const char text[] = "\xEF\xBB\xBFname,note\r\n"
                               "12H,\"a, b\"\r\n"
                               "\r\n"
                               "13H,\"he said \"\"no\"\"\"\n"
                               "14H,\"two\nlines\"\n"
                               "15H,";
    static const char *const wanted[] = {"name",           "note", "12H",        "a, b", "13H",
                                         "he said \"no\"", "14H",  "two\nlines", "15H",  ""};
    static const size_t lines[] = {1, 2, 4, 5, 7};
    const struct table_text table = intake_table(*state, text);
    assert_string_equal(table.path, "-");
    assert_int_equal(table.columns, 2);
    assert_int_equal(table.rows, 5);
    for (size_t at = 0; at < 10; at++)
        assert_string_equal(table.cells[at], wanted[at]);
    for (size_t row = 0; row < 5; row++)
        assert_int_equal(table.lines[row], lines[row]);
}

static void what_is_no_table_is_refused_with_its_line(void **state)
{
    static const struct {
        const char *text;
        const char *subject;
        const char *reason;
    } cases[] = {
        {"", "-", "the table has no rows"},
        {"a,b\n", "-", "the table has no rows"},
        {"a,b\n1,2\n1,2,3\n", "line 3", "3 cells, where the header has 2"},
        {"a,b\n1\n", "line 2", "1 cells, where the header has 2"},
        {"a,b\n1,x\"y\"\n", "line 2", "quote"},
        {"a,b\n1,\"open\n", "-", "the last quoted cell has no end"},
        {"a,b\n1,\xFF\n", "line 2", "this is not UTF-8 text"},
    };
    struct intake *intake = *state;
    for (size_t at = 0; at < sizeof cases / sizeof cases[0]; at++) {
        struct table_text table = {.columns = 77};
        FILE *in = intake_text(cases[at].text);
        intake_refused(intake, csv_read(&intake->arena, in, "-", &table, &intake->err), STATUS_INPUT, cases[at].subject,
                       cases[at].reason);
        assert_int_equal(table.columns, 77); /* untouched */
        (void)fclose(in);
    }
}

static void a_cell_has_its_limit(void **state)
{
    struct intake *intake = *state;
    char *text = malloc(CSV_CELL_MAX + 16);
    assert_non_null(text);
    for (size_t over = 0; over < 2; over++) {
        struct table_text table;
        const size_t len = CSV_CELL_MAX + over;
        memcpy(text, "a\n", 2);
        memset(text + 2, 'x', len);
        memcpy(text + 2 + len, "\n", 2);
        FILE *in = intake_text(text);
        const enum status status = csv_read(&intake->arena, in, "-", &table, &intake->err);
        (void)fclose(in);
        if (over)
            intake_refused(intake, status, STATUS_INPUT, "line 2", "bytes in a cell");
        else
            assert_int_equal(strlen(table.cells[1]), CSV_CELL_MAX);
    }
    free(text);
}

/* A log that is still being written: its last line is left for the next look. */
static void a_line_without_its_end_waits_where_the_file_grows(void **state)
{
    struct intake *intake = *state;
    for (int growing = 0; growing < 2; growing++) {
        struct lines lines;
        char *line = NULL;
        size_t len = 0;
        size_t count = 0;
        FILE *in = intake_text("one\ntwo\nthr");
        intake_ok(intake, lines_open(in, "-", &lines, &intake->err));
        lines.is_growing = growing;
        for (;;) {
            intake_ok(intake, lines_next(&lines, &line, &len, &intake->err));
            if (!line)
                break;
            count++;
        }
        assert_int_equal(count, growing ? 2 : 3);
        lines_close(&lines);
        assert_int_equal(fclose(in), 0); /* standard input was left open */
    }
}

static void what_is_looked_at_still_comes(void **state)
{
    struct intake *intake = *state;
    struct lines lines;
    struct bytes begin = {0};
    char *line = NULL;
    size_t len = 0;
    FILE *in = intake_text("~V\nVERS. 2.0\n");
    intake_ok(intake, lines_open(in, "-", &lines, &intake->err));
    intake_ok(intake, lines_peek(&lines, &begin, &intake->err));
    assert_int_equal(begin.len, 13);
    intake_ok(intake, lines_next(&lines, &line, &len, &intake->err));
    assert_int_equal(len, 3);
    assert_memory_equal(line, "~V\n", 3);
    assert_int_equal(lines.number, 1);
    lines_close(&lines);
    (void)fclose(in);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(cells_are_those_of_rfc_4180, intake_open, intake_close),
        cmocka_unit_test_setup_teardown(what_is_no_table_is_refused_with_its_line, intake_open, intake_close),
        cmocka_unit_test_setup_teardown(a_cell_has_its_limit, intake_open, intake_close),
        cmocka_unit_test_setup_teardown(a_line_without_its_end_waits_where_the_file_grows, intake_open, intake_close),
        cmocka_unit_test_setup_teardown(what_is_looked_at_still_comes, intake_open, intake_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
