/* SPDX-License-Identifier: MIT */
/* Random rig days. Sizes are those of common wells, loosely (common practice, no source). */
#include "random_log.h"

#include <math.h>

#define SECOND INT64_C(1000000)
#define PI 3.14159265358979323846

/* The rig while its day is made up. */
struct rig {
    struct random_log *out;
    uint64_t seed;
    int64_t row_us;    /* usual time between rows */
    bool jitters;      /* rows are not quite even */
    size_t row_limit;  /* rows of this day */
    double pumps_m3_s; /* what the pumps give when they run */
    double stroke_m3;
    double booster_m3_s; /* while on; 0 */
    int64_t bit_um;
    int64_t hole_um;
};

static double real_within(struct rig *rig, double low, double high)
{
    return low + (high - low) * (double)(random_next(&rig->seed) >> 11) * 0x1p-53;
}

/* In one of so many cases. */
static bool one_in(struct rig *rig, int64_t cases)
{
    return random_within(&rig->seed, 1, cases) == 1;
}

static int64_t um_within(struct rig *rig, double low_m, double high_m)
{
    return llround(real_within(rig, low_m, high_m) * 1e6);
}

static struct geometry *rig_state(struct rig *rig)
{
    return &rig->out->states[rig->out->well.count - 1];
}

static bool is_full(const struct rig *rig)
{
    return rig->out->step_count >= rig->row_limit;
}

static void write_row(struct rig *rig, int64_t time_us, double string_m3, double booster_m3)
{
    struct random_log *out = rig->out;
    size_t state = out->well.count; /* one more than that in force before this instant */
    while (state > 0 && out->states[state - 1].from.utc_us >= time_us)
        state--;
    const double strokes = string_m3 / rig->stroke_m3;
    out->steps[out->step_count++] = (struct flow_step){.time_us = time_us,
                                                       .bit_um = rig->bit_um,
                                                       .hole_um = rig->hole_um,
                                                       .string_m3 = string_m3,
                                                       .booster_m3 = booster_m3,
                                                       .strokes = strokes,
                                                       .state = state ? state - 1 : SIZE_MAX};
    lag_log_add(&out->log, state ? &out->states[state - 1] : NULL, time_us, rig->bit_um, rig->hole_um, string_m3,
                booster_m3, strokes);
}

/* One row on, at this flow into the string; the bit moves, and the hole with it when it goes below. */
static void next_row(struct rig *rig, double string_m3_s, double booster_m3_s, double bit_m_s)
{
    int64_t row_us = rig->row_us;
    if (rig->jitters)
        row_us += random_within(&rig->seed, -rig->row_us / 5, rig->row_us / 5);
    if (one_in(rig, 400))
        row_us += random_within(&rig->seed, 60, 300) * SECOND;
    const double seconds = (double)row_us * 1e-6;
    rig->bit_um += llround(bit_m_s * seconds * 1e6);
    rig->bit_um = rig->bit_um < 20 * METRE ? 20 * METRE : rig->bit_um;
    rig->hole_um = rig->bit_um > rig->hole_um ? rig->bit_um : rig->hole_um;
    write_row(rig, rig->out->steps[rig->out->step_count - 1].time_us + row_us, string_m3_s * seconds,
              booster_m3_s * seconds);
}

/* Rows of an activity that lasts so long; at least one. */
static size_t rows_of(const struct rig *rig, double seconds)
{
    const size_t rows = 1 + (size_t)(seconds * 1e6 / (double)rig->row_us);
    const size_t left = rig->row_limit - rig->out->step_count;
    return rows < left ? rows : left;
}

/* A stand or less; the rate of the pumps and of the bit changes now and then. */
static void drill(struct rig *rig)
{
    double bit_m_s = real_within(rig, 5, 90) / 3600;
    double flow_m3_s = rig->pumps_m3_s * real_within(rig, 0.7, 1);
    rig->bit_um = rig->hole_um;
    for (size_t rows = rows_of(rig, real_within(rig, 8, 30) / bit_m_s); rows > 0; rows--) {
        if (one_in(rig, 40))
            flow_m3_s = rig->pumps_m3_s * real_within(rig, 0.4, 1.1);
        if (one_in(rig, 60))
            bit_m_s = one_in(rig, 4) ? 0 : real_within(rig, 2, 90) / 3600;
        next_row(rig, flow_m3_s * real_within(rig, 0.98, 1.02), rig->booster_m3_s, bit_m_s);
    }
}

