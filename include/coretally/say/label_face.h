/* SPDX-License-Identifier: MIT */
/* What stands on the label of a thing. */
#ifndef CORETALLY_SAY_LABEL_FACE_H
#define CORETALLY_SAY_LABEL_FACE_H

#include "coretally/view/label_page.h"
#include "coretally/ask/label_things.h"

/* All texts live in the run's arena. why: why its depth is not known, or NULL. */
MUST_CHECK enum status label_face_fill(struct state *state, const struct things *things, const struct thing *thing,
                                       const struct label *label, struct label_face *out, struct err *err);

#endif
