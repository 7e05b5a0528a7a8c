/* SPDX-License-Identifier: MIT */
/* What one act did, found from its records before and after, and held against what its kind may do (kind.h).
 *
 *     struct deed deed;
 *     deed_begin(&deed, state, &said);                   state: before the act; said: what its commit says
 *     TRY(deed_add(&deed, &place, older, newer, err));   for each file that differs
 *     TRY(deed_end(&deed, err));
 *     ... deed.faults: what no act of this kind does ...
 *     TRY(deed_line(&deed, &line, err));                 the line of the commit
 *
 * The same is asked of a draft before it is written and of a commit long after, so the two cannot part. Records that
 * were handed over must last as long as the deed, unless its kind is_bulk.
 */
#ifndef CORETALLY_KIND_DEED_H
#define CORETALLY_KIND_DEED_H

#include "coretally/kind/kind.h"
#include "coretally/kind/pair.h"
#include "coretally/state/state.h"

/* What happened to one record. */
struct touch {
    struct place_known place;
    const struct table *part;
    enum done done;
    size_t count;             /* of records that were treated alike: those of a new file */
    const void *older;        /* NULL: it was not there; both NULL where a kind is_bulk, and of what has no record */
    const void *newer;        /* NULL: it is gone; of several the last one */
    const void *file;         /* the whole file, as it is now; as it was where it is gone */
    char item[ITEM_TEXT_MAX]; /* of an item; "" */
};

struct fault {
    const char *path; /* "": the commit */
    const char *item;
    const char *sentence;
    bool is_line; /* what the commit says of it is another thing */
};

/* What its commit says. */
struct deed_said {
    const char *kind;
    const char *line;           /* NULL: it is still to be made */
    const char *reason;         /* NULL: none */
    const struct instant *when; /* NULL: now */
};

struct deed {
    struct state *state; /* before the act; its arena has what is worked out */
    struct deed_said said;
    const struct kind *kind;             /* NULL: there is none of the word */
    const struct kind *form;             /* of those of the word the one that fits */
    const struct contradiction *decides; /* NULL */
    const char *printed_wrong;           /* of a label or a signature; NULL: nothing */
    struct place_known printed_at;
    struct touch *touches;
    size_t count;
    size_t room;
    struct fault *faults;
    size_t fault_count;
    size_t fault_room;
    struct core_id called; /* number not 0: what the line calls the core that it is about */
    int64_t log_last_us;   /* the time of the latest row that was added; INT64_MIN: not every day was decoded */
    size_t log_rows;       /* that were added */
    char layout[60];       /* of the labels; "": none was decoded */
    char label_state[COMMIT_ID_MAX];
    bool is_list; /* sections: they were typed as a list, though it may be of one */
};

void deed_begin(struct deed *deed, struct state *before, const struct deed_said *said);

/* A file that differs: its record before and after, NULL where there is none, of the place's table (struct log_day for
 * a day of the log; ignored for evidence, where any pointer says that it is there). */
MUST_CHECK enum status deed_add(struct deed *deed, const struct place_known *place, const void *older,
                                const void *newer, struct err *err);
/* A file that is new and was not decoded: so many records. */
MUST_CHECK enum status deed_add_counted(struct deed *deed, const struct place_known *place, size_t count,
                                        struct err *err);

/* All files are there: is it, taken together, what an act of this kind does, and what the commit says? What it is not
 * becomes faults. */
MUST_CHECK enum status deed_end(struct deed *deed, struct err *err);

/* The line of the commit. NULL where the act alone knows it: what was read from a file or printed. */
MUST_CHECK enum status deed_line(const struct deed *deed, const char **out, struct err *err);

#endif
