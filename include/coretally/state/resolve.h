/* SPDX-License-Identifier: MIT */
/* From typed names to records; what is not there is refused with what is near. */
#ifndef CORETALLY_STATE_RESOLVE_H
#define CORETALLY_STATE_RESOLVE_H

#include "coretally/domain/name.h"
#include "coretally/state/read.h"

struct target {
    struct name name;
    char hole_name[HOLE_TEXT_MAX];
    struct hole hole;
    struct core core;
    struct sample_set samples;
    const struct section *section; /* in core; NULL above section level, and of a sample whose section is withdrawn */
    size_t sample;                 /* index in samples; samples.sample_count below sample level */
    bool has_samples;              /* the samples file exists */
};

/* The hole that names without one belong to: --hole, CORETALLY_HOLE, or the only hole of the registry. NULL: none. */
MUST_CHECK enum status resolve_default_hole(struct state *state, const char **out, struct err *err);

/* Parse a typed name, with the hole of --hole or CORETALLY_HOLE (or the only one) put before it where it has none. */
MUST_CHECK enum status resolve_name(struct state *state, const char *typed, struct name *out, struct err *err);

/* The same as it is typed: a name that a core had before it was renamed is not carried to the present one. */
MUST_CHECK enum status resolve_typed_name(struct state *state, const char *typed, struct name *out, struct err *err);

/* Read what the name names, down to at most level; refuse what is not there, with what is near. samples are read from
 * section level down. Where samples alone are wanted, one whose section is withdrawn is found, too. */
MUST_CHECK enum status resolve(struct state *state, const char *typed, enum name_level least, enum name_level most,
                               struct target *out, struct err *err);
/* Is the name one of what is wanted? Typed is for the refusal. */
MUST_CHECK enum status resolve_level(const char *typed, const struct name *name, enum name_level least,
                                     enum name_level most, struct err *err);
/* What a name names that resolve_name gave; typed is what it was resolved from, for refusals. */
MUST_CHECK enum status resolve_named(struct state *state, const char *typed, const struct name *name,
                                     enum name_level least, struct target *out, struct err *err);
MUST_CHECK enum status resolve_hole(struct state *state, const struct name *name, struct target *out, struct err *err);
MUST_CHECK enum status resolve_core(struct state *state, struct target *target, struct err *err);
/* A core of the target's hole that was typed with its letter: is it recorded with this one? One that is not recorded,
 * and one without a letter, are not judged. */
MUST_CHECK enum status resolve_letter(struct state *state, const struct target *hole, struct core_word typed,
                                      struct err *err);

/* The printed name of a part of a target. */
void target_core_name(const struct state *state, const struct target *target, char out[NAME_TEXT_MAX]);
void target_section_name(const struct state *state, const struct target *target, int32_t section,
                         char out[NAME_TEXT_MAX]);
void target_sample_name(const struct state *state, const struct target *target, const struct sample *sample,
                        char out[NAME_TEXT_MAX]);

#endif
