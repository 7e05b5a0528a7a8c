/* SPDX-License-Identifier: MIT */
/* Corrected depths that cannot be said: each tells why and is no number. Sidetracks, which have some of their parent.
 */
#include "unit.h"

#include "correction_parts.h"

static struct tide_height heights[] = {{{.known = true}, 0}, {{.known = true}, 0}};

static struct correction tide(void)
{
    struct correction it = part_correction(CORRECTION_TIDE, 1);
    heights[0] = (struct tide_height){part_time(60), 200000};
    heights[1] = (struct tide_height){part_time(120), 1200000};
    it.heights = heights;
    it.height_count = COUNT_OF(heights);
    return it;
}

static struct correction tally(int64_t top_um, int from)
{
    struct correction it = part_correction(CORRECTION_TALLY, 1);
    it.amount_um = 2 * METRE;
    it.top_um = top_um;
    it.from = part_time(from);
    return it;
}

static struct correction seafloor(int from)
{
    struct correction it = part_correction(CORRECTION_SEAFLOOR, 1);
    it.seafloor_um = 3003 * METRE;
    it.seafloor_by = SEAFLOOR_CAMERA;
    it.seafloor_at = part_time(60);
    it.from = part_time(from);
    return it;
}

static void what_cannot_be_said_says_why(void **state)
{
    (void)state;
    enum { NONE = -1 };
    struct correction survey = part_correction(CORRECTION_SURVEY, 1);
    struct survey_station station = {3000 * METRE, 0, 0};
    survey.stations = &station;
    survey.station_count = 1;
    const struct {
        const char *what;
        struct correction correction;
        int64_t seafloor_um;
        int found;   /* minutes; NONE: not known */
        int on_deck; /* likewise */
        enum datum datum;
        int64_t drf_um; /* expected; LENGTH_NONE: not known, and why says */
        const char *drf_why;
        int64_t dsf_um;
        const char *dsf_why;
    } rows[] = {
        {"a time that the core does not have", tally(LENGTH_NONE, 60), 3000 * METRE, 0, NONE, DATUM_RIG_FLOOR,
         LENGTH_NONE, "asks for a time", LENGTH_NONE, "asks for a time"},
        {"a time that the seafloor does not have", tally(LENGTH_NONE, 60), 3000 * METRE, NONE, 90, DATUM_RIG_FLOOR,
         3102 * METRE, NULL, LENGTH_NONE, "asks for a time"},
        {"tide, core without a time", tide(), 3000 * METRE, 60, NONE, DATUM_RIG_FLOOR, LENGTH_NONE, "tide", LENGTH_NONE,
         "tide"},
        {"tide, seafloor without a time", tide(), 3000 * METRE, NONE, 60, DATUM_RIG_FLOOR, 3099800000, NULL,
         LENGTH_NONE, "tide"},
        {"tide, core before the table", tide(), 3000 * METRE, 60, 59, DATUM_RIG_FLOOR, LENGTH_NONE, "does not reach",
         LENGTH_NONE, "does not reach"},
        {"tide, core after the table", tide(), 3000 * METRE, 60, 121, DATUM_RIG_FLOOR, LENGTH_NONE, "does not reach",
         LENGTH_NONE, "does not reach"},
        {"tide, seafloor before the table", tide(), 3000 * METRE, 59, 60, DATUM_RIG_FLOOR, 3099800000, NULL,
         LENGTH_NONE, "does not reach"},
        {"tide, below seafloor, both known", tide(), LENGTH_NONE, 60, 120, DATUM_SEAFLOOR, LENGTH_NONE, "seafloor",
         99 * METRE, NULL},
        {"seafloor from a time on, core without one", seafloor(60), 3000 * METRE, 60, NONE, DATUM_RIG_FLOOR,
         3100 * METRE, NULL, LENGTH_NONE, "asks for a time"},
        {"below a seafloor that is not recorded, found anew", seafloor(NONE), LENGTH_NONE, 60, 90, DATUM_SEAFLOOR,
         LENGTH_NONE, "seafloor", LENGTH_NONE, "seafloor"},
        {"below a seafloor that is not recorded, by depth", tally(3050 * METRE, NONE), LENGTH_NONE, 60, 90,
         DATUM_SEAFLOOR, LENGTH_NONE, "below rig floor", LENGTH_NONE, "below rig floor"},
        {"below a seafloor that is not recorded, stretch", part_stretch(1), LENGTH_NONE, 60, 90, DATUM_SEAFLOOR,
         LENGTH_NONE, "below rig floor", LENGTH_NONE, "below rig floor"},
        {"below a seafloor that is not recorded, slip of all", tally(LENGTH_NONE, NONE), LENGTH_NONE, 60, 90,
         DATUM_SEAFLOOR, LENGTH_NONE, "seafloor", 100 * METRE, NULL},
        {"no seafloor, tide", tide(), LENGTH_NONE, 60, 120, DATUM_RIG_FLOOR, 3098800000, NULL, LENGTH_NONE, "seafloor"},
        {"nothing is wrong with a survey", survey, 3000 * METRE, NONE, NONE, DATUM_RIG_FLOOR, 3100 * METRE, NULL,
         100 * METRE, NULL},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct hole hole = part_hole(rows[at].seafloor_um);
        struct core core = part_core(3100 * METRE, 3110 * METRE, NULL, 0);
        const struct correction *in_force[1];
        part_correct(&hole, &rows[at].correction, 1, in_force);
        hole.seafloor_at = part_time(rows[at].found);
        core.on_deck = part_time(rows[at].on_deck);
        core.datum = rows[at].datum;
        core.top_um = core.datum == DATUM_SEAFLOOR ? 100 * METRE : core.top_um;
        core.bottom_um = core.top_um + 10 * METRE;
        for (int scale = SCALE_DRF; scale <= SCALE_DSF; scale++) {
            const int64_t expected_um = scale == SCALE_DRF ? rows[at].drf_um : rows[at].dsf_um;
            const char *why = scale == SCALE_DRF ? rows[at].drf_why : rows[at].dsf_why;
            const struct depth depth = core_top_depth(&hole, &core, (enum scale)scale, NULL);
            const struct depth bottom = core_bottom_depth(&hole, &core, (enum scale)scale);
            ROW(rows[at].what, depth.um == expected_um && (depth.why != NULL) == (why != NULL));
            ROW(rows[at].what, !why || strstr(depth.why, why) != NULL);
            ROW(rows[at].what, !why || (depth.low_um == LENGTH_NONE && depth.high_um == LENGTH_NONE));
            ROW(rows[at].what, bottom.um == (why ? LENGTH_NONE : expected_um + 10 * METRE));
            ROW(rows[at].what, !why || strcmp(bottom.why, depth.why) == 0);
        }
    }
}

