/* SPDX-License-Identifier: MIT */
/* Layouts: what is taken, what is refused and with which words, and how a text is filled in. */
#include "unit.h"

#include <stdio.h>

#include "coretally/base/quantity.h"
#include "coretally/view/layout.h"

#define TEXTS "text = {name} | 30 x 1 x 38 | 9 bold\ntext = {hazard} | 30 x 10 x 38 | 9\n"
#define LABEL "label = 70 x 36\n"

static enum status parse(const char *text, struct arena *arena, struct layout *layout, struct err *err)
{
    return layout_parse("mine", (struct bytes){text, strlen(text)}, arena, layout, err);
}

static void own_layouts_are_taken(void **state)
{
    (void)state;
    size_t matrices = 0;
    size_t sheets = 0;
    size_t arrows = 0;
    for (const struct layout_text *it = layout_texts; it->name; it++) {
        struct arena arena;
        struct layout layout;
        struct err err = {0};
        arena_init(&arena, 1 << 20);
        const enum status status =
            layout_parse(it->name, (struct bytes){it->text, strlen(it->text)}, &arena, &layout, &err);
        if (status != STATUS_OK)
            fail_msg("%s: %s", err.subject, err.reason);
        ROW(it->name, it->meaning && *it->meaning);
        ROW_TEXT(it->name, layout.name, it->name);
        ROW(it->name, layout_text_find(it->name) == it);
        ROW(it->name, layout.symbol_count > 0 && layout_shows(&layout, LABEL_DEPTH));
        ROW(it->name, layout_shows(&layout, LABEL_COPY) && layout_shows(&layout, LABEL_CHECK));
        matrices += layout.symbols[0].kind == SYMBOL_MATRIX;
        sheets += layout.sheet_width_um > 0;
        arrows += layout.arrow_count;
        arena_clear(&arena);
    }
    assert_true(matrices >= 1 && sheets >= 2 && arrows >= 1);
    assert_null(layout_text_find("none such"));
}

static void every_value_is_read(void **state)
{
    (void)state;
    struct arena arena;
    struct layout layout;
    struct err err = {0};
    arena_init(&arena, 1 << 20);
    assert_int_equal(parse("# a remark\r\n"
                           "  label = 70 x 36   # of ours\r\n"
                           "sheet = 210x297\n\n"
                           "grid=3 x 8\n"
                           "first = 0 x 4.5\n"
                           "step = 70 x 1.44in\n"
                           "symbol = matrix | 2 x 2.25 | 2cm\n"
                           "top = 60 x 4 | 8 | left\n"
                           "text = {name}#{check} | 26 x 14 x 42 | 9 bold centre\n"
                           "text = {hazard} | 26 x 20 x 42 x 8 | 7.5 right\n"
                           "text = of {title} | 2 x 30 x 42 | 4 cut",
                           &arena, &layout, &err),
                     STATUS_OK);
    assert_int_equal(layout.width_um, 70000);
    assert_int_equal(layout.height_um, 36000);
    assert_int_equal(layout.sheet_height_um, 297000);
    assert_int_equal(layout_places(&layout), 24);
    assert_int_equal(layout.columns, 3);
    assert_int_equal(layout.first_x_um, 0);
    assert_int_equal(layout.first_y_um, 4500);
    assert_int_equal(layout.step_x_um, 70000);
    assert_int_equal(layout.step_y_um, 36576); /* 1.44 in of 25.4 mm */
    assert_int_equal(layout.symbol_count, 1);
    assert_int_equal(layout.symbols[0].kind, SYMBOL_MATRIX);
    assert_int_equal(layout.symbols[0].box.y_um, 2250);
    assert_int_equal(layout.symbols[0].box.height_um, 20000);
    assert_int_equal(layout.arrow_count, 1);
    assert_int_equal(layout.arrows[0].way, ARROW_LEFT);
    assert_int_equal(layout.arrows[0].box.width_um, 8000);
    assert_int_equal(layout.line_count, 3);
    const struct layout_line *line = layout.lines;
    assert_string_equal(line[0].pattern, "{name}#{check}");
    assert_true(line[0].is_bold && line[0].side == LINE_CENTRE && !line[0].is_wrapped && !line[0].may_be_cut);
    assert_int_equal(line[0].box.height_um, 3810); /* 9 pt of 25.4 / 72 mm, 1.2 times */
    assert_int_equal(line[0].fields, 1 << LABEL_NAME | 1 << LABEL_CHECK);
    assert_true(line[1].is_wrapped && line[1].side == LINE_RIGHT && line[1].size_pt == 7.5);
    assert_int_equal(line[1].box.height_um, 8000);
    assert_true(line[2].may_be_cut && line[2].side == LINE_LEFT);
    assert_int_equal(line[2].box.line, 12);
    arena_clear(&arena);
}