/* Pumps off, for a connection or for long; the booster may run on. */
static void stand_still(struct rig *rig, double seconds)
{
    const double booster_m3_s = one_in(rig, 3) ? rig->booster_m3_s : 0;
    rig->bit_um = rig->hole_um - um_within(rig, 0, 10);
    for (size_t rows = rows_of(rig, seconds); rows > 0; rows--)
        next_row(rig, 0, booster_m3_s, 0);
}

static void circulate(struct rig *rig)
{
    const double flow_m3_s = rig->pumps_m3_s * real_within(rig, 0.3, 1.1);
    for (size_t rows = rows_of(rig, real_within(rig, 120, 2400)); rows > 0; rows--)
        next_row(rig, flow_m3_s, rig->booster_m3_s, 0);
}

/* Out and in again: nothing is pumped but now and then a trickle. */
static void trip(struct rig *rig)
{
    const size_t rows = rows_of(rig, real_within(rig, 600, 5400)) / 2;
    const double bit_m_s = real_within(rig, 0.2, 1);
    for (size_t row = 0; row < rows; row++)
        next_row(rig, one_in(rig, 8) ? rig->pumps_m3_s * 0.02 : 0, 0, -bit_m_s);
    for (size_t row = 0; row < rows; row++) /* slower near bottom, whatever the next row's length */
        next_row(rig, 0, 0, fmin(bit_m_s, (double)(rig->hole_um - rig->bit_um) * 1e-6 / 700));
}

static void change_pumps(struct rig *rig)
{
    rig->pumps_m3_s *= real_within(rig, 0.8, 1.25);
    rig->stroke_m3 = real_within(rig, 0.008, 0.025);
}

static void switch_booster(struct rig *rig)
{
    rig->booster_m3_s = rig->booster_m3_s > 0 ? 0 : real_within(rig, 0.2, 1.2) * rig->pumps_m3_s;
}

/* The state so far once more, to be changed; in force from an instant about the next row. */
static struct geometry *copy_state(struct rig *rig, size_t shape)
{
    struct random_log *out = rig->out;
    const size_t at = out->well.count;
    const struct geometry *before = rig_state(rig);
    const int64_t last_us = out->steps[out->step_count - 1].time_us;
    memcpy(out->bores[at], before->bores, before->bore_count * sizeof *before->bores);
    memcpy(out->parts[at], before->parts, before->part_count * sizeof *before->parts);
    out->states[at] = *before;
    out->states[at].number = (int32_t)at + 1;
    int64_t from_us = one_in(rig, 2) ? last_us : last_us + random_within(&rig->seed, 1, rig->row_us);
    from_us = from_us > before->from.utc_us ? from_us : before->from.utc_us;
    out->states[at].from.utc_us = from_us;
    out->states[at].bores = out->bores[at];
    out->states[at].parts = out->parts[at];
    out->shape[at] = shape;
    out->well.count++;
    return &out->states[at];
}

/* Casing down to just above the bottom, and narrower hole and string from there. */
static void set_casing(struct rig *rig)
{
    const struct geometry *before = rig_state(rig);
    const struct bore *open = &before->bores[before->bore_count - 1];
    const int64_t shoe_um = rig->hole_um - um_within(rig, 1, 8);
    if (rig->out->well.count == RANDOM_STATES_MAX || open->diameter_um < 200000 || shoe_um <= open->top_um)
        return;
    struct geometry *state = copy_state(rig, rig->out->shape[before->number - 1] + 1);
    size_t at = state->bores[0].kind == BORE_RISER ? 1 : 0;
    const int64_t inside_um = open->diameter_um - um_within(rig, 0.02, 0.05);
    state->bores[at] = (struct bore){BORE_CASING, state->bores[at].top_um, shoe_um, inside_um, NAN, LENGTH_NONE};
    state->bores[at + 1] =
        (struct bore){BORE_OPEN, shoe_um, LENGTH_NONE, inside_um - um_within(rig, 0.005, 0.02), NAN, 3000};
    state->bore_count = at + 2;
    for (size_t part = 0; part < state->part_count; part++) {
        const int64_t most_um = state->bores[at + 1].diameter_um * (part == 0 ? 80 : 65) / 100;
        if (state->parts[part].outer_um > most_um)
            state->parts[part].outer_um = most_um;
    }
    state->loss_um = LENGTH_NONE;
    state->loss_pct = NAN;
}

