/* SPDX-License-Identifier: MIT */
/* A report as text and as HTML: escapes, shapes, and the axes of a plot. */
#include "unit.h"

#include <stdio.h>

#include "coretally/base/limits.h"
#include "coretally/view/page.h"

struct made {
    struct arena arena;
    struct err err;
};

static const char *done(struct made *made, struct text *text)
{
    struct bytes bytes;
    assert_int_equal(text_done(text, &bytes, &made->err), STATUS_OK);
    return bytes.data;
}

/* What HTML reserves: WHATWG HTML, "Serializing HTML fragments", and character references of HTML 4.01 section 24. */
static void html_is_escaped(void **state)
{
    (void)state;
    static const struct {
        const char *string;
        const char *html;
    } rows[] = {{"", ""},
                {"joint 312", "joint 312"},
                {"a < b & c > d", "a &lt; b &amp; c &gt; d"},
                {"\"x\" 'y'", "&quot;x&quot; &#39;y&#39;"},
                {"</style><script>", "&lt;/style&gt;&lt;script&gt;"},
                {"&amp;", "&amp;amp;"},
                {"tab\tbell\a\x7f", "tab\tbell&lt;U+0007&gt;&lt;U+007F&gt;"},
                {"two\nlines", "two\nlines"},
                {"\xC2\xB5m \xE4\xBA\x95", "\xC2\xB5m \xE4\xBA\x95"}};
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct made made = {.err = {0}};
        struct text text;
        arena_init(&made.arena, 1 << 20);
        text_init(&text, &made.arena);
        text_add(&text, "");
        text_add_html(&text, rows[at].string);
        ROW_TEXT(rows[at].html, done(&made, &text), rows[at].html);
        arena_clear(&made.arena);
    }
}

static void axes_have_round_marks(void **state)
{
    (void)state;
    static const struct {
        const char *row;
        int64_t least_um;
        int64_t most_um;
        enum length_unit unit;
        struct plot_axis axis;
    } rows[] = {
        {"0 to 9.62 m", 0, 9620000, UNIT_M, {0, 2000000, 6, 0}},
        {"-0.5 to 9.12 m", -500000, 9120000, UNIT_M, {-5000000, 5000000, 4, 0}},
        {"nothing moved", 0, 0, UNIT_M, {0, 1000, 2, 3}},
        {"a millimetre up", -1000, 0, UNIT_M, {-1000, 1000, 2, 3}},
        {"half a metre", 0, 500000, UNIT_M, {0, 100000, 6, 1}},
        {"deep", INT64_C(3021400000), INT64_C(4873900000), UNIT_M, {INT64_C(3000000000), INT64_C(500000000), 5, 0}},
        {"feet", 0, INT64_C(9620000), UNIT_FT, {0, INT64_C(3048000), 5, 0}},
        {"all of it",
         -LENGTH_LIMIT_UM,
         LENGTH_LIMIT_UM,
         UNIT_M,
         {-LENGTH_LIMIT_UM - INT64_C(10000000000), INT64_C(20000000000), 5, 0}},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        const struct plot_axis axis = plot_axis_find(rows[at].least_um, rows[at].most_um, rows[at].unit, 6);
        ROW(rows[at].row, axis.first_um == rows[at].axis.first_um && axis.step_um == rows[at].axis.step_um);
        ROW(rows[at].row, axis.count == rows[at].axis.count && axis.decimals == rows[at].axis.decimals);
    }
}

/* Any range is covered, by no more marks than asked for, at multiples of the step. */
static void axes_cover_what_they_must(void **state)
{
    (void)state;
    uint64_t seed = 11;
    for (int round = 0; round < 3000; round++) {
        const int64_t least_um =
            random_within(&seed, -LENGTH_LIMIT_UM, LENGTH_LIMIT_UM) / random_within(&seed, 1, 999999);
        const int64_t most_um = least_um + random_within(&seed, 0, LENGTH_LIMIT_UM) / random_within(&seed, 1, 999999);
        const int most_marks = (int)random_within(&seed, 3, 12);
        const struct plot_axis axis = plot_axis_find(least_um, most_um, UNIT_M, most_marks);
        assert_true(axis.first_um <= least_um && axis.first_um + axis.step_um * (axis.count - 1) >= most_um);
        assert_true(axis.count >= 2 && axis.count <= most_marks);
        assert_true(axis.first_um % axis.step_um == 0);
        assert_string_equal(length_text(axis.step_um, UNIT_M, 6).text +
                                strlen(length_text(axis.step_um, UNIT_M, 6).text) - (axis.decimals < 3 ? 3 : 0),
                            axis.decimals < 3 ? "000" : ""); /* its marks need no more decimals than it says */
    }
}

static void a_plot_is_drawn_to_scale(void **state)
{
    (void)state;
    static const struct plot_bar bars[] = {{"1H", 0, 10 * METRE, 0}, {"2H<", 10 * METRE, LENGTH_NONE, 2 * METRE}};
    const struct plot plot = {
        .title = "a & b", .across = "shift", .down = "depth", .unit = UNIT_M, .bars = bars, .count = 2};
    const struct plot none = {.title = "", .across = "", .down = "", .unit = UNIT_M, .bars = bars, .count = 0};
    struct made made = {.err = {0}};
    struct text text;
    arena_init(&made.arena, 1 << 20);
    text_init(&text, &made.arena);
    text_add(&text, "");
    plot_render_svg(&none, &text);
    assert_string_equal(done(&made, &text), "");
    plot_render_svg(&plot, &text);
    const char *svg = done(&made, &text);
    /* across 0 to 2 m on 56.0 to 345.0, down 0 to 10 m on 52.0 to 390.0 */
    assert_non_null(strstr(svg, "aria-label=\"a &amp; b\""));
    assert_non_null(strstr(svg, "<line class=\"zero\" x1=\"56.0\" y1=\"52.0\" x2=\"56.0\" y2=\"390.0\"/>"));
    assert_non_null(strstr(svg, "<line class=\"bar\" x1=\"56.0\" y1=\"52.0\" x2=\"56.0\" y2=\"390.0\"/>"));
    assert_non_null(strstr(svg, "<line class=\"step\" x1=\"56.0\" y1=\"390.0\" x2=\"345.0\" y2=\"390.0\"/>"));
    assert_non_null(strstr(svg, "<line class=\"bar\" x1=\"345.0\" y1=\"390.0\" x2=\"345.0\" y2=\"391.0\"/>"));
    assert_non_null(strstr(svg, ">2H&lt;</text>"));
    arena_clear(&made.arena);
}

