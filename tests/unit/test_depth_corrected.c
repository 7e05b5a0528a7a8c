/* SPDX-License-Identifier: MIT */
/* Drilled depths with corrections: each kind alone, all together, below either datum, and the bounds. */
#include "unit.h"

#include "correction_parts.h"

enum { MOST = 10 };

/* A hole with its corrections; the core is number 3, on deck an hour after the seafloor was found. */
struct rig {
    struct hole hole;
    struct core core;
    struct section sections[2];
    const struct correction *in_force[MOST];
};

static void rig_init(struct rig *rig)
{
    *rig = (struct rig){.hole = part_hole(3000 * METRE)};
    rig->hole.seafloor_at = part_time(60);
    rig->sections[0] = part_section(1, 6 * METRE);
    rig->sections[1] = part_section(2, 3 * METRE);
    rig->core = part_core(3100 * METRE, 3110 * METRE, rig->sections, 2);
    rig->core.on_deck = part_time(120);
}

static struct tide_height heights[] = {{{.known = true}, 0}, {{.known = true}, 0}, {{.known = true}, 0}};

/* 0.2 m when the seafloor was found, 1.2 m when the core came up. */
static struct correction tide(int32_t number)
{
    struct correction it = part_correction(CORRECTION_TIDE, number);
    heights[0] = (struct tide_height){part_time(0), -800000};
    heights[1] = (struct tide_height){part_time(120), 1200000};
    heights[2] = (struct tide_height){part_time(180), 700000};
    it.heights = heights;
    it.height_count = COUNT_OF(heights);
    return it;
}

static struct correction by(enum correction_kind kind, int64_t amount_um)
{
    struct correction it = part_correction(kind, 1);
    it.amount_um = amount_um;
    if (kind == CORRECTION_SHIFT)
        it.core = 3;
    return it;
}

static struct correction tally_from(int64_t top_um)
{
    struct correction it = by(CORRECTION_TALLY, -9500000);
    it.top_um = top_um;
    return it;
}

static struct correction retyped(int64_t top_um, int64_t bottom_um)
{
    struct correction it = part_correction(CORRECTION_READING, 1);
    it.core = 3;
    it.core_top_um = top_um;
    it.core_bottom_um = bottom_um;
    return it;
}

static struct correction seafloor(int64_t um)
{
    struct correction it = part_correction(CORRECTION_SEAFLOOR, 1);
    it.seafloor_um = um;
    it.seafloor_by = SEAFLOOR_CAMERA;
    it.seafloor_at = part_time(60);
    return it;
}

