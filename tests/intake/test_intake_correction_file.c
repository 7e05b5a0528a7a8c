/* SPDX-License-Identifier: MIT */
/* Files of corrections: whose row is whose, what stands in it, and what is refused with its line. */
#include "rooms/scene.h"

#include "coretally/intake/correction_file.h"

static enum status read_file(struct room *room, enum correction_kind kind, const char *text,
                             struct correction_file *out)
{
    struct table_text table;
    struct target first;
    FILE *in = fmemopen((void *)(uintptr_t)text, strlen(text), "rb");
    assert_non_null(in);
    room_ok(room, csv_read(room->arena, in, "-", &table, &room->err));
    (void)fclose(in);
    room_ok(room, resolve(room->state, "U0012A", NAME_HOLE, NAME_HOLE, &first, &room->err));
    return correction_file_read(room->state, kind, &table, &first, out, &room->err);
}

static void fill(struct room *room)
{
    room_fill(room);
    (void)room_write(room, "holes/U0012B/hole.json",
                     "'site':'U0012','letter':'B','seafloor_m':3021.4,'seafloor_by':'tagged','returns':'seafloor'");
}

static void rows_go_to_the_hole_that_they_name(void **state)
{
    struct room *const room = *state;
    struct correction_file file;
    struct correction a;
    struct correction b;
    fill(room);
    record_init(&correction_table, &a);
    b = a;
    room_ok(room, read_file(room, CORRECTION_COMPOSITE,
                            "hole,core,offset_ft,method\n"
                            "A,2H,10,assumed\n" /* with its letter, which is held against the core */
                            "B,4,0,assumed\n"
                            ",1,1m,assumed\n" /* of the first hole; its own unit */
                            "u0012b,3,2,assumed\n",
                            &file));
    assert_int_equal(file.hole_count, 2);
    assert_string_equal(file.holes[1].hole_name, "U0012B");
    room_ok(room, correction_file_take(&file, 0, room->arena, &a, &room->err));
    room_ok(room, correction_file_take(&file, 1, room->arena, &b, &room->err));
    assert_int_equal(a.offset_count, 2);
    assert_int_equal(a.offsets[0].core, 1); /* by core */
    assert_int_equal(a.offsets[0].offset_um, 1000000);
    assert_int_equal(a.offsets[1].offset_um, 3048000); /* 1 ft = 0.3048 m: NIST SP 811 (2008), appendix B.8 */
    assert_int_equal(b.offset_count, 2);
    assert_int_equal(b.offsets[0].core, 3);
}

static void a_kind_of_one_hole_has_no_column_of_holes(void **state)
{
    struct room *const room = *state;
    struct correction_file file;
    struct correction tide;
    fill(room);
    record_init(&correction_table, &tide);
    room_ok(room, read_file(room, CORRECTION_TIDE,
                            "time,height_m\n2026-02-01T00:00:00Z,0.5\n2026-02-01T01:00:00Z,-0.25\n", &file));
    room_ok(room, correction_file_take(&file, 0, room->arena, &tide, &room->err));
    assert_int_equal(tide.height_count, 2);
    assert_int_equal(tide.heights[1].height_um, -250000);
    room_refused(room, read_file(room, CORRECTION_TIDE, "hole,time,height_m\nA,2026-02-01T00:00:00Z,0.5\n", &file),
                 STATUS_INPUT, "this table has no such column");
}

static void what_is_wrong_is_told_with_its_line(void **state)
{
    static const struct {
        const char *text;
        enum status status;
        const char *subject;
        const char *reason;
    } cases[] = {
        {"hole,core,offset_m\nA,1,1\nC,1,1\n", STATUS_UNKNOWN, "-, line 3, ", "U0012C"},
        {"hole,core,offset_m\nA,1,high\n", STATUS_INPUT, "-, line 2, ", "this is not a length"},
        {"hole,core,offset_m\nA,2X,1\n", STATUS_UNKNOWN, "-, line 2, ", "2H"},
        {"hole,core,offset_m,offset_ft\nA,1,1,3\n", STATUS_INPUT, "offset_ft", "two columns hold this"},
        {"hole,core,depth\nA,1,1\n", STATUS_INPUT, "depth", "this table has no such column"},
    };
    struct room *const room = *state;
    struct correction_file file;
    fill(room);
    for (size_t at = 0; at < sizeof cases / sizeof cases[0]; at++) {
        const enum status status = read_file(room, CORRECTION_COMPOSITE, cases[at].text, &file);
        if (!strstr(room->err.subject, cases[at].subject))
            fail_msg("'%s', not '%s'", room->err.subject, cases[at].subject);
        room_refused(room, status, cases[at].status, cases[at].reason);
    }
    struct correction tide; /* a row that lacks something is told when it is taken */
    record_init(&correction_table, &tide);
    room_ok(room, read_file(room, CORRECTION_TIDE, "time,height_m\n2026-02-01T00:00:00Z,0.5\n,0.5\n", &file));
    const enum status status = correction_file_take(&file, 0, room->arena, &tide, &room->err);
    assert_non_null(strstr(room->err.subject, "-, line 3, "));
    room_refused(room, status, STATUS_INPUT, "");
    assert_null(tide.heights);
}

static void a_header_is_made_for_each_kind(void **state)
{
    struct room *const room = *state;
    struct text text;
    struct bytes bytes;
    text_init(&text, room->arena);
    assert_true(correction_template("composite", &text));
    room_ok(room, text_done(&text, &bytes, &room->err));
    assert_string_equal(bytes.data, "hole,core,offset_m,method,feature,reference\n");
    assert_true(correction_is_table("Splice"));
    assert_false(correction_is_table("tally"));
    assert_false(correction_template("tally", &text));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(rows_go_to_the_hole_that_they_name, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_kind_of_one_hole_has_no_column_of_holes, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_is_wrong_is_told_with_its_line, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_header_is_made_for_each_kind, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
