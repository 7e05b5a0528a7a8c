/* SPDX-License-Identifier: MIT */
/* Cores of a hole that were given another number or letter, in the order in which it was done. What a name meant
 * follows from how many renamings had been done when it was used: at each moment a number belongs to one core, so the
 * names of two states can be carried into one another without asking anything else.
 *
 *     1: 12H -> 13H      the core that had been typed as 12H
 *     2: 12X -> 14X      another one, recorded as 12 after that
 */
#ifndef CORETALLY_DOMAIN_RENAMING_H
#define CORETALLY_DOMAIN_RENAMING_H

#include "coretally/domain/core.h"

/* A core inside its hole: "12H". */
struct core_id {
    int32_t number;
    char type;
};
enum { CORE_ID_MAX = 8 };
void core_id_format(struct core_id id, char out[CORE_ID_MAX]);
/* The whole of len characters. */
bool core_id_parse(const char *string, size_t len, struct core_id *out);
/* Names of cores, a space between. */
bool core_ids_are(const char *string);

struct renaming {
    int32_t number; /* 1, 2, 3, ... */
    const char *from;
    const char *to;
};

struct renaming_set {
    const char *hole;
    struct renaming *renamings;
    size_t renaming_count;
};

/* Carry the name of a core from the state with `then` renamings to that with `now` of them, later or earlier. false
 * where no core can have had the name then, or the core of that name was not there now. Both at most as many as there
 * are. */
bool renamings_carry(const struct renaming_set *set, size_t then, size_t now, struct core_id *id);

/* How many both lists begin with alike. */
size_t renamings_shared(const struct renaming_set *a, const struct renaming_set *b);

/* The same between two states of which neither need lead to the other, as where histories were joined: back over what
 * the one renamed beyond what both did, then forward over what the other did. A core that was recorded after one of
 * those goes on from there, where the other list has it, too. */
bool renamings_are_same(const struct renaming_set *a, const struct renaming_set *b);
bool renamings_between(const struct renaming_set *then, const struct renaming_set *now, struct core_id *id);

/* The core that gave up this name last and does not have it again, as it is called after all of them; *at is the
 * renaming. false: none did. */
bool renamings_former(const struct renaming_set *set, struct core_id id, struct core_id *out, size_t *at);

/* The numbers that a core has had, its own first, then back in time, a number as often as it was left. Returns how
 * many; out has room for max, the oldest are left out beyond. */
size_t renamings_numbers(const struct renaming_set *set, struct core_id id, int32_t *out, size_t max);

/* Is it one unbroken story: numbered from 1, each with two names that differ, and no number given to two cores at once
 * as far as renamings tell? */
bool renamings_are_sound(const struct renaming_set *set);

/* Are these the former names of a core that is called id now, the oldest first, a space between? was NULL: none. */
bool renamings_have(const struct renaming_set *set, struct core_id id, const char *was);

#endif
