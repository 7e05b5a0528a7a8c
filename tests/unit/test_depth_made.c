/* SPDX-License-Identifier: MIT */
/* Scales made of a core's depth: composite, growth, splice, wireline; and the words of all scales. */
#include "unit.h"

#include "correction_parts.h"

/* Core 3, CSF-A from 100 m: section 1 of 6 m, section 2 of 3 m, the catcher of 0.2 m; 10 m drilled. */
struct rig {
    struct hole hole;
    struct core core;
    struct section sections[3];
    const struct correction *in_force[4];
};

static void rig_init(struct rig *rig, const struct correction *all, size_t count)
{
    *rig = (struct rig){.hole = part_hole(3000 * METRE)};
    rig->sections[0] = part_section(1, 6 * METRE);
    rig->sections[1] = part_section(2, 3 * METRE);
    rig->sections[2] = part_section(SECTION_CATCHER, 200000);
    rig->core = part_core(3100 * METRE, 3110 * METRE, rig->sections, 3);
    rig->hole.tolerance_um = 300000;
    part_correct(&rig->hole, all, count, rig->in_force);
}

static struct depth rig_depth(const struct rig *rig, int32_t section, int64_t offset_um, enum scale scale)
{
    struct depth_links links = {0};
    const struct place place = {&rig->hole, &rig->core, section, offset_um};
    const struct depth depth = place_depth(&place, scale, &links);
    const char *wrong = depth.why ? NULL : part_links_wrong(&links, depth);
    if (wrong)
        fail_msg("%s: links do not add up: %s", scale_words[scale], wrong);
    return depth;
}

static struct core_offset offsets[] = {{.core = 2, .offset_um = METRE, .method = TIE_APPENDED},
                                       {.core = 3, .offset_um = -1250000, .method = TIE_TIED},
                                       {.core = 4, .offset_um = 0, .method = TIE_ASSUMED}};
static struct growth_step steps[] = {{0, 1.25}, {100 * METRE, 2}};

static struct correction composite(int32_t number)
{
    struct correction it = part_correction(CORRECTION_COMPOSITE, number);
    it.offsets = offsets;
    it.offset_count = COUNT_OF(offsets);
    return it;
}

static struct correction growth(int32_t number)
{
    struct correction it = part_correction(CORRECTION_GROWTH, number);
    it.steps = steps;
    it.step_count = COUNT_OF(steps);
    return it;
}

/* One constant for a core, without stretching (Proc. IODP 318, Site U1359, correlation). */
static void composite_depth_is_a_constant_more(void **state)
{
    (void)state;
    const struct correction it = composite(1);
    struct rig rig;
    rig_init(&rig, &it, 1);
    for (int64_t offset_um = 0; offset_um <= 6 * METRE; offset_um += METRE / 2) {
        const struct depth csf = rig_depth(&rig, 1, offset_um, SCALE_CSF_A);
        const struct depth ccsf = rig_depth(&rig, 1, offset_um, SCALE_CCSF);
        assert_int_equal(csf.um, 100 * METRE + offset_um);
        assert_int_equal(ccsf.um, csf.um - 1250000);
        assert_int_equal(ccsf.low_um, csf.low_um - 1250000);
        assert_int_equal(ccsf.high_um, csf.high_um - 1250000);
        assert_string_equal(ccsf.method, "tied to a feature");
    }
    rig.core.number = 2;
    assert_string_equal(rig_depth(&rig, 1, 0, SCALE_CCSF).method, "appended");
    rig.core.number = 4;
    assert_string_equal(rig_depth(&rig, 1, 0, SCALE_CCSF).method, "assumed");
    assert_int_equal(rig_depth(&rig, 1, 0, SCALE_CCSF).um, 100 * METRE); /* an offset of 0 is one */
    rig.core.number = 3;
    rig.core.advance_by = ADVANCE_UNKNOWN; /* no bound below */
    const struct depth depth = rig_depth(&rig, 1, 0, SCALE_CCSF);
    assert_true(depth.um == 98750000 && depth.low_um == 98450000 && depth.high_um == LENGTH_NONE);
}

/* A core may stand in another table than its neighbours. */
static void offsets_in_two_tables(void **state)
{
    (void)state;
    struct core_offset later[] = {{.core = 5, .offset_um = 7 * METRE, .method = TIE_APPENDED}};
    struct correction all[] = {composite(1), composite(2)};
    struct rig rig;
    all[1].offsets = later;
    all[1].offset_count = 1;
    rig_init(&rig, all, COUNT_OF(all));
    assert_int_equal(rig_depth(&rig, 1, 0, SCALE_CCSF).um, 98750000);
    rig.core.number = 5;
    assert_int_equal(rig_depth(&rig, 1, 0, SCALE_CCSF).um, 107 * METRE);
}