/* By hand, each kind alone: the core top at 3100 m, the seafloor at 3000 m. */
static void each_kind_alone(void **state)
{
    (void)state;
    struct correction other_core = by(CORRECTION_SHIFT, METRE);
    struct correction some_cores = by(CORRECTION_TALLY, METRE);
    struct correction later = by(CORRECTION_TALLY, METRE);
    struct correction deep_stretch = part_stretch(1);
    struct correction later_seafloor = seafloor(3003 * METRE);
    other_core.core = 4;
    some_cores.first_core = some_cores.last_core = 3;
    later.from = part_time(120);
    deep_stretch.top_um = 3050 * METRE;
    later_seafloor.from = part_time(121);
    const struct {
        const char *what;
        struct correction correction;
        int64_t drf_um;
        int64_t dsf_um;
    } rows[] = {
        {"retyped", retyped(3110 * METRE, LENGTH_NONE), 3110000000, 110000000},
        {"bottom retyped", retyped(LENGTH_NONE, 3111 * METRE), 3100000000, 100000000},
        {"tally slip above the core", tally_from(3050 * METRE), 3090500000, 90500000},
        {"tally slip at its top", tally_from(3100 * METRE), 3090500000, 90500000},
        {"tally slip just below it", tally_from(3100 * METRE + 1), 3100000000, 100000000},
        {"tally slip above the seafloor", tally_from(2000 * METRE), 3090500000, 100000000},
        {"tally slip everywhere", by(CORRECTION_TALLY, METRE), 3101000000, 100000000},
        {"tally slip of some cores", some_cores, 3101000000, 101000000},
        {"tally slip after the seafloor was found", later, 3101000000, 101000000},
        {"stretch", part_stretch(1), 3100775000, 100025000},
        {"stretch of what lies deeper", deep_stretch, 3100775000, 100775000},
        {"tide", tide(1), 3098800000, 99000000},
        {"shifted", by(CORRECTION_SHIFT, 500000), 3100500000, 100500000},
        {"another core shifted", other_core, 3100000000, 100000000},
        {"seafloor found anew", seafloor(3003 * METRE), 3100000000, 97000000},
        {"seafloor found anew later", later_seafloor, 3100000000, 100000000},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++)
        for (int below_seafloor = 0; below_seafloor < 2; below_seafloor++) {
            struct rig rig;
            struct depth_links links = {0};
            rig_init(&rig);
            part_correct(&rig.hole, &rows[at].correction, 1, rig.in_force);
            struct correction moved = rows[at].correction;
            if (below_seafloor) { /* read below the seafloor of the record: the same place, the same depths */
                rig.core.datum = DATUM_SEAFLOOR;
                rig.core.top_um -= 3000 * METRE;
                rig.core.bottom_um -= 3000 * METRE;
                moved.core_top_um -= moved.core_top_um == LENGTH_NONE ? 0 : 3000 * METRE;
                rig.in_force[0] = &moved;
            }
            struct depth depth = core_top_depth(&rig.hole, &rig.core, SCALE_DRF, &links);
            ROW(rows[at].what, depth.um == rows[at].drf_um && !depth.why);
            ROW_TEXT(rows[at].what, part_links_wrong(&links, depth) ? part_links_wrong(&links, depth) : "", "");
            links.count = 0;
            depth = core_top_depth(&rig.hole, &rig.core, SCALE_DSF, &links);
            ROW(rows[at].what, depth.um == rows[at].dsf_um && !depth.why);
            ROW_TEXT(rows[at].what, part_links_wrong(&links, depth) ? part_links_wrong(&links, depth) : "", "");
        }
}

/* By hand: 3110 retyped - 9.5 tally + 0.775125 stretch at 3100.5 - 1.2 tide + 0.5 shift = 3100.575125; the seafloor
 * 3003 + 0.75075 stretch - 0.2 tide = 3003.55075. Entered from the last to the first. */
static void all_together_in_the_order_of_the_chain(void **state)
{
    (void)state;
    const struct correction all[] = {
        seafloor(3003 * METRE), by(CORRECTION_SHIFT, 500000), tide(3),
        part_stretch(4),        tally_from(3050 * METRE),     retyped(3110 * METRE, 3120 * METRE)};
    static const struct {
        enum depth_input input;
        enum correction_kind kind;
        int64_t amount_um; /* LENGTH_NONE: no sum */
    } expected[] = {
        {INPUT_CORE_TOP, CORRECTION_NONE, LENGTH_NONE},     {INPUT_CORRECTION, CORRECTION_READING, 10 * METRE},
        {INPUT_CORRECTION, CORRECTION_TALLY, -9500000},     {INPUT_CORRECTION, CORRECTION_STRETCH, 775125},
        {INPUT_CORRECTION, CORRECTION_TIDE, -1200000},      {INPUT_CORRECTION, CORRECTION_SHIFT, 500000},
        {INPUT_SEAFLOOR, CORRECTION_NONE, -3000 * METRE},   {INPUT_CORRECTION, CORRECTION_SEAFLOOR, -3 * METRE},
        {INPUT_CORRECTION, CORRECTION_STRETCH, -750750},    {INPUT_CORRECTION, CORRECTION_TIDE, 200000},
        {INPUT_SECTIONS_ABOVE, CORRECTION_NONE, 6 * METRE}, {INPUT_OFFSET, CORRECTION_NONE, METRE},
        {INPUT_MISSING_CORE, CORRECTION_NONE, METRE},
    };
    struct rig rig;
    struct depth_links links = {0};
    rig_init(&rig);
    part_correct(&rig.hole, all, COUNT_OF(all), rig.in_force);
    assert_int_equal(core_top_depth(&rig.hole, &rig.core, SCALE_DRF, NULL).um, 3100575125);
    assert_int_equal(core_top_depth(&rig.hole, &rig.core, SCALE_DSF, NULL).um, 97024375);
    assert_int_equal(hole_seafloor_corrected(&rig.hole, rig.core.on_deck), 3003550750);
    const struct place place = {&rig.hole, &rig.core, 2, METRE};
    const struct depth depth = place_depth(&place, SCALE_CSF_A, &links);
    assert_int_equal(depth.um, 104024375);
    assert_null(part_links_wrong(&links, depth));
    assert_int_equal(links.count, COUNT_OF(expected));
    for (size_t at = 0; at < links.count; at++) {
        const struct depth_link *link = &links.items[at];
        assert_int_equal(link->input, expected[at].input);
        assert_int_equal(link->correction ? link->correction->kind : CORRECTION_NONE, expected[at].kind);
        assert_true(link->amount_um == expected[at].amount_um);
    }
}

