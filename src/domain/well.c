/* SPDX-License-Identifier: MIT */
/* Splitting bores and string against each other, and the volumes that follow. */
#include "coretally/domain/well.h"

#include <math.h>
#include <string.h>

#include "coretally/base/limits.h"

#define PI 3.14159265358979323846

const char *const bore_words[] = {"", "riser", "casing", "liner", "open", NULL};

/* No surface line holds more, nothing lies longer on its way to the sample. Common practice, no source. */
#define LINE_MOST_M3 200.0
#define DELAY_MOST_S 7200.0

static double metres(int64_t um)
{
    return (double)um * 1e-6;
}

double bore_diameter_m(const struct bore *bore)
{
    return metres(bore->diameter_um) * (1 + (isnan(bore->washout_pct) ? 0 : bore->washout_pct) / 100);
}

static enum status check_diameter(const char *name, int64_t um, int64_t least_um, struct err *err)
{
    if (um >= least_um && um <= WIDEST_BORE_UM)
        return STATUS_OK;
    err_set(err, STATUS_RULE, name, "a diameter of %s mm is outside %s to %s mm", length_text(um, UNIT_MM, 2).text,
            length_text(least_um, UNIT_MM, 0).text, length_text(WIDEST_BORE_UM, UNIT_MM, 0).text);
    return um > 0 && um < least_um ? err_hint(err, "if these are inches, type %sin", length_text(um, UNIT_MM, 3).text)
                                   : err_hint(err, "diameters are mm unless a unit says otherwise");
}

static enum status check_bore(const struct geometry *geometry, size_t at, struct err *err)
{
    const struct bore *bore = &geometry->bores[at];
    const char *name = bore_words[bore->kind];
    const int64_t above_um = at == 0 ? 0 : geometry->bores[at - 1].bottom_um;
    if (bore->kind == BORE_NONE || bore->diameter_um == LENGTH_NONE || bore->top_um == LENGTH_NONE)
        return err_set(err, STATUS_RULE, "bore", "bore %zu lacks its kind, its top or its diameter", at + 1);
    const char *above = at == 0 ? "the rig floor" : bore_words[geometry->bores[at - 1].kind];
    TRY(check_diameter(name, bore->diameter_um, NARROWEST_BORE_UM, err));
    if (above_um == LENGTH_NONE) {
        err_set(err, STATUS_RULE, name, "it is listed below open hole that has no bottom");
        return err_hint(err, "bores are listed from the rig floor down; only the last may have no bottom");
    }
    if (bore->top_um != above_um) {
        const bool gap = bore->top_um > above_um;
        err_set(err, STATUS_RULE, name, "%s between %s m, the bottom of %s, and its top at %s m",
                gap ? "a gap" : "an overlap", length_text(above_um, UNIT_M, 3).text, above,
                length_text(bore->top_um, UNIT_M, 3).text);
        return err_hint(err, "bores are what the mud touches: each begins where the one above ends, the first at 0");
    }
    if (bore->bottom_um == LENGTH_NONE && bore->kind != BORE_OPEN) {
        err_set(err, STATUS_RULE, name, "a %s has a bottom", name);
        return err_hint(err, "for example %s,%s,2500,%smm", name, length_text(bore->top_um, UNIT_M, 0).text,
                        length_text(bore->diameter_um, UNIT_MM, 1).text);
    }
    if (bore->bottom_um != LENGTH_NONE && bore->bottom_um <= bore->top_um)
        return err_set(err, STATUS_RULE, name, "its bottom, %s m, does not lie below its top, %s m",
                       length_text(bore->bottom_um, UNIT_M, 3).text, length_text(bore->top_um, UNIT_M, 3).text);
    if (!isnan(bore->washout_pct) && bore->kind != BORE_OPEN)
        return err_set(err, STATUS_RULE, name, "only open hole washes out");
    if (!isnan(bore->washout_pct) && (bore->washout_pct < 0 || bore->washout_pct > 200)) {
        err_set(err, STATUS_RULE, name, "a washout of %g %% of the diameter is outside 0 to 200 %%", bore->washout_pct);
        return err_hint(err, "washout is how much wider than the bit the hole is, in percent of the diameter");
    }
    if (bore->tolerance_um != LENGTH_NONE && bore->tolerance_um < 0)
        return err_set(err, STATUS_RULE, name, "a tolerance below 0");
    if (bore->tolerance_um != LENGTH_NONE && bore->tolerance_um >= bore->diameter_um / 2)
        return err_set(err, STATUS_RULE, name, "its diameter is good to %s mm, half of itself or more",
                       length_text(bore->tolerance_um, UNIT_MM, 1).text);
    return STATUS_OK;
}

