/* SPDX-License-Identifier: MIT */
/* Instants and zones: RFC 3339 in and out, proleptic Gregorian calendar. */
#include "coretally/base/clock.h"

#include <ctype.h>
#include <inttypes.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "coretally/base/limits.h"
#include "coretally/base/marks.h"
#include "coretally/base/quantity.h"

/* Days since 1970-01-01 of a Gregorian date: counts years from March, so that the leap day is last. */
static int64_t days_from_date(int64_t year, int month, int day)
{
    year -= month <= 2;
    const int64_t era = (year >= 0 ? year : year - 399) / 400;
    const int64_t year_of_era = year - era * 400;
    const int64_t day_of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    const int64_t day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    return era * 146097 + day_of_era - 719468;
}

static void date_from_days(int64_t days, int64_t *year, int *month, int *day)
{
    days += 719468;
    const int64_t era = (days >= 0 ? days : days - 146096) / 146097;
    const int64_t day_of_era = days - era * 146097;
    const int64_t year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
    const int64_t day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    const int64_t month_from_march = (5 * day_of_year + 2) / 153;
    *day = (int)(day_of_year - (153 * month_from_march + 2) / 5 + 1);
    *month = (int)(month_from_march + (month_from_march < 10 ? 3 : -9));
    *year = year_of_era + era * 400 + (*month <= 2);
}

static int days_in_month(int year, int month)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return month == 2 && leap ? 29 : days[month - 1];
}

/* Exactly count digits at *at; moves past them. */
static bool take_digits(const char **at, int count, int *out)
{
    int value = 0;
    for (int digit = 0; digit < count; digit++) {
        if (!isdigit((unsigned char)(*at)[digit]))
            return false;
        value = value * 10 + ((*at)[digit] - '0');
    }
    *at += count;
    *out = value;
    return true;
}

static bool take(const char **at, const char *one_of)
{
    if (!**at || !strchr(one_of, **at))
        return false;
    (*at)++;
    return true;
}

enum status zone_parse(const char *string, int32_t *out_min, struct err *err)
{
    if (strcmp(string, "Z") == 0 || strcmp(string, "z") == 0 || strcmp(string, "UTC") == 0) {
        *out_min = 0;
        return STATUS_OK;
    }
    const char *at = string;
    int hours = 0;
    int minutes = 0;
    const bool west = *at == '-';
    const bool formed = take(&at, "+-") && take_digits(&at, 2, &hours) &&
                        (!*at || ((take(&at, ":") || true) && take_digits(&at, 2, &minutes))) && !*at;
    const bool unknown = west && hours == 0 && minutes == 0;
    if (!formed || unknown || hours * 60 + minutes > 14 * 60 || minutes % 15 != 0) {
        err_set(err, STATUS_INPUT, string, "this is not an offset from UTC%s",
                unknown ? " (-00:00 says that the offset is unknown)" : "");
        err_hint(err, "type it as +05:30, -03:00 or Z; at most 14 h, in quarter hours");
        return err_marks(err, string);
    }
    *out_min = (west ? -1 : 1) * (hours * 60 + minutes);
    return STATUS_OK;
}

void zone_format(int32_t offset_min, char out[ZONE_TEXT_MAX])
{
    const int32_t magnitude = offset_min < 0 ? -offset_min : offset_min;
    if (offset_min == 0)
        (void)snprintf(out, ZONE_TEXT_MAX, "Z");
    else
        (void)snprintf(out, ZONE_TEXT_MAX, "%c%02d:%02d", offset_min < 0 ? '-' : '+', (int)(magnitude / 60) % 100,
                       (int)(magnitude % 60));
}

