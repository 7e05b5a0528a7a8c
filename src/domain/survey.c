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

double survey_bend_deg(const struct survey_station *from, const struct survey_station *to)
{
    return angle_between(direction_of(from), direction_of(to)) / RADIANS(1);
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

/* From a place down the stations from `from` on, which lies there. */
static struct survey_place follow(struct direction place, const struct survey_station *from,
                                  const struct survey_station *stations, size_t count, double depth_m)
{
    double reached_m = (double)from->depth_um * 1e-6;
    for (size_t at = 0; at < count && reached_m < depth_m; from = &stations[at++]) {
        const double length_m = (double)(stations[at].depth_um - from->depth_um) * 1e-6;
        const double part_m = depth_m - reached_m < length_m ? depth_m - reached_m : length_m;
        place = along(place, from, &stations[at], length_m, part_m);
        reached_m = part_m < length_m ? depth_m : (double)stations[at].depth_um * 1e-6;
    }
    const bool beyond = reached_m < depth_m;
    if (beyond)
        place = add(place, direction_of(from), depth_m - reached_m);
    return (struct survey_place){llround(place.down * 1e6), place.north, place.east, beyond};
}

struct survey_place survey_at(const struct survey_station *stations, size_t count, int64_t depth_um)
{
    if (count == 0)
        return (struct survey_place){.vertical_um = 0};
    if (depth_um <= stations[0].depth_um) /* vertical down to the first station */
        return (struct survey_place){.vertical_um = depth_um};
    const struct direction first = {.down = (double)stations[0].depth_um * 1e-6};
    return follow(first, &stations[0], stations + 1, count - 1, (double)depth_um * 1e-6);
}

struct survey_place survey_below(const struct survey_station *tie, const struct survey_station *stations, size_t count,
                                 int64_t depth_um)
{
    return follow((struct direction){0}, tie, stations, count, (double)depth_um * 1e-6);
}

struct survey_station survey_tangent(const struct survey_station *stations, size_t count, int64_t depth_um)
{
    size_t at = 0;
    while (at < count && stations[at].depth_um <= depth_um)
        at++;
    struct survey_station out = {.depth_um = depth_um};
    if (at == 0) /* above the first: vertical */
        return out;
    struct direction t1 = direction_of(&stations[at - 1]);
    if (at < count) {
        const struct direction t2 = direction_of(&stations[at]);
        const double share = (double)(depth_um - stations[at - 1].depth_um) /
                             (double)(stations[at].depth_um - stations[at - 1].depth_um);
        const double angle = angle_between(t1, t2);
        const double own = angle < 1e-9 ? 1 - share : sin(angle * (1 - share)) / sin(angle);
        const double other = angle < 1e-9 ? share : sin(angle * share) / sin(angle);
        t1 = add(add((struct direction){0}, t1, own), t2, other);
    }
    const double aside = sqrt(t1.north * t1.north + t1.east * t1.east);
    const double azimuth = atan2(t1.east, t1.north) / RADIANS(1);
    out.inclination_deg = atan2(aside, t1.down) / RADIANS(1);
    out.azimuth_deg = azimuth < 0 ? azimuth + 360 : azimuth;
    return out;
}
