/* SPDX-License-Identifier: MIT */
/* Fields of corrections as typed text, and the record in its canonical form. */
#include "random_record.h"

#include <math.h>

static void typed_values_are_taken_or_refused(void **state)
{
    (void)state;
    static const struct {
        const struct table *table;
        const char *field;
        const char *typed;
        const char *printed; /* NULL: refused */
        const char *says;
    } rows[] = {
        {&correction_table, "what", "Tally", "tally", NULL},
        {&correction_table, "what", "lag", NULL, "reading, tally, stretch, tide, shift, seafloor"},
        {&correction_table, "amount", "-9.5", "-9.5", NULL},
        {&correction_table, "amount-m", "-31ft", "-9.4488", NULL},
        {&correction_table, "amount", "-3000", "-3000", NULL},
        {&correction_table, "amount", "-3000.000001", NULL, "outside -3000 to 3000 m"},
        {&correction_table, "top", "-1", NULL, "outside 0 to 30000 m"},
        {&correction_table, "core", "10000", NULL, "outside 1 to 9999"},
        {&correction_table, "load", "230000 N", "230", NULL},
        {&correction_table, "area", "19.5cm2", "1950", NULL},
        {&correction_table, "pipe-weight", "30 kg/m", "30", NULL},
        {&correction_table, "modulus", "206 GPa", "206", NULL},
        {&correction_table, "poisson", "0.28", "0.28", NULL},
        {&correction_table, "poisson", "0.28 mm", NULL, "not a unit"},
        {&correction_table, "rise", "90F", "50", NULL},
        {&correction_table, "expansion_um_m_K", "12.45", "12.45", NULL},
        {&correction_table, "evidence-file", "0123456789abcdef0123456789abcdef01234567",
         "0123456789abcdef0123456789abcdef01234567", NULL},
        {&correction_table, "evidence_file", "0123456789ABCDEF0123456789ABCDEF01234567", NULL, "this does not fit"},
        {&correction_table, "evidence_file", "0123456789abcdef0123456789abcdef0123456", NULL, "this does not fit"},
        {&correction_table, "evidence_file", "0123456789abcdef0123456789abcdef012345678", NULL, "this does not fit"},
        {&correction_table, "supersedes", "3 5", "3 5", NULL},
        {&correction_table, "supersedes", "9999", "9999", NULL},
        {&correction_table, "supersedes", "10000", NULL, "this does not fit"},
        {&correction_table, "supersedes", "03", NULL, "this does not fit"},
        {&correction_table, "supersedes", "3  5", NULL, "this does not fit"},
        {&correction_table, "supersedes", "3 ", NULL, "this does not fit"},
        {&correction_table, "supersedes", "3,5", NULL, "this does not fit"},
        {&correction_table, "seafloor-by", "echo", NULL, "tagged, mudline, camera, inherited, other"},
        {&core_offset_table, "offset", "-3000", "-3000", NULL},
        {&survey_station_table, "inclination", "15 deg", "15", NULL},
        {&survey_station_table, "azimuth", "-20", NULL, "0 or more"},
        {&growth_step_table, "factor", "", NULL, "required"},
        {&splice_interval_table, "bottom_section", "CC", "CC", NULL},
        {&tide_height_table, "time", "2026-03-01", NULL, "not a date"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct arena arena;
        struct err err = {0};
        union {
            struct correction correction;
            struct core_offset offset;
            struct survey_station station;
            struct growth_step step;
            struct splice_interval interval;
            struct tide_height height;
        } record;
        arena_init(&arena, 1 << 20);
        record_init(rows[at].table, &record);
        const struct field *field = field_find(rows[at].table, rows[at].field);
        assert_non_null(field);
        const enum status status = field_set(field, rows[at].typed, field->unit, 330, &arena, &record, &err);
        ROW(rows[at].typed, status == (rows[at].printed ? STATUS_OK : STATUS_INPUT));
        if (rows[at].printed) {
            struct text text;
            struct bytes out;
            text_init(&text, &arena);
            field_format(field, &record, &text);
            assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
            ROW_TEXT(rows[at].typed, out.data, rows[at].printed);
        } else if (!strstr(err.reason, rows[at].says) && !strstr(err.hint, rows[at].says))
            fail_msg("%s: '%s' '%s' does not say '%s'", rows[at].typed, err.reason, err.hint, rows[at].says);
        arena_clear(&arena);
    }
}

/* What is not said is absent, never 0: no kind may take a length of 0 for one that was typed. */
static void a_new_record_says_nothing(void **state)
{
    (void)state;
    struct correction it;
    record_init(&correction_table, &it);
    for (size_t at = 0; at < correction_table.count; at++)
        ROW(correction_table.fields[at].name, field_is_absent(&correction_table.fields[at], &it));
    assert_true(it.kind == CORRECTION_NONE && it.stretch == STRETCH_NONE && it.seafloor_by == SEAFLOOR_NONE);
    assert_true(it.top_um == LENGTH_NONE && it.bottom_um == LENGTH_NONE && it.amount_um == LENGTH_NONE);
    assert_true(it.core_top_um == LENGTH_NONE && it.core_bottom_um == LENGTH_NONE && it.seafloor_um == LENGTH_NONE);
    assert_true(isnan(it.load_kn) && isnan(it.area_mm2) && isnan(it.pipe_weight_kg_m) && isnan(it.modulus_gpa));
    assert_true(isnan(it.steel_kg_m3) && isnan(it.mud_kg_m3) && isnan(it.poisson) && isnan(it.rise_k));
    assert_true(isnan(it.expansion_um_m_k));
}

static void the_form_is_canonical(void **state)
{
    (void)state;
    struct arena arena;
    struct err err = {0};
    struct bytes out;
    struct survey_station stations[] = {{3000 * METRE, 0, 0}, {3100500000, 2.25, 359.5}};
    struct correction it;
    arena_init(&arena, 1 << 20);
    record_init(&correction_table, &it);
    it.hole = "U0012A";
    it.number = 4;
    it.kind = CORRECTION_SURVEY;
    it.stations = stations;
    it.station_count = COUNT_OF(stations);
    it.reason = "gyro run";
    it.supersedes = "1 3";
    assert_int_equal(record_encode(&correction_table, &it, &arena, &out, &err), STATUS_OK);
    assert_string_equal(out.data, "{\n\"format\":1,\n\"kind\":\"correction\",\n\"hole\":\"U0012A\",\n\"number\":4,\n"
                                  "\"what\":\"survey\",\n\"stations\":[\n"
                                  "{\"depth_m\":3000,\"inclination_deg\":0,\"azimuth_deg\":0},\n"
                                  "{\"depth_m\":3100.5,\"inclination_deg\":2.25,\"azimuth_deg\":359.5}\n],\n"
                                  "\"reason\":\"gyro run\",\n\"supersedes\":\"1 3\"\n}\n");
    arena_clear(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(typed_values_are_taken_or_refused),
        cmocka_unit_test(a_new_record_says_nothing),
        cmocka_unit_test(the_form_is_canonical),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
