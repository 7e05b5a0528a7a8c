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
        {&hole_table, "site", "u0012", NULL, "this is no"},
        {&hole_table, "site", "U", NULL, "this is no"},
        {&hole_table, "site", "U123456", NULL, "this is no"},
        {&hole_table, "letter", "ABC", "ABC", NULL},
        {&hole_table, "letter", "ABCD", NULL, "this is no"},
        {&expedition_table, "number", "901", "901", NULL},
        {&expedition_table, "number", "1234567", NULL, "this is no"},
        {&sample_table, "section", "cc", "CC", NULL},
        {&sample_table, "section", "100", NULL, "0 to 99, or CC"},
        {&sample_table, "half", "w", "W", NULL},
        {&sample_table, "half", "B", NULL, "W, A, WR"},
        {&sample_table, "top", "45", "45", NULL},
        {&sample_table, "top_cm", "0.4501m", "45.01", NULL},
        {&sample_table, "volume", "7.5", "7.5", NULL},
        {&sample_table, "volume_cm3", "7.5 ml", "7.5", NULL},
        {&sample_table, "volume", "7.5cc", "7.5", NULL},
        {&sample_table, "volume", "7.5 l", NULL, "number of cm3"},
        {&sample_table, "volume", "-1", NULL, "0 or more"},
        {&sample_table, "mass", "3 g", "3", NULL},
        {&sample_table, "mass", "3kg", NULL, "number of g"},
        {&sample_table, "mass", "3000000000000000000000000000000000000000000000000000000000000000000000", NULL, "g"},
        {&sample_table, "used-up", "Yes", "yes", NULL},
        {&sample_table, "used_up", "no", "", NULL},
        {&sample_table, "used_up", "maybe", NULL, "yes or no"},
        {&sample_table, "ordinal", "1", NULL, "outside 2 to 9999"},
        {&sample_table, "ordinal", "9999", "9999", NULL},
        {&sample_table, "number", "10000", NULL, "outside 1 to 9999"},
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
    const struct table *const tables[] = {&expedition_table, &hole_table, &core_table, &section_table, &sample_table};
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

static void printed_fields_read_back_equal(void **state)
{
    (void)state;
    uint64_t seed = 7;
    const struct table *const tables[] = {&expedition_table, &hole_table,   &drilled_table,
                                          &core_table,       &sample_table, &section_table};
    for (int round = 0; round < 600; round++) {
        const struct table *table = tables[round % (int)COUNT_OF(tables)];
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
    const struct table *const tables[] = {&hole_table, &core_table, &sample_table};
    for (size_t table = 0; table < COUNT_OF(tables); table++)
        for (size_t at = 0; at < tables[table]->count; at++) {
            const struct field *field = &tables[table]->fields[at];
            struct err err;
            void *record = random_new(tables[table], &seed, TEXTS_ANY, &arena);
            void *copy = NULL;
            assert_int_equal(arena_take(&arena, 1, tables[table]->size, &copy, &err), STATUS_OK);
            memcpy(copy, record, tables[table]->size);
            ROW(field->name, record_is_equal(tables[table], record, copy));
            if (field->need == REQUIRED || field_is_absent(field, record))
                continue;
            assert_int_equal(field_set(field, "", field->unit, INT_NONE, &arena, copy, &err), STATUS_OK);
            ROW(field->name, !record_is_equal(tables[table], record, copy));
        }
    arena_clear(&arena);
}

static void tables_are_sound(void **state)
{
    (void)state;
    const struct table *const tables[] = {&expedition_table, &hole_table,    &drilled_table,   &drilled_set_table,
                                          &core_table,       &section_table, &gap_table,       &whole_round_table,
                                          &piece_table,      &sample_table,  &sample_set_table};
    for (size_t table = 0; table < COUNT_OF(tables); table++)
        for (size_t at = 0; at < tables[table]->count; at++) {
            const struct field *field = &tables[table]->fields[at];
            char key[FIELD_KEY_MAX];
            char column[FIELD_KEY_MAX];
            field_key(field, key);
            field_column(field, column);
            ROW(key, field_find(tables[table], key) == field && field_find(tables[table], column) == field);
            ROW(key, field->offset < tables[table]->size && field->meaning[0]);
            ROW(key, field->type != FIELD_LENGTH || field->most > field->least);
            ROW(key, field->type != FIELD_COUNT || (field->least > 0 && field->most >= field->least));
            ROW(key, field->type != FIELD_REAL || field->suffix);
            ROW(key, field->type != FIELD_WORD || (field->words && !field->words[0][0]));
            ROW(key, field->type != FIELD_LIST || (field->of && !field->of->is_file));
            ROW(key, (field->pattern != NULL) == (field->check != NULL));
            ROW(key, tables[table]->count <= 64); /* the reader keeps the keys that it saw in 64 bits */
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
    assert_non_null(strstr(err.reason, "'seafloor' is outside"));
    hole.seafloor_um = 0;
    hole.site = "Uxx";
    assert_int_equal(record_validate(&hole_table, &hole, "U0012A", &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "'site'"));
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
