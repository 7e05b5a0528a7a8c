/* SPDX-License-Identifier: MIT */
/* What the commands that change a core or its sections share: typed section lists, the checks, the commit. */
#ifndef CORETALLY_CMD_CORE_ACT_H
#define CORETALLY_CMD_CORE_ACT_H

#include "command.h"

/* "6x1.5,0.93,cc:0.23": curated lengths in metres from the top; a number before ':' names the section. Added to the
 * core, sorted. */
MUST_CHECK enum status sections_take(struct state *state, const char *typed, struct core *core, struct err *err);

/* Put a section into the core at its place; STATUS_EXISTS when one with that number is there. */
MUST_CHECK enum status section_insert(struct state *state, struct core *core, const struct section *section,
                                      struct err *err);

/* Hold the core against its hole, its neighbours and its samples; commit it. line: what the act is; before: what was
 * found by the caller. */
MUST_CHECK enum status core_commit_found(struct run *run, struct core_roll *roll, const struct target *target,
                                         const struct core *core, const char *line, const struct findings *before,
                                         struct err *err);
MUST_CHECK enum status core_commit(struct run *run, const struct target *target, const struct core *core,
                                   const char *line, struct err *err);

/* The core goes from its place, to another number or (0) for good: what the one below it is doubted for when the one
 * above stands next to it. Told, and marked in lists from then on. */
MUST_CHECK enum status core_tell_left(struct core_roll *roll, const struct target *target, int32_t to, struct err *err);

/* "Core 901-U0012A-12H: 105.200-114.700 m below seafloor, recovered 9.430 m (99.3 %), 7 sections". */
MUST_CHECK enum status core_line(struct state *state, const struct target *target, const struct core *core,
                                 const char *what, const char **out, struct err *err);

#endif