/* DSF_corr = DRF - seafloor - (tide(t) - tide(t_mudline)), tide positive up: common practice, no source. */
static void tide_by_its_formula(void **state)
{
    (void)state;
    uint64_t seed = 41;
    const struct correction it = tide(1);
    for (int round = 0; round < 300; round++) {
        struct rig rig;
        rig_init(&rig);
        part_correct(&rig.hole, &it, 1, rig.in_force);
        rig.hole.seafloor_at = part_time(random_within(&seed, 0, 180));
        rig.core.on_deck = part_time(random_within(&seed, 0, 180));
        const int64_t difference_um = tide_at(&it, rig.core.on_deck.utc_us) - tide_at(&it, rig.hole.seafloor_at.utc_us);
        assert_int_equal(core_top_depth(&rig.hole, &rig.core, SCALE_DSF, NULL).um, 100 * METRE - difference_um);
    }
}

/* A table that is for some cores says of the seafloor, too, how high the sea stood then: the formula has both. */
static void tide_of_some_cores_by_its_formula(void **state)
{
    (void)state;
    struct correction it = tide(1);
    struct rig rig;
    rig_init(&rig);
    it.first_core = it.last_core = 3;
    part_correct(&rig.hole, &it, 1, rig.in_force);
    assert_int_equal(core_top_depth(&rig.hole, &rig.core, SCALE_DSF, NULL).um, 99 * METRE); /* 100 - (1.2 - 0.2) */
    rig.core.number = 4;
    assert_int_equal(core_top_depth(&rig.hole, &rig.core, SCALE_DSF, NULL).um, 100 * METRE);
}

/* A seafloor found anew was found then: the tide of that time counts, and without a time it is not known. */
static void tide_when_the_seafloor_was_found_anew(void **state)
{
    (void)state;
    struct correction all[] = {tide(1), seafloor(3003 * METRE)};
    struct rig rig;
    rig_init(&rig);
    all[1].seafloor_at = part_time(90); /* 0.7 m, by hand; 0.2 m when it was read first */
    part_correct(&rig.hole, all, COUNT_OF(all), rig.in_force);
    assert_int_equal(core_top_depth(&rig.hole, &rig.core, SCALE_DSF, NULL).um, 96500000); /* 97 - (1.2 - 0.7) */
    all[1].seafloor_at = part_time(-1);
    const struct depth depth = core_top_depth(&rig.hole, &rig.core, SCALE_DSF, NULL);
    assert_true(depth.um == LENGTH_NONE && strstr(depth.why, "seafloor was found"));
}

