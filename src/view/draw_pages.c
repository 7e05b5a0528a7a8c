/* SPDX-License-Identifier: MIT */
/* The pages of a job: surfaces of cairo, written through a stream into the arena of the caller; and the object by
 * which the module is found. */
#include <assert.h>
#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "label_module.h"
#include "draw_canvas.h"
#include "draw_dots.h"

/* A job under way. */
struct drawing {
    const struct label_job *job;
    struct arena *arena;
    PangoFontMap *fonts;
    PangoContext *context;
    struct canvas canvas;
    double width_pt; /* of a page */
    double height_pt;
    struct page_file *files;
    size_t count;
};

static void surface_free_at(cairo_surface_t **surface)
{
    if (*surface)
        cairo_surface_destroy(*surface);
}

static void cairo_free_at(cairo_t **cairo)
{
    if (*cairo)
        cairo_destroy(*cairo);
}

static cairo_status_t write_into_text(void *closure, const unsigned char *data, unsigned int len)
{
    struct text *text = closure;
    text_add_bytes(text, (const char *)data, len);
    return text->failed ? CAIRO_STATUS_NO_MEMORY : CAIRO_STATUS_SUCCESS;
}

static enum status cairo_told(cairo_status_t status, struct err *err)
{
    if (status == CAIRO_STATUS_SUCCESS)
        return STATUS_OK;
    return err_set(err, STATUS_SYSTEM, "labels", "could not draw: %s", cairo_status_to_string(status));
}

/* Fonts as the machine has them, letters placed at any fraction of a dot so that a text is as wide at every
 * resolution. What fontconfig keeps after that stays to the end: asked to clean up (FcFini) while threads of pango
 * still read in it, it ends the program. */
static void drawing_open(struct drawing *drawing)
{
    cairo_font_options_t *options = cairo_font_options_create();
    const bool has_dots = drawing->job->format == PAGE_PNG;
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    drawing->fonts = pango_cairo_font_map_new();
    drawing->context = pango_font_map_create_context(drawing->fonts);
    pango_cairo_context_set_font_options(drawing->context, options);
    pango_cairo_context_set_resolution(drawing->context, 72);
    pango_context_set_round_glyph_positions(drawing->context, FALSE);
    cairo_font_options_destroy(options);
    drawing->canvas = (struct canvas){.pango = pango_layout_new(drawing->context),
                                      .font = pango_font_description_from_string("sans-serif"),
                                      .arena = drawing->arena,
                                      .dpi = has_dots ? drawing->job->dpi : 0,
                                      .is_mask = has_dots};
}

static void drawing_close(struct drawing *drawing)
{
    pango_font_description_free(drawing->canvas.font);
    g_object_unref(drawing->canvas.pango);
    g_object_unref(drawing->context);
    g_object_unref(drawing->fonts);
}

/* Labels on page `page`, the first of which has the number *at. */
static enum status page_draw(struct drawing *drawing, cairo_surface_t *surface, size_t page, size_t *at,
                             struct err *err)
{
    const struct layout *layout = drawing->job->layout;
    const size_t places = layout_places(layout);
    CLEANUP(cairo_free_at) cairo_t *cairo = cairo_create(surface);
    if (drawing->canvas.dpi > 0)
        cairo_scale(cairo, drawing->canvas.dpi / 72, drawing->canvas.dpi / 72);
    drawing->canvas.cairo = cairo;
    pango_cairo_update_context(cairo, drawing->context);
    pango_layout_context_changed(drawing->canvas.pango);
    for (size_t place = page == 1 ? drawing->job->start - 1 : 0; place < places && *at < drawing->job->count; place++) {
        const int64_t column = (int64_t)(place % (size_t)layout->columns);
        const int64_t row = (int64_t)(place / (size_t)layout->columns);
        TRY(label_draw(&drawing->canvas, drawing->job, &drawing->job->faces[(*at)++],
                       (double)(layout->first_x_um + column * layout->step_x_um) * PT_PER_UM,
                       (double)(layout->first_y_um + row * layout->step_y_um) * PT_PER_UM, err));
    }
    if (drawing->job->format == PAGE_PDF)
        cairo_show_page(cairo);
    return cairo_told(cairo_status(cairo), err);
}

static enum status file_end(struct drawing *drawing, struct text *text, struct err *err)
{
    struct page_file *file = &drawing->files[drawing->count];
    TRY(text_done(text, &file->bytes, err));
    file->page = ++drawing->count;
    return STATUS_OK;
}

