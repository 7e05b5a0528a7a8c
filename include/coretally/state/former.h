/* SPDX-License-Identifier: MIT */
/* Names that cores had before they were given another number or letter. */
#ifndef CORETALLY_STATE_FORMER_H
#define CORETALLY_STATE_FORMER_H

#include "coretally/state/resolve.h"

enum former_what {
    FORMER_NONE,    /* the name is what it was */
    FORMER_CARRIED, /* no core has it now; name is that of the core that had it */
    FORMER_TWICE    /* a core has it now, and another one had it before: other */
};

struct former {
    enum former_what what;
    bool is_certain;           /* a label's state says which core is meant */
    char typed[NAME_TEXT_MAX]; /* "U0012A-12H" */
    char other[NAME_TEXT_MAX]; /* "U0012A-13H": what had the name, as it is called now */
    char hole[HOLE_TEXT_MAX];  /* of FORMER_TWICE: its hole, */
    struct core_id id;         /* what it is called now, */
    struct renaming renaming;  /* and what took the name from it */
};

/* The name of a core, or of what lies in one, as it is at the state. label_state: of a label, on which
 * the name was right; NULL or not in this history: the core that has the name now, else the one that had it last. set:
 * the renamings of the hole where they are at hand, else NULL. */
MUST_CHECK enum status former_carry(struct state *state, const struct renaming_set *set, const char *label_state,
                                    struct name *name, struct former *out, struct err *err);

/* "U0012A-12H was amended and is now U0012A-13H", once for a name; an act refuses a name that its core no longer has,
 * and asks about one that a join took from a core. */
MUST_CHECK enum status former_say(struct state *state, const char *typed, const struct former *former, struct err *err);

/* FORMER_TWICE, and an act is typed: STATUS_RULE with the question where a join took the name from the other core, and
 * no label shows its new one. former_join.c */
MUST_CHECK enum status former_ask(struct state *state, const char *typed, const struct former *former, struct err *err);

/* For names that are checked against the registry as they are: STATUS_UNKNOWN where no core has the name now and one
 * had it before. */
MUST_CHECK enum status former_refuse(struct state *state, const char *typed, const struct name *name, struct err *err);

/* A core as it is typed anew against the one that had its name last and has another now (out). Same: every reading that
 * is typed is recorded under that other name. */
enum core_former { CORE_FORMER_NONE, CORE_FORMER_SAME, CORE_FORMER_OTHER };
MUST_CHECK enum status core_former_find(struct state *state, const char *hole, const struct core *typed,
                                        struct core *out, enum core_former *found, struct err *err);

#endif