/* Hole 1103A: the seafloor at 505 m below rig floor by the driller, at 502 m on the logs (ODP 178 log notes). */
static void the_seafloor_of_the_logs(void **state)
{
    (void)state;
    struct correction it = seafloor(502 * METRE);
    struct rig rig;
    rig_init(&rig);
    it.seafloor_by = SEAFLOOR_OTHER;
    rig.hole.seafloor_um = 505 * METRE;
    assert_int_equal(drilled_depth(&rig.hole, 605 * METRE, DATUM_RIG_FLOOR, part_time(-1), SCALE_DSF, NULL).um,
                     100 * METRE);
    part_correct(&rig.hole, &it, 1, rig.in_force);
    const struct depth depth = drilled_depth(&rig.hole, 605 * METRE, DATUM_RIG_FLOOR, part_time(-1), SCALE_DSF, NULL);
    assert_int_equal(depth.um, 103 * METRE);
    assert_non_null(strstr(depth.method, "other means"));
    assert_int_equal(hole_seafloor(&rig.hole), 505 * METRE); /* the reading stays */
    assert_int_equal(drilled_from_drf(&rig.hole, 605 * METRE, (struct instant){0}, SCALE_DSF).um, 103 * METRE);
    assert_int_equal(drilled_to_drf(&rig.hole, 103 * METRE, (struct instant){0}, SCALE_DSF).um, 605 * METRE);
}

/* A run is moved as a whole; what is retyped is taken as it is. */
static void the_bottom_goes_with_the_top(void **state)
{
    (void)state;
    struct correction border = tally_from(3050 * METRE);
    const struct correction both[] = {retyped(3105 * METRE, 3112 * METRE), by(CORRECTION_SHIFT, 500000)};
    struct rig rig;
    rig_init(&rig);
    border.bottom_um = 3105 * METRE; /* it covers the top and not the bottom */
    part_correct(&rig.hole, &border, 1, rig.in_force);
    assert_int_equal(core_top_depth(&rig.hole, &rig.core, SCALE_DRF, NULL).um, 3090500000);
    assert_int_equal(core_bottom_depth(&rig.hole, &rig.core, SCALE_DRF).um, 3100500000);
    assert_int_equal(core_bottom_depth(&rig.hole, &rig.core, SCALE_DSF).um, 100500000);
    part_correct(&rig.hole, both, COUNT_OF(both), rig.in_force);
    assert_int_equal(core_top_depth(&rig.hole, &rig.core, SCALE_DSF, NULL).um, 105500000);
    assert_int_equal(core_bottom_depth(&rig.hole, &rig.core, SCALE_DSF).um, 112500000);
    const struct core core = core_retyped(&rig.hole, &rig.core);
    assert_true(core.top_um == 3105 * METRE && core.bottom_um == 3112 * METRE && rig.core.top_um == 3100 * METRE);
    const struct place place = {&rig.hole, &rig.core, 2, 3 * METRE}; /* 9 m onto the 7 m that the run now is */
    assert_int_equal(place_depth(&place, SCALE_CSF_A, NULL).um, 114500000);
    assert_int_equal(place_depth(&place, SCALE_CSF_B, NULL).um, 112500000);
    rig.core.number = 4;
    assert_int_equal(core_retyped(&rig.hole, &rig.core).top_um, 3100 * METRE);
}

/* A bottom that is retyped is known, however the run's bottom was known before. */
static void a_bottom_retyped_is_known(void **state)
{
    (void)state;
    const struct correction it = retyped(LENGTH_NONE, 3108 * METRE);
    struct rig rig;
    rig_init(&rig);
    part_correct(&rig.hole, &it, 1, rig.in_force);
    for (int by_what = ADVANCE_PIPE; by_what <= ADVANCE_UNKNOWN; by_what++) {
        rig.core.advance_by = (enum advance_by)by_what;
        assert_int_equal(core_bottom_depth(&rig.hole, &rig.core, SCALE_DRF).um, 3108 * METRE);
    }
}

static void bounds_move_along(void **state)
{
    (void)state;
    const struct correction all[] = {by(CORRECTION_SHIFT, 500000), tally_from(3050 * METRE), tide(3),
                                     seafloor(3003 * METRE)};
    struct rig rig;
    rig_init(&rig);
    rig.hole.tolerance_um = 300000;
    rig.hole.heave_um = 100000;
    part_correct(&rig.hole, all, COUNT_OF(all), rig.in_force);
    for (int scale = SCALE_DRF; scale <= SCALE_DSF; scale++) {
        const struct depth top = core_top_depth(&rig.hole, &rig.core, (enum scale)scale, NULL);
        const struct depth bottom = core_bottom_depth(&rig.hole, &rig.core, (enum scale)scale);
        assert_true(top.um - top.low_um == 400000 && top.high_um - top.um == 400000);
        assert_true(bottom.um - bottom.low_um == 400000 && bottom.high_um - bottom.um == 400000);
    }
    const struct place place = {&rig.hole, &rig.core, 2, METRE};
    const struct depth depth = place_depth(&place, SCALE_CSF_A, NULL);
    assert_int_equal(depth.um, 94 * METRE); /* 100 + 0.5 - 9.5 - 1.2 + 7 - (3 - 0.2) */
    assert_true(depth.um - depth.low_um == 400000 && depth.high_um - depth.um == 1400000);
}