static enum status check_part(const struct geometry *geometry, size_t at, struct err *err)
{
    const struct part *part = &geometry->parts[at];
    if (!part->name || part->outer_um == LENGTH_NONE)
        return err_set(err, STATUS_RULE, "string", "part %zu lacks its name or its outside diameter", at + 1);
    TRY(check_diameter(part->name, part->outer_um, NARROWEST_PIPE_UM, err));
    if (part->inner_um != LENGTH_NONE && (part->inner_um >= part->outer_um || part->inner_um <= 0))
        return err_set(err, STATUS_RULE, part->name, "its inside diameter, %s mm, is not less than its outside, %s mm",
                       length_text(part->inner_um, UNIT_MM, 1).text, length_text(part->outer_um, UNIT_MM, 1).text);
    if (part->length_um == LENGTH_NONE && at + 1 < geometry->part_count) {
        err_set(err, STATUS_RULE, part->name, "only the last part of the string may have no length");
        return err_hint(err,
                        "parts are listed from the bit up: name,length,outside,inside; the last reaches the floor");
    }
    if (part->length_um != LENGTH_NONE && part->length_um <= 0)
        return err_set(err, STATUS_RULE, part->name, "a part of the string is longer than 0 m");
    return STATUS_OK;
}

/* A volume, delay or share that cannot be. */
static enum status check_rest(const struct geometry *geometry, struct err *err)
{
    if (geometry->inlet_um != LENGTH_NONE &&
        (geometry->bore_count == 0 || geometry->inlet_um <= 0 ||
         (geometry->bores[geometry->bore_count - 1].bottom_um != LENGTH_NONE &&
          geometry->inlet_um >= geometry->bores[geometry->bore_count - 1].bottom_um))) {
        err_set(err, STATUS_RULE, "inlet", "the booster cannot enter at %s m",
                length_text(geometry->inlet_um, UNIT_M, 3).text);
        return err_hint(err, "it enters at the foot of the riser, m below rig floor");
    }
    if ((geometry->loss_um == LENGTH_NONE) != isnan(geometry->loss_pct)) {
        err_set(err, STATUS_RULE, "loss", "losses have a depth and a share");
        return err_hint(err, "add both --loss-depth 2100 and --loss 30 (percent); take both out with \"\" when cured");
    }
    if (!isnan(geometry->loss_pct) && (geometry->loss_pct < 0 || geometry->loss_pct > 100))
        return err_set(err, STATUS_RULE, "loss", "%g %% is outside 0 to 100 %%", geometry->loss_pct);
    if (geometry->loss_pct > 0 && geometry->loss_pct < 1) {
        err_set(err, STATUS_RULE, "loss", "a loss of %g %% is too small to be noticed", geometry->loss_pct);
        return err_hint(err, "losses are percent: type %g for %g", geometry->loss_pct * 100, geometry->loss_pct);
    }
    if (geometry->flowline_m3 < 0 || geometry->flowline_m3 > LINE_MOST_M3 || geometry->supply_m3 < 0 ||
        geometry->supply_m3 > LINE_MOST_M3) {
        err_set(err, STATUS_RULE, geometry->supply_m3 < 0 || geometry->supply_m3 > LINE_MOST_M3 ? "supply" : "flowline",
                "no line holds more than %g m3", LINE_MOST_M3);
        return err_hint(err, "bare numbers are m3; type 20bbl otherwise");
    }
    if (geometry->shaker_delay_s < 0 || geometry->shaker_delay_s > DELAY_MOST_S) {
        err_set(err, STATUS_RULE, "shaker-delay", "a delay of %g s is outside 0 to %g s", geometry->shaker_delay_s,
                DELAY_MOST_S);
        return err_hint(err, "bare numbers are s; type 3min otherwise");
    }
    return STATUS_OK;
}

