/* SPDX-License-Identifier: MIT */
/* True vertical depth from a survey, by minimum curvature: between two stations
 * the hole is an arc of a circle.
 *
 *     cos b = cos(I2 - I1) - sin I1 sin I2 (1 - cos dA)
 *     RF = 2/b tan(b/2)         dTVD = dMD/2 (cos I1 + cos I2) RF, north and east alike
 *
 * Above the first station the hole is vertical, below the last one it goes straight on. Inclination is 0 (down) to 180
 * (up): nothing in these formulas ends at 90.
 */
#ifndef CORETALLY_DOMAIN_SURVEY_H
#define CORETALLY_DOMAIN_SURVEY_H

#include <stddef.h>

#include "coretally/domain/correction.h"

struct survey_place {
    int64_t vertical_um; /* below rig floor */
    double north_m;
    double east_m;
    bool beyond; /* below the last station */
};

/* depth_um along the hole, below rig floor. */
struct survey_place survey_at(const struct survey_station *stations, size_t count, int64_t depth_um);

/* The same below a place where another survey ends: tie says how the hole lies there, and what comes back counts from
 * it. The first station lies below the tie; so does depth_um. */
struct survey_place survey_below(const struct survey_station *tie, const struct survey_station *stations, size_t count,
                                 int64_t depth_um);

/* The angle between two stations, degrees. Two that point in opposite ways leave open in which plane the hole turned:
 * no arc is the shortest. */
#define SURVEY_BEND_DEG 179.9999
double survey_bend_deg(const struct survey_station *from, const struct survey_station *to);

/* How the hole lies at a depth: the station that would be read there. */
struct survey_station survey_tangent(const struct survey_station *stations, size_t count, int64_t depth_um);

#endif