/* Losses begin, change or stop. */
static void change_loss(struct rig *rig)
{
    const struct geometry *before = rig_state(rig);
    if (rig->out->well.count == RANDOM_STATES_MAX)
        return;
    struct geometry *state = copy_state(rig, rig->out->shape[before->number - 1]);
    const int64_t shoe_um = state->bores[state->bore_count - 1].top_um;
    if (state->loss_um != LENGTH_NONE && one_in(rig, 2)) {
        state->loss_um = LENGTH_NONE;
        state->loss_pct = NAN;
        return;
    }
    const int64_t place = random_within(&rig->seed, 1, 10);
    state->loss_um = place <= 6   ? random_within(&rig->seed, shoe_um, rig->hole_um)
                     : place == 7 ? rig->hole_um
                     : place == 8 ? rig->hole_um + um_within(rig, 0, 15)
                                  : random_within(&rig->seed, shoe_um / 4, shoe_um);
    state->loss_pct = one_in(rig, 6) ? 100 : real_within(rig, 2, 75);
}

static void act(struct rig *rig)
{
    const int64_t choice = random_within(&rig->seed, 1, 100);
    if (choice <= 38)
        drill(rig);
    else if (choice <= 58)
        stand_still(rig, real_within(rig, 120, 900));
    else if (choice <= 62)
        stand_still(rig, real_within(rig, 1800, 7200));
    else if (choice <= 70)
        circulate(rig);
    else if (choice <= 73)
        trip(rig);
    else if (choice <= 78)
        change_pumps(rig);
    else if (choice <= 87)
        switch_booster(rig);
    else if (choice <= 89)
        set_casing(rig);
    else
        change_loss(rig);
}

/* Bores of the first state: some 40 % have no riser, some have a liner. */
static void make_bores(struct rig *rig, struct geometry *state, int64_t depth_um)
{
    struct bore *bores = state->bores;
    size_t count = 0;
    int64_t top_um = 0;
    int64_t casing_um = um_within(rig, 0.2, 0.35);
    if (!one_in(rig, 3)) {
        top_um = depth_um * random_within(&rig->seed, 5, 60) / 100;
        bores[count++] = (struct bore){BORE_RISER, 0, top_um, um_within(rig, 0.45, 0.53), NAN, LENGTH_NONE};
        if (!one_in(rig, 4))
            state->inlet_um = one_in(rig, 4) ? top_um - um_within(rig, 0, 3) : top_um;
    }
    int64_t shoe_um = top_um + (depth_um - top_um) * random_within(&rig->seed, 30, 90) / 100;
    if (one_in(rig, 4)) {
        const int64_t hanger_um = (top_um + shoe_um) / 2;
        bores[count++] = (struct bore){BORE_CASING, top_um, hanger_um, casing_um, NAN, 1000};
        casing_um -= 30000;
        bores[count++] = (struct bore){BORE_LINER, hanger_um, shoe_um, casing_um, NAN, LENGTH_NONE};
    } else
        bores[count++] = (struct bore){BORE_CASING, top_um, shoe_um, casing_um, NAN, LENGTH_NONE};
    bores[count++] = (struct bore){BORE_OPEN,
                                   shoe_um,
                                   LENGTH_NONE,
                                   casing_um - um_within(rig, 0.001, 0.02),
                                   one_in(rig, 3) ? NAN : real_within(rig, 0, 25),
                                   5000};
    state->bore_count = count;
}

/* Collars, heavy pipe, pipe, and now and then wider pipe above it. */
static void make_parts(struct rig *rig, struct geometry *state, int64_t depth_um)
{
    struct part *parts = state->parts;
    const double hole_m = (double)state->bores[state->bore_count - 1].diameter_um * 1e-6;
    const double depth_m = (double)depth_um * 1e-6;
    const double pipe_m = real_within(rig, 0.3, 0.5) * hole_m;
    size_t count = 0;
    parts[count++] = (struct part){"collars", um_within(rig, 0.02 * depth_m, 0.15 * depth_m),
                                   llround(hole_m * real_within(rig, 0.6, 0.78) * 1e6), LENGTH_NONE};
    if (one_in(rig, 2))
        parts[count++] = (struct part){"heavy pipe", um_within(rig, 0.02 * depth_m, 0.1 * depth_m),
                                       llround(pipe_m * 1.1e6), LENGTH_NONE};
    if (one_in(rig, 4))
        parts[count++] =
            (struct part){"pipe", um_within(rig, 0.1 * depth_m, 0.5 * depth_m), llround(pipe_m * 1e6), LENGTH_NONE};
    parts[count++] =
        (struct part){"upper pipe", LENGTH_NONE,
                      llround(pipe_m * (one_in(rig, 3) ? real_within(rig, 1, 1.2) : 1) * 1e6), LENGTH_NONE};
    state->part_count = count;
}

