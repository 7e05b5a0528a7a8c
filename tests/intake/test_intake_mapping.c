/* SPDX-License-Identifier: MIT */
/* Which column of a table is which field: from lines, from the names of the columns, and what is refused. */
#include "intake.h"

#include "coretally/intake/mapping.h"

static const char cores[] = "site,hole,core,type,TOP,bottom_ft,rec\nU0012,A,3,H,1.5,30,9.4\n";

static const struct source *source_of(const struct mapping *mapping, const char *field)
{
    for (size_t at = 0; at < mapping->source_count; at++)
        if (strcmp(mapping->sources[at].field, field) == 0)
            return &mapping->sources[at];
    return NULL;
}

static enum status read(struct intake *intake, enum import_kind kind, const char *text, const char *lines,
                        struct mapping *out)
{
    const struct mapping_asked asked = {.lines = lines};
    const struct table_text table = intake_table(intake, text);
    return mapping_read(&intake->arena, &asked, kind, &table, out, &intake->err);
}

static void lines_come_before_names_of_columns(void **state)
{
    struct intake *intake = *state;
    struct mapping mapping;
    intake_ok(intake, read(intake, IMPORT_CORES, cores,
                           "# a remark\ntop = TOP | cm | DSF; recovered = \"9.5\"; compare recovery = rec ;"
                           "compare dsf-bottom = rec | ft; doubtful = keep",
                           &mapping));
    const struct source *top = source_of(&mapping, "top");
    assert_int_equal(top->column, 4);
    assert_int_equal(top->unit, UNIT_CM);
    assert_int_equal(top->datum, DATUM_SEAFLOOR);
    const struct source *bottom = source_of(&mapping, "bottom"); /* by its name, with the unit behind it */
    assert_int_equal(bottom->column, 5);
    assert_int_equal(bottom->unit, UNIT_FT);
    assert_int_equal(bottom->datum, DATUM_NONE);
    const struct source *recovered = source_of(&mapping, "recovered");
    assert_int_equal(recovered->column, SIZE_MAX);
    assert_string_equal(recovered->constant, "9.5");
    assert_null(source_of(&mapping, "hole")->as); /* it only names */
    assert_true(mapping.keep_doubtful);
    assert_int_equal(mapping.comparison_count, 2);
    assert_int_equal(mapping.comparisons[0].what, COMPARE_RECOVERY);
    assert_int_equal(mapping.comparisons[1].what, COMPARE_DSF);
    assert_true(mapping.comparisons[1].at_bottom);
    assert_int_equal(mapping.comparisons[1].unit, UNIT_FT);
}

static void what_cannot_be_mapped_is_refused(void **state)
{
    static const struct {
        const char *lines;
        const char *subject;
        const char *reason;
    } cases[] = {
        {"top", "--set, line 1, 'top'", "a mapping line reads"},
        {"top = TOP | m | DSF; depth = TOP | m", "--set, line 2, 'depth'", "cores have no such field"},
        {"top = TOPP | m | DSF", "line 1, 'TOPP'", "the table has no column of this name"},
        {"top = TOP", "'top'", "the unit of its column is not stated"},
        {"top = TOP | m | CSF-A", "'CSF-A'", "a drilled depth is on DRF"},
        {"top = TOP | m", "top", "the scale of the drilled depths is not stated"},
        {"top = TOP | m | DSF; top = rec | m", "'top'", "this field is mapped twice"},
        {"top = TOP | m | DSF; bottom = rec | m | DRF", "bottom", "count from one datum"},
        {"recovered = rec | m | DSF", "'recovered'", "only drilled top and bottom are on a depth scale"},
        {"doubtful = perhaps", "'perhaps'", "either 'refuse' or 'keep'"},
        {"compare dsf = rec | m", "'dsf'", "this cannot be compared"},
        {"", "top", "no column is mapped to this field"},
    };
    struct intake *intake = *state;
    struct mapping mapping;
    for (size_t at = 0; at < sizeof cases / sizeof cases[0]; at++)
        intake_refused(intake, read(intake, IMPORT_CORES, cores, cases[at].lines, &mapping), STATUS_INPUT,
                       cases[at].subject, cases[at].reason);
    assert_non_null(strstr(intake->err.hint, "--set 'top = column | m | DSF'"));
}

static void two_columns_of_one_name_map_only_by_a_line(void **state)
{
    static const char text[] = "hole,core,type,section,top_cm,bottom_cm,half,Half\nA,1,H,1,0,5,W,A\n";
    struct intake *intake = *state;
    struct mapping mapping;
    intake_refused(intake, read(intake, IMPORT_SAMPLES, text, NULL, &mapping), STATUS_INPUT, "Half",
                   "two columns have this name");
    intake_ok(intake, read(intake, IMPORT_SAMPLES, text, "half = Half", &mapping));
    assert_int_equal(source_of(&mapping, "half")->column, 7);
}

/* A file that was made from the template maps itself, whatever the kind. */
static void a_template_maps_itself(void **state)
{
    struct intake *intake = *state;
    for (int kind = 0; kind < 4; kind++) {
        struct text header;
        struct bytes bytes;
        struct mapping mapping;
        struct text text;
        text_init(&header, &intake->arena);
        intake_ok(intake, import_template(import_words[kind], &header, &intake->err));
        intake_ok(intake, text_done(&header, &bytes, &intake->err));
        text_init(&text, &intake->arena);
        text_add(&text, bytes.data);
        size_t columns = 1;
        for (const char *at = bytes.data; *at; at++)
            if (*at == ',') {
                text_add(&text, ",");
                columns++;
            }
        text_add(&text, "\n");
        intake_ok(intake, text_done(&text, &bytes, &intake->err));
        intake_ok(intake, read(intake, (enum import_kind)kind, bytes.data, NULL, &mapping));
        assert_int_equal(mapping.source_count, columns);
    }
    enum import_kind kind = IMPORT_BAGS;
    intake_refused(intake, import_kind_find("core", &kind, &intake->err), STATUS_INPUT, "core",
                   "there is no such table");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(lines_come_before_names_of_columns, intake_open, intake_close),
        cmocka_unit_test_setup_teardown(what_cannot_be_mapped_is_refused, intake_open, intake_close),
        cmocka_unit_test_setup_teardown(two_columns_of_one_name_map_only_by_a_line, intake_open, intake_close),
        cmocka_unit_test_setup_teardown(a_template_maps_itself, intake_open, intake_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
