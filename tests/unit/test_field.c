/* SPDX-License-Identifier: MIT */
/* Fields as typed text: set, refused, printed, compared; the tables themselves. */
#include "random_record.h"

#include <math.h>

#include "coretally/base/limits.h"

static enum status set(const struct table *table, const char *name, const char *typed, void *record,
                       struct arena *arena, struct err *err)
{
    const struct field *field = field_find(table, name);
    assert_non_null(field);
    return field_set(field, typed, field->unit, 330, arena, record, err);
}

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
        {&core_table, "top", "105.2", "105.2", NULL},
        {&core_table, "top-m", "345.1ft", "105.18648", NULL},
        {&core_table, "top", "-1", NULL, "outside 0 to 30000 m"},
        {&core_table, "top", "", NULL, "required"},
        {&core_table, "bottom", "", "", NULL},
        {&core_table, "number", "12", "12", NULL},
        {&core_table, "number", "9999", "9999", NULL},
        {&core_table, "number", "10000", NULL, "outside 1 to 9999"},
        {&core_table, "number", "99999999999999999999999", NULL, "outside 1 to 9999"},
        {&core_table, "number", "0", NULL, "outside 1 to 9999"},
        {&core_table, "number", "-1", NULL, "not a whole number"},
        {&core_table, "number", "1.5", NULL, "not a whole number"},
        {&core_table, "number", "x", NULL, "not a whole number"},
        {&core_table, "version", "2147483647", "2147483647", NULL},
        {&core_table, "version", "2147483648", NULL, "outside"},
        {&core_table, "type", "h", "H", NULL},
        {&core_table, "type", "HX", NULL, "not a letter"},
        {&core_table, "type", "7", NULL, "not a letter"},
        {&core_table, "datum", "Rig_Floor", "rig-floor", NULL},
        {&core_table, "datum", "sky", NULL, "rig-floor, seafloor"},
        {&core_table, "on-deck", "2026-03-01 04:12", "2026-03-01T04:12:00+05:30", NULL},
        {&core_table, "on_deck", "noon", NULL, "not a date"},
        {&core_table, "remark", "grey \xC2\xB5m", "grey \xC2\xB5m", NULL},
        {&core_table, "remark", "two\nlines", NULL, "control character"},
        {&core_table, "remark", "\xFF", NULL, "byte 1 is not UTF-8"},
        {&hole_table, "zone", "+05:30", "+05:30", NULL},
        {&hole_table, "zone", "UTC", "Z", NULL},
        {&hole_table, "zone", "-00:00", NULL, "unknown"},
        {&hole_table, "site", "U0012", "U0012", NULL},
        {&hole_table, "site", "u0012", NULL, "this does not fit"},
        {&hole_table, "site", "U", NULL, "this does not fit"},
        {&hole_table, "site", "U123456", NULL, "this does not fit"},
        {&hole_table, "letter", "ABC", "ABC", NULL},
        {&hole_table, "letter", "ABCD", NULL, "this does not fit"},
        {&expedition_table, "number", "901", "901", NULL},
        {&expedition_table, "number", "1234567", NULL, "this does not fit"},
        {&sample_table, "section", "cc", "CC", NULL},
        {&sample_table, "section", "100", NULL, "0 to 99, or CC"},
        {&sample_table, "half", "w", "W", NULL},
        {&sample_table, "half", "B", NULL, "W, A, WR"},
        {&sample_table, "top", "45", "45", NULL},
        {&sample_table, "top_cm", "0.4501m", "45.01", NULL},
        {&sample_table, "volume", "7.5", "7.5", NULL},
        {&sample_table, "volume_cm3", "7.5 ml", "7.5", NULL},
        {&sample_table, "volume", "7.5cc", "7.5", NULL},
        {&sample_table, "volume", "7.5 l", "7500", NULL},
        {&sample_table, "volume", "7.5 gal", NULL, "one of cm3, ml, cc, l"},
        {&sample_table, "volume", "-1", NULL, "0 or more"},
        {&sample_table, "mass", "3 g", "3", NULL},
        {&sample_table, "mass", "3kg", "3000", NULL},
        {&sample_table, "mass", "3 lb", NULL, "one of g, kg"},
        {&sample_table, "mass", "3000000000000000000000000000000000000000000000000000000000000000000000", NULL, "g"},
        {&sample_table, "used-up", "Yes", "yes", NULL},
        {&sample_table, "used_up", "no", "", NULL},
        {&sample_table, "used_up", "maybe", NULL, "yes or no"},
        {&sample_table, "ordinal", "1", NULL, "outside 2 to 9999"},
        {&sample_table, "ordinal", "9999", "9999", NULL},
        {&sample_table, "number", "10000", NULL, "outside 1 to 9999"},
        {&hole_table, "plan", "3000,,5", "3000,,5", NULL},
        {&geometry_table, "flowline", "2.5", "2.5", NULL},
        {&geometry_table, "flowline-m3", "500 l", "0.5", NULL},
        {&geometry_table, "flowline", "1bbl", "0.158987294928", NULL},
        {&geometry_table, "flowline", "1gal", "0.003785411784", NULL},
        {&geometry_table, "flowline", "300gpm", NULL, "'gpm' is not a unit that fits here"},
        {&geometry_table, "flowline", "2,5", NULL, "a point, not a comma"},
        {&geometry_table, "flowline", "-2", NULL, "number of m3, 0 or more"},
        {&geometry_table, "flowline", "m3", NULL, "not an amount"},
        {&geometry_table, "flowline", "1e308bbl", "1.58987294928e+307", NULL},
        {&geometry_table, "supply", "35.3 FT3", "0.9995846846976", NULL},
        {&geometry_table, "shaker_delay", "1.5 min", "90", NULL},
        {&geometry_table, "shaker-delay-s", "90", "90", NULL},
        {&geometry_table, "shaker_delay", "90 m", NULL, "one of s, min, h"},
        {&geometry_table, "loss", "30%", "30", NULL},
        {&geometry_table, "loss", "30 pct", "30", NULL},
        {&geometry_table, "loss", "5 m3", NULL, "one of %, pct"},
        {&geometry_table, "loss-depth", "6889.764ft", "2100.000067", NULL},
        {&geometry_table, "inlet", "1000", "1000", NULL},
        {&geometry_table, "slip", "Moore", "moore", NULL},
        {&geometry_table, "slip", "stokes", NULL, "moore"},
        {&geometry_table, "cutting-size", "6mm", "0.006", NULL},
        {&geometry_table, "cutting_size_m", "0.25in", "0.00635", NULL},
        {&geometry_table, "cutting_density", "2.6 g/cm3", "2600", NULL},
        {&geometry_table, "mud_density", "1200", "1200", NULL},
        {&geometry_table, "mud_density", "10 sg", NULL, "kg/m3, g/cm3, lb/gal, ppg"},
        {&geometry_table, "viscosity", "12cP", "12", NULL},
        {&geometry_table, "viscosity", "0.012 Pa.s", "12", NULL},
        {&geometry_table, "viscosity", "12 cSt", NULL, "mPa.s, cP, Pa.s"},
        {&geometry_table, "sphericity", "0.8", "0.8", NULL},
        {&geometry_table, "sphericity", "0.8 mm", NULL, "not a unit"},
        {&geometry_table, "cemented", "2026-03-01 04:12", "2026-03-01T04:12:00+05:30", NULL},
        {&geometry_table, "number", "10000", NULL, "outside 1 to 9999"},
        {&bore_table, "diameter", "12.25in", "311.15", NULL},
        {&bore_table, "diameter", "2001", NULL, "outside 0 to 2000 mm"},
        {&bore_table, "kind", "open", "open", NULL},
        {&bore_table, "kind", "hole", NULL, "riser, casing, liner, open"},
        {&bore_table, "washout", "10%", "10", NULL},
        {&part_table, "inside", "2.8125in", "71.438", NULL},
        {&part_table, "length", "", "", NULL},
        {&pump_table, "output", "16.7 l/stk", "0.0167", NULL},
        {&pump_table, "output-m3", "1bbl/stk", "0.158987294928", NULL},
        {&pump_table, "output", "0.0167 m3", NULL, "m3/stk"},
        {&pump_table, "efficiency", "97", "97", NULL},
        {&pump_table, "bore", "6.5in", "165.1", NULL},
        {&pump_table, "stroke", "12 in", "304.8", NULL},
        {&pump_table, "kind", "Triplex", "triplex", NULL},
        {&pump_table, "line", "riser", NULL, "string, booster"},
        {&bag_table, "mass", "1.5kg", "1500", NULL},
        {&bag_table, "volume", "250 ml", "250", NULL},
        {&bag_table, "number", "999999", "999999", NULL},
        {&bag_table, "number", "1000000", NULL, "outside 1 to 999999"},
        {&bag_table, "to", "04:12", NULL, "not a date"},
        {&bag_set_table, "what", "GAS", "gas", NULL},
        {&bag_set_table, "what", "core", NULL, "bag, gas, mud"},
        {&bag_set_table, "hundred", "10000", "10000", NULL},
        {&bag_set_table, "hundred", "10001", NULL, "outside 1 to 10000"},
        {&lag_check_table, "in", "", NULL, "required"},
        {&hole_table, "seafloor_at", "2026-03-01 04:12", "2026-03-01T04:12:00+05:30", NULL},
        {&hole_table, "tide", "20", "20", NULL},
        {&hole_table, "tide", "20.000001", NULL, "outside 0 to 20 m"},
        {&hole_table, "parent", "U0012A", "U0012A", NULL},
        {&hole_table, "parent", "1264ABC", "1264ABC", NULL},
        {&hole_table, "parent", "U0012", NULL, "this does not fit"},
        {&hole_table, "parent", "u0012A", NULL, "this does not fit"},
        {&hole_table, "parent", "UA", NULL, "this does not fit"},
        {&hole_table, "parent", "U123456A", NULL, "this does not fit"},
        {&hole_table, "parent", "U0012ABCD", NULL, "this does not fit"},
        {&hole_table, "kickoff", "10000ft", "3048", NULL},
        {&lag_check_table, "seen", "2026-03-01 04:12:30.5", "2026-03-01T04:12:30.5+05:30", NULL},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct arena arena;
        struct err err = {0};
        arena_init(&arena, 1 << 20);
        union {
            struct expedition expedition;
            struct hole hole;
            struct core core;
            struct sample sample;
            struct geometry geometry;
            struct bore bore;
            struct part part;
            struct pump pump;
            struct bag bag;
            struct bag_set bags;
            struct lag_check check;
        } record;
        record_init(rows[at].table, &record);
        const enum status status = set(rows[at].table, rows[at].field, rows[at].typed, &record, &arena, &err);
        ROW(rows[at].typed, status == (rows[at].printed ? STATUS_OK : STATUS_INPUT));
        if (rows[at].printed) {
            struct text text;
            struct bytes out;
            text_init(&text, &arena);
            field_format(field_find(rows[at].table, rows[at].field), &record, &text);
            assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
            ROW_TEXT(rows[at].typed, out.data, rows[at].printed);
        } else if (!strstr(err.reason, rows[at].says) && !strstr(err.hint, rows[at].says))
            fail_msg("%s: '%s' '%s' does not say '%s'", rows[at].typed, err.reason, err.hint, rows[at].says);
        arena_clear(&arena);
    }
}