/* The annulus of the first state, roughly: whole areas by hand, the string taken as its uppermost part. */
static double rough_volume(const struct geometry *state, int64_t depth_um)
{
    double volume_m3 = 0;
    const double pipe_m = (double)state->parts[state->part_count - 1].outer_um * 1e-6;
    for (size_t at = 0; at < state->bore_count; at++) {
        const struct bore *bore = &state->bores[at];
        const double inside_m = (double)bore->diameter_um * 1e-6;
        const int64_t bottom_um = bore->bottom_um == LENGTH_NONE ? depth_um : bore->bottom_um;
        volume_m3 += PI / 4 * (inside_m * inside_m - pipe_m * pipe_m) * (double)(bottom_um - bore->top_um) * 1e-6;
    }
    return volume_m3;
}

static void make_first_state(struct rig *rig, int64_t from_us)
{
    struct random_log *out = rig->out;
    struct geometry *state = &out->states[0];
    *state = (struct geometry){.number = 1,
                               .bores = out->bores[0],
                               .parts = out->parts[0],
                               .inlet_um = LENGTH_NONE,
                               .flowline_m3 = one_in(rig, 3) ? NAN : real_within(rig, 0, 3),
                               .supply_m3 = NAN,
                               .shaker_delay_s = one_in(rig, 3) ? NAN : real_within(rig, 0, 200),
                               .loss_um = LENGTH_NONE,
                               .loss_pct = NAN};
    state->from = (struct instant){.utc_us = from_us, .known = true};
    out->shape[0] = 0;
    out->well.count = 1;
    make_bores(rig, state, rig->hole_um);
    make_parts(rig, state, rig->hole_um);
}

void random_log_fill(struct random_log *out, uint64_t seed)
{
    static const int64_t rows_s[] = {1, 2, 5, 10, 10, 300};
    static const double depths_m[][2] = {{60, 300}, {80, 600}, {200, 1500}, {500, 4000}, {1500, 6000}, {2000, 9000}};
    struct rig rig = {.out = out, .seed = seed * 2 + 1};
    const size_t kind = (size_t)random_within(&rig.seed, 0, COUNT_OF(rows_s) - 1);
    const int64_t start_us = (INT64_C(1772323200) + random_within(&rig.seed, 0, 86400)) * SECOND;
    out->log = (struct lag_log){.time_us = out->time_us,
                                .bit_um = out->bit_um,
                                .hole_um = out->hole_um,
                                .at_bit_m3 = out->at_bit_m3,
                                .middle_m3 = out->middle_m3,
                                .at_top_m3 = out->at_top_m3,
                                .strokes = out->strokes};
    out->step_count = 0;
    out->well = (struct lag_well){.states = out->states};
    rig.row_us = rows_s[kind] * SECOND;
    rig.jitters = one_in(&rig, 2);
    rig.bit_um = rig.hole_um = um_within(&rig, depths_m[kind][0], depths_m[kind][1]);
    /* a day that starts before its first geometry is as good as a shorter one, but for questions about its start */
    make_first_state(&rig, start_us + (one_in(&rig, 10) ? 30 * rig.row_us : -SECOND));
    rig.pumps_m3_s = real_within(&rig, 1, 4) / 60;
    rig.stroke_m3 = 0.0167;
    const double lag_s = rough_volume(&out->states[0], rig.hole_um) / rig.pumps_m3_s;
    rig.row_limit = (size_t)(lag_s * 1e6 / (double)rig.row_us * real_within(&rig, 2, 6)) + 20;
    rig.row_limit = rig.row_limit < RANDOM_ROWS_MAX ? rig.row_limit : RANDOM_ROWS_MAX;
    write_row(&rig, start_us, 0, 0);
    while (!is_full(&rig))
        act(&rig);
}
