/* SPDX-License-Identifier: MIT */
/* One parcel of mud moved up in small steps of time: slow, and with arithmetic of its own, to hold the lag against. It
 * reads geometries as data and calls nothing of the program.
 *
 * Bores, string and the bottom of the hole are those at the time when it left the bit. Booster and losses act where the
 * parcel is at the time: above their depth, with the state in force for the row. Cuttings that slip fall behind while
 * mud moves past them, and never sink back.
 */
#ifndef CORETALLY_TESTS_PARCEL_H
#define CORETALLY_TESTS_PARCEL_H

#include "random_log.h"

struct parcel_terms {
    double flow_factor;
    int tolerance_sign;
    double slip_m_s; /* where the geometry has slip at all */
};

enum parcel_end { PARCEL_ARRIVED, PARCEL_UNDER_WAY, PARCEL_LOST, PARCEL_NO_WELL };

struct parcel {
    enum parcel_end end;
    int64_t at_inlet_us; /* INT64_MIN: did not pass it */
    int64_t at_shaker_us;
    bool was_held; /* the mud moved, and the parcel did not */
};

struct parcel parcel_follow(const struct random_log *day, const struct parcel_terms *terms, int64_t left_us);

#endif
