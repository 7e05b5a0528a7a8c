/* SPDX-License-Identifier: MIT */
/* Names of cores under join: which core of one side is which of the other, what it is called in the join, and the list
 * of renamings that tells it. Inside the join room only. */
#ifndef CORETALLY_JOIN_NAMES_H
#define CORETALLY_JOIN_NAMES_H

#include "joining.h"

/* Number and letter are two fields. */
enum name_part { NAME_NUMBER, NAME_TYPE, NAME_PARTS };

/* One core that a side touched or renamed. */
struct named_core {
    struct core_id ids[VERSION_COUNT]; /* number 0: not there */
    int32_t born;                      /* new: the number that people gave it; 0: both knew it */
    struct core_id id;                 /* in the join */
    const char *was;                   /* its former names in the join */
    bool is_contested[NAME_PARTS];     /* both sides gave it another one, or that is open already */
};

struct named_cores {
    const char *hole;
    struct renaming_set sets[VERSION_COUNT];
    struct renaming_set set; /* in the join */
    struct named_core *items;
    size_t count;
};

/* The cores whose files changed. */
MUST_CHECK enum status find_cores(struct joining *joining, const struct hole_files *files, struct named_cores *out,
                                  struct err *err);

/* --- named.c --- */

/* The core that a version has under this number; NULL: none of those whose files changed. */
struct named_core *named_by(const struct named_cores *cores, enum version version, int32_t number);
bool core_id_is(struct core_id a, struct core_id b);
/* The smallest number above this one that no core has or had on either side. */
MUST_CHECK enum status find_free(struct joining *joining, const struct named_cores *cores, int32_t above, int32_t *out,
                                 struct err *err);
/* A version of the list by its id; without any where it cannot be read. */
MUST_CHECK enum status read_renamings(struct joining *joining, const char *id, const char *path,
                                      struct renaming_set *out, struct err *err);

struct core_records {
    struct core cores[VERSION_COUNT];
    bool there[VERSION_COUNT];
    struct subject subject; /* its path is that of the name in the join */
    struct three three;     /* into cores: not to be copied */
};
MUST_CHECK enum status read_core_records(struct joining *joining, const char *hole, const struct named_core *named,
                                         struct core_records *out, struct err *err);
/* Where each version has it, without reading it. */
MUST_CHECK enum status core_subject(struct joining *joining, const char *hole, const struct named_core *named,
                                    struct subject *out, struct err *err);

/* --- core_numbers.c --- */

/* Number and letter of each in the join. */
MUST_CHECK enum status name_cores(struct joining *joining, struct named_cores *cores, struct err *err);

/* --- steps.c --- */

/* The act by which a core has its number, or its letter, on a side. */
MUST_CHECK enum status find_name_act(struct joining *joining, const struct named_cores *cores,
                                     const struct named_core *core, int side, enum name_part part, struct act_at *out,
                                     struct err *err);

/* One renaming of a side that the other does not begin with. */
struct step {
    int32_t core;         /* its place among the cores; or its number, negative, where neither side changed it */
    struct core_id first; /* the name before the first step of this core */
    struct core_id to;
    struct act_at act;
    bool has_act;
    bool is_shared; /* the other side has it, too */
};

struct line {
    struct step *items;
    size_t count;
};

struct both_lines {
    size_t shared; /* both lists begin with so many */
    struct line lines[SIDES_MAX];
    struct step *steps; /* of both lines, in order */
    size_t step_count;
};
MUST_CHECK enum status read_lines(struct joining *joining, const struct named_cores *cores, struct both_lines *out,
                                  struct err *err);

/* --- renamed.c --- */

/* The joined list, and the former names of each core by it. */
MUST_CHECK enum status join_renamings(struct joining *joining, struct named_cores *cores, struct err *err);

/* --- corrected_cores.c --- */

/* A correction as each version has it; NULL: it does not. */
struct joined_correction {
    const struct correction *sides[VERSION_COUNT];
};
/* The cores that it names, by their numbers in the join. */
MUST_CHECK enum status carry_cores(struct joining *joining, const struct named_cores *cores,
                                   const struct joined_correction *joined, struct correction *it, struct err *err);
/* What it means by numbers is open where a core came in or went out by the join alone. */
MUST_CHECK enum status doubt_cores(struct joining *joining, const struct named_cores *cores,
                                   const struct joined_correction *joined, const struct correction *it,
                                   struct err *err);

#endif
