/* SPDX-License-Identifier: MIT */
/* A plot as SVG text: whole numbers in, coordinates of a tenth of a unit out, so that the bytes are the same
 * everywhere.
 */
#include "coretally/view/plot.h"

#include <stdio.h>

#include "coretally/view/page.h"

enum {
    WIDTH = 3600, /* tenths: the figure is 360 by 400 */
    HEIGHT = 4000,
    LEFT = 560,
    RIGHT = 3450,
    TOP = 520,
    BOTTOM = 3900,
    MARKS_ACROSS = 6,
    MARKS_DOWN = 9,
    NAMES_MAX = 12 /* more names than this would lie on one another */
};

struct plot_axis plot_axis_find(int64_t least_um, int64_t most_um, enum length_unit unit, int most_marks)
{
    static const int64_t factors[] = {1, 2, 5};
    /* 1, 2 or 5 times a power of ten, from the least that is whole micrometres: 0.001 m, 0.01 ft. */
    int64_t tens_um = unit == UNIT_FT ? 3048 : 1000;
    int decimals = unit == UNIT_FT ? 2 : 3;
    for (size_t at = 0;; at = (at + 1) % 3) {
        const int64_t step_um = tens_um * factors[at];
        int64_t first = least_um / step_um;
        int64_t last = most_um / step_um;
        first -= first * step_um > least_um;
        last += last * step_um < most_um;
        last += last == first;
        if (last - first + 1 <= most_marks)
            return (struct plot_axis){first * step_um, step_um, (int)(last - first) + 1, decimals};
        if (at == 2) {
            tens_um *= 10;
            decimals -= decimals > 0;
        }
    }
}

/* Where a value lies between the first and the last mark, from near to far, in tenths. */
static int64_t place(const struct plot_axis *axis, int64_t um, int64_t near, int64_t far)
{
    const int64_t span_um = axis->step_um * (axis->count - 1);
    return near + length_scale(um - axis->first_um, far - near, span_um);
}

/* Tenths as a decimal number. */
static void add_tenths(struct text *out, int64_t tenths)
{
    const int64_t size = tenths < 0 ? -tenths : tenths;
    text_addf(out, "%s%d.%d", tenths < 0 ? "-" : "", (int)(size / 10), (int)(size % 10));
}

static void add_line(struct text *out, const char *kind, int64_t x1, int64_t y1, int64_t x2, int64_t y2)
{
    const char *const names[] = {"x1", "y1", "x2", "y2"};
    const int64_t ends[] = {x1, y1, x2, y2};
    text_addf(out, "<line class=\"%s\"", kind);
    for (int at = 0; at < 4; at++) {
        text_addf(out, " %s=\"", names[at]);
        add_tenths(out, ends[at]);
        text_add(out, "\"");
    }
    text_add(out, "/>\n");
}

static void add_word(struct text *out, const char *anchor, int64_t x, int64_t y, const char *word)
{
    text_addf(out, "<text text-anchor=\"%s\" x=\"", anchor);
    add_tenths(out, x);
    text_add(out, "\" y=\"");
    add_tenths(out, y);
    text_add(out, "\">");
    text_add_html(out, word);
    text_add(out, "</text>\n");
}

struct frame {
    struct plot_axis across;
    struct plot_axis down;
};

static struct frame find_frame(const struct plot *plot)
{
    int64_t shift_um[2] = {0, 0}; /* none is always on it */
    int64_t depth_um[2] = {plot->bars[0].top_um, plot->bars[0].top_um};
    for (size_t at = 0; at < plot->count; at++) {
        const struct plot_bar *bar = &plot->bars[at];
        const int64_t bottom_um = bar->bottom_um == LENGTH_NONE ? bar->top_um : bar->bottom_um;
        shift_um[0] = bar->shift_um < shift_um[0] ? bar->shift_um : shift_um[0];
        shift_um[1] = bar->shift_um > shift_um[1] ? bar->shift_um : shift_um[1];
        depth_um[0] = bar->top_um < depth_um[0] ? bar->top_um : depth_um[0];
        depth_um[1] = bottom_um > depth_um[1] ? bottom_um : depth_um[1];
    }
    return (struct frame){plot_axis_find(shift_um[0], shift_um[1], plot->unit, MARKS_ACROSS),
                          plot_axis_find(depth_um[0], depth_um[1], plot->unit, MARKS_DOWN)};
}

