/* SPDX-License-Identifier: MIT */
/* Mud pumps: what one stroke delivers. A pump is known by its name ("1", "2",
 * "B"); further records of the same name hold from their own instant on, so a
 * changed liner or efficiency leaves the strokes before it alone. */
#ifndef CORETALLY_DOMAIN_PUMP_H
#define CORETALLY_DOMAIN_PUMP_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "coretally/base/clock.h"

enum pump_kind { PUMP_NONE, PUMP_TRIPLEX, PUMP_DUPLEX, PUMP_MEASURED };
extern const char *const pump_words[];

/* Where its mud goes: down the string, or into the riser at the booster inlet. */
enum pump_line { LINE_NONE, LINE_STRING, LINE_BOOSTER };
extern const char *const line_words[];

enum { PUMP_NAME_MAX = 16 };
bool pump_is_name(const char *name); /* 1 to PUMP_NAME_MAX - 1 letters and digits, ASCII */

struct pump {
    int32_t number;   /* counts the records of the hole */
    const char *name; /* letters and digits, at most PUMP_NAME_MAX - 1 */
    struct instant from;
    enum pump_kind kind;
    enum pump_line line;   /* LINE_NONE: the string */
    int64_t bore_um;       /* triplex, duplex: liner (cylinder) inside diameter */
    int64_t rod_um;        /* duplex: rod diameter */
    int64_t stroke_um;     /* length of a stroke */
    double efficiency_pct; /* NAN: 100 */
    double output_m3;      /* measured: delivered a stroke, efficiency inside */
    double tolerance_pct;  /* tolerance of the output, to either side; NAN: not stated */
    const char *remark;
    const char *was; /* minted.h: its number before registries were joined; NULL */
    const char *withdrawn;
    int32_t version;
};

struct pump_set {
    const char *hole;
    struct pump *pumps; /* by name, then by from */
    size_t pump_count;
};

/* No pump delivers more a stroke; beyond the second it is doubted: a triplex of 9 x 14 in gives 0.044 m3, and 0.102
 * fits barrels. */
#define PUMP_OUTPUT_MOST_M3 0.2
#define PUMP_OUTPUT_PLAIN_M3 0.05

/* m3 a stroke. Triplex, single acting: 3 pi/4 D^2 S eff. Duplex, double acting: pi/2 (2 D^2 - d^2) S eff. (Exact
 * geometry; handbook constants 0.000243 and 0.000162 bbl run 0.06 % high.) */
double pump_output(const struct pump *pump);

/* The record of this name in force at an instant: the latest from not after it, withdrawn ones passed over; NULL when
 * there is none. */
const struct pump *pump_at(const struct pump *pumps, size_t count, const char *name, int64_t utc_us);

/* STATUS_INPUT for a name that is none, STATUS_RULE with the sentence: a dimension that its kind needs is missing, or
 * no pump is built like that. */
MUST_CHECK enum status pump_check(const struct pump *pump, struct err *err);

#endif
