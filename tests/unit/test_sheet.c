/* SPDX-License-Identifier: MIT */
/* Cells by their kinds, for people, in JSON and in CSV: each printed by what it is, never by how it looks. */
#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "coretally/view/sheet.h"

static const char *rendered(struct arena *arena, const struct sheet *sheet, enum sheet_format format)
{
    struct err err = {0};
    struct bytes bytes;
    struct text text;
    text_init(&text, arena);
    sheet_render(sheet, format, &text);
    assert_int_equal(text_done(&text, &bytes, &err), STATUS_OK);
    return bytes.data;
}

/* One cell in a column of its own. JSON and CSV are what stands behind the key. */
static void kinds_are_printed_by_kind(void **state)
{
    (void)state;
    static const struct column m = {"x", "m", true};
    static const struct column ft = {"x", "ft", true};
    static const struct column in = {"x", "in", true};
    static const struct column number = {"x", NULL, true};
    static const struct column text = {"x", NULL, false};
    static const struct instant noon = {.utc_us = 1772344950000000, .offset_min = 330, .known = true};
    static const char id[] = "0123456789abcdef0123456789abcdef01234567";
    const struct {
        const struct column *column;
        struct cell cell;
        const char *people;
        const char *json;
        const char *csv;
    } rows[] = {
        {&text, cell_nothing(), "-", "null", ""},
        {&m, cell_nothing(), "-", "null", ""},
        {&text, cell_text(NULL), "-", "null", ""},
        {&text, cell_text(""), "-", "null", ""},
        {&text, cell_text("a, \"b\""), "a, \"b\"", "\"a, \\\"b\\\"\"", "\"a, \"\"b\"\"\""},
        {&text, cell_text("12"), "12", "\"12\"", "12"}, /* digits in a text stay a text */
        {&text, cell_text("=1+1"), "=1+1", "\"=1+1\"", "'=1+1"},
        {&text, cell_cut("abcdef", 4), "abcd", "\"abcd\"", "abcd"},
        {&text, cell_cut("ab", 4), "ab", "\"ab\"", "ab"},
        {&text, cell_commit(id), "0123456789", "\"0123456789\"", "0123456789"},
        {&text, cell_commit_whole(id), "0123456789", "\"0123456789abcdef0123456789abcdef01234567\"",
         "0123456789abcdef0123456789abcdef01234567"},
        {&text, cell_commit_whole(""), "-", "null", ""},
        {&m, cell_length(105234567, 3), "105.235", "105.235", "105.235"},
        {&ft, cell_length(304800, 2), "1.00", "1.00", "1.00"},
        {&in, cell_length(25400, 3), "1.000", "1.000", "1.000"},
        {&m, cell_length(0, 3), "0.000", "0.000", "0.000"}, /* nought is something */
        {&m, cell_length(LENGTH_NONE, 3), "-", "null", ""},
        {&text, cell_length_in(1500000, UNIT_M, 1), "1.5", "\"1.5\"", "1.5"},
        {&ft, cell_length_in(1500000, UNIT_M, 1), "1.5", "1.5", "1.5"},
        {&m, cell_shift(9620000, 3), "+9.620", "9.620", "9.620"},
        {&m, cell_shift(-9620000, 3), "-9.620", "-9.620", "-9.620"},
        {&m, cell_shift(0, 3), "0.000", "0.000", "0.000"},
        {&m, cell_shift(LENGTH_NONE, 3), "-", "null", ""},
        {&m, cell_step(0, 3), "+0.000", "0.000", "0.000"},
        {&m, cell_step(-1000, 3), "-0.001", "-0.001", "-0.001"},
        {&number, cell_number(12), "12", "12", "12"},
        {&number, cell_number(-3), "-3", "-3", "-3"},
        {&number, cell_number(INT_NONE), "-", "null", ""},
        {&number, cell_count(0), "0", "0", "0"},
        {&number, cell_count(3000000000U), "3000000000", "3000000000", "3000000000"},
        {&number, cell_amount(2.345, 1), "2.3", "2.3", "2.3"},
        {&number, cell_amount(-0.5, 2), "-0.50", "-0.50", "-0.50"},
        {&number, cell_amount(NAN, 1), "-", "null", ""},
        {&number, cell_amount(INFINITY, 1), "inf", "null", ""},
        {&number, cell_real(8.5), "8.5", "8.5", "8.5"},
        {&number, cell_real(NAN), "-", "null", ""},
        {&number, cell_micro(2500000), "2.5", "2.5", "2.5"},
        {&number, cell_micro(10234000000), "10234", "10234", "10234"},
        {&number, cell_micro(LENGTH_NONE), "-", "null", ""},
        {&number, cell_recovery(9430000, 9500000), "99.3", "99.3", "99.3"},
        {&number, cell_recovery(0, 9500000), "0.0", "0.0", "0.0"},
        {&number, cell_recovery(9430000, 0), "n/a", "null", ""}, /* without an advance there is no ratio */
        {&number, cell_recovery(LENGTH_NONE, 9500000), "n/a", "null", ""},
        {&text, cell_instant(noon), "2026-03-01T11:32:30+05:30", "\"2026-03-01T11:32:30+05:30\"",
         "2026-03-01T11:32:30+05:30"},
        {&text, cell_instant((struct instant){0}), "-", "null", ""},
    };
    for (size_t row = 0; row < COUNT_OF(rows); row++) {
        struct arena arena;
        struct err err = {0};
        struct sheet sheet;
        char expected[200];
        arena_init(&arena, 1 << 20);
        sheet_init(&sheet, &arena, rows[row].column, 1);
        assert_int_equal(sheet_add_row(&sheet, &rows[row].cell, &err), STATUS_OK);
        const char *people = strchr(rendered(&arena, &sheet, SHEET_PEOPLE), '\n') + 1;
        (void)snprintf(expected, sizeof expected, "%s\n", rows[row].people);
        ROW(rows[row].people, strcmp(people + strspn(people, " "), expected) == 0);
        const char *unit = rows[row].column->unit;
        (void)snprintf(expected, sizeof expected, "[\n{\"x%s%s\":%s}\n]\n", unit ? "_" : "", unit ? unit : "",
                       rows[row].json);
        ROW(rows[row].json, strcmp(rendered(&arena, &sheet, SHEET_JSON), expected) == 0);
        const char *csv = strchr(rendered(&arena, &sheet, SHEET_CSV), '\n') + 1;
        (void)snprintf(expected, sizeof expected, "%s\n", rows[row].csv);
        ROW(rows[row].csv, strcmp(csv, expected) == 0);
        arena_clear(&arena);
    }
}

