/* SPDX-License-Identifier: MIT */
/* One label: its symbols, texts and arrows, or, of a proof, the word across it in place of the symbols. */
#include "draw_canvas.h"

#include <math.h>

/* The word as the diagonal of the label, in outline, so that what is below it can still be read. */
static void proof_draw(const struct canvas *canvas, const struct layout *layout)
{
    const double width = (double)layout->width_um * PT_PER_UM;
    const double height = (double)layout->height_um * PT_PER_UM;
    const double tall = fmin(height, width) * 0.55;
    cairo_save(canvas->cairo);
    cairo_translate(canvas->cairo, width / 2, height / 2);
    cairo_rotate(canvas->cairo, -atan2(height, width) / 2);
    word_draw(canvas, "PROOF", (struct place){-width * 0.42, -tall / 2, width * 0.84, tall}, true);
    cairo_restore(canvas->cairo);
}

static void empty_draw(const struct canvas *canvas, const struct layout_box *box)
{
    const struct place place = box_place(box);
    canvas_ink(canvas);
    cairo_set_line_width(canvas->cairo, 0.5);
    cairo_rectangle(canvas->cairo, place.x + 1, place.y + 1, place.width - 2, place.height - 2);
    cairo_stroke(canvas->cairo);
}

static enum status marks_draw(const struct canvas *canvas, const struct label_job *job, const struct label_face *face,
                              struct err *err)
{
    const struct layout *layout = job->layout;
    for (size_t at = 0; at < layout->symbol_count; at++)
        if (job->is_proof)
            empty_draw(canvas, &layout->symbols[at].box);
        else if (face->symbol && *face->symbol)
            TRY(symbol_draw(canvas, &layout->symbols[at], face->symbol, err));
    for (size_t at = 0; at < layout->line_count; at++)
        TRY(line_draw(canvas, &layout->lines[at], face, err));
    for (size_t at = 0; at < layout->arrow_count && face->has_top; at++)
        arrow_draw(canvas, &layout->arrows[at]);
    if (job->is_proof)
        proof_draw(canvas, layout);
    return STATUS_OK;
}

enum status label_draw(const struct canvas *canvas, const struct label_job *job, const struct label_face *face,
                       double x, double y, struct err *err)
{
    cairo_save(canvas->cairo);
    cairo_translate(canvas->cairo, x, y);
    const enum status status = marks_draw(canvas, job, face, err);
    cairo_restore(canvas->cairo);
    return status;
}
