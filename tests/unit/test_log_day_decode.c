/* SPDX-License-Identifier: MIT */
/* Stored days of pump logs are read strictly: every other form is refused with its line. */
#include "unit.h"

#include <stdio.h>

#include "coretally/record/log_day.h"

#define TOP "coretally log 1\nhole U0013A\nday 2026-03-09\n"
#define HEAD "columns bit hole strokes:1 rate:B\ngap 60\nrows "
#define FIRST "1773014400000000 2310500000 2310500000 10234000 0\n"
#define BLOCK(columns, first) TOP "columns " columns "\ngap 60\nrows 1\n" first "\n"
#define ROW_2(second) TOP HEAD "2\n" FIRST second "\n"

static void every_other_form_is_refused(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        const char *text;
        int line;
        const char *says;
    } rows[] = {
        {"nothing", "", 1, "is empty"},
        {"no line end", TOP HEAD "1\n1773014400000000 1 2 3 4", 7, "ends within this line"},
        {"another file", "coretally day 1\n", 1, "'coretally log ' was expected"},
        {"no version", "coretally log \n", 1, "no format version"},
        {"version 0", "coretally log 0\n", 1, "no format version"},
        {"a newer version", "coretally log 2\nsomething\n", 1, "a newer coretally reads it"},
        {"more after the version", "coretally log 1 \n", 1, "expected to end here"},
        {"carriage return", "coretally log 1\r\nhole U0013A\r\n", 1, "expected to end here"},
        {"no hole", "coretally log 1\nhole \n", 2, "a hole was expected"},
        {"a hole in small letters", "coretally log 1\nhole u0013a\n", 2, "written as its site and letter"},
        {"a core", "coretally log 1\nhole U0013A-1H\n", 2, "not the name of a hole"},
        {"a long hole", "coretally log 1\nhole U000000000000013A\n", 2, "a hole was expected"},
        {"no day", "coretally log 1\nhole U0013A\ncolumns bit\n", 3, "'day ' was expected"},
        {"a day that is none", "coretally log 1\nhole U0013A\nday 2026-02-29\n", 3, "a day was expected"},
        {"no block", TOP, 4, "'columns' was expected"},
        {"no columns", BLOCK("", "1773014400000000"), 4, "a column was expected"},
        {"a space after the columns", BLOCK("hole ", "1773014400000000 1"), 4, "a column was expected"},
        {"an unknown column", BLOCK("depth", "1773014400000000 1"), 4, "no log has this column"},
        {"strokes of no pump", BLOCK("strokes", "1773014400000000 1"), 4, "name their pump"},
        {"a colon without pump", BLOCK("rate:", "1773014400000000 1"), 4, "after the colon"},
        {"a hole with a pump", BLOCK("hole:1", "1773014400000000 1"), 4, "name their pump"},
        {"a pump with a dash", BLOCK("rate:1-2", "1773014400000000 1"), 4, "name their pump"},
        {"a long pump", BLOCK("rate:A234567890123456", "1773014400000000 1"), 4, "after the colon"},
        {"two colons", BLOCK("rate:1:2", "1773014400000000 1"), 4, "expected to end here"},
        {"a column twice in a row", BLOCK("bit bit", "1773014400000000 1 1"), 4, "occurs twice"},
        {"a column twice", BLOCK("rate:1 strokes:1 rate:1", "1773014400000000 1 1 1"), 4, "occurs twice"},
        {"seventeen columns",
         TOP "columns flow flow flow flow flow flow flow flow flow flow flow flow flow flow flow flow flow\n", 4,
         "1 to 16 columns"},
        {"no gap", TOP "columns hole\nrows 1\n", 5, "'gap ' was expected"},
        {"a gap of 0", TOP "columns hole\ngap 0\nrows 1\n1773014400000000 1\n", 6, "a gap is longer than 0 s"},
        {"a negative gap", TOP "columns hole\ngap -1\nrows 1\n", 5, "a number of seconds"},
        {"a gap with a zero", TOP "columns hole\ngap 1.50\nrows 1\n", 5, "a digit that is not 0"},
        {"a gap with a point", TOP "columns hole\ngap 1.\nrows 1\n", 5, "a digit that is not 0"},
        {"a gap below a microsecond", TOP "columns hole\ngap 1.0000001\nrows 1\n", 5, "a digit that is not 0"},
        {"a gap of 7 decimals", TOP "columns hole\ngap 1.0000011\nrows 1\n", 5, "expected to end here"},
        {"a gap past the limit", TOP "columns hole\ngap 1000000000001\nrows 1\n", 5, "a number of seconds"},
        {"bridge of nothing", TOP "columns hole\ngap 60\nbridge\nrows 1\n", 6, "left out"},
        {"bridges out of order", TOP "columns hole\ngap 60\nbridge reset gap\nrows 1\n", 6, "it is out of place"},
        {"a bridge twice", TOP "columns hole\ngap 60\nbridge gap gap\nrows 1\n", 6, "it is out of place"},
        {"an unknown bridge", TOP "columns hole\ngap 60\nbridge river\nrows 1\n", 6, "no log has this fault"},
        {"no rows", TOP HEAD "0\n", 6, "without rows is left out"},
        {"rows below 0", TOP HEAD "-1\n" FIRST, 6, "a number of rows"},
        {"rows with a zero before", TOP HEAD "01\n" FIRST, 6, "a number of rows"},
        {"more rows than any day", TOP HEAD "2000001\n" FIRST, 6, "at most 2000000 rows"},
        {"rows for much memory", TOP HEAD "2000000\n" FIRST, 6, "fewer lines than rows"},
        {"fewer lines than rows", TOP HEAD "3\n" FIRST "\n", 9, "fewer lines than rows"},
        {"more lines than rows", TOP HEAD "1\n" FIRST "\n", 8, "'columns' was expected"},
        {"the same head again", TOP HEAD "1\n" FIRST HEAD "1\n" FIRST, 10, "none did"},
        {"a first row with cells left out", TOP HEAD "1\n1773014400000000 1 2 3\n", 7, "has all its cells"},
        {"an empty first row", TOP HEAD "1\n\n", 7, "outside the day"},
        {"the day before", TOP HEAD "1\n1773014399999999 1 2 3 4\n", 7, "outside the day"},
        {"the day after", TOP HEAD "1\n1773100800000000 1 2 3 4\n", 7, "outside the day"},
        {"a step into the next day", ROW_2("86400000000"), 8, "outside the day"},
        {"a step past every time", ROW_2("2000000000000000000"), 8, "outside the day"},
        {"a number too many", ROW_2("1 0 0 0 1 1"), 8, "more cells than columns"},
        {"a zero left at the end", ROW_2("1 0 0 1 0"), 8, "zeros at the end"},
        {"a lone zero", ROW_2("0"), 8, "zeros at the end"},
        {"a zero after an empty cell", ROW_2("1 0 - 0"), 8, "zeros at the end"},
        {"a space at the end", ROW_2("1 "), 8, "shortest form"},
        {"a space at the start", ROW_2(" 1"), 8, "shortest form"},
        {"two spaces", ROW_2("1  1"), 8, "shortest form"},
        {"a tab", ROW_2("1\t1"), 8, "shortest form"},
        {"minus zero", ROW_2("1 -0 1"), 8, "shortest form"},
        {"a plus", ROW_2("1 +1"), 8, "shortest form"},
        {"a zero before", ROW_2("1 01"), 8, "shortest form"},
        {"two dashes", ROW_2("1 --1"), 8, "shortest form"},
        {"a dash for the time", ROW_2("- 1"), 8, "shortest form"},
        {"a decimal", ROW_2("1 1.5"), 8, "shortest form"},
        {"an exponent", ROW_2("1 1e3"), 8, "shortest form"},
        {"twenty digits", ROW_2("1 10000000000000000000"), 8, "shortest form"},
        {"past every difference", ROW_2("1 2000000000000000001"), 8, "shortest form"},
        {"past every number", ROW_2("1 999999997689500001"), 8, "beyond what any log holds"},
        {"below every number", ROW_2("1 -1000000002310500001"), 8, "beyond what any log holds"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct arena arena;
        struct err err = {0};
        struct log_day day = {.block_count = 7};
        char line[32];
        arena_init(&arena, 1 << 20);
        ROW(rows[at].what,
            log_day_decode((struct bytes){rows[at].text, strlen(rows[at].text)}, &arena, &day, &err) == STATUS_DAMAGED);
        (void)snprintf(line, sizeof line, "line %d", rows[at].line);
        ROW_TEXT(rows[at].what, err.subject, line);
        if (!strstr(err.reason, rows[at].says))
            fail_msg("%s: '%s' does not say '%s'", rows[at].what, err.reason, rows[at].says);
        ROW(rows[at].what, day.block_count == 7 && !day.blocks);
        arena_clear(&arena);
    }
}

