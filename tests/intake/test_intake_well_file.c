/* SPDX-License-Identifier: MIT */
/* Wells from files: CSV with a row a bore or part, JSON as stored, and what is refused with its line. */
#include "intake.h"

#include "coretally/intake/well_file.h"

enum { ZONE_MIN = 330 };

static enum status read(struct intake *intake, const char *text, struct well_file *out)
{
    FILE *in = intake_text(text);
    const enum status status = well_file_read(&intake->arena, in, "-", ZONE_MIN, out, &intake->err);
    (void)fclose(in);
    return status;
}

static void a_row_is_a_bore_or_a_part(void **state)
{
    static const char text[] = "what,name,top_m,bottom_ft,length_m,outside_in,inside_mm,washout_pct,tolerance_mm\n"
                               "bore,casing,0,1000,,,315,,\n"
                               "Bore,open,304.8,,,,8.5in,10,5\n"
                               "part,collars,,,200,8,71.4,,\n"
                               "part,drill pipe,,,,5,108.6,,\n";
    struct intake *intake = *state;
    struct well_file well;
    intake_ok(intake, read(intake, text, &well));
    assert_false(well.is_whole);
    assert_int_equal(well.state_count, 1);
    const struct geometry *it = &well.states[0];
    assert_false(it->from.known);
    assert_int_equal(it->bore_count, 2);
    assert_int_equal(it->bores[0].kind, BORE_CASING);
    assert_int_equal(it->bores[0].bottom_um, 304800000); /* 1 ft = 0.3048 m: NIST SP 811 (2008), appendix B.8 */
    assert_int_equal(it->bores[0].diameter_um, 315000);
    assert_int_equal(it->bores[1].bottom_um, LENGTH_NONE);
    assert_int_equal(it->bores[1].diameter_um, 215900); /* a unit in the cell goes before that of the column */
    assert_int_equal((int)it->bores[1].washout_pct, 10);
    assert_int_equal(it->bores[1].tolerance_um, 5000);
    assert_int_equal(it->part_count, 2);
    assert_string_equal(it->parts[0].name, "collars");
    assert_int_equal(it->parts[0].outer_um, 203200);
    assert_int_equal(it->parts[1].length_um, LENGTH_NONE);
}

static void a_state_begins_where_its_time_changes(void **state)
{
    static const char text[] = "from,what,name,top_m,bottom_m,inside_mm,length_m,outside_mm\n"
                               "2026-03-09T05:30,bore,open,0,100,311,,\n"
                               "2026-03-09T00:00:00Z,part,pipe,,,100,,127\n"
                               "2026-03-10T00:00:00Z,bore,open,0,200,311,,\n";
    struct intake *intake = *state;
    struct well_file well;
    intake_ok(intake, read(intake, text, &well));
    assert_int_equal(well.state_count, 2); /* the first two rows: one instant, in ship's time and in UTC */
    assert_int_equal(well.states[0].bore_count, 1);
    assert_int_equal(well.states[0].part_count, 1);
    assert_int_equal(well.states[1].from.utc_us - well.states[0].from.utc_us, (int64_t)86400 * 1000000);
}

static void json_says_everything(void **state)
{
    static const char text[] = "\n {\"format\":1,\"kind\":\"well\",\"hole\":\"U0013A\",\"states\":["
                               "{\"number\":1,\"from\":\"2026-03-09T00:00:00Z\",\"withdrawn\":\"a slip\","
                               "\"bores\":[{\"kind\":\"open\",\"top_m\":0,\"diameter_m\":0.2}],\"string\":[{\"name\":"
                               "\"p\",\"outside_m\":0.1}]},"
                               "{\"number\":2,\"from\":\"2026-03-10T00:00:00Z\",\"version\":3,"
                               "\"bores\":[{\"kind\":\"open\",\"top_m\":0,\"diameter_m\":0.311}],"
                               "\"string\":[{\"name\":\"p\",\"outside_m\":0.127}]}]}";
    struct intake *intake = *state;
    struct well_file well;
    intake_ok(intake, read(intake, text, &well));
    assert_true(well.is_whole);
    assert_int_equal(well.state_count, 1); /* a withdrawn one counts for nothing */
    assert_int_equal(well.states[0].bores[0].diameter_um, 311000);
    assert_int_equal(well.states[0].version, 0);
}

static void what_is_no_well_is_refused(void **state)
{
    static const struct {
        const char *text;
        const char *subject;
        const char *reason;
    } cases[] = {
        {"what,colour\nbore,red\n", "line 2, colour", "a well has no such column"},
        {"what,top_lbs\nbore,1\n", "line 2, top_lbs", "a well has no such column"},
        {"what,name,top_m\npump,x,1\n", "line 2, pump", "a bore or a part of the string"},
        {"what,name,top_m\npart,x,1\n", "line 2, 1", "a part has no top"},
        {"what,name,top_m,inside_mm\nbore,open,0,wide\n", "line 2, diameter 'wide'", "this is not a length"},
        {"from,what,name,top_m,inside_mm\n2026-03-10T00:00:00Z,bore,open,0,311\n2026-03-09T00:00:00Z,bore,open,0,311\n",
         "line 3, 2026-03-09", "stand in order of time"},
        {"{\"format\":1,\"kind\":\"well\",\"hole\":\"U0013A\"}", "-", "this file holds no well"},
        {"{\"hole\":", "-", ""},
    };
    struct intake *intake = *state;
    for (size_t at = 0; at < sizeof cases / sizeof cases[0]; at++) {
        struct well_file well = {.state_count = 77};
        intake_refused(intake, read(intake, cases[at].text, &well), STATUS_INPUT, cases[at].subject, cases[at].reason);
        assert_int_equal(well.state_count, 77); /* untouched */
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_row_is_a_bore_or_a_part, intake_open, intake_close),
        cmocka_unit_test_setup_teardown(a_state_begins_where_its_time_changes, intake_open, intake_close),
        cmocka_unit_test_setup_teardown(json_says_everything, intake_open, intake_close),
        cmocka_unit_test_setup_teardown(what_is_no_well_is_refused, intake_open, intake_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
