/* SPDX-License-Identifier: MIT */
/* Columns of texts. Expected widths: Unicode's East Asian Width (UAX #11; the property of each character as
 * EastAsianWidth.txt of Unicode 14 has it: W and F take two columns, A one in this context, N, Na and H one) and the
 * general category (UnicodeData.txt: Mn, Me and Cf take none, Mc stands beside its letter). */
#include "unit.h"

#include <string.h>

#include "coretally/view/page.h"
#include "coretally/view/width.h"

static const char uax11[] = "UAX #11, EastAsianWidth.txt";
static const char category[] = "UnicodeData.txt, general category";

static void widths_are_those_of_unicode(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t width;
        const char *source;
    } rows[] = {
        {"", 0, "nothing takes nothing"},
        {"core 12H", 8, uax11}, /* Na */
        {"45\xE2\x80\x93"
         "47",
         5, uax11},                                            /* U+2013 A */
        {"\xC2\xB0\xC2\xB1\xCE\xA9", 3, uax11},                /* degree A, plus-minus A, omega A */
        {"\xE5\xB2\xA9\xE8\x8A\xAF", 4, uax11},                /* U+5CA9 W, U+82AF W */
        {"\xEA\xB0\x80\xEB\x82\x98", 4, uax11},                /* Hangul syllables U+AC00, U+B098 W */
        {"\xE3\x81\x82\xE3\x83\xBC", 4, uax11},                /* U+3042 W, U+30FC W */
        {"\xEF\xBC\xA1\xEF\xBC\x92", 4, uax11},                /* U+FF21 F, U+FF12 F */
        {"\xEF\xBD\xB1\xEF\xBD\xB2", 2, uax11},                /* U+FF71 H, U+FF72 H */
        {"\xF0\xA0\x80\x8B", 2, uax11},                        /* U+2000B W, beyond 16 bits */
        {"\xF0\x9F\x9A\xA2", 2, uax11},                        /* ship U+1F6A2 W */
        {"\xD0\x96\xCF\x80\xD7\xA9", 3, uax11},                /* Cyrillic A, Greek A, Hebrew N */
        {"e\xCC\x81", 1, category},                            /* U+0301 Mn on e */
        {"\xC3\xA9", 1, uax11},                                /* the same letter as one character */
        {"o\xCC\x88\xCC\x84", 1, category},                    /* two marks, U+0308 and U+0304 */
        {"\xE3\x81\x8B\xE3\x82\x99", 2, category},             /* U+304B W and U+3099 Mn */
        {"5\xE2\x83\x9D", 1, category},                        /* U+20DD Me around a digit */
        {"\xE0\xA4\x95\xE0\xA4\xBE", 2, category},             /* Devanagari U+0915 Lo, U+093E Mc */
        {"\xE0\xA4\x95\xE0\xA5\x8D\xE0\xA4\xB7", 2, category}, /* with a virama U+094D Mn between */
        {"a\xE2\x80\x8B"
         "b",
         2, category}, /* zero width space U+200B Cf */
        {"a\xE2\x80\x8D"
         "b",
         2, category}, /* zero width joiner U+200D Cf */
        {"\xEF\xBB\xBF"
         "ab",
         2, category},                   /* U+FEFF Cf */
        {"ab\xE2\x80\x8E", 2, category}, /* left-to-right mark U+200E Cf */
        {"a\xFF"
         "b",
         3, "ours: a byte that is no character is one column"},
    };
    for (size_t row = 0; row < COUNT_OF(rows); row++) {
        ROW(rows[row].text, rows[row].source[0]);
        ROW(rows[row].text, display_width(rows[row].text, strlen(rows[row].text)) == rows[row].width);
    }
    assert_int_equal(display_width("\xE5\xB2\xA9\xE8\x8A\xAF", 3), 2); /* as many bytes as it was given */
}

