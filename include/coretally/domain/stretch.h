/* SPDX-License-Identifier: MIT */
/* How much longer the pipe is in the hole than on the pipe rack. */
#ifndef CORETALLY_DOMAIN_STRETCH_H
#define CORETALLY_DOMAIN_STRETCH_H

#include "coretally/domain/correction.h"

/* Steel where nothing else is said: 30e6 psi and 65.44 lb/gal, Poisson 0.28 (constants inside the handbook formula for
 * own weight in mud, Lapeyrouse, from memory); 0.83 in per 100 ft and 100 F (published example, see test_stretch.c). */
#define STEEL_MODULUS_GPA 206.84271879504
#define STEEL_DENSITY_KG_M3 7841.44
#define STEEL_POISSON 0.28
#define STEEL_EXPANSION_UM_M_K 12.45

/* Lengthening of depth_um of pipe, micrometres:
 *   weight  g L^2 (steel - 2 (1 - poisson) mud) / (2 E)      own weight in mud
 *   load    F L / (E A), A as stated or 0.294 in2 a lb/ft of pipe (the API RP 7G constant 735000 = 30e6 x 0.294 / 12)
 *   heat    expansion x L x mean rise of temperature */
int64_t stretch_of(const struct correction *stretch, int64_t depth_um);

#endif
