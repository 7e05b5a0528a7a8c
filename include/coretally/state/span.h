/* SPDX-License-Identifier: MIT */
/* What a typed name spans in its core, and the depths of that. */
#ifndef CORETALLY_STATE_SPAN_H
#define CORETALLY_STATE_SPAN_H

#include "coretally/domain/depth.h"
#include "coretally/state/resolve.h"

/* Top and bottom of what a name asks for. It points into itself: never copied. */
struct span {
    struct target target;
    char name[NAME_TEXT_MAX];
    bool in_core; /* below core level: has offsets */
    struct place top;
    struct place bottom;
};

/* A core, section, sample, interval or point; STATUS_RULE for what lies outside its section. */
MUST_CHECK enum status span_read(struct state *state, const char *typed, struct span *out, struct err *err);

/* The same of a name that resolve_name gave from what was typed. */
MUST_CHECK enum status span_named(struct state *state, const char *typed, const struct name *name, struct span *out,
                                  struct err *err);

/* The same of a target that was read already, its name with it; sample: the recorded one of that name, in target's
 * samples, or NULL. */
MUST_CHECK enum status span_from(const struct state *state, const char *typed, const struct sample *sample,
                                 struct span *out, struct err *err);

/* Top and bottom on a scale. DSF and DRF are those of the core's run. */
void span_depths(const struct span *span, enum scale scale, struct depth *top, struct depth *bottom);

/* Why there is no depth, or what a depth must not be read without. NULL: nothing to say. */
const char *span_note(const struct span *span, const struct depth *top, const struct depth *bottom);

MUST_CHECK enum status scale_typed(const char *typed, enum scale *out, struct err *err);

#endif