/* A seafloor that was never recorded and is found later: below rig floor nothing else is asked for. */
static void a_seafloor_found_at_last(void **state)
{
    (void)state;
    const struct correction it = seafloor(-1);
    const struct correction *in_force[1];
    struct hole hole = part_hole(LENGTH_NONE);
    const struct core core = part_core(3103 * METRE, 3110 * METRE, NULL, 0);
    part_correct(&hole, &it, 1, in_force);
    assert_int_equal(hole_seafloor_corrected(&hole, part_time(90)), 3003 * METRE);
    assert_int_equal(core_top_depth(&hole, &core, SCALE_DSF, NULL).um, 100 * METRE);
}

/* A sidetrack (hole B) that leaves its parent A at 3050 m. */
struct pair {
    struct hole parent;
    struct hole side;
    const struct correction *of_parent[4];
    const struct correction *of_side[4];
};

static void pair_init(struct pair *pair, int64_t parent_um, int64_t side_um)
{
    *pair = (struct pair){.parent = part_hole(parent_um), .side = part_hole(side_um)};
    pair->parent.seafloor_at = part_time(60);
    pair->side.letter = "B";
    pair->side.parent = "U0012A";
    pair->side.kickoff_um = 3050 * METRE;
    pair->side.parent_hole = &pair->parent;
}

/* Top of a core at 3100 m on deck after so many minutes, below the seafloor. */
static struct depth side_dsf(const struct pair *pair, int minutes, struct depth_links *links)
{
    struct core core = part_core(3100 * METRE, 3110 * METRE, NULL, 0);
    core.on_deck = part_time(minutes);
    return core_top_depth(&pair->side, &core, SCALE_DSF, links);
}