static void the_refused_field_is_named(void **state)
{
    (void)state;
    struct arena arena;
    struct err err = {0};
    struct core core;
    arena_init(&arena, 1 << 16);
    record_init(&core_table, &core);
    assert_int_equal(set(&core_table, "recovered", "9,5", &core, &arena, &err), STATUS_INPUT);
    assert_string_equal(err.subject, "recovered '9,5'");
    char text[TEXT_FIELD_MAX + 2];
    memset(text, 'x', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    assert_int_equal(set(&core_table, "remark", text, &core, &arena, &err), STATUS_INPUT);
    text[TEXT_FIELD_MAX] = '\0';
    assert_int_equal(set(&core_table, "remark", text, &core, &arena, &err), STATUS_OK);
    arena_clear(&arena);
}

static void the_empty_text_clears(void **state)
{
    (void)state;
    uint64_t seed = 6;
    const struct table *const tables[] = {&expedition_table, &hole_table,      &core_table, &section_table,
                                          &sample_table,     &geometry_table,  &pump_table, &bag_table,
                                          &lag_check_table,  &correction_table};
    for (size_t table = 0; table < COUNT_OF(tables); table++) {
        struct arena arena;
        struct err err;
        arena_init(&arena, 1 << 20);
        void *record = random_new(tables[table], &seed, TEXTS_ANY, &arena);
        for (size_t at = 0; at < tables[table]->count; at++) {
            const struct field *field = &tables[table]->fields[at];
            const enum status status = field_set(field, "", field->unit, INT_NONE, &arena, record, &err);
            ROW(field->name, status == (field->need == REQUIRED ? STATUS_INPUT : STATUS_OK));
            ROW(field->name, field->need == REQUIRED || field_is_absent(field, record));
        }
        arena_clear(&arena);
    }
}

static const struct table *const all_tables[] = {&expedition_table,    &hole_table,          &drilled_table,
                                                 &core_table,          &sample_table,        &section_table,
                                                 &geometry_table,      &bore_table,          &part_table,
                                                 &pump_table,          &bag_table,           &bag_set_table,
                                                 &lag_check_table,     &plan_table,          &correction_table,
                                                 &tide_height_table,   &core_offset_table,   &splice_interval_table,
                                                 &growth_step_table,   &match_point_table,   &survey_station_table,
                                                 &label_table,         &renaming_table,      &signature_table,
                                                 &drilled_set_table,   &gap_table,           &whole_round_table,
                                                 &piece_table,         &sample_set_table,    &geometry_set_table,
                                                 &pump_set_table,      &lag_check_set_table, &label_set_table,
                                                 &signature_set_table, &act_signature_table, &act_signature_set_table};

static void printed_fields_read_back_equal(void **state)
{
    (void)state;
    uint64_t seed = 7;
    for (int round = 0; round < 3300; round++) {
        const struct table *table = all_tables[round % (int)COUNT_OF(all_tables)];
        struct arena arena;
        struct err err = {0};
        arena_init(&arena, 4 << 20);
        const void *record = random_new(table, &seed, TEXTS_ANY, &arena);
        void *again = random_new(table, &seed, TEXTS_ANY, &arena);
        for (size_t at = 0; at < table->count; at++) {
            const struct field *field = &table->fields[at];
            if (field->type == FIELD_LIST || (field->need == REQUIRED && field_is_absent(field, record)))
                continue;
            struct text text;
            struct bytes out;
            text_init(&text, &arena);
            field_format(field, record, &text);
            assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
            if (field_set(field, out.data, field->unit, INT_NONE, &arena, again, &err) != STATUS_OK)
                fail_msg("%s '%s': %s", field->name, out.data, err.reason);
            ROW(out.data, field_is_equal(field, record, again));
        }
        arena_clear(&arena);
    }
}

static void every_difference_is_seen(void **state)
{
    (void)state;
    uint64_t seed = 8;
    struct arena arena;
    arena_init(&arena, 1 << 20);
    for (size_t table = 0; table < COUNT_OF(all_tables); table++)
        for (size_t at = 0; at < all_tables[table]->count; at++) {
            const struct field *field = &all_tables[table]->fields[at];
            struct err err;
            void *record = random_new(all_tables[table], &seed, TEXTS_ANY, &arena);
            void *copy = NULL;
            assert_int_equal(arena_take(&arena, 1, all_tables[table]->size, &copy, &err), STATUS_OK);
            memcpy(copy, record, all_tables[table]->size);
            ROW(field->name, record_is_equal(all_tables[table], record, copy));
            if (field->need == REQUIRED || field_is_absent(field, record))
                continue;
            assert_int_equal(field_set(field, "", field->unit, INT_NONE, &arena, copy, &err), STATUS_OK);
            ROW(field->name, !record_is_equal(all_tables[table], record, copy));
        }
    arena_clear(&arena);
}

static void tables_are_sound(void **state)
{
    (void)state;
    for (size_t table = 0; table < COUNT_OF(all_tables); table++)
        for (size_t at = 0; at < all_tables[table]->count; at++) {
            const struct field *field = &all_tables[table]->fields[at];
            char key[FIELD_KEY_MAX];
            char column[FIELD_KEY_MAX];
            field_key(field, key);
            field_column(field, column);
            ROW(key, field_find(all_tables[table], key) == field && field_find(all_tables[table], column) == field);
            ROW(key, field->offset < all_tables[table]->size && field->meaning[0]);
            ROW(key, field->type != FIELD_LENGTH || field->most > field->least);
            ROW(key, field->type != FIELD_COUNT || (field->least > 0 && field->most >= field->least));
            ROW(key, (field->type == FIELD_REAL) == (field->measure != MEASURE_NONE));
            ROW(key, field->type != FIELD_REAL || field->suffix || field->measure == MEASURE_RATIO);
            ROW(key, field->type != FIELD_WORD || (field->words && !field->words[0][0]));
            ROW(key, field->type != FIELD_LIST || (field->of && !field->of->is_file));
            ROW(key, (field->pattern != NULL) == (field->check != NULL));
            ROW(key, all_tables[table]->count <= 64); /* the reader keeps the keys that it saw in 64 bits */
        }
    assert_null(field_find(&core_table, "depth"));
    assert_null(field_find(&core_table, ""));
}

static void validation_names_what_is_wrong(void **state)
{
    (void)state;
    struct err err = {0};
    struct hole hole;
    record_init(&hole_table, &hole);
    hole.site = "U0012";
    hole.letter = "A";
    assert_int_equal(record_validate(&hole_table, &hole, "U0012A", &err), STATUS_INPUT);
    assert_string_equal(err.subject, "U0012A");
    assert_non_null(strstr(err.reason, "'returns' is missing"));
    hole.returns = RETURNS_SHIP;
    assert_int_equal(record_validate(&hole_table, &hole, "U0012A", &err), STATUS_OK);
    hole.seafloor_um = 12000 * METRE;
    assert_int_equal(record_validate(&hole_table, &hole, "U0012A", &err), STATUS_OK);
    hole.seafloor_um++;
    assert_int_equal(record_validate(&hole_table, &hole, "U0012A", &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "'seafloor' is outside its limits, 0 to 12000"));
    hole.seafloor_um = 0;
    hole.site = "Uxx";
    assert_int_equal(record_validate(&hole_table, &hole, "U0012A", &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "'site'"));
    struct sampling_plan plan = {3000 * METRE, LENGTH_NONE, 0};
    hole.site = "U0012";
    hole.plan = &plan;
    hole.plan_count = 1;
    assert_int_equal(record_validate(&hole_table, &hole, "U0012A", &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "'step' is outside its limits, 0.001 to 1000"));
    plan.step_um = 1000;
    assert_int_equal(record_validate(&hole_table, &hole, "U0012A", &err), STATUS_OK);
    struct bag_set bags;
    record_init(&bag_set_table, &bags);
    bags.hole = "U0012A";
    bags.kind = BAG_GAS;
    bags.hundred = 10001;
    assert_int_equal(record_validate(&bag_set_table, &bags, "bags", &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "'hundred' is outside its limits, 1 to 10000"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(typed_values_are_taken_or_refused),
        cmocka_unit_test(the_refused_field_is_named),
        cmocka_unit_test(the_empty_text_clears),
        cmocka_unit_test(printed_fields_read_back_equal),
        cmocka_unit_test(every_difference_is_seen),
        cmocka_unit_test(tables_are_sound),
        cmocka_unit_test(validation_names_what_is_wrong),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