enum status well_check(const struct geometry *geometry, struct err *err)
{
    if (geometry->bore_count == 0 || geometry->bore_count > BORES_MAX || geometry->part_count == 0 ||
        geometry->part_count > PARTS_MAX) {
        err_set(err, STATUS_RULE, "well",
                "a well has 1 to %d bores and a string of 1 to %d parts, this one %zu and %zu", BORES_MAX, PARTS_MAX,
                geometry->bore_count, geometry->part_count);
        return err_hint(err, "for example --bores 'casing,0,2500,312.4mm; open,2500,,311.2mm' "
                             "--string 'collars,200,203.2mm,71.4mm; drill pipe,,127mm,108.6mm'");
    }
    for (size_t at = 0; at < geometry->bore_count; at++)
        TRY(check_bore(geometry, at, err));
    for (size_t at = 0; at < geometry->part_count; at++)
        TRY(check_part(geometry, at, err));
    return check_rest(geometry, err);
}

/* Where the part begins above the bit, and ends: depths below rig floor. */
struct reach {
    int64_t top_um;
    int64_t bottom_um;
};

static struct reach part_reach(const struct geometry *geometry, size_t part, int64_t bit_um)
{
    struct reach reach = {bit_um, bit_um};
    for (size_t at = 0; at <= part; at++) {
        reach.bottom_um = reach.top_um;
        reach.top_um = geometry->parts[at].length_um == LENGTH_NONE ? 0 : reach.top_um - geometry->parts[at].length_um;
        if (reach.top_um < 0)
            reach.top_um = 0;
    }
    return reach;
}

static enum status refuse_wide(const struct bore *bore, const struct part *part, struct err *err)
{
    err_set(err, STATUS_RULE, part->name, "%s mm wide, it does not go into the %s of %.1f mm",
            length_text(part->outer_um, UNIT_MM, 1).text, bore_words[bore->kind], bore_diameter_m(bore) * 1000);
    return err_hint(err, "look at both diameters; bare numbers are mm, 8in says inches");
}

static enum status refuse_depth(const struct geometry *geometry, int64_t bit_um, int64_t bottom_um, bool string,
                                struct err *err)
{
    if (string) {
        const struct part *last = &geometry->parts[geometry->part_count - 1];
        err_set(err, STATUS_RULE, last->name, "the string ends %s m below the rig floor with the bit at %s m",
                length_text(bottom_um, UNIT_M, 3).text, length_text(bit_um, UNIT_M, 3).text);
        return err_hint(err, "leave the length of its last part out: it then reaches the floor");
    }
    err_set(err, STATUS_RULE, bore_words[geometry->bores[geometry->bore_count - 1].kind],
            "the bores end at %s m, the bit is at %s m", length_text(bottom_um, UNIT_M, 3).text,
            length_text(bit_um, UNIT_M, 3).text);
    return err_hint(err, "add open hole below: open,%s,,%smm; or, if that is open hole, leave its bottom out",
                    length_text(bottom_um, UNIT_M, 1).text,
                    length_text(geometry->bores[geometry->bore_count - 1].diameter_um, UNIT_MM, 1).text);
}

int64_t well_trial_bit(const struct geometry *geometry)
{
    const struct bore *last = &geometry->bores[geometry->bore_count - 1];
    return last->bottom_um == LENGTH_NONE ? last->top_um + 1000000 : last->bottom_um;
}

enum status well_split(const struct geometry *geometry, int64_t bit_um, struct segments *out, struct err *err)
{
    TRY(well_check(geometry, err));
    if (bit_um <= 0)
        return err_set(err, STATUS_RULE, "bit", "a bit at %s m is not below the rig floor",
                       length_text(bit_um, UNIT_M, 3).text);
    const int64_t bottom_um = geometry->bores[geometry->bore_count - 1].bottom_um;
    if (bottom_um != LENGTH_NONE && bit_um > bottom_um)
        return refuse_depth(geometry, bit_um, bottom_um, false, err);
    size_t part = geometry->part_count - 1;
    struct reach reach = part_reach(geometry, part, bit_um);
    if (reach.top_um > 0)
        return refuse_depth(geometry, bit_um, reach.top_um, true, err);
    struct segments split = {.count = 0};
    int64_t top_um = 0;
    for (size_t at = 0; top_um < bit_um;) {
        const struct bore *bore = &geometry->bores[at];
        while (reach.bottom_um <= top_um) /* parts of a long string that stand above the floor are empty */
            reach = part_reach(geometry, --part, bit_um);
        int64_t end_um = bore->bottom_um == LENGTH_NONE || bore->bottom_um > bit_um ? bit_um : bore->bottom_um;
        end_um = reach.bottom_um < end_um ? reach.bottom_um : end_um;
        const double inside_m = bore_diameter_m(bore);
        const double outside_m = metres(geometry->parts[part].outer_um);
        if (outside_m >= inside_m)
            return refuse_wide(bore, &geometry->parts[part], err);
        struct segment *segment = &split.items[split.count++];
        *segment =
            (struct segment){.top_um = top_um, .bottom_um = end_um, .bore = bore, .part = &geometry->parts[part]};
        segment->area_m2 = PI / 4 * (inside_m * inside_m - outside_m * outside_m);
        segment->volume_m3 = segment->area_m2 * metres(end_um - top_um);
        split.volume_m3 += segment->volume_m3;
        top_um = end_um;
        at += end_um == bore->bottom_um;
    }
    *out = split;
    return STATUS_OK;
}