/* Cairo would put the clock's time in; the job's is what makes equal jobs equal files. */
static void date_set(cairo_surface_t *surface, struct instant created)
{
    char text[32];
    struct tm parts;
    const time_t seconds = (time_t)(created.utc_us / 1000000);
    if (gmtime_r(&seconds, &parts) && strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &parts))
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, text);
}

static enum status pdf_draw(struct drawing *drawing, size_t pages, struct err *err)
{
    struct text text;
    size_t at = 0;
    text_init(&text, drawing->arena);
    CLEANUP(surface_free_at)
    cairo_surface_t *surface =
        cairo_pdf_surface_create_for_stream(write_into_text, &text, drawing->width_pt, drawing->height_pt);
    date_set(surface, drawing->job->created);
    for (size_t page = 1; page <= pages; page++)
        TRY(page_draw(drawing, surface, page, &at, err));
    cairo_surface_finish(surface);
    TRY(cairo_told(cairo_surface_status(surface), err));
    return file_end(drawing, &text, err);
}

/* Cairo numbers surfaces through the life of the program and puts the number into the file, where nothing refers to it.
 * Without it equal jobs are equal files. */
static void surface_number_drop(struct text *text)
{
    static const char mark[] = "id=\"surface";
    char *at = text->data ? strstr(text->data, mark) : NULL;
    for (; at; at = strstr(at, mark)) {
        at += sizeof mark - 1;
        const size_t digits = strspn(at, "0123456789");
        memmove(at, at + digits, strlen(at + digits) + 1);
        text->len -= digits;
    }
}

static enum status svg_draw(struct drawing *drawing, size_t page, size_t *at, struct err *err)
{
    struct text text;
    text_init(&text, drawing->arena);
    CLEANUP(surface_free_at)
    cairo_surface_t *surface =
        cairo_svg_surface_create_for_stream(write_into_text, &text, drawing->width_pt, drawing->height_pt);
    TRY(page_draw(drawing, surface, page, at, err));
    cairo_surface_finish(surface);
    TRY(cairo_told(cairo_surface_status(surface), err));
    surface_number_drop(&text);
    return file_end(drawing, &text, err);
}

static enum status png_draw(struct drawing *drawing, size_t page, size_t *at, struct err *err)
{
    struct text text;
    CLEANUP(surface_free_at) cairo_surface_t *surface = NULL;
    text_init(&text, drawing->arena);
    TRY(dots_create(drawing->width_pt, drawing->height_pt, drawing->job->dpi, &surface, err));
    TRY(page_draw(drawing, surface, page, at, err));
    TRY(cairo_told(dots_write(surface, drawing->job->dpi, &text), err));
    return file_end(drawing, &text, err);
}

static enum status drawing_run(struct drawing *drawing, size_t pages, struct err *err)
{
    size_t at = 0;
    if (drawing->job->format == PAGE_PDF)
        return pdf_draw(drawing, pages, err);
    for (size_t page = 1; page <= pages; page++)
        TRY(drawing->job->format == PAGE_SVG ? svg_draw(drawing, page, &at, err) : png_draw(drawing, page, &at, err));
    return STATUS_OK;
}

static enum status pages_draw(const struct label_job *job, struct arena *arena, struct page_file **out, size_t *count,
                              struct err *err)
{
    const struct layout *layout = job->layout;
    const bool has_sheet = layout->sheet_width_um > 0;
    const size_t places = layout_places(layout);
    const size_t pages = (job->start - 1 + job->count + places - 1) / places;
    struct drawing drawing = {.job = job,
                              .arena = arena,
                              .width_pt = (double)(has_sheet ? layout->sheet_width_um : layout->width_um) * PT_PER_UM,
                              .height_pt =
                                  (double)(has_sheet ? layout->sheet_height_um : layout->height_um) * PT_PER_UM};
    TRY(arena_take(arena, pages, sizeof *drawing.files, &drawing.files, err));
    drawing_open(&drawing);
    const enum status status = drawing_run(&drawing, pages, err);
    drawing_close(&drawing);
    if (status != STATUS_OK)
        return status;
    *out = drawing.files;
    *count = drawing.count;
    return STATUS_OK;
}

extern const struct label_module label_module;
__attribute__((visibility("default"))) const struct label_module label_module = {
    .version = CORETALLY_VERSION, .job_size = sizeof(struct label_job), .draw = pages_draw};
