/* SPDX-License-Identifier: MIT */
/* Pages: how many, how large, the same twice; what cannot be drawn is refused with its value and limit. Whether symbols
 * can be read is tests/labels' matter. */
#define _GNU_SOURCE /* memmem */
#include "unit.h"

#include <math.h>
#include <stdio.h>

#include "coretally/view/label_page.h"

#define LONG_SYMBOL                                                                                                    \
    "901-U0012A-1234H-99WR:1140-1145.5$12*5 11234.567/11234.622 CCSF-D 0F3A9C21BD 12 "                                 \
    "901-U0012A-1234H-99WR:1140-1145.5$12*5 11234.567/11234.622 CCSF-D 0F3A9C21BD 12"

static const struct label_face plain_face = {
    .values = {[LABEL_NAME] = "901-U0012A-12H-3W, 45-47 cm", [LABEL_HAZARD] = "H2S"},
    .symbol = "901-U0012A-12H-3W:45-47*A 104.450/104.470 CSF-A 0F3A9C21BD",
    .has_top = true};

/* The job of one test: a layout of ours by its name, or a text. */
struct scene {
    struct arena arena;
    struct layout layout;
    struct label_face faces[30];
    struct label_job job;
    struct page_file *files;
    size_t count;
    struct err err;
};

static void scene_open(struct scene *scene, const char *layout, size_t count)
{
    const struct layout_text *own = layout_text_find(layout);
    const char *text = own ? own->text : layout;
    *scene = (struct scene){.count = 77};
    arena_init(&scene->arena, (size_t)256 << 20);
    if (layout_parse("mine", (struct bytes){text, strlen(text)}, &scene->arena, &scene->layout, &scene->err) !=
        STATUS_OK)
        fail_msg("%s: %s", scene->err.subject, scene->err.reason);
    for (size_t at = 0; at < COUNT_OF(scene->faces); at++)
        scene->faces[at] = plain_face;
    scene->job = (struct label_job){.layout = &scene->layout,
                                    .faces = scene->faces,
                                    .count = count,
                                    .start = 1,
                                    .dpi = 203,
                                    .created = {.utc_us = INT64_C(1772338320000000), .known = true}};
}

static enum status scene_draw(struct scene *scene)
{
    return label_pages_draw(&scene->job, &scene->arena, &scene->files, &scene->count, &scene->err);
}

static void must_draw(struct scene *scene)
{
    if (scene_draw(scene) != STATUS_OK)
        fail_msg("%s: %s", scene->err.subject, scene->err.reason);
}

static bool holds(const struct page_file *file, const char *part)
{
    return memmem(file->bytes.data, file->bytes.len, part, strlen(part)) != NULL;
}

static void files_and_pages(void **state)
{
    (void)state;
    static const struct {
        const char *layout;
        size_t count;
        size_t start;
        enum page_format format;
        size_t files;
        const char *holds; /* in the first one */
    } rows[] = {
        {"small", 1, 1, PAGE_PDF, 1, "/Count 1"},   {"small", 30, 1, PAGE_PDF, 1, "/Count 30"},
        {"small", 3, 1, PAGE_SVG, 3, "<svg "},      {"small", 3, 1, PAGE_PNG, 3, "pHYs"},
        {"a4", 24, 1, PAGE_PDF, 1, "/Count 1"},     {"a4", 24, 2, PAGE_PDF, 1, "/Count 2"},
        {"a4", 30, 1, PAGE_PDF, 1, "/Count 2"},     {"a4", 1, 24, PAGE_SVG, 1, "<svg "},
        {"a4", 2, 24, PAGE_SVG, 2, "<svg "},        {"letter", 30, 1, PAGE_PNG, 3, "pHYs"},
        {"letter", 21, 10, PAGE_PNG, 3, "\x89PNG"}, {"strip", 1, 1, PAGE_PDF, 1, "%PDF-"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct scene scene;
        scene_open(&scene, rows[at].layout, rows[at].count);
        scene.job.start = rows[at].start;
        scene.job.format = rows[at].format;
        must_draw(&scene);
        ROW(rows[at].holds, scene.count == rows[at].files);
        for (size_t file = 0; file < scene.count; file++)
            ROW(rows[at].holds, scene.files[file].page == file + 1 && scene.files[file].bytes.len > 500);
        ROW(rows[at].holds, holds(&scene.files[0], rows[at].holds));
        arena_clear(&scene.arena);
    }
}

/* Dots of a PNG: W3C Portable Network Graphics, second edition, 11.2.2: width and height stand behind "IHDR". */
static size_t png_side(const struct page_file *file, size_t at)
{
    const unsigned char *data = (const unsigned char *)file->bytes.data + 16 + at;
    return (size_t)data[0] << 24 | (size_t)data[1] << 16 | (size_t)data[2] << 8 | data[3];
}

static void pages_are_as_large_as_said(void **state)
{
    (void)state;
    static const struct {
        const char *layout;
        double dpi;
        size_t width;
        size_t height;
    } rows[] = {
        {"small", 254, 500, 250}, {"small", 300, 591, 295}, {"a4", 254, 2100, 2970}, {"letter", 100, 850, 1100}};
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct scene scene;
        scene_open(&scene, rows[at].layout, 1);
        scene.job.format = PAGE_PNG;
        scene.job.is_proof = true; /* coarser than a symbol may be */
        scene.job.dpi = rows[at].dpi;
        must_draw(&scene);
        ROW(rows[at].layout, png_side(&scene.files[0], 0) == rows[at].width);
        ROW(rows[at].layout, png_side(&scene.files[0], 4) == rows[at].height);
        arena_clear(&scene.arena);
    }
}

