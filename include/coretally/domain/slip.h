/* SPDX-License-Identifier: MIT */
/* Cuttings move slower than the mud: slip velocity by a named correlation, and
 * the transport ratio F = (v_a - v_slip) / v_a. Off unless asked for; what was
 * used is part of the derivation. */
#ifndef CORETALLY_DOMAIN_SLIP_H
#define CORETALLY_DOMAIN_SLIP_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "coretally/base/err.h"

/* The one list: id, word, what it is with its source. */
#define SLIP_METHOD_LIST(X)                                                                                            \
    X(DRAG, "drag", "drag coefficient of particles of a sphericity, after Guo and Liu 2011, pp. 55-56")                \
    X(MOORE, "moore", "Moore's three ranges of Reynolds number, from memory of Bourgoyne et al. 1986")                 \
    X(CHIEN, "chien", "Chien's form for plastic particles, from memory of Bourgoyne et al. 1986")

enum slip_method {
    SLIP_NONE,
#define SLIP_ID(id, word, meaning) SLIP_##id,
    SLIP_METHOD_LIST(SLIP_ID)
#undef SLIP_ID
        SLIP_METHOD_COUNT
};
extern const char *const slip_words[]; /* [0] "", then the words, NULL */

struct slip {
    enum slip_method method;
    double size_m;        /* diameter of a cutting */
    double density_kg_m3; /* of the cuttings */
    double mud_kg_m3;
    double viscosity_mpa_s; /* plastic (apparent) viscosity of the mud */
    double sphericity;      /* drag alone; 0 < psi <= 1 */
};

/* Slip velocity, m/s, and the particle Reynolds number it was found at (may be NULL). STATUS_INPUT names an input that
 * is missing or cannot be; STATUS_RULE outside the range in which the correlation holds (Chien: Re < 100). */
MUST_CHECK enum status slip_velocity(const struct slip *slip, double *out_m_s, double *reynolds, struct err *err);

/* F = (v_a - v_slip) / v_a; 0 or less: does not arrive. NAN without flow. */
double transport_ratio(double annular_m_s, double slip_m_s);

#endif
