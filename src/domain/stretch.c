/* SPDX-License-Identifier: MIT */
/* Stretch of the pipe: own weight, load, heat. */
#include "coretally/domain/stretch.h"

#include <math.h>

#define STANDARD_GRAVITY_M_S2 9.80665
/* Area of steel by weight of pipe: 0.294 in2 a lb/ft. API RP 7G: e = L T / (735000 W) in inch, ft, lb, lb/ft. */
#define AREA_MM2_PER_KG_M (735000.0 * 12 / 30e6 * 645.16 * 0.3048 / 0.45359237)

static double or_else(double stated, double usual)
{
    return isnan(stated) ? usual : stated;
}

int64_t stretch_of(const struct correction *it, int64_t depth_um)
{
    const double length_m = (double)depth_um * 1e-6;
    const double modulus_pa = or_else(it->modulus_gpa, STEEL_MODULUS_GPA) * 1e9;
    double longer_m = 0;
    if (it->stretch == STRETCH_WEIGHT)
        longer_m = STANDARD_GRAVITY_M_S2 * length_m * length_m *
                   (or_else(it->steel_kg_m3, STEEL_DENSITY_KG_M3) -
                    2 * (1 - or_else(it->poisson, STEEL_POISSON)) * or_else(it->mud_kg_m3, 0)) /
                   (2 * modulus_pa);
    else if (it->stretch == STRETCH_LOAD)
        longer_m = it->load_kn * 1e3 * length_m /
                   (modulus_pa * or_else(it->area_mm2, it->pipe_weight_kg_m * AREA_MM2_PER_KG_M) * 1e-6);
    else if (it->stretch == STRETCH_HEAT)
        longer_m = or_else(it->expansion_um_m_k, STEEL_EXPANSION_UM_M_K) * 1e-6 * length_m * it->rise_k;
    const double most_m = 1e6; /* far past any pipe: what is damaged must not overflow */
    return llround((longer_m > most_m ? most_m : longer_m < -most_m ? -most_m : isnan(longer_m) ? 0 : longer_m) * 1e6);
}