enum status instant_parse(const char *string, int32_t ship_zone_min, struct instant *out, struct err *err)
{
    const char *at = string;
    int year = 0;
    int month = 0;
    int day = 0;
    int hour = 0;
    int minute = 0;
    int second = 0;
    int64_t fraction_us = 0;
    bool formed = take_digits(&at, 4, &year) && take(&at, "-") && take_digits(&at, 2, &month) && take(&at, "-") &&
                  take_digits(&at, 2, &day) && take(&at, "Tt ") && take_digits(&at, 2, &hour) && take(&at, ":") &&
                  take_digits(&at, 2, &minute);
    if (formed && take(&at, ":"))
        formed = take_digits(&at, 2, &second);
    if (formed && take(&at, ".")) {
        int64_t unit = 100000;
        formed = isdigit((unsigned char)*at);
        for (; isdigit((unsigned char)*at); at++, unit /= 10)
            fraction_us += (*at - '0') * unit;
    }
    if (!formed || month < 1 || month > 12 || day < 1 || day > days_in_month(year, month) || hour > 23 || minute > 59 ||
        second > 59) {
        err_set(err, STATUS_INPUT, string, "this is not a date and time");
        err_hint(err, "type 2026-03-01T04:12:30Z, or '2026-03-01 04:12' in ship's time");
        return err_marks(err, string);
    }
    while (*at == ' ')
        at++;
    int32_t offset_min = ship_zone_min;
    if (*at)
        TRY(zone_parse(at, &offset_min, err));
    if (offset_min == INT_NONE) {
        err_set(err, STATUS_INPUT, string, "this time has no offset, and the hole has no ship's time zone");
        return err_hint(err, "add the offset, as in %sZ, or record the zone: coretally hole amend HOLE --zone +05:30",
                        string);
    }
    const int64_t seconds = days_from_date(year, month, day) * 86400 + hour * 3600 + minute * 60 + second;
    *out = (struct instant){.utc_us = (seconds - (int64_t)offset_min * 60) * 1000000 + fraction_us,
                            .offset_min = offset_min,
                            .known = true};
    return STATUS_OK;
}

enum status instant_take(const char *string, int32_t ship_zone_min, struct instant *out, struct err *err)
{
    struct instant instant = {0};
    TRY(instant_parse(string, ship_zone_min, &instant, err));
    if (instant.utc_us < TIME_LEAST_US || instant.utc_us > TIME_MOST_US) {
        err_set(err, STATUS_INPUT, string, "this time lies outside the years 1900 to 2105");
        return err_hint(err, "check the year; type all four digits");
    }
    *out = instant;
    return STATUS_OK;
}

void instant_format(struct instant instant, char out[INSTANT_TEXT_MAX])
{
    const int64_t local_us = instant.utc_us + (int64_t)instant.offset_min * 60 * 1000000;
    int64_t seconds = local_us / 1000000;
    int64_t fraction_us = local_us % 1000000;
    if (fraction_us < 0) {
        fraction_us += 1000000;
        seconds--;
    }
    int64_t days = seconds / 86400;
    int64_t of_day = seconds % 86400;
    if (of_day < 0) {
        of_day += 86400;
        days--;
    }
    int64_t year = 0;
    int month = 0;
    int day = 0;
    date_from_days(days, &year, &month, &day);
    char fraction[16] = "";
    if (fraction_us) {
        (void)snprintf(fraction, sizeof fraction, ".%06d", (int)fraction_us);
        for (size_t len = strlen(fraction); fraction[len - 1] == '0'; len--)
            fraction[len - 1] = '\0';
    }
    char zone[ZONE_TEXT_MAX];
    zone_format(instant.offset_min, zone);
    (void)snprintf(out, INSTANT_TEXT_MAX, "%04d-%02d-%02dT%02d:%02d:%02d%s%s", (int)(year % 10000), month, day,
                   (int)(of_day / 3600), (int)(of_day / 60 % 60), (int)(of_day % 60), fraction, zone);
}

struct instant instant_from_seconds(int64_t seconds, int32_t offset_min)
{
    const int64_t least = days_from_date(0, 1, 2) * 86400; /* a day within, whatever the offset */
    const int64_t most = days_from_date(9999, 12, 31) * 86400 - 1;
    seconds = seconds < least ? least : seconds > most ? most : seconds;
    return (struct instant){.utc_us = seconds * 1000000, .offset_min = offset_min, .known = true};
}

void span_format(int64_t us, char out[SPAN_TEXT_MAX])
{
    const double hours = (double)(us < 0 ? -us : us) / 3.6e9;
    if (hours < 2)
        (void)snprintf(out, SPAN_TEXT_MAX, "%.0f min", hours * 60);
    else if (hours < 48)
        (void)snprintf(out, SPAN_TEXT_MAX, "%.1f h", hours);
    else if (hours < 731 * 24)
        (void)snprintf(out, SPAN_TEXT_MAX, "%.0f days", hours / 24);
    else
        (void)snprintf(out, SPAN_TEXT_MAX, "%.1f years", hours / 24 / 365.2425);
}

struct instant instant_now(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_REALTIME, &now);
    return (struct instant){.utc_us = (int64_t)now.tv_sec * 1000000 + now.tv_nsec / 1000, .known = true};
}
