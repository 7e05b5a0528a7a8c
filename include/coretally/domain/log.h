/* SPDX-License-Identifier: MIT */
/* The pump log: rows of time, depths and what the pumps did, as read, and the
 * one walk over them that finds what is wrong and says what a row contributes.
 * Import uses the walk to refuse, the lag uses it to add up; so both agree.
 *
 *     struct log_walk walk;
 *     log_walk_init(&walk, channels, count, gap_us, bridge);
 *     for each row as read:
 *         const unsigned faults = log_walk_row(&walk, cells, &step);
 *         faults & ~bridge: refuse;  step.keep: the row counts, step tells what flowed since the last one that counted
 */
#ifndef CORETALLY_DOMAIN_LOG_H
#define CORETALLY_DOMAIN_LOG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "coretally/base/quantity.h"
#include "coretally/domain/pump.h"

/* What a column holds; cells are whole numbers so that they are stored exactly:
 *   BIT, HOLE   um below rig floor
 *   STROKES     counter of a pump, thousandths of a stroke
 *   RATE        strokes a minute of a pump, thousandths
 *   FLOW        into the string, cm3 a minute       (from a flow meter: no pump record needed)
 *   BOOSTER     into the riser at the inlet, cm3 a minute
 */
enum log_kind { LOG_BIT, LOG_HOLE, LOG_STROKES, LOG_RATE, LOG_FLOW, LOG_BOOSTER, LOG_KIND_COUNT };
extern const char *const log_kind_words[]; /* "bit", "hole", "strokes", "rate", "flow", "booster", NULL */

struct log_channel {
    enum log_kind kind;
    char pump[PUMP_NAME_MAX]; /* of STROKES and RATE; "" otherwise */
};

enum { LOG_CHANNELS_MAX = 16 };

bool log_is_pump(enum log_kind kind); /* STROKES, RATE: does a column of this kind name a pump? */
bool log_channel_is_same(const struct log_channel *a, const struct log_channel *b);
bool log_channels_are_same(const struct log_channel *a, size_t a_count, const struct log_channel *b, size_t b_count);

/* A row as read: cells[0] is the time, UTC microseconds; cells[1 + n] belongs to channel n, LENGTH_NONE where the log
 * has nothing. */

/* The one list of what can be wrong with a row: id, word to bridge it by, what it is, how it is bridged. */
#define LOG_FAULT_LIST(X)                                                                                              \
    X(GAP, "gap", "rows are missing (for a log with a longer step: --gap TIME)",                                       \
      "counters tell what was pumped, rates and depths are taken as a straight line")                                  \
    X(REPEAT, "repeat", "the same time occurs twice", "the first row counts")                                          \
    X(BACKWARD, "backward", "the clock runs back",                                                                     \
      "rows are left out until it has caught up; a ship's clock set back is better taken in two files, with hole "     \
      "amend --zone between")                                                                                          \
    X(RESET, "reset", "a stroke counter starts anew", "it has counted from 0 since")                                   \
    X(ROLLOVER, "rollover", "a stroke counter rolled over its last digit", "it has counted on past 999...")            \
    X(NEGATIVE, "negative", "a flow, rate or depth below 0", "a flow or rate counts as 0, a depth as missing")         \
    X(BIT_BELOW, "bit-below", "the bit lies below the bottom of the hole", "the bit counts as on bottom")              \
    X(HOLE_BACK, "hole-back", "the hole gets shallower", "the deepest depth so far counts")                            \
    X(MISSING, "missing", "a cell is empty", "the last value holds; a counter makes up for it with its next reading")  \
    X(JUMP, "jump", "a counter or the hole goes on faster than any pump or bit",                                       \
      "one such reading counts as missing; if the next goes on from it, or a counter comes back after one low "        \
      "reading, it counts")

enum log_fault {
#define LOG_FAULT_ID(id, word, meaning, bridge) LOG_FAULT_##id,
    LOG_FAULT_LIST(LOG_FAULT_ID)
#undef LOG_FAULT_ID
        LOG_FAULT_COUNT
};
#define LOG_FAULT_BIT(id) (1U << LOG_FAULT_##id)

const char *log_fault_word(enum log_fault fault);
const char *log_fault_meaning(enum log_fault fault);
const char *log_fault_bridge(enum log_fault fault);

/* A bit this little below the hole is rounding, 5 cm; a counter at 90 % of its digits that falls below 10 % rolled
 * over. Common practice, no source. */
#define LOG_BIT_SLACK_UM ((int64_t)50000)

/* No pump makes more strokes, no bit more hole: beyond so much a minute, and so much at once for the rounding of short
 * steps, it is a slip. Common practice, no source (rates of penetration above 500 m/h do stand in real logs). */
#define LOG_JUMP_STROKES_MIN 400.0
#define LOG_JUMP_STROKES 20.0
#define LOG_JUMP_HOLE_UM_MIN 30e6
#define LOG_JUMP_HOLE_UM 10e6

/* Rows further apart than this are a gap unless the import says otherwise. Common practice, no source. */
#define LOG_GAP_US ((int64_t)60 * 1000000)

struct log_walk {
    const struct log_channel *channels;
    size_t count;
    int64_t gap_us;
    unsigned bridge; /* mask of LOG_FAULT_BIT: what the importer said to bridge */
    bool started;
    int64_t time_us; /* of the last row that counted */
    int64_t bit_um;
    int64_t hole_um;
    int64_t last[LOG_CHANNELS_MAX];      /* last value of each channel; LENGTH_NONE: none yet */
    int64_t read_us[LOG_CHANNELS_MAX];   /* when it had that value */
    int64_t jumped[LOG_CHANNELS_MAX];    /* the value that it jumped to in the row before; LENGTH_NONE: it did not */
    int64_t fell_from[LOG_CHANNELS_MAX]; /* a counter: its value before it started anew; LENGTH_NONE: it did not */
    int64_t fell_us[LOG_CHANNELS_MAX];
};

/* What a row adds since the last one that counted. */
struct log_step {
    bool keep; /* false: the row is left out (repeat, backward, no depth known yet) */
    int64_t time_us;
    int64_t bit_um;
    int64_t hole_um;
    double added[LOG_CHANNELS_MAX];     /* STROKES, RATE: strokes; FLOW, BOOSTER: m3; depths: 0 */
    int64_t since_us[LOG_CHANNELS_MAX]; /* over which time: since the last row, or since a counter was read last */
    int channels[LOG_FAULT_COUNT];      /* of each fault found: where it was met first; -1: the row as a whole */
    int channel; /* of the first fault that the walk does not bridge, or of the first; -1 as above */
};

void log_walk_init(struct log_walk *walk, const struct log_channel *channels, size_t count, int64_t gap_us,
                   unsigned bridge);

/* What one walk knows, into one over other columns: time, depths, and the last value of each column that both have. */
void log_walk_carry(const struct log_walk *from, struct log_walk *to);

/* Take the next row; the faults found as a mask. A fault is always bridged in the step, whether the mask of the walk
 * allows it or not: refusing is the caller's. Rates and flows add the mean of both rows times the time between them. A
 * log without a BIT channel takes the bit as on bottom. */
unsigned log_walk_row(struct log_walk *walk, const int64_t *cells, struct log_step *out);

#endif
