/* SPDX-License-Identifier: MIT */
/* Stored days of a pump log. */
#include "coretally/state/log.h"

#include <string.h>

int64_t log_day_of(int64_t utc_us)
{
    const int64_t day = utc_us / DAY_US;
    return day - (utc_us % DAY_US < 0);
}

enum status log_day_open(struct bytes bytes, const char *hole, int64_t day, struct arena *arena, struct log_day *out,
                         struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct err inner = {0};
    log_day_path(hole, day, path);
    if (log_day_decode(bytes, arena, out, &inner) != STATUS_OK) {
        char subject[ERR_SUBJECT_MAX];
        (void)snprintf(subject, sizeof subject, "%s, %.100s", path, inner.subject);
        err_set(err, inner.status, subject, "%s", inner.reason);
        return err_hint(err, "the registry's history holds every earlier version: git log -- %s", path);
    }
    if (strcmp(out->hole, hole) != 0 || out->day != day)
        return err_set(err, STATUS_DAMAGED, path, "the log here belongs to another hole or day");
    return STATUS_OK;
}