static const char *shown(struct arena *arena, const struct page *page, const struct sheet *sheet)
{
    struct err err = {0};
    struct bytes bytes;
    struct text text;
    text_init(&text, arena);
    if (page)
        page_render_text(page, &text);
    else
        sheet_render(sheet, SHEET_PEOPLE, &text);
    assert_int_equal(text_done(&text, &bytes, &err), STATUS_OK);
    return bytes.data;
}

/* Whatever stands behind a wide or a combined text begins in the same column. */
static void columns_of_a_sheet_line_up(void **state)
{
    (void)state;
    static const struct column columns[] = {{"method", NULL, false}, {"length", "m", true}, {"note", NULL, false}};
    const struct cell rows[][3] = {
        {cell_text("\xE5\xB2\xA9\xE8\x8A\xAF"), cell_length(1500000, 2), cell_text("wide")},
        {cell_text("cafe\xCC\x81s"), cell_length(10250000, 2), cell_text("combining")},
        {cell_text("a\xE2\x80\x8B"
                   "b"),
         cell_nothing(), cell_text("\xE7\xA0\x82")},
    };
    struct arena arena;
    struct err err = {0};
    struct sheet sheet;
    arena_init(&arena, 1 << 20);
    sheet_init(&sheet, &arena, columns, COUNT_OF(columns));
    for (size_t row = 0; row < COUNT_OF(rows); row++)
        assert_int_equal(sheet_add_row(&sheet, rows[row], &err), STATUS_OK);
    assert_string_equal(shown(&arena, NULL, &sheet), "method  length m  note\n"
                                                     "\xE5\xB2\xA9\xE8\x8A\xAF        1.50  wide\n"
                                                     "cafe\xCC\x81s      10.25  combining\n"
                                                     "a\xE2\x80\x8B"
                                                     "b             -  \xE7\xA0\x82\n");
    arena_clear(&arena);
}

/* Underlines, facts and lines of a page are measured so, too. */
static void pages_are_measured_in_columns(void **state)
{
    (void)state;
    enum { WORDS = 60 };
    static const struct column columns[] = {{"what", NULL, false}, {"value", NULL, false}};
    const struct cell rows[][2] = {{cell_text("\xE6\xB7\xB1\xE5\xBA\xA6"), cell_text("a")},
                                   {cell_text("e\xCC\x81"), cell_text("b")}};
    struct arena arena;
    struct err err = {0};
    struct sheet sheet;
    struct page page;
    struct text words;
    arena_init(&arena, 1 << 20);
    sheet_init(&sheet, &arena, columns, COUNT_OF(columns));
    for (size_t row = 0; row < COUNT_OF(rows); row++)
        assert_int_equal(sheet_add_row(&sheet, rows[row], &err), STATUS_OK);
    text_init(&words, &arena);
    for (int word = 0; word < WORDS; word++) /* four columns each and a blank between: 110 columns hold 22 */
        text_add(&words, word ? " \xE6\xB7\xB1\xE5\xBA\xA6" : "\xE6\xB7\xB1\xE5\xBA\xA6");
    page_init(&page, &arena, "\xE5\xB2\xA9", "end");
    assert_int_equal(page_add_heading(&page, 2, "cafe\xCC\x81 \x1b", &err), STATUS_OK);
    assert_int_equal(page_add_sheet(&page, BLOCK_FACTS, NULL, &sheet, &err), STATUS_OK);
    assert_int_equal(page_add_text(&page, BLOCK_PARAGRAPH, words.data, &err), STATUS_OK);
    const char *text = shown(&arena, &page, NULL);
    static const char start[] = "\xE5\xB2\xA9\n==\n\ncafe\xCC\x81 <U+001B>\n-------------\n\n"
                                "\xE6\xB7\xB1\xE5\xBA\xA6  a\ne\xCC\x81     b\n\n";
    assert_memory_equal(text, start, sizeof start - 1);
    const char *line = text + sizeof start - 1;
    assert_int_equal(strcspn(line, "\n"), 22 * 6 + 21);
    arena_clear(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(widths_are_those_of_unicode),
                                       cmocka_unit_test(columns_of_a_sheet_line_up),
                                       cmocka_unit_test(pages_are_measured_in_columns)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
