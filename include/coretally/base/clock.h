/* SPDX-License-Identifier: MIT */
/* Instants: UTC microseconds, with the offset as it was typed kept beside.
 * Written as RFC 3339. Ship's local time (no offset) is accepted where the
 * caller knows the ship's zone. */
#ifndef CORETALLY_BASE_CLOCK_H
#define CORETALLY_BASE_CLOCK_H

#include <stdbool.h>
#include <stdint.h>

#include "coretally/base/err.h"

/* Microseconds. */
#define SECOND_US ((int64_t)1000000)
#define MINUTE_US (60 * SECOND_US)
#define DAY_US (86400 * SECOND_US)

struct instant {
    int64_t utc_us;     /* microseconds since 1970-01-01T00:00:00Z, no leap seconds */
    int32_t offset_min; /* minutes east of UTC as typed */
    bool known;         /* false: not recorded */
};

/* "+05:30", "-0330", "Z", "UTC"; -00:00 is refused since it says that the offset is unknown
 * (RFC 3339 section 4.3). Within 14 h of UTC, quarter hours. */
MUST_CHECK enum status zone_parse(const char *string, int32_t *out_min, struct err *err);

enum { ZONE_TEXT_MAX = 16, INSTANT_TEXT_MAX = 80 };
void zone_format(int32_t offset_min, char out[ZONE_TEXT_MAX]);

/* RFC 3339 ("2026-03-01T04:12:30+05:30"; a space for the T, seconds optional). Without an offset the time is
 * ship's time and ship_zone_min is used; pass INT_NONE where no zone is known, and it is refused. */
MUST_CHECK enum status instant_parse(const char *string, int32_t ship_zone_min, struct instant *out, struct err *err);

/* The same for what a person or a table states: refused outside the years of TIME_LEAST_US to TIME_MOST_US (limits.h),
 * which no act of ours can have been about. */
MUST_CHECK enum status instant_take(const char *string, int32_t ship_zone_min, struct instant *out, struct err *err);

/* RFC 3339 in the offset as typed; fractions only where there are any. */
void instant_format(struct instant instant, char out[INSTANT_TEXT_MAX]);

/* The time of a commit, which may be any number: no earlier than the year 0 and no later than 9999. */
struct instant instant_from_seconds(int64_t seconds, int32_t offset_min);

/* How long something lasts, as people say it: "25 min", "3.5 h", "12 days", "5.0 years". */
enum { SPAN_TEXT_MAX = 32 };
void span_format(int64_t us, char out[SPAN_TEXT_MAX]);

/* The machine's clock, in UTC. */
struct instant instant_now(void);

#endif
