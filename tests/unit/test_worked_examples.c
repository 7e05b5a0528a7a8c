/* SPDX-License-Identifier: MIT */
/* Worked examples that others printed, against our pumps, wells and units. The rows stand in published.inc. Where
 * LAG_EXAMPLES names a folder the examples.csv there is held against them. */
#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "coretally/base/measure.h"
#include "coretally/domain/pump.h"
#include "coretally/domain/well.h"

#define WITHIN_TENTH 0.001
#define LAST_DIGIT (-1.0)
#define CARBIDE_INPUTS                                                                                                 \
    "strokes=4000;output_bbl_stk=0.1;surface_bbl=20;casing_in=6.33;casing_ft=5000;hole_in=6;bottom_ft=10000;"          \
    "pipe_in=4;pipebore_in=3.34;collar_in=4.75;collarbore_in=2.5;collar_ft=500"

struct example {
    const char *id;
    const char *quantity;
    const char *inputs; /* name_unit=value;... */
    const char *printed;
    const char *unit;
    double tolerance; /* a part of the printed value, or LAST_DIGIT */
    const char *source;
};

#define EXAMPLE_ROWS
static const struct example examples[] = {
#include "published.inc"
};
#undef EXAMPLE_ROWS

/* A figure that nobody can look up proves nothing. */
static bool is_complete(const struct example *row)
{
    const char *const texts[] = {row->id, row->quantity, row->inputs, row->printed, row->unit, row->source};
    for (size_t at = 0; at < COUNT_OF(texts); at++)
        if (!texts[at] || !texts[at][0])
            return false;
    char *end = NULL;
    return strtod(row->printed, &end) > 0 && !*end && (row->tolerance > 0 || row->tolerance == LAST_DIGIT);
}

/* The value of "name" or "name_unit"; the unit, with / for _, into unit. */
static double input_find(const char *inputs, const char *name, char unit[16])
{
    const size_t len = strlen(name);
    for (const char *at = inputs; at; at = strchr(at, ';') ? strchr(at, ';') + 1 : NULL) {
        const size_t key = strcspn(at, "=");
        if (strncmp(at, name, len) != 0 || (at[len] != '_' && at[len] != '='))
            continue;
        unit[0] = '\0';
        if (at[len] == '_')
            (void)snprintf(unit, 16, "%.*s", (int)(key - len - 1), at + len + 1);
        for (char *letter = unit; *letter; letter++)
            if (*letter == '_')
                *letter = '/';
        return strtod(at + key + 1, NULL);
    }
    fail_msg("no input '%s' in '%s'", name, inputs);
    return NAN;
}

static double input_plain(const char *inputs, const char *name)
{
    char unit[16];
    return input_find(inputs, name, unit);
}

static int64_t input_um(const char *inputs, const char *name, const char *wanted)
{
    char text[64];
    char unit[16];
    char both[64];
    int64_t um = 0;
    struct err err = {0};
    (void)snprintf(both, sizeof both, "%s%s%s", name, wanted ? "_" : "", wanted ? wanted : "");
    const double value = input_find(inputs, both, unit);
    (void)snprintf(text, sizeof text, "%.9g%s", value, wanted ? wanted : unit);
    if (length_parse(text, UNIT_M, &um, &err) != STATUS_OK)
        fail_msg("'%s' of '%s' is no length", text, inputs);
    return um;
}

static double unit_factor(enum measure measure, const char *unit)
{
    double factor = NAN;
    if (!measure_find(measure, unit, &factor))
        fail_msg("no unit '%s'", unit);
    return factor;
}

static double input_measure(const char *inputs, const char *name, enum measure measure)
{
    char unit[16];
    const double value = input_find(inputs, name, unit);
    return value * unit_factor(measure, unit);
}

/* A well of the inputs; casing, collars and their insides only where there are any. */
struct well {
    struct bore bores[2];
    struct part parts[2];
    struct geometry geometry;
};