/* Read or refused; what is read would be written the same. */
static bool is_taken(const char *text, size_t len)
{
    struct arena arena;
    struct err err = {0};
    struct log_day day;
    struct bytes again;
    arena_init(&arena, 1 << 20);
    const enum status status = log_day_decode((struct bytes){.data = text, .len = len}, &arena, &day, &err);
    if (status == STATUS_OK) {
        assert_int_equal(log_day_encode(&day, &arena, &again, &err), STATUS_OK);
        assert_true(again.len == len && memcmp(again.data, text, len) == 0);
    } else
        assert_true(status == STATUS_DAMAGED && strncmp(err.subject, "line ", 5) == 0 && err.reason[0]);
    arena_clear(&arena);
    return status == STATUS_OK;
}

static void a_changed_byte_is_refused_or_another_day(void **state)
{
    (void)state;
    static const char text[] = TOP HEAD "4\n" FIRST "1000000 10000 - 1000\n\n0 0 5 0 -\n"
                                        "columns hole\ngap 0.25\nbridge gap\nrows 1\n1773014409000000 -\n";
    const size_t len = sizeof text - 1;
    assert_true(is_taken(text, len));
    for (size_t at = 0; at < len; at++) {
        const bool between_blocks = strncmp(text + at, "columns hole", 12) == 0;
        assert_true(is_taken(text, at) == between_blocks);
        for (int byte = 0; byte < 256; byte++) {
            char changed[sizeof text];
            memcpy(changed, text, sizeof text);
            changed[at] = (char)byte;
            (void)is_taken(changed, len);
            memcpy(changed + at + 1, text + at, len - at);
            (void)is_taken(changed, len + 1);
        }
    }
}