void segments_cut(struct segments *segments, int64_t depth_um)
{
    for (size_t at = 0; at < segments->count && segments->count < SEGMENTS_MAX; at++) {
        struct segment *upper = &segments->items[at];
        if (depth_um <= upper->top_um || depth_um >= upper->bottom_um)
            continue;
        memmove(upper + 1, upper, (segments->count - at) * sizeof *upper);
        segments->count++;
        upper[1].top_um = upper->bottom_um = depth_um;
        for (int part = 0; part < 2; part++)
            upper[part].volume_m3 = upper[part].area_m2 * metres(upper[part].bottom_um - upper[part].top_um);
        return;
    }
}

double segments_volume(const struct segments *segments, int64_t top_um, int64_t bottom_um)
{
    double volume_m3 = 0;
    for (size_t at = 0; at < segments->count; at++) {
        const struct segment *segment = &segments->items[at];
        const int64_t from_um = segment->top_um > top_um ? segment->top_um : top_um;
        const int64_t to_um = segment->bottom_um < bottom_um ? segment->bottom_um : bottom_um;
        if (to_um > from_um)
            volume_m3 += segment->area_m2 * metres(to_um - from_um);
    }
    return volume_m3;
}

double string_volume(const struct geometry *geometry, int64_t bit_um)
{
    double volume_m3 = 0;
    for (size_t at = 0; at < geometry->part_count; at++) {
        const struct reach reach = part_reach(geometry, at, bit_um);
        if (reach.bottom_um == reach.top_um)
            continue;
        if (geometry->parts[at].inner_um == LENGTH_NONE)
            return NAN;
        const double inside_m = metres(geometry->parts[at].inner_um);
        volume_m3 += PI / 4 * inside_m * inside_m * metres(reach.bottom_um - reach.top_um);
    }
    return volume_m3;
}

double open_hole_diameter(const struct geometry *geometry, int64_t bit_um, double volume_m3, double *nominal_m3)
{
    struct segments split = {.count = 0};
    struct err ignored;
    if (well_split(geometry, bit_um, &split, &ignored) != STATUS_OK)
        return NAN;
    double length_m = 0;
    double pipe_m3 = 0;
    double nominal = 0;
    for (size_t at = 0; at < split.count; at++) {
        const struct segment *segment = &split.items[at];
        if (segment->bore->kind != BORE_OPEN)
            continue;
        const double outside_m = metres(segment->part->outer_um);
        length_m += metres(segment->bottom_um - segment->top_um);
        pipe_m3 += PI / 4 * outside_m * outside_m * metres(segment->bottom_um - segment->top_um);
        nominal += segment->volume_m3;
    }
    if (nominal_m3)
        *nominal_m3 = nominal; /* told whatever the volume asked for */
    return length_m > 0 && volume_m3 >= 0 ? sqrt((volume_m3 + pipe_m3) * 4 / PI / length_m) : NAN;
}

size_t geometry_at(const struct geometry *states, size_t count, int64_t utc_us)
{
    size_t found = SIZE_MAX;
    for (size_t at = 0; at < count; at++)
        if (!states[at].withdrawn && states[at].from.utc_us <= utc_us &&
            (found == SIZE_MAX || states[at].from.utc_us >= states[found].from.utc_us))
            found = at;
    return found;
}