/* Just fits, and just does not. */
static void edges(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bool is_taken;
    } rows[] = {
        {LABEL TEXTS, true},
        {"label = 5 x 1000\ntext = {name} | 0 x 0 x 5 | 4\ntext = {hazard} | 0 x 2 x 5 | 4\n", true},
        {"label = 4.999 x 50\n", false},
        {"label = 50 x 1000.001\n", false},
        {LABEL TEXTS "symbol = qr | 0 x 0 | 30\n", true},
        {LABEL TEXTS "symbol = qr | 0 x 0 | 30.001\n", false},
        {LABEL TEXTS "symbol = qr | 0 x 6 | 30\n", true},
        {LABEL TEXTS "symbol = qr | 0 x 6.001 | 30\n", false},
        {LABEL TEXTS "text = a | 30 x 20 x 40 | 4\n", true},
        {LABEL TEXTS "text = a | 30 x 20 x 40.001 | 4\n", false},
        {LABEL TEXTS "text = a | 30 x 20 x 40 | 3.99\n", false},
        {LABEL TEXTS "text = a | 30 x 20 x 40 x 16 | 200\n", true},
        {LABEL TEXTS "text = a | 30 x 20 x 40 x 16 | 200.1\n", false},
        {LABEL TEXTS "text = a | 30 x 20 x 40 x 16.001 | 9\n", false},
        {LABEL TEXTS "sheet = 210 x 288\ngrid = 3 x 8\n", true},
        {LABEL TEXTS "sheet = 209.999 x 288\ngrid = 3 x 8\n", false},
        {LABEL TEXTS "sheet = 210 x 287.999\ngrid = 3 x 8\n", false},
        {LABEL TEXTS "sheet = 2000 x 2000\ngrid = 1 x 1\nstep = 1 x 1\n", true},
        {LABEL TEXTS "sheet = 2000.001 x 2000\ngrid = 1 x 1\n", false},
        {LABEL TEXTS "sheet = 2000 x 2000\ngrid = 2 x 1\nstep = 69.999 x 36\n", false},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct arena arena;
        struct layout layout;
        struct err err = {0};
        arena_init(&arena, 1 << 20);
        ROW(rows[at].text, (parse(rows[at].text, &arena, &layout, &err) == STATUS_OK) == rows[at].is_taken);
        arena_clear(&arena);
    }
}

