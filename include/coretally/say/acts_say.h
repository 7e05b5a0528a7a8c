/* SPDX-License-Identifier: MIT */
/* Acts as rows, and how many each station did: for who lists them, and for who says what a join brings or a push takes
 * along.
 *
 *     struct acts acts;
 *     acts_init(run, &acts);
 *     TRY(acts_add(&acts, store, &commits, NULL, err));        commits: store_commits, store_range, ...
 *     TRY(acts_print(run, &acts, err));                        rows as --json, --csv or for people
 *     TRY(acts_count_text(run, &acts, &bytes, err));           "3 acts: core table 2, sample table 1"
 */
#ifndef CORETALLY_SAY_ACTS_SAY_H
#define CORETALLY_SAY_ACTS_SAY_H

#include "coretally/run/command.h"
#include "coretally/store/walk.h"

/* Which of the commits; what is NULL chooses nothing. */
struct acts_chosen {
    const char *station;         /* this one alone, in large or small letters */
    const char *by;              /* part of a name, in large or small letters */
    const struct lineage *after; /* what is not among these came by a join, and is marked so for people */
    const char *path;            /* what changed something there: a file, or a folder with all that is in it */
    struct state *signed_in;     /* who signed an act is told, as this state has it */
};

#define NO_STATION "(no station)"

struct station_acts {
    const char *name; /* "": of acts that name no station, by plain git */
    size_t count;     /* of its acts that were chosen */
};

/* A join is no act: it is counted, and is no row. */
struct acts {
    struct sheet rows;
    bool is_for_people;
    size_t count;
    size_t join_count;
    size_t brought_count;          /* that came by a join */
    struct station_acts *stations; /* also those none of whose acts was chosen */
    size_t station_count;
    size_t station_room;
};

void acts_init(const struct run *run, struct acts *out);

/* In the order of the commits. */
MUST_CHECK enum status acts_add(struct acts *acts, struct store *store, const struct commits *commits,
                                const struct acts_chosen *chosen, struct err *err);

MUST_CHECK enum status acts_print(struct run *run, const struct acts *acts, struct err *err);

/* "3 acts: core table 2, sample table 1", the busiest station first; "no act" where there is none. */
MUST_CHECK enum status acts_count_text(const struct run *run, const struct acts *acts, struct bytes *out,
                                       struct err *err);

#endif