/* The tide that a hole states is a doubt until the tide is corrected for. */
static void a_tide_that_is_corrected_for_is_no_doubt(void **state)
{
    (void)state;
    struct correction all[] = {tide(1), by(CORRECTION_SHIFT, 0)};
    struct rig rig;
    rig_init(&rig);
    assert_int_equal(hole_doubt(&rig.hole, 0, (struct instant){0}), 0);
    rig.hole.tide_um = 700000;
    assert_int_equal(hole_doubt(&rig.hole, 0, (struct instant){0}), 700000);
    rig.hole.tolerance_um = 20000;
    rig.hole.heave_um = 3000;
    assert_int_equal(hole_doubt(&rig.hole, 0, (struct instant){0}), 723000);
    part_correct(&rig.hole, &all[1], 1, rig.in_force);
    assert_int_equal(hole_doubt(&rig.hole, 0, (struct instant){0}), 723000);
    part_correct(&rig.hole, all, 2, rig.in_force);
    assert_int_equal(hole_doubt(&rig.hole, 0, (struct instant){0}), 23000);
    all[0].withdrawn = "another harbour's";
    part_correct(&rig.hole, all, 2, rig.in_force);
    assert_int_equal(hole_doubt(&rig.hole, 0, (struct instant){0}), 723000);
    const struct depth depth = core_top_depth(&rig.hole, &rig.core, SCALE_DRF, NULL);
    assert_true(depth.low_um == depth.um - 723000 && depth.high_um == depth.um + 723000);
}

/* What came over the shaker belongs to no core; it is held against the time when it was cut. */
static void what_belongs_to_no_core(void **state)
{
    (void)state;
    struct correction all[] = {by(CORRECTION_SHIFT, 500000), by(CORRECTION_TALLY, 2 * METRE),
                               by(CORRECTION_TALLY, METRE)};
    struct rig rig;
    rig_init(&rig);
    all[1].first_core = 1;
    all[2].from = part_time(100);
    part_correct(&rig.hole, all, COUNT_OF(all), rig.in_force);
    struct depth depth = drilled_depth(&rig.hole, 3050 * METRE, DATUM_RIG_FLOOR, part_time(99), SCALE_DSF, NULL);
    assert_int_equal(depth.um, 50 * METRE);
    depth = drilled_depth(&rig.hole, 3050 * METRE, DATUM_RIG_FLOOR, part_time(100), SCALE_DSF, NULL);
    assert_int_equal(depth.um, 51 * METRE);
    depth = drilled_depth(&rig.hole, 50 * METRE, DATUM_SEAFLOOR, part_time(100), SCALE_DRF, NULL);
    assert_int_equal(depth.um, 3051 * METRE);
    depth = drilled_depth(&rig.hole, 3050 * METRE, DATUM_RIG_FLOOR, part_time(-1), SCALE_DRF, NULL);
    assert_true(depth.um == LENGTH_NONE && strstr(depth.why, "time"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_kind_alone),
        cmocka_unit_test(all_together_in_the_order_of_the_chain),
        cmocka_unit_test(tide_by_its_formula),
        cmocka_unit_test(tide_of_some_cores_by_its_formula),
        cmocka_unit_test(tide_when_the_seafloor_was_found_anew),
        cmocka_unit_test(the_seafloor_of_the_logs),
        cmocka_unit_test(the_bottom_goes_with_the_top),
        cmocka_unit_test(a_bottom_retyped_is_known),
        cmocka_unit_test(bounds_move_along),
        cmocka_unit_test(a_tide_that_is_corrected_for_is_no_doubt),
        cmocka_unit_test(what_belongs_to_no_core),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
