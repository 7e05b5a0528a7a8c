/* SPDX-License-Identifier: MIT */
/* Does a layout fit its label, and the labels their sheet? And does it show what a label must show? */
#include <stdarg.h>
#include <stdio.h>

#include "coretally/base/quantity.h"
#include "layout_rules.h"

#define MM(um) length_text((um), UNIT_MM, 1).text

static enum status refuse(const struct layout *layout, size_t line, struct err *err, const char *format, ...)
    PRINTF_LIKE(4, 5);

static enum status refuse(const struct layout *layout, size_t line, struct err *err, const char *format, ...)
{
    char where[ERR_SUBJECT_MAX];
    char reason[ERR_REASON_MAX];
    va_list args;
    va_start(args, format);
    (void)vsnprintf(reason, sizeof reason, format, args);
    va_end(args);
    (void)snprintf(where, sizeof where, line ? "%.150s, line %zu" : "%.150s", layout->name, line);
    return err_set(err, STATUS_INPUT, where, "%s", reason);
}

static enum status check_label(const struct layout *layout, size_t line, struct err *err)
{
    const int64_t sides[] = {layout->width_um, layout->height_um};
    if (!line) {
        (void)refuse(layout, 0, err, "it does not say how large a label is");
        return err_hint(err, "write a line like this: label = 60 x 30");
    }
    for (size_t at = 0; at < 2; at++)
        if (sides[at] < LAYOUT_LABEL_LEAST_UM || sides[at] > LAYOUT_LABEL_MOST_UM)
            return refuse(layout, line, err, "a label of %s mm: it is %s to %s mm wide and high", MM(sides[at]),
                          MM(LAYOUT_LABEL_LEAST_UM), MM(LAYOUT_LABEL_MOST_UM));
    return STATUS_OK;
}

/* One way along the sheet: across or down. */
struct along {
    const char *what;
    const char *side;
    int32_t count;
    int64_t first_um;
    int64_t step_um;
    int64_t label_um;
    int64_t sheet_um;
};

static enum status check_along(const struct layout *layout, const struct along *it, const size_t *seen, struct err *err)
{
    if (it->count > 1 && it->step_um < it->label_um)
        return refuse(layout, seen[LAYOUT_KEY_STEP], err, "labels of %s mm would overlap with a step of %s mm",
                      MM(it->label_um), MM(it->step_um));
    const int64_t end_um = it->first_um + (it->count - 1) * it->step_um + it->label_um;
    if (end_um > it->sheet_um)
        return refuse(layout, seen[LAYOUT_KEY_GRID], err,
                      "%s %d of the labels would end at %s mm, the sheet is %s mm %s", it->what, (int)it->count,
                      MM(end_um), MM(it->sheet_um), it->side);
    return STATUS_OK;
}

static enum status check_sheet(struct layout *layout, const size_t *seen, struct err *err)
{
    if (!seen[LAYOUT_KEY_SHEET]) {
        for (int key = LAYOUT_KEY_GRID; key <= LAYOUT_KEY_STEP; key++)
            if (seen[key]) {
                (void)refuse(layout, seen[key], err,
                             "places on a sheet, but there is no line that says how large it is");
                return err_hint(err, "write a line like this: sheet = 210 x 297");
            }
        return STATUS_OK;
    }
    if (!seen[LAYOUT_KEY_GRID]) {
        (void)refuse(layout, seen[LAYOUT_KEY_SHEET], err, "a sheet, but no line that says how many labels are on it");
        return err_hint(err, "write a line like this: grid = 3 x 8");
    }
    if (!seen[LAYOUT_KEY_STEP]) {
        layout->step_x_um = layout->width_um;
        layout->step_y_um = layout->height_um;
    }
    const struct along across = {"column",          "wide",           layout->columns,       layout->first_x_um,
                                 layout->step_x_um, layout->width_um, layout->sheet_width_um};
    const struct along down = {
        "row", "high", layout->rows, layout->first_y_um, layout->step_y_um, layout->height_um, layout->sheet_height_um};
    TRY(check_along(layout, &across, seen, err));
    return check_along(layout, &down, seen, err);
}

static enum status check_inside(const struct layout *layout, const struct layout_box *box, struct err *err)
{
    const int64_t right_um = box->x_um + box->width_um;
    const int64_t bottom_um = box->y_um + box->height_um;
    if (right_um > layout->width_um)
        return refuse(layout, box->line, err, "it would end at %s mm, the label is %s mm wide", MM(right_um),
                      MM(layout->width_um));
    if (bottom_um > layout->height_um)
        return refuse(layout, box->line, err, "it would end at %s mm, the label is %s mm high", MM(bottom_um),
                      MM(layout->height_um));
    return STATUS_OK;
}

enum { BOXES_MAX = LAYOUT_SYMBOLS_MAX + LAYOUT_LINES_MAX + LAYOUT_ARROWS_MAX };

static bool is_apart(const struct layout_box *a, const struct layout_box *b)
{
    return a->x_um + a->width_um <= b->x_um || b->x_um + b->width_um <= a->x_um || a->y_um + a->height_um <= b->y_um ||
           b->y_um + b->height_um <= a->y_um;
}

/* Inside the label, and nothing over anything: a bar would hide a name, a text would spoil a symbol. */
static enum status check_boxes(const struct layout *layout, struct err *err)
{
    const struct layout_box *boxes[BOXES_MAX];
    size_t count = 0;
    for (size_t at = 0; at < layout->symbol_count; at++)
        boxes[count++] = &layout->symbols[at].box;
    for (size_t at = 0; at < layout->line_count; at++)
        boxes[count++] = &layout->lines[at].box;
    for (size_t at = 0; at < layout->arrow_count; at++)
        boxes[count++] = &layout->arrows[at].box;
    for (size_t at = 0; at < count; at++) {
        TRY(check_inside(layout, boxes[at], err));
        for (size_t other = 0; other < at; other++)
            if (!is_apart(boxes[at], boxes[other])) {
                (void)refuse(layout, boxes[at]->line, err, "it overlaps what line %zu places", boxes[other]->line);
                return err_hint(err, "a text without a height takes 1.2 times its size: %s mm at 10 points",
                                MM((int64_t)(10 * LAYOUT_LINE_UM_PER_PT)));
            }
    }
    return STATUS_OK;
}

static enum status check_shown(const struct layout *layout, struct err *err)
{
    if (!layout_shows(layout, LABEL_NAME))
        return refuse(layout, 0, err, "no text shows {name}; every label shows its name");
    if (layout_shows(layout, LABEL_DEPTH) && !layout_shows(layout, LABEL_SCALE))
        return refuse(layout, 0, err, "a text shows {depth}, but none its {scale}; a depth without its scale misleads");
    if (!layout_shows(layout, LABEL_HAZARD)) {
        (void)refuse(layout, 0, err, "no text shows {hazard}; whoever handles the thing must be warned");
        return err_hint(err, "write a line like this: text = {hazard} | 26 x 30 x 42 | 9 bold");
    }
    return STATUS_OK;
}

enum status layout_check(struct layout *layout, const size_t seen[LAYOUT_KEY_COUNT], struct err *err)
{
    TRY(check_label(layout, seen[LAYOUT_KEY_LABEL], err));
    TRY(check_sheet(layout, seen, err));
    TRY(check_boxes(layout, err));
    return check_shown(layout, err);
}

bool layout_shows(const struct layout *layout, enum label_field field)
{
    for (size_t at = 0; at < layout->line_count; at++)
        if (layout->lines[at].fields & UINT32_C(1) << field)
            return true;
    return false;
}