static void a_day_has_only_so_many_blocks(void **state)
{
    (void)state;
    struct arena arena;
    struct text text;
    struct bytes bytes;
    struct log_day day;
    struct err err = {0};
    arena_init(&arena, 1 << 20);
    text_init(&text, &arena);
    text_add(&text, TOP);
    for (int at = 1; at <= LOG_DAY_BLOCKS_MAX; at++)
        text_addf(&text, "columns hole\ngap %d\nrows 1\n1773014400000000 1\n", at);
    assert_int_equal(text_done(&text, &bytes, &err), STATUS_OK);
    assert_int_equal(log_day_decode(bytes, &arena, &day, &err), STATUS_OK);
    text_add(&text, "columns hole\ngap 300\nrows 1\n1773014400000000 1\n");
    assert_int_equal(text_done(&text, &bytes, &err), STATUS_OK);
    assert_int_equal(log_day_decode(bytes, &arena, &day, &err), STATUS_DAMAGED);
    assert_string_equal(err.reason, "a day holds at most 200 blocks of rows");
    assert_string_equal(err.subject, "line 804");
    arena_clear(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_other_form_is_refused),
        cmocka_unit_test(a_day_has_only_so_many_blocks),
        cmocka_unit_test(a_changed_byte_is_refused_or_another_day),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