static void refusals_say_where_and_why(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        const char *subject;
        const char *reason; /* a part of it */
    } rows[] = {
        {"", "mine", "does not say how large a label is"},
        {TEXTS, "mine", "does not say how large a label is"},
        {"label 70 x 36\n", "mine, line 1, 'label 70 x 36'", "key = value"},
        {"\nwidth = 70\n", "mine, line 2, 'width'", "keys are label, sheet"},
        {LABEL LABEL, "mine, line 2, 'label'", "line 1 already"},
        {"label = 70\n", "mine, line 1, '70'", "2 lengths"},
        {"label = 70 x 36 x 2\n", "mine, line 1, '2'", "more than 2 lengths"},
        {"label = 70 | 36\n", "mine, line 1, 'label'", "1 part should follow"},
        {"label = 70 x\n", "mine, line 1, ''", "not a length"},
        {"label = 70 x 36parsec\n", "mine, line 1, '36parsec'", "not a unit"},
        {"label = 70 x -36\n", "mine, line 1, '-36'", "more than 0"},
        {"label = 70 x 0\n", "mine, line 1, '0'", "more than 0"},
        {"label = 3 x 36\n", "mine, line 1", "a label of 3.0 mm: it is 5.0 to 1000.0 mm"},
        {"label = 70 x 2000.5\n", "mine, line 1, '2000.5'", "more than 2000 mm"},
        {LABEL "text = {depths} | 1 x 1 x 9 | 9\n", "mine, line 2, '{depths}'", "no field {depths}"},
        {LABEL "text = {name | 1 x 1 x 9 | 9\n", "mine, line 2, '{name'", "without a '}'"},
        {LABEL "text = {na{me} | 1 x 1 x 9 | 9\n", "mine, line 2, '{na{me}'", "without a '}'"},
        {LABEL "text = name} | 1 x 1 x 9 | 9\n", "mine, line 2, 'name}'", "without a '{'"},
        {LABEL "text = | 1 x 1 x 9 | 9\n", "mine, line 2, 'text'", "missing"},
        {LABEL "text = a | 1 x 1 | 9\n", "mine, line 2, '1'", "3 lengths"},
        {LABEL "text = a | 1 x 1 x 9 |\n", "mine, line 2, ''", "not a number"},
        {LABEL "text = a | 1 x 1 x 9 | 9 italic\n", "mine, line 2, 'italic'", "bold, centre, right or cut"},
        {LABEL "text = a | 1 x 1 x 9 | 9 | bold\n", "mine, line 2, 'text'", "3 parts"},
        {LABEL "text = a | 1 x 1 x 9\n", "mine, line 2, 'text'", "3 parts"},
        {LABEL "text = {name} | 1 x 1 x 9 | 9 cut\n", "mine, line 2, '{name}'", "never cut"},
        {LABEL "text = {title} {depth} | 1 x 1 x 9 | 9 cut\n", "mine, line 2, '{title} {depth}'", "never cut"},
        {LABEL "symbol = code | 1 x 1 | 9\n", "mine, line 2, 'code'", "qr or matrix"},
        {LABEL "symbol = qr | 1 x 1 | 9 x 9\n", "mine, line 2, '9'", "more than 1 length"},
        {LABEL "top = 1 x 1 | 9 | north\n", "mine, line 2, 'north'", "up, down, left or right"},
        {LABEL TEXTS "top = 65 x 1 | 9 | up\n", "mine, line 4", "would end at 74.0 mm, the label is 70.0 mm wide"},
        {LABEL TEXTS "top = 1 x 30 | 9 | up\n", "mine, line 4", "would end at 39.0 mm, the label is 36.0 mm high"},
        {LABEL TEXTS "symbol = qr | 10 x 1 | 22\n", "mine, line 2", "it overlaps what line 4 places"},
        {LABEL TEXTS "text = a | 31 x 11 x 9 | 9\n", "mine, line 4", "it overlaps what line 3 places"},
        {LABEL "grid = 3 x 8\n", "mine, line 2", "no line that says how large it is"},
        {LABEL "sheet = 210 x 297\n", "mine, line 2", "no line that says how many"},
        {LABEL "sheet = 210 x 297\ngrid = 3\n", "mine, line 3, '3'", "columns x rows"},
        {LABEL "sheet = 210 x 297\ngrid = 3 x 0\n", "mine, line 3, '0'", "from 1 to 100"},
        {LABEL "sheet = 210 x 297\ngrid = 101 x 1\n", "mine, line 3, '101'", "from 1 to 100"},
        {LABEL "sheet = 210 x 297\ngrid = 1.5 x 1\n", "mine, line 3, '1.5'", "whole numbers"},
        {LABEL "sheet = 210 x 297\ngrid = 3 x 8\nfirst = 1 x 1\n", "mine, line 3",
         "column 3 of the labels would end at 211.0 mm, the sheet is 210.0 mm wide"},
        {LABEL "sheet = 210 x 297\ngrid = 3 x 8\nfirst = 0 x 10\n", "mine, line 3",
         "row 8 of the labels would end at 298.0 mm, the sheet is 297.0 mm high"},
        {LABEL "sheet = 210 x 297\ngrid = 2 x 8\nstep = 69 x 36\n", "mine, line 4",
         "would overlap with a step of 69.0"},
        {LABEL "text = {hazard} | 1 x 1 x 50 | 9\n", "mine", "no text shows {name}"},
        {LABEL "text = {name} | 1 x 1 x 50 | 9\n", "mine", "no text shows {hazard}"},
        {LABEL TEXTS "text = {depth} | 1 x 20 x 50 | 9\n", "mine", "none its {scale}"},
        {"label = 70 x 36\xff\n", "mine", "byte 16 is not UTF-8"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct arena arena;
        struct layout layout = {.name = "untouched"};
        struct err err = {0};
        arena_init(&arena, 1 << 20);
        ROW(rows[at].text, parse(rows[at].text, &arena, &layout, &err) == STATUS_INPUT);
        ROW_TEXT(rows[at].text, err.subject, rows[at].subject);
        if (!strstr(err.reason, rows[at].reason))
            fail_msg("'%s': got '%s', expected '%s'", rows[at].text, err.reason, rows[at].reason);
        ROW_TEXT(rows[at].text, layout.name, "untouched");
        arena_clear(&arena);
    }
}