/* Twice in one process, too: nothing counts on from the first time. */
static void same_job_same_bytes(void **state)
{
    (void)state;
    for (int format = PAGE_PDF; format <= PAGE_PNG; format++) {
        struct scene first;
        struct scene second;
        scene_open(&first, "letter", 12);
        scene_open(&second, "letter", 12);
        first.job.format = second.job.format = (enum page_format)format;
        must_draw(&first);
        must_draw(&second);
        assert_int_equal(first.count, second.count);
        for (size_t at = 0; at < first.count; at++) {
            assert_int_equal(first.files[at].bytes.len, second.files[at].bytes.len);
            assert_memory_equal(first.files[at].bytes.data, second.files[at].bytes.data, first.files[at].bytes.len);
        }
        arena_clear(&first.arena);
        arena_clear(&second.arena);
    }
}

#define NARROW "label = 30 x 30\ntext = {name} | 0 x 0 x 30 | 9\ntext = {hazard} | 0 x 5 x 30 | 9\n"

static void refusals(void **state)
{
    (void)state;
    static char long_text[400];
    memset(long_text, 'W', sizeof long_text - 1);
    static const struct {
        const char *layout;
        const char *name;   /* of the first label; NULL: a plain one */
        const char *symbol; /* NULL: a plain one */
        size_t count;
        size_t start;
        double dpi; /* 0: PDF */
        const char *subject;
        const char *reason;
        const char *hint;
    } rows[] = {
        {"small", NULL, NULL, 0, 1, 0, "labels", "0 at a time; 1 to 100000", ""},
        {"small", NULL, NULL, LABEL_JOB_MAX + 1, 1, 0, "labels", "100001 at a time; 1 to 100000", ""},
        {"small", NULL, NULL, 1, 0, 0, "start", "place 0 is not on the sheet", ""},
        {"small", NULL, NULL, 1, 2, 0, "start", "places 1 to 1", ""},
        {"a4", NULL, NULL, 1, 25, 0, "start", "place 25 is not on the sheet; a sheet of layout mine has places 1 to 24",
         ""},
        {"small", NULL, NULL, 1, 1, 99, "dpi", "99 dots an inch; 100 to 1200", ""},
        {"small", NULL, NULL, 1, 1, 1200.5, "dpi", "1200.5 dots an inch; 100 to 1200", ""},
        {"small", NULL, NULL, 1, 1, NAN, "dpi", "nan dots an inch; 100 to 1200", ""},
        {"label = 990 x 990\n sheet = 1990 x 1990\ngrid = 2 x 2\ntext = {name} | 0 x 0 x 30 | 9\ntext = {hazard} | 0 x "
         "5 x 9 | 9",
         NULL, NULL, 1, 1, 600, "dpi", "a page is 47008 x 47008 dots, a side has 32767 at most", ""},
        {NARROW "symbol = qr | 0 x 10 | 12.2", NULL, LONG_SYMBOL, 1, 1, 0, LONG_SYMBOL,
         "its QR code has 49 modules a side with its quiet zone; in 12.2 mm each would be 0.249 mm wide (at least 0.25 "
         "mm)",
         "a symbol 15.3 mm wide would do: take a larger layout, or change line 4"},
        {NARROW "symbol = qr | 0 x 10 | 12.3", NULL, LONG_SYMBOL, 1, 1, 300, LONG_SYMBOL,
         "in 12.3 mm of whole dots each would be 0.169 mm", "a symbol 15.5 mm wide would do"},
        {NARROW "symbol = matrix | 0 x 10 | 7.4", NULL, NULL, 1, 1, 0, NULL,
         "its Data Matrix has 30 modules a side with its quiet zone; in 7.4 mm each would be 0.247 mm wide (at least "
         "0.25",
         "a symbol 7.5 mm wide would do"},
        {NARROW "symbol = matrix | 0 x 10 | 7.5", NULL, NULL, 1, 1, 100, NULL, "of whole dots each would be 0.000 mm",
         "a symbol 15.3 mm wide would do"}, /* 30 modules of 2 dots of 0.254 mm */
        {NARROW, long_text, NULL, 1, 1, 0, NULL, "30.0 mm of width are too little even at 4 points",
         "line 2 of this one"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct scene scene;
        scene_open(&scene, rows[at].layout, rows[at].count);
        scene.job.start = rows[at].start;
        if (rows[at].dpi != 0) {
            scene.job.format = PAGE_PNG;
            scene.job.dpi = rows[at].dpi;
        }
        if (rows[at].name)
            scene.faces[0].values[LABEL_NAME] = rows[at].name;
        if (rows[at].symbol)
            scene.faces[0].symbol = rows[at].symbol;
        ROW(rows[at].reason, scene_draw(&scene) == STATUS_INPUT);
        if (rows[at].subject)
            ROW_TEXT(rows[at].reason, scene.err.subject, rows[at].subject);
        if (!strstr(scene.err.reason, rows[at].reason) || !strstr(scene.err.hint, rows[at].hint))
            fail_msg("'%s': got '%s', '%s'", rows[at].reason, scene.err.reason, scene.err.hint);
        ROW(rows[at].reason, scene.count == 77 && !scene.files); /* untouched */
        arena_clear(&scene.arena);
    }
}

/* What just fits is drawn: the widths that the refusals above ask for. */
static void what_would_do_does(void **state)
{
    (void)state;
    static const struct {
        const char *layout;
        const char *symbol;
        double dpi;
    } rows[] = {{NARROW "symbol = qr | 0 x 10 | 15.3", LONG_SYMBOL, 0},
                {NARROW "symbol = qr | 0 x 10 | 12.25", LONG_SYMBOL, 0}, /* at level L */
                {NARROW "symbol = qr | 0 x 10 | 15.5", LONG_SYMBOL, 300},
                {NARROW "symbol = matrix | 0 x 10 | 7.5", NULL, 0},
                {NARROW "symbol = matrix | 0 x 10 | 15.3", NULL, 100}};
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct scene scene;
        scene_open(&scene, rows[at].layout, 1);
        scene.faces[0].symbol = rows[at].symbol ? rows[at].symbol : plain_face.symbol;
        scene.job.format = rows[at].dpi > 0 ? PAGE_PNG : PAGE_SVG;
        scene.job.dpi = rows[at].dpi;
        must_draw(&scene);
        arena_clear(&scene.arena);
    }
}