static void well_init(struct well *well, int64_t hole_um, int64_t pipe_um)
{
    *well = (struct well){
        .bores = {{BORE_OPEN, 0, LENGTH_NONE, hole_um, NAN, LENGTH_NONE}},
        .parts = {{"pipe", LENGTH_NONE, pipe_um, LENGTH_NONE}},
    };
    well->geometry = (struct geometry){.bores = well->bores,
                                       .bore_count = 1,
                                       .parts = well->parts,
                                       .part_count = 1,
                                       .inlet_um = LENGTH_NONE,
                                       .loss_um = LENGTH_NONE,
                                       .loss_pct = NAN};
}

static void well_init_cased(struct well *well, const char *inputs, bool insides)
{
    well_init(well, input_um(inputs, "hole", "in"), input_um(inputs, "pipe", "in"));
    well->bores[1] = well->bores[0];
    const int64_t shoe_um = input_um(inputs, "casing", "ft");
    well->bores[0] = (struct bore){BORE_CASING, 0, shoe_um, input_um(inputs, "casing", "in"), NAN, LENGTH_NONE};
    well->bores[1].top_um = shoe_um;
    well->parts[1] = well->parts[0];
    well->parts[0] =
        (struct part){"collars", input_um(inputs, "collar", "ft"), input_um(inputs, "collar", "in"), LENGTH_NONE};
    if (insides) {
        well->parts[0].inner_um = input_um(inputs, "collarbore", "in");
        well->parts[1].inner_um = input_um(inputs, "pipebore", "in");
    }
    well->geometry.bore_count = 2;
    well->geometry.part_count = 2;
}

static struct segments well_segments(const struct well *well, int64_t bit_um)
{
    struct segments split = {0};
    struct err err = {0};
    if (well_split(&well->geometry, bit_um, &split, &err) != STATUS_OK)
        fail_msg("%s: %s", err.subject, err.reason);
    return split;
}

/* Annulus of one bore and one pipe, m3, over a length. */
static double ring_m3(const char *inputs, int64_t length_um)
{
    struct well well;
    well_init(&well, input_um(inputs, "hole", NULL), input_um(inputs, "pipe", NULL));
    return well_segments(&well, length_um).volume_m3;
}

static double example_output(const struct example *row, enum pump_kind kind)
{
    const struct pump pump = {
        .name = "1",
        .kind = kind,
        .bore_um = input_um(row->inputs, "liner", NULL),
        .rod_um = kind == PUMP_DUPLEX ? input_um(row->inputs, "rod", NULL) : LENGTH_NONE,
        .stroke_um = input_um(row->inputs, "stroke", NULL),
        .efficiency_pct = 100 * input_plain(row->inputs, "efficiency"),
        .output_m3 = NAN,
        .tolerance_pct = NAN,
    };
    struct err err;
    ROW(row->id, pump_check(&pump, &err) == STATUS_OK);
    const double output_m3 = pump_output(&pump);
    if (strcmp(row->unit, "in3/stk") == 0)
        return output_m3 / pow(25400e-6, 3);
    return strchr(row->unit, 'k') ? output_m3 / unit_factor(MEASURE_OUTPUT, row->unit) : output_m3;
}

/* Tracer: strokes less the surface line, the inside of the string and the annulus in casing. */
static double caliper_m3(const struct well *well, const char *inputs, int64_t bottom_um)
{
    const struct pump pump = {.kind = PUMP_MEASURED, .output_m3 = input_measure(inputs, "output", MEASURE_OUTPUT)};
    const struct segments split = well_segments(well, bottom_um);
    return input_plain(inputs, "strokes") * pump_output(&pump) - input_measure(inputs, "surface", MEASURE_VOLUME) -
           string_volume(&well->geometry, bottom_um) - segments_volume(&split, 0, well->bores[1].top_um);
}

