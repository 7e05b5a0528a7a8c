/* SPDX-License-Identifier: MIT */
/* Texts in their places: shrunk until they fit, refused when they could not be read any more, never cut unless the
 * layout allows it. Data are plain text; no markup is read. */
#include <math.h>
#include <string.h>

#include "draw_canvas.h"

/* Smaller print cannot be read without a lens; a text that may be cut is cut, and a word is broken, before they are
 * much smaller than meant. Common practice, no source. */
#define READABLE_PT 4.0
#define CUT_BELOW 0.6
#define WHOLE_WORDS 0.5
#define STEP_PT 0.25
/* White letters need black around them. */
#define BAR_MARGIN_PT 2.0

static void font_set(const struct canvas *canvas, double size_pt, bool is_bold)
{
    pango_font_description_set_weight(canvas->font, is_bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_size(canvas->font, (gint)(size_pt * PANGO_SCALE));
    pango_layout_set_font_description(canvas->pango, canvas->font);
}

static void measure(const struct canvas *canvas, double *width, double *height)
{
    int width_units = 0;
    int height_units = 0;
    pango_layout_get_size(canvas->pango, &width_units, &height_units);
    *width = (double)width_units / PANGO_SCALE;
    *height = (double)height_units / PANGO_SCALE;
}

static bool text_fits(const struct canvas *canvas, struct place place)
{
    double width = 0;
    double height = 0;
    measure(canvas, &width, &height);
    return width <= place.width && height <= place.height;
}

static void layout_reset(const struct canvas *canvas, const char *text)
{
    pango_layout_set_text(canvas->pango, text, -1);
    pango_layout_set_attributes(canvas->pango, NULL);
    pango_layout_set_width(canvas->pango, -1);
    pango_layout_set_height(canvas->pango, -1);
    pango_layout_set_ellipsize(canvas->pango, PANGO_ELLIPSIZE_NONE);
    pango_layout_set_alignment(canvas->pango, PANGO_ALIGN_LEFT);
}

/* The largest size up to the wanted one at which the text fits; 0 when none down to `least` does. */
static double size_find(const struct canvas *canvas, const struct layout_line *line, struct place place, double least)
{
    double size = line->size_pt;
    while (size >= least) {
        font_set(canvas, size, line->is_bold);
        if (text_fits(canvas, place))
            return size;
        double width = 0;
        double height = 0;
        measure(canvas, &width, &height);
        /* A single line is as wide as its size says, so the next guess is close; a wrapped one goes down by steps. */
        const double share = line->is_wrapped ? 1 : fmin(place.width / width, place.height / height);
        size = size == least ? 0 : fmax(least, fmin(size - STEP_PT, ceil(size * share / STEP_PT) * STEP_PT));
    }
    return 0;
}

/* No line ends inside a word: "901-U0012A-12H" keeps together, which hyphens alone would not. */
static void words_keep(const struct canvas *canvas, const char *text)
{
    PangoAttrList *list = pango_attr_list_new();
    for (const char *at = text; *at;) {
        at += strspn(at, " ");
        const size_t len = strcspn(at, " ");
        PangoAttribute *attribute = pango_attr_allow_breaks_new(FALSE);
        attribute->start_index = (guint)(at - text);
        attribute->end_index = (guint)(at - text + (ptrdiff_t)len);
        pango_attr_list_insert(list, attribute);
        at += len;
    }
    pango_layout_set_attributes(canvas->pango, list);
    pango_attr_list_unref(list);
}

/* Rather smaller than with a word broken, but not much smaller. */
static bool wrapped_fits(const struct canvas *canvas, const struct layout_line *line, const char *text,
                         struct place place, double least)
{
    pango_layout_set_width(canvas->pango, (int)(place.width * PANGO_SCALE));
    pango_layout_set_wrap(canvas->pango, PANGO_WRAP_WORD);
    words_keep(canvas, text);
    if (size_find(canvas, line, place, fmax(least, line->size_pt * WHOLE_WORDS)) > 0)
        return true;
    pango_layout_set_attributes(canvas->pango, NULL);
    return size_find(canvas, line, place, least) > 0;
}

static enum status text_fit(const struct canvas *canvas, const struct layout_line *line, const char *text,
                            const char *thing, struct place place, struct err *err)
{
    const double least = line->may_be_cut ? fmax(READABLE_PT, line->size_pt * CUT_BELOW) : READABLE_PT;
    layout_reset(canvas, text);
    if (line->is_wrapped ? wrapped_fits(canvas, line, text, place, least) : size_find(canvas, line, place, least) > 0)
        return STATUS_OK;
    if (!line->may_be_cut) {
        err_set(err, STATUS_INPUT, thing,
                "'%.120s' would not be legible on its label: %.1f mm of width%s are too little even at %.0f points",
                text, (double)line->box.width_um / 1000,
                line->is_wrapped ? " on as many lines as there is room for" : "", READABLE_PT);
        return err_hint(err, "take a larger layout for it, or give the text on line %zu of this one more room",
                        line->box.line);
    }
    font_set(canvas, least, line->is_bold);
    pango_layout_set_width(canvas->pango, (int)(place.width * PANGO_SCALE));
    pango_layout_set_height(canvas->pango, line->is_wrapped ? (int)(place.height * PANGO_SCALE) : -1);
    pango_layout_set_ellipsize(canvas->pango, PANGO_ELLIPSIZE_END);
    return STATUS_OK;
}

/* In the middle of its place from top to bottom, to its side from left to right. */
static void text_show(const struct canvas *canvas, enum line_side side, struct place place)
{
    static const PangoAlignment aligned[] = {
        [LINE_LEFT] = PANGO_ALIGN_LEFT, [LINE_CENTRE] = PANGO_ALIGN_CENTER, [LINE_RIGHT] = PANGO_ALIGN_RIGHT};
    double width = 0;
    double height = 0;
    pango_layout_set_width(canvas->pango, (int)(place.width * PANGO_SCALE));
    pango_layout_set_alignment(canvas->pango, aligned[side]);
    measure(canvas, &width, &height);
    cairo_move_to(canvas->cairo, place.x, place.y + (place.height - height) / 2);
    pango_cairo_show_layout(canvas->cairo, canvas->pango);
}

enum status line_draw(const struct canvas *canvas, const struct layout_line *line, const struct label_face *face,
                      struct err *err)
{
    struct text text;
    struct bytes bytes;
    size_t bad = 0;
    struct place place = box_place(&line->box);
    const bool is_bar = (line->fields >> LABEL_HAZARD & 1) != 0;
    text_init(&text, canvas->arena);
    if (!layout_line_fill(line, face->values, &text))
        return STATUS_OK;
    TRY(text_done(&text, &bytes, err));
    if (!utf8_is_valid(bytes.data, bytes.len, &bad))
        return err_set(err, STATUS_INPUT, "label", "byte %zu of a text on it is not UTF-8", bad + 1);
    canvas_ink(canvas);
    if (is_bar) {
        canvas_fill_place(canvas, place);
        canvas_paper(canvas);
        place.x += BAR_MARGIN_PT;
        place.width -= 2 * BAR_MARGIN_PT;
    }
    TRY(text_fit(canvas, line, bytes.data, face->values[LABEL_NAME], place, err));
    text_show(canvas, line->side, place);
    return STATUS_OK;
}

void word_draw(const struct canvas *canvas, const char *word, struct place place, bool is_outline)
{
    double width = 0;
    double height = 0;
    const double probe_pt = 20;
    layout_reset(canvas, word);
    font_set(canvas, probe_pt, true);
    measure(canvas, &width, &height);
    font_set(canvas, 0.98 * probe_pt * fmin(place.width / width, place.height / height), true);
    measure(canvas, &width, &height);
    cairo_move_to(canvas->cairo, place.x + (place.width - width) / 2, place.y + (place.height - height) / 2);
    canvas_ink(canvas);
    if (!is_outline) {
        pango_cairo_show_layout(canvas->cairo, canvas->pango);
        return;
    }
    cairo_new_path(canvas->cairo);
    cairo_move_to(canvas->cairo, place.x + (place.width - width) / 2, place.y + (place.height - height) / 2);
    pango_cairo_layout_path(canvas->cairo, canvas->pango);
    cairo_set_line_width(canvas->cairo, 1);
    cairo_stroke(canvas->cairo);
}
