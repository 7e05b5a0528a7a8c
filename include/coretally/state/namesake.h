/* SPDX-License-Identifier: MIT */
/* A number that is given out, or a sample's key, may have been given to two things by two registries that were joined
 * since: they were namesakes. Who was first has the name, the other one has another (domain/minted.h). A label says
 * which is meant by its state, in which the name meant one thing; typed by hand the name means what has it today, and
 * the other one is told.
 */
#ifndef CORETALLY_STATE_NAMESAKE_H
#define CORETALLY_STATE_NAMESAKE_H

#include "coretally/domain/minted.h"
#include "coretally/state/bag.h"
#include "coretally/state/numbered.h"

enum namesake_what {
    NAMESAKE_NONE,    /* the name means what has it, and nothing else */
    NAMESAKE_CARRIED, /* it means a thing that has another name now */
    NAMESAKE_TWICE    /* it means what has it; another thing had it, too */
};

struct namesake {
    enum namesake_what what;
    bool is_certain;                /* a label's state says what is meant */
    int32_t number;                 /* that which had the name and has it no more, as it is called now */
    const struct sample *sample;    /* the same of a sample */
    char commit[MINTED_COMMIT_MAX]; /* that recorded it under the name; "": it lost the name by an amendment */
};

/* The state of a label, kept open for further labels of it. Zero before the first; closed at the end. */
struct then {
    struct store *store;
    struct state state;
    char asked[COMMIT_ID_MAX];
    bool is_known; /* it is in this registry */
};
MUST_CHECK enum status then_stand(struct state *state, const char *label_state, struct then *then, struct err *err);
void then_close(struct then *then);

/* --- what is called by its number --- */

/* Which numbers: bags of a kind; records that are numbered within their hole, where form says which; else corrections.
 */
struct minted_group {
    const char *hole;
    enum bag_kind kind;               /* BAG_NONE: no bags */
    const struct numbered_form *form; /* NULL: corrections */
};

/* What a number means. label_state: that of a label on which it stands; NULL: it was typed. then may be NULL, too. */
MUST_CHECK enum status namesake_number(struct state *state, const struct minted_group *group, const char *label_state,
                                       struct then *then, int32_t number, struct namesake *out, struct err *err);

/* --- samples --- */

/* The sample of a key among those of the target's core; *sample NULL: none is recorded. */
MUST_CHECK enum status namesake_sample(struct state *state, const struct target *target, const char *label_state,
                                       struct then *then, const char *key, const struct sample **sample,
                                       struct namesake *out, struct err *err);

/* --- told --- */

/* Bags of a name, and the number under which they stand now. */
MUST_CHECK enum status namesake_carry_bag(struct state *state, const char *label_state, const char *typed,
                                          struct name *name, struct err *err);
/* The sample of a name; NULL: none is recorded. The target has the samples of its core, and the name. */
MUST_CHECK enum status namesake_find_sample(struct state *state, const char *typed, const struct target *target,
                                            const struct sample **out, struct namesake *namesake, struct err *err);
/* A number that a person typed after its hole, as it is now. what: "lag check". */
MUST_CHECK enum status namesake_carry_number(struct state *state, const struct minted_group *group, const char *what,
                                             int32_t *number, struct err *err);

/* A note of a list with "was BAG3" or "was 4W,10-12" before it, where a join gave the thing its name; note may be NULL.
 */
MUST_CHECK enum status namesake_note(struct state *state, const char *was, const char *word, const char *note,
                                     const char **out, struct err *err);

/* May a label with this key mean another sample than the one that has it? Where no join gave another key to one of this
 * interval, or to one taken from such, it does not. What had the key between two joins need not have it now, and no
 * former key tells so. */
bool sample_may_differ(const struct sample_set *set, const char *key);

#endif