/* More of one kind than there may be, and a text that is too long. */
static void limits_are_met(void **state)
{
    (void)state;
    static const struct {
        const char *line;
        int most;
    } rows[] = {{"symbol = qr | 0 x %d | 5\n", LAYOUT_SYMBOLS_MAX},
                {"top = 20 x %d | 5 | up\n", LAYOUT_ARROWS_MAX},
                {"text = a | 6 x %d x 9 | 9\n", LAYOUT_LINES_MAX - 2}};
    for (size_t at = 0; at < COUNT_OF(rows); at++)
        for (int over = 0; over < 2; over++) {
            struct arena arena;
            struct text text;
            struct bytes bytes;
            struct layout layout;
            struct err err = {0};
            arena_init(&arena, 1 << 20);
            text_init(&text, &arena);
            text_add(&text, "label = 70 x 500\n" TEXTS);
            for (int line = 0; line < rows[at].most + over; line++) {
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
                text_addf(&text, rows[at].line, line * 6);
#pragma GCC diagnostic pop
            }
            assert_int_equal(text_done(&text, &bytes, &err), STATUS_OK);
            ROW(rows[at].line, layout_parse("mine", bytes, &arena, &layout, &err) == (over ? STATUS_INPUT : STATUS_OK));
            ROW(rows[at].line, !over || strstr(err.reason, "at most"));
            arena_clear(&arena);
        }
    struct arena arena;
    struct layout layout;
    struct err err = {0};
    static char text[16385];
    arena_init(&arena, 1 << 20);
    memset(text, '\n', sizeof text);
    memcpy(text, LABEL TEXTS, strlen(LABEL TEXTS));
    assert_int_equal(layout_parse("mine", (struct bytes){text, sizeof text - 1}, &arena, &layout, &err), STATUS_OK);
    assert_int_equal(layout_parse("mine", (struct bytes){text, sizeof text}, &arena, &layout, &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "16385 bytes long (at most 16384)"));
    arena_clear(&arena);
}

static void texts_are_filled_in(void **state)
{
    (void)state;
    static const struct {
        const char *pattern;
        const char *expected; /* NULL: left out */
    } rows[] = {
        {"{name}", "901-U0012A-3H-CCW, 5-10 cm #2"},
        {"{name} {check}", "901-U0012A-3H-CCW, 5-10 cm #2 K"},
        {"{copy}", NULL},
        {"{half}", NULL},
        {"copy {copy}", NULL},
        {"{copy}{half} {interval}", NULL},
        {"{name} {copy}", "901-U0012A-3H-CCW, 5-10 cm #2"},
        {"{copy} {name}", "901-U0012A-3H-CCW, 5-10 cm #2"},
        {"{check} {copy} {check}", "K K"},
        {"<b>&amp; {check}", "<b>&amp; K"},
        {"{purpose}", "two lines {name} <i>&"},
        {"plain", "plain"},
    };
    const char *values[LABEL_FIELD_COUNT] = {[LABEL_NAME] = "901-U0012A-3H-CCW, 5-10 cm #2",
                                             [LABEL_CHECK] = "K",
                                             [LABEL_COPY] = "",
                                             [LABEL_PURPOSE] = "two\r\n\tlines {name} <i>& \n"};
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        char typed[256];
        struct arena arena;
        struct layout layout;
        struct text text;
        struct bytes bytes;
        struct err err = {0};
        arena_init(&arena, 1 << 20);
        (void)snprintf(typed, sizeof typed, LABEL TEXTS "text = %s | 1 x 20 x 50 | 9\n", rows[at].pattern);
        assert_int_equal(parse(typed, &arena, &layout, &err), STATUS_OK);
        text_init(&text, &arena);
        ROW(rows[at].pattern, layout_line_fill(&layout.lines[2], values, &text) == (rows[at].expected != NULL));
        assert_int_equal(text_done(&text, &bytes, &err), STATUS_OK);
        ROW_TEXT(rows[at].pattern, bytes.data, rows[at].expected ? rows[at].expected : "");
        arena_clear(&arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(own_layouts_are_taken),
        cmocka_unit_test(every_value_is_read),
        cmocka_unit_test(edges),
        cmocka_unit_test(refusals_say_where_and_why),
        cmocka_unit_test(limits_are_met),
        cmocka_unit_test(texts_are_filled_in),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
