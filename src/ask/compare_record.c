/* SPDX-License-Identifier: MIT */
/* Records of a hole that are counted, having no depth of their own: itself, its corrections, what the lag rests on. */
#include <assert.h>
#include <string.h>

#include "coretally/record/log_day.h"
#include "compare_parts.h"
#include "coretally/state/numbered.h"

static enum status tell(struct compare *compare, int what, const char *name, const bool there[2], const bool stands[2],
                        bool is_equal, struct err *err)
{
    const struct compare_thing thing = {.what = what,
                                        .name = name,
                                        .there = {there[0], there[1]},
                                        .stands = {stands[0], stands[1]},
                                        .is_equal = is_equal};
    return compare_tell(compare, &thing, err);
}

static enum status tell_hole(struct compare *compare, struct err *err)
{
    const struct hole *a = &compare->targets[0].hole;
    const struct hole *b = &compare->targets[1].hole;
    const bool *there = compare->has_hole;
    const bool stands[] = {there[0] && !a->withdrawn, there[1] && !b->withdrawn};
    return tell(compare, COMPARE_HOLE, compare->targets[1].hole_name, there, stands,
                there[0] && there[1] && record_is_equal(&hole_table, a, b), err);
}

/* A list of records that begin with or hold a number, in order of it. */
struct listed {
    const void *items[2];
    size_t counts[2];
    const struct table *table;
    const char *noun;
    int what;
};

static int32_t number_of(const struct listed *listed, const void *item)
{
    const struct field *number = field_find(listed->table, "number");
    assert(item && number); /* each table of a listing has one */
    return *(const int32_t *)((const char *)item + number->offset);
}

static const void *find_number(const struct listed *listed, int side, int32_t number)
{
    for (size_t at = 0; at < listed->counts[side]; at++) {
        const void *item = (const char *)listed->items[side] + at * listed->table->size;
        if (number_of(listed, item) == number)
            return item;
    }
    return NULL;
}

static enum status tell_numbered(struct compare *compare, const struct listed *listed, const void *const pair[2],
                                 struct err *err)
{
    char name[80];
    bool there[2];
    bool stands[2];
    for (int side = 0; side < 2; side++) {
        there[side] = pair[side] != NULL;
        stands[side] = there[side] && field_is_absent(field_find(listed->table, "withdrawn"), pair[side]);
    }
    (void)snprintf(name, sizeof name, "%s %d of %s", listed->noun, (int)number_of(listed, pair[1] ? pair[1] : pair[0]),
                   compare->targets[1].hole_name);
    return tell(compare, listed->what, name, there, stands,
                there[0] && there[1] && record_is_equal(listed->table, pair[0], pair[1]), err);
}

/* Those of the second side, then those that the first one alone has. */
static enum status tell_listed(struct compare *compare, const struct listed *listed, struct err *err)
{
    for (int side = 1; side >= 0; side--)
        for (size_t at = 0; at < listed->counts[side]; at++) {
            const void *item = (const char *)listed->items[side] + at * listed->table->size;
            const void *other = find_number(listed, 1 - side, number_of(listed, item));
            const void *const pair[] = {side ? other : item, side ? item : other};
            if (side == 1 || !other)
                TRY(tell_numbered(compare, listed, pair, err));
        }
    return STATUS_OK;
}

static enum status tell_corrections(struct compare *compare, struct err *err)
{
    struct listed listed = {.table = &correction_table, .noun = "correction", .what = COMPARE_CORRECTIONS};
    for (int side = 0; side < 2; side++) {
        struct correction *all = NULL;
        TRY(state_corrections(compare->states[side], compare->targets[side].hole_name, &all, &listed.counts[side],
                              err));
        listed.items[side] = all;
    }
    return tell_listed(compare, &listed, err);
}

static enum status tell_sets(struct compare *compare, const struct numbered_form *form, int what, struct err *err)
{
    struct listed listed = {.table = form->item, .noun = form->noun, .what = what};
    char path[REGISTRY_PATH_MAX];
    bool same = false;
    form->path(compare->targets[1].hole_name, path);
    TRY(compare_same(compare, path, &same, NULL, err));
    for (int side = 0; !same && side < 2; side++) {
        struct numbered_set set;
        TRY(numbered_set_read(compare->states[side], form, compare->targets[side].hole_name, &set, err));
        listed.items[side] = set.items;
        listed.counts[side] = set.count;
    }
    return tell_listed(compare, &listed, err);
}

static enum status tell_day(struct compare *compare, int64_t day, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char name[DAY_TEXT_MAX];
    bool there[2];
    bool same = false;
    log_day_path(compare->targets[1].hole_name, day, path);
    day_format(day, name);
    TRY(compare_same(compare, path, &same, there, err));
    return tell(compare, COMPARE_LOG, name, there, there, same, err);
}

static enum status tell_log(struct compare *compare, struct err *err)
{
    int64_t *days[2];
    size_t counts[2];
    size_t at[2] = {0, 0};
    for (int side = 0; side < 2; side++)
        TRY(state_log_days(compare->states[side], compare->targets[side].hole_name, &days[side], &counts[side], err));
    while (at[0] < counts[0] || at[1] < counts[1]) {
        const int64_t left = at[0] < counts[0] ? days[0][at[0]] : INT64_MAX;
        const int64_t right = at[1] < counts[1] ? days[1][at[1]] : INT64_MAX;
        at[0] += left <= right;
        at[1] += right <= left;
        TRY(tell_day(compare, left < right ? left : right, err));
    }
    return STATUS_OK;
}

enum status compare_records(struct compare *compare, struct err *err)
{
    TRY(tell_hole(compare, err));
    TRY(tell_corrections(compare, err));
    TRY(tell_sets(compare, &drilled_form, COMPARE_DRILLED, err));
    TRY(tell_sets(compare, &well_form, COMPARE_WELL, err));
    TRY(tell_sets(compare, &pumps_form, COMPARE_PUMPS, err));
    TRY(tell_sets(compare, &lag_check_form, COMPARE_CHECKS, err));
    return tell_log(compare, err);
}