static void pages_hold_what_was_added(void **state)
{
    (void)state;
    static const struct column two[] = {{"what", NULL, false}, {"value", NULL, false}};
    static const struct column three[] = {{"core", NULL, false}, {"shift", "m", true}, {"note", NULL, false}};
    const struct cell fact[] = {cell_text("state"), cell_text("<0f3a>")};
    const struct cell row[] = {cell_text("1H"), cell_shift(9620000, 3), cell_text(NULL)};
    struct made made = {.err = {0}};
    struct err *err = &made.err;
    struct sheet sheets[2];
    struct page page;
    struct text text;
    arena_init(&made.arena, 1 << 20);
    sheet_init(&sheets[0], &made.arena, two, 2);
    sheet_init(&sheets[1], &made.arena, three, 3);
    assert_int_equal(sheet_add_row(&sheets[0], fact, err), STATUS_OK);
    assert_int_equal(sheet_add_row(&sheets[1], row, err), STATUS_OK);
    page_init(&page, &made.arena, "Audit", "the end");
    assert_int_equal(page_add_heading(&page, 1, "Hole", err), STATUS_OK);
    assert_int_equal(page_add_text(&page, BLOCK_PARAGRAPH, "plain \x1b[31m words", err), STATUS_OK);
    assert_int_equal(page_add_text(&page, BLOCK_CAUTION, "beware", err), STATUS_OK);
    assert_int_equal(page_add_sheet(&page, BLOCK_FACTS, NULL, &sheets[0], err), STATUS_OK);
    assert_int_equal(page_add_sheet(&page, BLOCK_TABLE, "shifts", &sheets[1], err), STATUS_OK);
    assert_int_equal(page_add_text(&page, BLOCK_COMMANDS, "git log\n", err), STATUS_OK);
    text_init(&text, &made.arena);
    page_render_text(&page, &text);
    assert_string_equal(done(&made, &text),
                        "Audit\n=====\n\nHole\n====\n\nplain <U+001B>[31m words\n\nbeware\n\nstate  <0f3a>\n\n"
                        "shifts\n\ncore  shift m  note\n1H     +9.620  -\n\ngit log\n\nthe end\n");
    text_init(&text, &made.arena);
    page_render_html(&page, &text);
    const char *html = done(&made, &text);
    assert_non_null(strstr(html, "default-src 'none'"));
    assert_non_null(strstr(html,
                           "<h2>Hole</h2>\n<p>plain &lt;U+001B&gt;[31m words</p>\n<p class=\"caution\">beware</p>\n"
                           "<dl>\n<dt>state</dt><dd><bdi>&lt;0f3a&gt;</bdi></dd>\n</dl>\n"));
    assert_non_null(strstr(html, "<tr><td data-name=\"core\"><bdi>1H</bdi></td><td class=\"n\" data-name=\"shift m\">"
                                 "<bdi>+9.620</bdi></td><td data-name=\"note\"></td></tr>\n"));
    assert_non_null(strstr(html, "<pre>git log\n</pre>\n</main>\n<footer>the end</footer>\n"));
    arena_clear(&made.arena);
}

/* Every word comes out, whatever its length, in lines that a terminal holds. */
static void paragraphs_are_wrapped(void **state)
{
    (void)state;
    struct made made = {.err = {0}};
    struct page page;
    struct text text;
    char words[4000] = "";
    arena_init(&made.arena, 1 << 20);
    for (int at = 0; at < 300; at++)
        (void)snprintf(words + strlen(words), sizeof words - strlen(words), "%sw%d", at ? " " : "", at);
    (void)snprintf(words + strlen(words), sizeof words - strlen(words), " ");
    memset(words + strlen(words), 'x', 700);
    page_init(&page, &made.arena, "t", "f");
    assert_int_equal(page_add_text(&page, BLOCK_PARAGRAPH, words, &made.err), STATUS_OK);
    text_init(&text, &made.arena);
    page_render_text(&page, &text);
    char joined[6000] = "";
    const char *line = done(&made, &text) + strlen("t\n=\n\n");
    while (*line && strncmp(line, "\nf", 2) != 0) {
        const size_t len = strcspn(line, "\n");
        assert_true(len <= 110 || len == 700);
        (void)snprintf(joined + strlen(joined), sizeof joined - strlen(joined), "%s%.*s", *joined ? " " : "", (int)len,
                       line);
        line += len + (line[len] != '\0');
    }
    assert_string_equal(joined, words);
    arena_clear(&made.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(html_is_escaped),           cmocka_unit_test(axes_have_round_marks),
        cmocka_unit_test(axes_cover_what_they_must), cmocka_unit_test(a_plot_is_drawn_to_scale),
        cmocka_unit_test(pages_hold_what_was_added), cmocka_unit_test(paragraphs_are_wrapped),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
