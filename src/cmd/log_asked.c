/* SPDX-License-Identifier: MIT */
/* A pump log in a file, as it was asked for. */
#include "log_asked.h"

#include <math.h>

#include "coretally/base/measure.h"

static enum status read_options(const struct run *run, struct log_asked *asked, struct err *err)
{
    double gap_s = (double)LOG_GAP_US / 1e6;
    const char *gap = run_option(run, "gap");
    const char *bridge = run_option(run, "bridge");
    if (gap)
        TRY(measure_parse(gap, MEASURE_TIME, &gap_s, err));
    if (!(gap_s >= 1 && gap_s <= 86400)) {
        err_set(err, STATUS_INPUT, "--gap", "%.40s is outside 1 s to 24 h", gap);
        return err_hint(err, "rows further apart than this are a gap; for example --gap 60s");
    }
    asked->gap_us = (int64_t)llround(gap_s * 1e6);
    asked->format = run_option(run, "format");
    asked->mapping = (struct mapping_asked){.file = run_option(run, "map"), .lines = run_option(run, "set")};
    asked->is_sure = run_option(run, "sure") != NULL;
    return bridge ? log_bridge_parse(bridge, &asked->bridge, err) : STATUS_OK;
}

enum status log_open(struct run *run, const char *file, bool is_growing, struct target *target, struct log_take *take,
                     struct err *err)
{
    struct log_asked asked = {.file = file, .is_growing = is_growing};
    TRY(read_options(run, &asked, err));
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, target, err));
    return log_take_open(run->state, target, &asked, take, err);
}
