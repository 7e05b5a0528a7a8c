/* SPDX-License-Identifier: MIT */
/* What one cell of a sheet holds: a value with its kind. Whoever fills a sheet says what a thing is; how it is printed
 * for people, in JSON or in CSV is the sheet's alone (view/sheet.h).
 *
 *     kind      people                           JSON, CSV
 *     nothing   -                                null, empty
 *     text      as it is                         string
 *     commit    its first ten digits             string, whole
 *     length    in the unit of its column        number
 *     number    digits                           number
 *     amount    with its decimals                number; what is not finite as nothing
 *     real      shortest digits that read back   number
 *     decimal   with its decimals                number
 *     micro     as few decimals as are exact     number
 *     undefined n/a                              null, empty
 *     instant   RFC 3339, its own offset         string
 */
#ifndef CORETALLY_VIEW_CELL_H
#define CORETALLY_VIEW_CELL_H

#include <stdint.h>

#include "coretally/base/clock.h"
#include "coretally/base/quantity.h"
#include "coretally/base/text.h"

enum cell_kind {
    CELL_NOTHING,
    CELL_TEXT,
    CELL_COMMIT,
    CELL_LENGTH,
    CELL_NUMBER,
    CELL_AMOUNT,
    CELL_REAL,
    CELL_DECIMAL,
    CELL_MICRO,
    CELL_UNDEFINED,
    CELL_INSTANT
};

/* Who sees a '+' before a length: people, in columns of what moved or of steps. */
enum cell_sign { SIGN_OF_LESS, SIGN_OF_MORE, SIGN_OF_ALL };

struct cell {
    uint8_t kind;     /* enum cell_kind */
    uint8_t sign;     /* enum cell_sign; of lengths */
    uint8_t unit;     /* enum length_unit; of lengths, LENGTH_UNIT_COUNT: that of the column */
    uint8_t decimals; /* of lengths, amounts and decimals */
    int32_t more;     /* of an instant its offset in minutes; of a text so many bytes at most, 0: all */
    union {
        const char *text;
        int64_t whole; /* um, number, microseconds, or number of 10^-decimals */
        double real;
    };
};

struct cell cell_nothing(void);

/* NULL and "" are nothing. The text must last until the sheet has taken the row. */
struct cell cell_text(const char *text);
/* At most so many bytes of it. */
struct cell cell_cut(const char *text, int bytes);
/* A commit by its first ten digits; and one that programs see whole. */
struct cell cell_commit(const char *id);
struct cell cell_commit_whole(const char *id);

/* LENGTH_NONE is nothing. The unit is that of the column (a suffix of LENGTH_UNIT_LIST), so that number and header
 * cannot disagree; cell_length_in is for columns without. */
struct cell cell_length(int64_t um, int decimals);
struct cell cell_length_in(int64_t um, enum length_unit unit, int decimals);
/* How far something moved: people see the sign of what is more than 0. */
struct cell cell_shift(int64_t um, int decimals);
/* A step that is added: people see its sign always. */
struct cell cell_step(int64_t um, int decimals);

/* INT_NONE is nothing. */
struct cell cell_number(int32_t number);
struct cell cell_count(size_t count);

/* NAN is nothing. */
struct cell cell_amount(double amount, int decimals);
struct cell cell_real(double amount);
/* A number of millionths. LENGTH_NONE is nothing. */
struct cell cell_micro(int64_t micro);
/* Recovered of advance in per cent with one decimal; undefined without an advance (domain/recovery.h). */
struct cell cell_recovery(int64_t recovered_um, int64_t advance_um);

/* One that is not known is nothing. */
struct cell cell_instant(struct instant instant);

/* Does it stand unquoted in JSON? Nothing and what is undefined may stand in any column. */
bool cell_is_number(const struct cell *cell);
bool cell_is_nothing(const struct cell *cell);

/* As people read it, without regard to flaws (base/shown.h); nothing is "". unit: of the column, may be NULL where the
 * cell is no length of its column. */
void cell_add_people(const struct cell *cell, const char *unit, struct text *out);
/* As programs read it: digits, or a text without its quotes. */
void cell_add_plain(const struct cell *cell, const char *unit, struct text *out);

#endif