/* By hand: CCSF 98.75 lies in the first step, 98.75 / 1.25 = 79; 105.75 in the second, 100 / 1.25 + 5.75 / 2 = 82.875.
 */
static void growth_is_taken_out_of_composite_depth(void **state)
{
    (void)state;
    const struct correction all[] = {growth(1), composite(2)};
    struct rig rig;
    rig_init(&rig, all, COUNT_OF(all));
    struct depth depth = rig_depth(&rig, 1, 0, SCALE_CCSF_B);
    assert_int_equal(depth.um, 79 * METRE);
    assert_int_equal(depth.low_um, 78760000);  /* 0.3 / 1.25 */
    assert_int_equal(depth.high_um, 79880000); /* 98.75 + 0.8 not recovered + 0.3 = 99.85 */
    depth = rig_depth(&rig, 2, METRE, SCALE_CCSF_B);
    assert_int_equal(depth.um, 82875000);
    assert_int_equal(depth.low_um, 82725000);
    assert_int_equal(depth.high_um, 83425000);
    assert_non_null(strstr(depth.method, "growth"));
}

static void the_splice_takes_what_lies_in_its_intervals(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        int32_t section;
        int64_t offset_um;
        bool on_splice;
    } rows[] = {
        {"above", 1, METRE - 1, false},
        {"at its top", 1, METRE, true},
        {"in the section", 1, 3 * METRE, true},
        {"in the next", 2, 0, true},
        {"at its bottom", 2, 500000, true},
        {"below", 2, 500001, false},
        {"between two", 2, METRE, false},
        {"in the second", 2, 2900000, true},
        {"in the catcher", SECTION_CATCHER, 100000, true},
        {"in the catcher, below", SECTION_CATCHER, 100001, false},
    };
    struct splice_interval intervals[] = {{1, 2, 1, 0, 2, 3 * METRE},
                                          {2, 3, 1, METRE, 2, 500000},
                                          {3, 4, 1, 0, 2, 3 * METRE},
                                          {4, 3, 2, 2500000, SECTION_CATCHER, 100000}};
    struct correction all[] = {composite(1), part_correction(CORRECTION_SPLICE, 2)};
    struct rig rig;
    all[1].intervals = intervals;
    all[1].interval_count = COUNT_OF(intervals);
    rig_init(&rig, all, COUNT_OF(all));
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        const struct depth ccsf = rig_depth(&rig, rows[at].section, rows[at].offset_um, SCALE_CCSF);
        const struct depth depth = rig_depth(&rig, rows[at].section, rows[at].offset_um, SCALE_CCSF_D);
        ROW(rows[at].what, depth.um == (rows[at].on_splice ? ccsf.um : LENGTH_NONE));
        ROW(rows[at].what, rows[at].on_splice == (depth.why == NULL));
        ROW(rows[at].what, rows[at].on_splice ? depth.low_um == ccsf.low_um && depth.high_um == ccsf.high_um
                                              : strstr(depth.why, "does not lie on the splice") != NULL);
    }
    rig.core.number = 5; /* a core without offset is on no composite depth */
    assert_non_null(strstr(rig_depth(&rig, 1, 3 * METRE, SCALE_CCSF_D).why, "composite offset"));
    rig.core.number = 3; /* the interval names a section that the core does not have */
    rig.core.section_count = 1;
    assert_non_null(strstr(rig_depth(&rig, 1, 3 * METRE, SCALE_CCSF_D).why, "does not lie on the splice"));
    /* a section above an end has no length: where the interval that goes into the catcher ends is not known */
    rig.core.section_count = 3;
    rig.sections[1].curated_um = LENGTH_NONE;
    assert_null(rig_depth(&rig, 2, 500000, SCALE_CCSF_D).why);
    assert_non_null(strstr(rig_depth(&rig, 2, 2900000, SCALE_CCSF_D).why, "does not lie on the splice"));
}

static void core_depth_is_matched_to_the_wireline(void **state)
{
    (void)state;
    struct match_point points[] = {{99 * METRE, 97 * METRE}, {101 * METRE, 98 * METRE}, {111 * METRE, 113 * METRE}};
    struct correction it = part_correction(CORRECTION_WIRELINE, 1);
    struct rig rig;
    it.points = points;
    it.point_count = COUNT_OF(points);
    rig_init(&rig, &it, 1);
    struct depth depth = rig_depth(&rig, 1, 0, SCALE_WMSF);
    assert_int_equal(depth.um, 97500000);
    assert_int_equal(depth.low_um, 97350000);
    assert_int_equal(depth.high_um, 98150000); /* 100 + 0.8 not recovered + 0.3 */
    depth = rig_depth(&rig, 2, METRE, SCALE_WMSF);
    assert_int_equal(depth.um, 107 * METRE);
    rig.core.top_um -= 900000; /* the bound lies above the first point: it is not known, the depth is */
    depth = rig_depth(&rig, 1, 0, SCALE_WMSF);
    assert_true(depth.um == 97050000 && depth.low_um == LENGTH_NONE && depth.high_um != LENGTH_NONE);
    rig.core.top_um -= 100001;
    depth = rig_depth(&rig, 1, 0, SCALE_WMSF);
    assert_true(depth.um == LENGTH_NONE && depth.low_um == LENGTH_NONE && depth.high_um == LENGTH_NONE);
    assert_non_null(strstr(depth.why, "does not reach"));
}

