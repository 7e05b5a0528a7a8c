/* SPDX-License-Identifier: MIT */
/* A pump log in words, and its faults told. */
#include "intake.h"

#include "coretally/intake/log_take.h"

static void spans_have_the_unit_that_fits(void **state)
{
    (void)state;
    assert_string_equal(log_span_words(1500000).text, "1.5 s");
    assert_string_equal(log_span_words((int64_t)119 * 1000000).text, "119 s");
    assert_string_equal(log_span_words((int64_t)120 * 1000000).text, "2 min");
    assert_string_equal(log_span_words((int64_t)7200 * 1000000).text, "2 h");
    assert_string_equal(log_span_words((int64_t)172800 * 1000000).text, "2 days");
    assert_string_equal(log_time_words(0).text, "1970-01-01T00:00:00Z");
}

static void cells_have_their_units(void **state)
{
    const struct log_channel strokes = {.kind = LOG_STROKES, .pump = "1"};
    const struct log_channel flow = {.kind = LOG_FLOW};
    const struct log_channel hole = {.kind = LOG_HOLE};
    char field[LOG_FIELD_MAX];
    (void)state;
    log_field(&strokes, field);
    assert_string_equal(field, "strokes 1");
    log_field(&flow, field);
    assert_string_equal(field, "flow");
    assert_string_equal(log_cell_words(&strokes, 10234000).text, "10234 strokes");
    assert_string_equal(log_cell_words(&flow, 2500000).text, "2.5 m3/min");
    assert_string_equal(log_cell_words(&hole, 2310500000).text, "2310.500 m");
    assert_string_equal(log_cell_words(&hole, LENGTH_NONE).text, "empty");
}

static void bridges_go_to_a_mask_and_back(void **state)
{
    struct intake *intake = *state;
    struct text text;
    struct bytes bytes;
    unsigned mask = 0;
    intake_ok(intake, log_bridge_parse(" Reset, gap,,gap", &mask, &intake->err));
    assert_int_equal(mask, 1U << LOG_FAULT_GAP | 1U << LOG_FAULT_RESET);
    text_init(&text, &intake->arena);
    log_bridge_add(&text, mask, ", ");
    intake_ok(intake, text_done(&text, &bytes, &intake->err));
    assert_string_equal(bytes.data, "gap, reset");
    mask = 77;
    intake_refused(intake, log_bridge_parse("gap,gaps", &mask, &intake->err), STATUS_INPUT, "gaps",
                   "nothing of this name can be bridged");
    assert_int_equal(mask, 77);
}

/* Eight gaps: the first five by line, the rest counted with the last one; and not again as a note once bridged. */
static void faults_are_counted_and_the_first_told(void **state)
{
    static const struct log_channel channels[] = {{.kind = LOG_HOLE}};
    struct intake *intake = *state;
    struct log_tally *tally = calloc(1, sizeof *tally);
    struct log_walk walk;
    assert_non_null(tally);
    log_walk_init(&walk, channels, 1, 60000000, 0);
    for (int64_t row = 0; row < 9; row++) {
        const int64_t cells[] = {row * 90000000, 2000000000};
        const struct log_walk before = walk;
        struct log_step step;
        log_tally_add(tally, log_walk_row(&walk, cells, &step), &step, &before, cells, (size_t)row + 2);
    }
    assert_int_equal(tally->counts[LOG_FAULT_GAP], 8);
    for (unsigned bridged = 0; bridged < 2; bridged++) {
        struct text text;
        struct bytes bytes;
        text_init(&text, &intake->arena);
        log_tally_text(tally, bridged << LOG_FAULT_GAP, &text);
        intake_ok(intake, text_done(&text, &bytes, &intake->err));
        const char *start = bridged ? "note: gap: 8 times, first at line 3 (1970-01-01T00:01:30Z)"
                                    : "gap: 8 times, first at line 3 (1970-01-01T00:01:30Z)";
        assert_memory_equal(bytes.data, start, strlen(start));
        assert_non_null(strstr(bytes.data, bridged ? "; bridged: " : "; --bridge gap: "));
        assert_non_null(strstr(bytes.data, "\n  line 7, 1970-01-01T00:07:30Z: 90 s after the row before it\n"));
        assert_null(strstr(bytes.data, "line 8,"));
        assert_non_null(strstr(bytes.data, "  and 3 more, the last at line 10 (1970-01-01T00:12:00Z)\n"));
    }
    free(tally);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spans_have_the_unit_that_fits),
        cmocka_unit_test(cells_have_their_units),
        cmocka_unit_test_setup_teardown(bridges_go_to_a_mask_and_back, intake_open, intake_close),
        cmocka_unit_test_setup_teardown(faults_are_counted_and_the_first_told, intake_open, intake_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
