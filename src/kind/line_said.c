/* SPDX-License-Identifier: MIT */
/* Lines that the act alone knows: they name a file, a layout, what was asked for. What the change tells of them must be
 * in them. */
#include <string.h>

#include "coretally/record/log_day.h"
#include "coretally/state/read.h"
#include "line.h"

static bool begins(const char *line, const char *start)
{
    return strncmp(line, start, strlen(start)) == 0;
}

/* "Pump log of U0013A: 86400 rows, ..." */
bool line_tells_rows(const struct deed *deed, const struct touch *touch, const char *line, char wanted[LINE_WANTED_MAX])
{
    char last[INSTANT_TEXT_MAX];
    (void)snprintf(wanted, LINE_WANTED_MAX, "Pump log of %s: %zu row%s, ", touch->place.hole, deed->log_rows,
                   deed->log_rows == 1 ? "" : "s");
    const char *to = begins(line, wanted) ? strstr(line, " to ") : NULL;
    if (!to || deed->log_last_us == INT64_MIN)
        return to != NULL;
    instant_format((struct instant){.utc_us = deed->log_last_us, .known = true}, last);
    (void)snprintf(wanted, LINE_WANTED_MAX, " to %s", last);
    return begins(to, wanted);
}

/* "Pump log of U0013A withdrawn from 2026-03-09 on: 2 days": the day that was typed may lie before the first. */
bool line_tells_withdrawn(const struct touch *touch, size_t days, const char *line, char wanted[LINE_WANTED_MAX])
{
    char start[60];
    char end[60];
    char typed[DAY_TEXT_MAX];
    char day[DAY_TEXT_MAX];
    int64_t from = 0;
    day_format(touch->place.day, day);
    (void)snprintf(start, sizeof start, "Pump log of %s withdrawn from ", touch->place.hole);
    (void)snprintf(end, sizeof end, " on: %zu day%s", days, days == 1 ? "" : "s");
    (void)snprintf(wanted, LINE_WANTED_MAX, "%s%s%s", start, day, end);
    if (!begins(line, start))
        return false;
    line += strlen(start);
    const size_t len = strcspn(line, " ");
    (void)snprintf(typed, sizeof typed, "%.*s", (int)(len < sizeof typed ? len : 0), line);
    return day_parse(typed, &from) && from <= touch->place.day && strcmp(line + len, end) == 0;
}

/* What was asked for, as it was typed: where it names a hole or a core, the labels are of that one. A core may have
 * been asked for by a former name. */
static enum status is_of(const struct deed *deed, const struct touch *touch, const char *typed, bool *out,
                         struct err *err)
{
    struct name name;
    char hole[HOLE_TEXT_MAX];
    char id[CORE_ID_MAX];
    char path[REGISTRY_PATH_MAX];
    struct core core;
    struct err ignored = {0};
    bool there = false;
    *out = name_parse(typed, &name, &ignored) != STATUS_OK; /* typed without its hole */
    if (*out)
        return STATUS_OK;
    name_hole(&name, hole);
    *out = strcmp(hole, touch->place.hole) == 0 &&
           (name.level == NAME_HOLE || name.level == NAME_BAG || name.core == touch->place.number);
    if (*out || strcmp(hole, touch->place.hole) != 0 || !place_is_of_core(&touch->place) || !deed->state->store)
        return STATUS_OK;
    core_path(touch->place.hole, touch->place.number, path);
    TRY(state_read(deed->state, path, &core_table, &core, &there, err));
    core_id_format((struct core_id){name.core, name.type}, id);
    *out = there && sample_list_has(core.was, id);
    return STATUS_OK;
}

/* "Labels: 12 printed as small, U0012A-12H" */
enum status line_tells_labels(const struct deed *deed, const struct touch *touch, size_t count, const char *line,
                              char wanted[LINE_WANTED_MAX], bool *out, struct err *err)
{
    (void)snprintf(wanted, LINE_WANTED_MAX, "Labels: %zu printed as %.100s", count, deed->layout);
    *out = begins(line, wanted);
    const char *rest = line + (*out ? strlen(wanted) : 0);
    if (!*out || !*rest)
        return STATUS_OK;
    *out = begins(rest, ", ");
    return *out ? is_of(deed, touch, rest + 2, out, err) : STATUS_OK;
}

/* "Import of samples from FILE: 12 new, 3 already recorded" */
bool line_tells_import(const struct touch *touch, size_t count, const char *line, char wanted[LINE_WANTED_MAX])
{
    char start[40];
    char tally[40];
    const char *found = NULL;
    (void)snprintf(start, sizeof start, "Import of %ss from ", touch->part->kind);
    (void)snprintf(tally, sizeof tally, ": %zu new", count);
    (void)snprintf(wanted, LINE_WANTED_MAX, "%sFILE%s", start, tally);
    for (const char *at = strstr(line, tally); at; at = strstr(at + 1, tally))
        found = at;
    return begins(line, start) && found && (!found[strlen(tally)] || found[strlen(tally)] == ',');
}
