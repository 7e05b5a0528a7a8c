/* SPDX-License-Identifier: MIT */
/* Texts of layouts: what is taken keeps every promise of its header, and what is not says why. */
#include "target.h"

#include "coretally/view/layout.h"

static void check_box(const struct layout *layout, const struct layout_box *box)
{
    PROMISE(box->x_um >= 0 && box->y_um >= 0 && box->width_um > 0 && box->height_um > 0 && box->line > 0);
    PROMISE(box->x_um + box->width_um <= layout->width_um && box->y_um + box->height_um <= layout->height_um);
}

static void check_layout(const struct layout *layout, struct arena *arena)
{
    const char *values[LABEL_FIELD_COUNT];
    struct text text;
    struct bytes bytes;
    struct err err = {0};
    PROMISE(layout->symbol_count <= LAYOUT_SYMBOLS_MAX && layout->line_count <= LAYOUT_LINES_MAX);
    PROMISE(layout->arrow_count <= LAYOUT_ARROWS_MAX && layout_places(layout) >= 1);
    PROMISE(layout_shows(layout, LABEL_NAME) && layout_shows(layout, LABEL_HAZARD));
    PROMISE(!layout_shows(layout, LABEL_DEPTH) || layout_shows(layout, LABEL_SCALE));
    if (layout->sheet_width_um) {
        PROMISE(layout->first_x_um + (layout->columns - 1) * layout->step_x_um + layout->width_um <=
                layout->sheet_width_um);
        PROMISE(layout->first_y_um + (layout->rows - 1) * layout->step_y_um + layout->height_um <=
                layout->sheet_height_um);
    }
    for (size_t at = 0; at < layout->symbol_count; at++)
        check_box(layout, &layout->symbols[at].box);
    for (size_t at = 0; at < layout->arrow_count; at++)
        check_box(layout, &layout->arrows[at].box);
    for (int field = 0; field < LABEL_FIELD_COUNT; field++)
        values[field] = field % 2 ? "" : "{name} \n \xc3\xb8";
    for (size_t at = 0; at < layout->line_count; at++) {
        check_box(layout, &layout->lines[at].box);
        text_init(&text, arena);
        (void)layout_line_fill(&layout->lines[at], values, &text);
        PROMISE(text_done(&text, &bytes, &err) == STATUS_OK);
        PROMISE(bytes.len == 0 || (bytes.data[0] != ' ' && bytes.data[bytes.len - 1] != ' '));
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct arena arena;
    struct layout layout;
    struct err err = {0};
    arena_init(&arena, (size_t)16 << 20);
    if (layout_parse("fuzz", (struct bytes){(const char *)data, size}, &arena, &layout, &err) == STATUS_OK)
        check_layout(&layout, &arena);
    else
        PROMISE(err.status == STATUS_INPUT && err.reason[0] && err.subject[0]);
    arena_clear(&arena);
    return 0;
}