/* The sheet keeps what it was given, whatever becomes of the texts, and lines numbers up to the right. */
static void rows_are_kept_and_aligned(void **state)
{
    (void)state;
    static const struct column columns[] = {
        {"what", NULL, false}, {"csf-a top", "m", true}, {"recovery", "%", true}, {"note", NULL, false}};
    struct arena arena;
    struct err err = {0};
    struct sheet sheet;
    char name[16] = "first";
    arena_init(&arena, 1 << 20);
    sheet_init(&sheet, &arena, columns, COUNT_OF(columns));
    for (int row = 0; row < 40; row++) {
        const struct cell cells[] = {cell_text(name), cell_length(row * 12500000, 2), cell_recovery(row, 39),
                                     cell_text(row ? NULL : "\x1b")};
        assert_int_equal(sheet_add_row(&sheet, cells, &err), STATUS_OK);
        (void)snprintf(name, sizeof name, "row %d", row + 1);
    }
    static const char start[] = "what    csf-a top m  recovery %  note\n"
                                "first          0.00         0.0  <U+001B>\n"
                                "row 1         12.50         2.6  -\n";
    const char *people = rendered(&arena, &sheet, SHEET_PEOPLE);
    assert_memory_equal(people, start, sizeof start - 1);
    assert_non_null(strstr(people, "\nrow 39       487.50       100.0  -\n"));
    const char *json = rendered(&arena, &sheet, SHEET_JSON);
    assert_non_null(strstr(json, "[\n{\"what\":\"first\",\"csf_a_top_m\":0.00,\"recovery_pct\":0.0,"));
    assert_non_null(
        strstr(json, ",\n{\"what\":\"row 39\",\"csf_a_top_m\":487.50,\"recovery_pct\":100.0,\"note\":null}\n"));
    const char *csv = rendered(&arena, &sheet, SHEET_CSV);
    assert_non_null(strstr(csv, "\nrow 39,487.50,100.0,\n"));
    arena_clear(&arena);
}

/* Memory that is refused is told; the rows before stand. */
static void a_row_without_memory_is_refused(void **state)
{
    (void)state;
    static const struct column columns[] = {{"what", NULL, false}};
    struct arena arena;
    struct err err = {0};
    struct sheet sheet;
    size_t taken = 0;
    const struct cell cell = cell_text("some words that take room in the arena, row by row");
    arena_init(&arena, 1 << 16);
    sheet_init(&sheet, &arena, columns, 1);
    while (taken < 100000 && sheet_add_row(&sheet, &cell, &err) == STATUS_OK)
        taken++;
    assert_int_equal(err.status, STATUS_SYSTEM);
    assert_true(taken > 0 && sheet.row_count == taken);
    arena_clear(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(kinds_are_printed_by_kind),
                                       cmocka_unit_test(rows_are_kept_and_aligned),
                                       cmocka_unit_test(a_row_without_memory_is_refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
