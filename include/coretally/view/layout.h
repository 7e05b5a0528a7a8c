/* SPDX-License-Identifier: MIT */
/* Layouts: what stands where on a label, and where labels stand on a sheet. A layout is a small text that users may
 * change; the lines below and the texts in layout_texts.c show how one is written.
 *
 *     label = 60 x 30                              width x height; bare lengths are mm, 1in and 2cm are taken too
 *     sheet = 210 x 297                            left out: each label is a page
 *     grid = 3 x 8                                 columns x rows
 *     first = 0 x 4.5                              top left corner of the first label; left out: 0 x 0
 *     step = 60 x 30                               from label to label; left out: the size of a label
 *     symbol = qr | 2 x 2 | 22                     qr or matrix; top left corner; width, quiet zone included
 *     text = {name} | 26 x 3 x 42 | 9 bold         place and width, one line, shrunk to fit; points
 *     text = {title} | 26 x 20 x 42 x 8 | 6        with a height: wrapped, then shrunk to fit; cut, right, centre
 *     top = 60 x 4 | 8 | up                        an arrow to the top of a section: corner, side of its square, way
 *
 * A layout that could mislead is refused: each must show {name} and {hazard}, a {depth} only together with its {scale};
 * nothing may overlap, nothing may be outside of the label, and what identifies or warns is never cut.
 */
#ifndef CORETALLY_VIEW_LAYOUT_H
#define CORETALLY_VIEW_LAYOUT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "coretally/base/arena.h"
#include "coretally/base/err.h"
#include "coretally/base/text.h"

/* What may stand in braces: id, word, what it is. */
#define LABEL_FIELD_LIST(X)                                                                                            \
    X(NAME, "name", "the whole name, as printed")                                                                      \
    X(CHECK, "check", "the check character of the name")                                                               \
    X(DEPTH, "depth", "the depth in metres, or that it is not known")                                                  \
    X(SCALE, "scale", "the scale of the depth")                                                                        \
    X(WHAT, "what", "core, section, sample or bag")                                                                    \
    X(HOLE, "hole", "the hole")                                                                                        \
    X(EXPEDITION, "expedition", "the expedition")                                                                      \
    X(TITLE, "title", "the title of the expedition")                                                                   \
    X(TAKEN, "taken", "when it came on deck or was taken")                                                             \
    X(HAZARD, "hazard", "what is dangerous about it; a white text on a black bar")                                     \
    X(COPY, "copy", "the number of the copy; empty for the first")                                                     \
    X(PRINTED, "printed", "when the label was printed")                                                                \
    X(STATE, "state", "the state of the registry that the depth was worked out from")                                  \
    X(INTERVAL, "interval", "the interval in its section")                                                             \
    X(HALF, "half", "working or archive half")                                                                         \
    X(PURPOSE, "purpose", "what a sample is for")                                                                      \
    X(REQUESTER, "requester", "who asked for a sample")

enum label_field {
#define LABEL_FIELD_ID(id, word, meaning) LABEL_##id,
    LABEL_FIELD_LIST(LABEL_FIELD_ID)
#undef LABEL_FIELD_ID
        LABEL_FIELD_COUNT
};

extern const char *const label_field_words[LABEL_FIELD_COUNT];
extern const char *const label_field_meanings[LABEL_FIELD_COUNT];

/* A rectangle on the label, from its top left corner. */
struct layout_box {
    int64_t x_um;
    int64_t y_um;
    int64_t width_um;
    int64_t height_um;
    size_t line; /* of the text, for refusals */
};

enum symbol_kind { SYMBOL_QR, SYMBOL_MATRIX };

struct layout_symbol {
    struct layout_box box;
    enum symbol_kind kind;
};

enum line_side { LINE_LEFT, LINE_CENTRE, LINE_RIGHT };

struct layout_line {
    struct layout_box box; /* of a single line the height is worked out from its size */
    const char *pattern;   /* "{name} {check}" */
    uint32_t fields;       /* bit 1 << LABEL_NAME and so on */
    double size_pt;
    enum line_side side;
    bool is_bold;
    bool is_wrapped; /* a height was given */
    bool may_be_cut;
};

enum arrow_way { ARROW_UP, ARROW_DOWN, ARROW_LEFT, ARROW_RIGHT };

struct layout_arrow {
    struct layout_box box;
    enum arrow_way way;
};

enum { LAYOUT_SYMBOLS_MAX = 4, LAYOUT_LINES_MAX = 40, LAYOUT_ARROWS_MAX = 4 };

struct layout {
    const char *name;
    int64_t width_um;
    int64_t height_um;
    int64_t sheet_width_um; /* 0: a label is a page of its own */
    int64_t sheet_height_um;
    int32_t columns; /* 1 without a sheet */
    int32_t rows;
    int64_t first_x_um;
    int64_t first_y_um;
    int64_t step_x_um;
    int64_t step_y_um;
    struct layout_symbol symbols[LAYOUT_SYMBOLS_MAX];
    size_t symbol_count;
    struct layout_line lines[LAYOUT_LINES_MAX];
    size_t line_count;
    struct layout_arrow arrows[LAYOUT_ARROWS_MAX];
    size_t arrow_count;
};

/* name says whose text it is, for refusals and for the layout's own name. STATUS_INPUT with the number of the line,
 * the value and its limit. */
MUST_CHECK enum status layout_parse(const char *name, struct bytes text, struct arena *arena, struct layout *out,
                                    struct err *err);

/* Labels on a page: 1 without a sheet. */
size_t layout_places(const struct layout *layout);

/* Does any of its texts show this field? */
bool layout_shows(const struct layout *layout, enum label_field field);

/* The text of a line with its fields filled in, blanks put together, line ends made blanks. False, and nothing is
 * added, when every one of its fields is empty (NULL or ""). */
bool layout_line_fill(const struct layout_line *line, const char *const values[LABEL_FIELD_COUNT], struct text *out);

/* Ours: to print with, and to copy and change. A NULL name ends the list. */
struct layout_text {
    const char *name;
    const char *meaning;
    const char *text;
};
extern const struct layout_text layout_texts[];

/* The one with this name; NULL when there is none. */
const struct layout_text *layout_text_find(const char *name);

#endif
