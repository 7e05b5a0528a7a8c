/* SPDX-License-Identifier: MIT */
/* The two ends of the chain of depth.c: from the reading to the seafloor (depth_drilled.c), and from a core's depth to
 * the scales that are made of it (depth_made.c). Inside the domain only. */
#ifndef CORETALLY_DOMAIN_DEPTH_CHAIN_H
#define CORETALLY_DOMAIN_DEPTH_CHAIN_H

#include "coretally/domain/depth.h"

struct depth chain_unknown(const char *why);
extern const char chain_no_seafloor[]; /* why there is no depth */

/* A link; returns it, or NULL where none is kept. */
struct depth_link *link_add(struct depth_links *links, const struct hole *hole, enum depth_input input,
                            const char *rule, int64_t amount_um, int64_t result_um);
void link_add_correction(struct depth_links *links, const struct hole *hole, const struct correction *correction,
                         const char *rule, int64_t amount_um, int64_t result_um);

/* DRF, DSF, TVD or TVDSF of a drilled depth as reported. */
struct depth chain_drilled(const struct hole *hole, const struct drilled_at *at, enum scale scale, int64_t doubt_um,
                           struct depth_links *links);

/* From DRF to TVD or TVDSF; core (0: none) and when decide which seafloor holds. */
struct depth chain_vertical(const struct hole *hole, struct depth drf, enum scale scale, int32_t core,
                            struct instant when, struct depth_links *links);

/* From CSF-A of a place to a scale made of it; for TVD and TVDSF from CSF-B counted from the rig floor. */
struct depth chain_on_from(const struct place *place, struct depth below, enum scale scale, struct depth_links *links);

/* The seafloor that holds for what was drilled then: as recorded, and with every correction; LENGTH_NONE and *why. What
 * takes it off (sign -1) or adds it is told in links, from running_um on. */
int64_t chain_seafloor(const struct hole *hole, int32_t core, struct instant when, bool only_changes, int sign,
                       int64_t running_um, struct depth_links *links, const char **method, const char **why);

/* What a link says: of the thing itself, of the seafloor that is taken off, of the seafloor that is added again. */
enum pipe_part { PIPE_ITSELF, PIPE_FLOOR_OFF, PIPE_FLOOR_ON };

/* What all corrections of the pipe add to a depth of drf_um; *why where it cannot be said. */
int64_t pipe_corrected(const struct hole *hole, int64_t drf_um, int32_t core, struct instant when, enum pipe_part part,
                       int64_t running_um, struct depth_links *links, const char **why);

#endif
