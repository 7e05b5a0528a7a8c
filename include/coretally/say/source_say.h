/* SPDX-License-Identifier: MIT */
/* The act behind an input, in a cell. */
#ifndef CORETALLY_SAY_SOURCE_SAY_H
#define CORETALLY_SAY_SOURCE_SAY_H

#include "coretally/ask/source.h"

/* "Mira Tamm, 2026-03-01T04:12:00Z", and who signed that act; NULL without an act. */
MUST_CHECK enum status source_who(struct state *state, const struct source *source, const char **out, struct err *err);

#endif
