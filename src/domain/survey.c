/* SPDX-License-Identifier: MIT */
/* Minimum curvature. Formula and check: trade sources named in tests/unit/test_survey.c. */
#include "coretally/domain/survey.h"

#include <math.h>

#define RADIANS(degrees) ((degrees)*3.14159265358979323846 / 180)

struct direction {
    double down;
    double north;
    double east;
};

static struct direction direction_of(const struct survey_station *station)
{
    const double inclination = RADIANS(station->inclination_deg);
    const double azimuth = RADIANS(station->azimuth_deg);
    return (struct direction){cos(inclination), sin(inclination) * cos(azimuth), sin(inclination) * sin(azimuth)};
}

static struct direction add(struct direction to, struct direction what, double times)
{
    return (struct direction){to.down + what.down * times, to.north + what.north * times, to.east + what.east * times};
}

/* The angle between two directions, exact where it is small, too: half of it has the sine of half the chord. */
static double angle_between(struct direction t1, struct direction t2)
{
    const struct direction chord = add(t2, t1, -1);
    const double length = sqrt(chord.down * chord.down + chord.north * chord.north + chord.east * chord.east);
    return 2 * asin(length > 2 ? 1 : length / 2);
}

/* Along part_m of the arc between two stations length_m apart, the arc of the header's formulas. With b the angle
 * between the directions t1, t2 and u = b part/length, the arc's integral is length / (b sin b) ((cos(b - u) - cos b)
 * t1 + (1 - cos u) t2); for u = b that is the ratio factor form above. */
static struct direction along(struct direction place, const struct survey_station *from,
                              const struct survey_station *to, double length_m, double part_m)
{
    const struct direction t1 = direction_of(from);
    const struct direction t2 = direction_of(to);
    const double angle = angle_between(t1, t2);
    const double share = part_m / length_m;
    if (angle < 1e-4) /* as good as straight: the direction turns evenly, RF is 1 to 1e-9 */
        return add(add(place, t1, part_m * (1 - share / 2)), t2, part_m * share / 2);
    /* cos(b - u) - cos b and 1 - cos u as products, which keep their digits where the angles are small */
    const double half = angle * share / 2;
    const double scale = 2 * length_m * sin(half) / (angle * sin(angle));
    return add(add(place, t1, scale * sin(angle - half)), t2, scale * sin(half));
}

struct survey_place survey_at(const struct survey_station *stations, size_t count, int64_t depth_um)
{
    const double depth_m = (double)depth_um * 1e-6;
    struct direction place = {0};
    double reached_m = 0;
    size_t at = 0;
    if (count) { /* vertical down to the first station */
        const double first_m = (double)stations[0].depth_um * 1e-6;
        reached_m = depth_m < first_m ? depth_m : first_m;
        place.down = reached_m;
    }
    for (; at + 1 < count && reached_m < depth_m; at++) {
        const double length_m = (double)(stations[at + 1].depth_um - stations[at].depth_um) * 1e-6;
        const double part_m = depth_m - reached_m < length_m ? depth_m - reached_m : length_m;
        place = along(place, &stations[at], &stations[at + 1], length_m, part_m);
        reached_m = part_m < length_m ? depth_m : (double)stations[at + 1].depth_um * 1e-6;
    }
    const bool beyond = count && depth_um > stations[count - 1].depth_um;
    if (beyond)
        place = add(place, direction_of(&stations[count - 1]), depth_m - reached_m);
    return (struct survey_place){llround(place.down * 1e6), place.north, place.east, beyond};
}
