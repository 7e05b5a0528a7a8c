/* SPDX-License-Identifier: MIT */
/* Keys and limits of layouts, shared by what reads and what judges them. */
#ifndef CORETALLY_VIEW_LAYOUT_RULES_H
#define CORETALLY_VIEW_LAYOUT_RULES_H

#include "coretally/view/layout.h"

enum layout_key {
    LAYOUT_KEY_LABEL,
    LAYOUT_KEY_SHEET,
    LAYOUT_KEY_GRID,
    LAYOUT_KEY_FIRST,
    LAYOUT_KEY_STEP,
    LAYOUT_KEY_SYMBOL,
    LAYOUT_KEY_TEXT,
    LAYOUT_KEY_TOP,
    LAYOUT_KEY_COUNT
};

enum {
    LAYOUT_TEXT_MAX = 16384,        /* as much as a mapping may have */
    LAYOUT_GRID_MAX = 100,          /* columns or rows; labels of 10 mm on a sheet of 1 m */
    LAYOUT_SIZE_LEAST_PT = 4,       /* smaller print cannot be read without a lens; common practice, no source */
    LAYOUT_SIZE_MOST_PT = 200,      /* 70 mm: a box seen across a hold */
    LAYOUT_LABEL_LEAST_UM = 5000,   /* a cap of a vial */
    LAYOUT_LABEL_MOST_UM = 1000000, /* longer than a section's half needs */
    LAYOUT_SHEET_MOST_UM = 2000000  /* wider than any roll */
};

/* A line of text is 1.2 times as high as its letters; 1 pt = 25.4 mm / 72. Common practice of typography, no source. */
#define LAYOUT_LINE_UM_PER_PT (1.2 * 25400.0 / 72.0)

#define LAYOUT_FIELD_BIT(field) (UINT32_C(1) << (field))
/* Half a name, a depth without its end or half a warning misleads. */
#define LAYOUT_WHOLE_FIELDS                                                                                            \
    (LAYOUT_FIELD_BIT(LABEL_NAME) | LAYOUT_FIELD_BIT(LABEL_CHECK) | LAYOUT_FIELD_BIT(LABEL_DEPTH) |                    \
     LAYOUT_FIELD_BIT(LABEL_SCALE) | LAYOUT_FIELD_BIT(LABEL_HAZARD) | LAYOUT_FIELD_BIT(LABEL_INTERVAL))

/* Does it all fit, and does it show what a label must? seen: the line of each key, 0 for none. Fills what was left
 * out. */
MUST_CHECK enum status layout_check(struct layout *layout, const size_t seen[LAYOUT_KEY_COUNT], struct err *err);

#endif