/* The reading's corrections go before: what the tally moves, composite depth and wireline move with. */
static void corrections_of_the_reading_go_through(void **state)
{
    (void)state;
    struct match_point points[] = {{0, METRE}, {1000 * METRE, 1001 * METRE}};
    struct correction all[] = {part_correction(CORRECTION_WIRELINE, 1), composite(2),
                               part_correction(CORRECTION_SHIFT, 3)};
    struct rig rig;
    all[0].points = points;
    all[0].point_count = COUNT_OF(points);
    all[2].core = 3;
    all[2].amount_um = 700000;
    rig_init(&rig, all, COUNT_OF(all));
    assert_int_equal(rig_depth(&rig, 2, METRE, SCALE_CSF_A).um, 107700000);
    assert_int_equal(rig_depth(&rig, 2, METRE, SCALE_CCSF).um, 106450000);
    assert_int_equal(rig_depth(&rig, 2, METRE, SCALE_WMSF).um, 108700000);
    assert_int_equal(rig_depth(&rig, 2, METRE, SCALE_DSF).um, 100700000); /* top of the run */
}

static void what_is_not_recorded_is_named(void **state)
{
    (void)state;
    static const struct {
        enum scale scale;
        const char *why;
    } rows[] = {
        {SCALE_CCSF, "composite offset"},  {SCALE_CCSF_B, "composite offset"}, {SCALE_CCSF_D, "composite offset"},
        {SCALE_WMSF, "no wireline match"}, {SCALE_TVD, "no survey"},           {SCALE_TVDSF, "no survey"},
    };
    struct rig rig;
    rig_init(&rig, NULL, 0);
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        const struct depth depth = rig_depth(&rig, 1, 0, rows[at].scale);
        ROW(scale_words[rows[at].scale], depth.um == LENGTH_NONE && depth.low_um == LENGTH_NONE);
        ROW(scale_words[rows[at].scale], depth.high_um == LENGTH_NONE && strstr(depth.why, rows[at].why) != NULL);
    }
    const struct correction it = composite(1);
    rig_init(&rig, &it, 1);
    assert_non_null(strstr(rig_depth(&rig, 1, 0, SCALE_CCSF_B).why, "no growth factor"));
    assert_non_null(strstr(rig_depth(&rig, 1, 0, SCALE_CCSF_D).why, "no splice"));
    rig.core.number = 5;
    assert_non_null(strstr(rig_depth(&rig, 1, 0, SCALE_CCSF).why, "composite offset"));
    rig.core.number = 3;
    rig.hole.seafloor_um = LENGTH_NONE;
    for (int scale = SCALE_CSF_A; scale <= SCALE_CCSF; scale++)
        assert_non_null(strstr(rig_depth(&rig, 1, 0, (enum scale)scale).why, "seafloor"));
}

static void scales_have_words(void **state)
{
    (void)state;
    static const struct {
        const char *word;
        enum scale scale;
        bool drilled;
    } rows[] = {
        {"DRF", SCALE_DRF, true},    {"dsf", SCALE_DSF, true},        {"mrf", SCALE_DRF, true},
        {"MSF", SCALE_DSF, true},    {"CSF-A", SCALE_CSF_A, false},   {"csf-b", SCALE_CSF_B, false},
        {"CCSF", SCALE_CCSF, false}, {"ccsf-b", SCALE_CCSF_B, false}, {"CCSF-D", SCALE_CCSF_D, false},
        {"wmsf", SCALE_WMSF, false}, {"TVD", SCALE_TVD, true},        {"tvdsf", SCALE_TVDSF, true},
        {"CSF", SCALE_COUNT, false}, {"", SCALE_COUNT, false},        {"CCSF-A", SCALE_COUNT, false},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        ROW(rows[at].word, scale_find(rows[at].word) == rows[at].scale);
        ROW(rows[at].word, scale_is_drilled(rows[at].scale) == rows[at].drilled);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(composite_depth_is_a_constant_more),
        cmocka_unit_test(offsets_in_two_tables),
        cmocka_unit_test(growth_is_taken_out_of_composite_depth),
        cmocka_unit_test(the_splice_takes_what_lies_in_its_intervals),
        cmocka_unit_test(core_depth_is_matched_to_the_wireline),
        cmocka_unit_test(corrections_of_the_reading_go_through),
        cmocka_unit_test(what_is_not_recorded_is_named),
        cmocka_unit_test(scales_have_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