/* Another instant, another file: the date in a PDF is that of the job. Long texts may be cut where the layout says so.
 */
static void dates_and_cuts(void **state)
{
    (void)state;
    struct scene first;
    struct scene second;
    struct scene third;
    static char purpose[2001];
    memset(purpose, 'm', sizeof purpose - 1);
    scene_open(&first, "large", 1);
    scene_open(&second, "large", 1);
    scene_open(&third, "large", 1);
    second.job.created.utc_us += 1000000;
    third.faces[0].values[LABEL_PURPOSE] = purpose;
    must_draw(&first);
    must_draw(&second);
    must_draw(&third);
    assert_true(first.files[0].bytes.len != second.files[0].bytes.len ||
                memcmp(first.files[0].bytes.data, second.files[0].bytes.data, first.files[0].bytes.len) != 0);
    third.faces[0].values[LABEL_PURPOSE] = "\xff";
    assert_int_equal(scene_draw(&third), STATUS_INPUT);
    assert_non_null(strstr(third.err.reason, "not UTF-8"));
    arena_clear(&first.arena);
    arena_clear(&second.arena);
    arena_clear(&third.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(files_and_pages),     cmocka_unit_test(pages_are_as_large_as_said),
        cmocka_unit_test(same_job_same_bytes), cmocka_unit_test(refusals),
        cmocka_unit_test(what_would_do_does),  cmocka_unit_test(dates_and_cuts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