static void a_sidetrack_has_the_seafloor_of_its_parent(void **state)
{
    (void)state;
    struct pair pair;
    struct depth_links links = {0};
    pair_init(&pair, 3000 * METRE, LENGTH_NONE);
    assert_int_equal(side_dsf(&pair, 90, &links).um, 100 * METRE);
    assert_ptr_equal(links.items[0].hole, &pair.side);
    assert_ptr_equal(links.items[links.count - 1].hole, &pair.parent);
    /* found anew for the parent: for the sidetrack too, whose pipe is its own */
    const struct correction of_parent[] = {seafloor(-1), tally(2900 * METRE, -1)};
    part_correct(&pair.parent, of_parent, COUNT_OF(of_parent), pair.of_parent);
    links.count = 0;
    struct depth depth = side_dsf(&pair, 90, &links);
    assert_int_equal(depth.um, 95 * METRE); /* 3100 - (3003 + 2) */
    assert_null(part_links_wrong(&links, depth));
    const struct correction of_side = tally(3060 * METRE, -1);
    part_correct(&pair.side, &of_side, 1, pair.of_side);
    assert_int_equal(side_dsf(&pair, 90, NULL).um, 97 * METRE);
    /* one of its own takes its place, with its own corrections */
    pair.side.seafloor_um = 3001 * METRE;
    assert_int_equal(side_dsf(&pair, 90, NULL).um, 101 * METRE);
    pair_init(&pair, LENGTH_NONE, LENGTH_NONE);
    depth = side_dsf(&pair, 90, NULL);
    assert_true(depth.um == LENGTH_NONE && strstr(depth.why, "seafloor"));
    /* two generations */
    struct hole grandparent = part_hole(3010 * METRE);
    pair.parent.parent_hole = &grandparent;
    assert_int_equal(side_dsf(&pair, 90, NULL).um, 90 * METRE);
}

/* What was found anew for the sidetrack itself is not lost, though the reading that it corrects is the parent's. */
static void a_seafloor_found_anew_for_the_sidetrack(void **state)
{
    (void)state;
    struct pair pair;
    const struct correction of_side = seafloor(-1);
    pair_init(&pair, 3000 * METRE, LENGTH_NONE);
    part_correct(&pair.side, &of_side, 1, pair.of_side);
    assert_int_equal(side_dsf(&pair, 90, NULL).um, 97 * METRE);
    /* it was found with the sidetrack's pipe, not with the parent's */
    const struct correction slips[] = {tally(2900 * METRE, -1), tally(3060 * METRE, -1)};
    const struct correction own[] = {of_side, slips[0], slips[1]};
    part_correct(&pair.parent, &slips[0], 1, pair.of_parent);
    assert_int_equal(side_dsf(&pair, 90, NULL).um, 97 * METRE);
    part_correct(&pair.side, own, COUNT_OF(own), pair.of_side);
    assert_int_equal(side_dsf(&pair, 90, NULL).um, 99 * METRE); /* 3100 + 2 + 2 - (3003 + 2) */
    part_correct(&pair.side, &of_side, 1, pair.of_side);
    struct correction of_parent = seafloor(-1); /* its own goes before the parent's */
    of_parent.seafloor_um = 2990 * METRE;
    part_correct(&pair.parent, &of_parent, 1, pair.of_parent);
    assert_int_equal(side_dsf(&pair, 90, NULL).um, 97 * METRE);
    pair.side.correction_count = 0;
    struct depth_links links = {0};
    const struct depth depth = side_dsf(&pair, 90, &links);
    assert_int_equal(depth.um, 110 * METRE);
    assert_null(part_links_wrong(&links, depth));
    assert_ptr_equal(links.items[links.count - 1].hole, &pair.parent);
}

/* Core numbers are those of one hole: the parent's core 3 is not the sidetrack's. */
static void cores_of_the_parent_are_not_those_of_the_sidetrack(void **state)
{
    (void)state;
    struct pair pair;
    struct correction of_parent = seafloor(-1);
    of_parent.first_core = of_parent.last_core = 3;
    pair_init(&pair, 3000 * METRE, LENGTH_NONE);
    part_correct(&pair.parent, &of_parent, 1, pair.of_parent);
    assert_int_equal(side_dsf(&pair, 90, NULL).um, 100 * METRE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_cannot_be_said_says_why),
        cmocka_unit_test(a_seafloor_found_at_last),
        cmocka_unit_test(a_sidetrack_has_the_seafloor_of_its_parent),
        cmocka_unit_test(a_seafloor_found_anew_for_the_sidetrack),
        cmocka_unit_test(cores_of_the_parent_are_not_those_of_the_sidetrack),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