static double example_volume(const struct example *row)
{
    const char *inputs = row->inputs;
    struct well well;
    if (strcmp(row->quantity, "annular_volume") == 0)
        return ring_m3(inputs, input_um(inputs, "length", NULL));
    if (strcmp(row->quantity, "hole_volume") == 0) { /* the inside of a pipe is a hole without one */
        well_init(&well, 2 * METRE, 1 * METRE);
        well.parts[0].inner_um = input_um(inputs, "hole", NULL);
        return string_volume(&well.geometry, input_um(inputs, "length", NULL));
    }
    const bool caliper = strcmp(row->quantity, "caliper_volume") == 0;
    const int64_t bottom_um = input_um(inputs, "bottom", "ft");
    well_init_cased(&well, inputs, caliper);
    return caliper ? caliper_m3(&well, inputs, bottom_um) : well_segments(&well, bottom_um).volume_m3;
}

/* The example's quantity in its unit, by the functions that the program uses. */
static double example_compute(const struct example *row)
{
    const char *inputs = row->inputs;
    const char *quantity = row->quantity;
    if (strcmp(quantity, "flow") == 0)
        return input_measure(inputs, "flow", MEASURE_FLOW) / unit_factor(MEASURE_FLOW, row->unit);
    if (strcmp(quantity, "lag_time") == 0)
        return input_measure(inputs, "annulus", MEASURE_VOLUME) / input_measure(inputs, "flow", MEASURE_FLOW) * 60 /
               unit_factor(MEASURE_TIME, row->unit);
    if (strcmp(quantity, "lag_strokes") == 0)
        return input_measure(inputs, "annulus", MEASURE_VOLUME) / input_measure(inputs, "output", MEASURE_OUTPUT);
    if (strcmp(quantity, "triplex_output") == 0)
        return example_output(row, PUMP_TRIPLEX);
    if (strcmp(quantity, "duplex_output") == 0)
        return example_output(row, PUMP_DUPLEX);
    if (strcmp(quantity, "triplex_flow") == 0)
        return example_output(row, PUMP_TRIPLEX) * input_plain(inputs, "spm") / unit_factor(MEASURE_FLOW, row->unit);
    if (strcmp(quantity, "annular_velocity") == 0)
        return 1 / ring_m3(inputs, METRE);
    if (strcmp(quantity, "caliper_diameter") == 0) {
        struct well well;
        const int64_t bottom_um = input_um(inputs, "bottom", "ft");
        well_init_cased(&well, inputs, true);
        return open_hole_diameter(&well.geometry, bottom_um, caliper_m3(&well, inputs, bottom_um), NULL) / 25400e-6;
    }
    char unit[16];
    if (strcmp(quantity, "annular_capacity") == 0) { /* volume/ft */
        (void)snprintf(unit, sizeof unit, "%.*s", (int)strcspn(row->unit, "/"), row->unit);
        return ring_m3(inputs, 304800) / unit_factor(MEASURE_VOLUME, unit);
    }
    if (strcmp(quantity, "annular_capacity_inverse") == 0) /* ft/volume */
        return unit_factor(MEASURE_VOLUME, strchr(row->unit, '/') + 1) / ring_m3(inputs, 304800);
    return example_volume(row) / unit_factor(MEASURE_VOLUME, row->unit);
}

static bool example_agrees(const struct example *row, double found)
{
    const double printed = strtod(row->printed, NULL);
    const char *point = strchr(row->printed, '.');
    const double half_digit = 0.5 * pow(10, point ? -(double)strlen(point + 1) : 0);
    return fabs(found - printed) <= (row->tolerance == LAST_DIGIT ? half_digit : row->tolerance * printed);
}

static const struct example *example_find(const char *id)
{
    for (size_t at = 0; at < COUNT_OF(examples); at++)
        if (strcmp(examples[at].id, id) == 0)
            return &examples[at];
    return NULL;
}

static void printed_examples_agree(void **state)
{
    (void)state;
    for (size_t at = 0; at < COUNT_OF(examples); at++) {
        ROW(examples[at].id ? examples[at].id : "?", is_complete(&examples[at]));
        ROW(examples[at].id, example_find(examples[at].id) == &examples[at]);
        const double found = example_compute(&examples[at]);
        if (!example_agrees(&examples[at], found))
            fail_msg("%s: %.6g, printed %s %s", examples[at].id, found, examples[at].printed, examples[at].unit);
    }
}