static void add_axes(const struct plot *plot, const struct frame *frame, struct text *out)
{
    char word[160];
    for (int at = 0; at < frame->across.count; at++) {
        const int64_t um = frame->across.first_um + at * frame->across.step_um;
        const int64_t x = place(&frame->across, um, LEFT, RIGHT);
        add_line(out, um ? "grid" : "zero", x, TOP, x, BOTTOM);
        (void)snprintf(word, sizeof word, "%s%s", um > 0 ? "+" : "",
                       length_text(um, plot->unit, frame->across.decimals).text);
        add_word(out, "middle", x, TOP - 60, word);
    }
    for (int at = 0; at < frame->down.count; at++) {
        const int64_t um = frame->down.first_um + at * frame->down.step_um;
        const int64_t y = place(&frame->down, um, TOP, BOTTOM);
        add_line(out, "grid", LEFT, y, RIGHT, y);
        add_word(out, "end", LEFT - 50, y + 38, length_text(um, plot->unit, frame->down.decimals).text);
    }
    (void)snprintf(word, sizeof word, "%s, %s", plot->across, length_unit_suffix(plot->unit));
    add_word(out, "middle", (LEFT + RIGHT) / 2, 260, word);
    (void)snprintf(word, sizeof word, "%s, %s", plot->down, length_unit_suffix(plot->unit));
    add_word(out, "start", 20, 110, word);
}

/* Names where the shift changes, while there are few of them. */
static bool is_named(const struct plot *plot, size_t at)
{
    size_t changes = 0;
    for (size_t bar = 0; bar < plot->count; bar++)
        changes += bar == 0 || plot->bars[bar].shift_um != plot->bars[bar - 1].shift_um;
    return changes <= NAMES_MAX && (at == 0 || plot->bars[at].shift_um != plot->bars[at - 1].shift_um);
}

static void add_bars(const struct plot *plot, const struct frame *frame, struct text *out)
{
    for (size_t at = 0; at < plot->count; at++) {
        const struct plot_bar *bar = &plot->bars[at];
        const int64_t x = place(&frame->across, bar->shift_um, LEFT, RIGHT);
        const int64_t y = place(&frame->down, bar->top_um, TOP, BOTTOM);
        const int64_t bottom_um = bar->bottom_um == LENGTH_NONE ? bar->top_um : bar->bottom_um;
        const int64_t end = place(&frame->down, bottom_um, TOP, BOTTOM);
        if (at > 0)
            add_line(out, "step", place(&frame->across, plot->bars[at - 1].shift_um, LEFT, RIGHT), y, x, y);
        add_line(out, "bar", x, y, x, end > y + 10 ? end : y + 10); /* a short one must still be seen */
        add_line(out, "tick", x - 35, y, x + 35, y);
        const bool is_right = x > (LEFT + RIGHT) / 2;
        if (is_named(plot, at))
            add_word(out, is_right ? "end" : "start", is_right ? x - 60 : x + 60, y + 110, bar->name);
    }
}

void plot_render_svg(const struct plot *plot, struct text *out)
{
    if (!plot->count)
        return;
    const struct frame frame = find_frame(plot);
    text_addf(out, "<svg viewBox=\"0 0 %d %d\" role=\"img\" aria-label=\"", WIDTH / 10, HEIGHT / 10);
    text_add_html(out, plot->title);
    text_add(out, "\">\n");
    add_axes(plot, &frame, out);
    add_bars(plot, &frame, out);
    text_add(out, "</svg>\n");
}