static void a_row_without_a_source_is_refused(void **state)
{
    (void)state;
    struct example row = examples[0];
    assert_true(is_complete(&row));
    row.source = NULL;
    assert_false(is_complete(&row));
    row.source = "";
    assert_false(is_complete(&row));
    row = examples[0];
    row.printed = "about 35";
    assert_false(is_complete(&row));
    row.printed = "35";
    row.tolerance = 0;
    assert_false(is_complete(&row));
}

/* Not published, our own: a riser well, worked by hand. */
static void our_own_well_adds_up(void **state)
{
    (void)state;
    static const double expected_m3[] = {180.008, 95.988, 50.696, 8.722};
    struct well well;
    well_init(&well, 311150, 127000);
    struct bore bores[] = {{BORE_RISER, 0, 1000 * METRE, 495300, NAN, LENGTH_NONE},
                           {BORE_CASING, 1000 * METRE, 2500 * METRE, 312420, NAN, LENGTH_NONE},
                           {BORE_OPEN, 2500 * METRE, LENGTH_NONE, 311150, NAN, LENGTH_NONE}};
    struct part parts[] = {{"collars", 200 * METRE, 203200, LENGTH_NONE}, {"pipe", LENGTH_NONE, 127000, LENGTH_NONE}};
    well.geometry.bores = bores;
    well.geometry.bore_count = COUNT_OF(bores);
    well.geometry.parts = parts;
    well.geometry.part_count = COUNT_OF(parts);
    const struct segments split = well_segments(&well, 3500 * METRE);
    assert_int_equal(split.count, COUNT_OF(expected_m3));
    for (size_t at = 0; at < split.count; at++)
        assert_true(fabs(split.items[at].volume_m3 - expected_m3[at]) <= 0.0005);
    assert_true(fabs(split.volume_m3 - 335.414) <= 0.0005);
    assert_true(fabs(split.volume_m3 / 2.5 - 134.17) <= 0.005); /* minutes; with a booster of 1 m3/min: */
    const double riser_m3 = segments_volume(&split, 0, 1000 * METRE);
    assert_true(fabs((split.volume_m3 - riser_m3) / 2.5 + riser_m3 / 3.5 - 113.59) <= 0.005);
}

/* Every row of the file stands above with the same figures, but for the one that hides its efficiency. */
static void the_data_folder_says_the_same(void **state)
{
    char line[512];
    if (!*state)
        skip();
    (void)snprintf(line, sizeof line, "%s/examples.csv", (const char *)*state);
    FILE *file = fopen(line, "r");
    assert_non_null(file);
    int rows = -1; /* the heading */
    while (fgets(line, sizeof line, file) && ++rows >= 0) {
        char cells[5][128];
        if (rows == 0)
            continue;
        assert_int_equal(sscanf(line, "%127[^,],%127[^,],%127[^,],%127[^,],%127[^,],", cells[0], cells[1], cells[2],
                                cells[3], cells[4]),
                         5);
        const struct example *row = example_find(cells[0]);
        ROW(cells[0], row && strcmp(row->quantity, cells[1]) == 0 && strcmp(row->unit, cells[4]) == 0);
        ROW_TEXT(cells[0], row->printed, cells[3]);
        ROW(cells[0], (strcmp(row->inputs, cells[2]) == 0) == (strcmp(cells[0], "triplex_7x12_80spm") != 0));
    }
    (void)fclose(file);
    assert_int_equal(rows, 18);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(printed_examples_agree),
        cmocka_unit_test(a_row_without_a_source_is_refused),
        cmocka_unit_test(our_own_well_adds_up),
        cmocka_unit_test_prestate(the_data_folder_says_the_same, getenv("LAG_EXAMPLES")),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
