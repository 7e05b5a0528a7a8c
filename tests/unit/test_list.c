/* SPDX-License-Identifier: MIT */
/* Lists as typed text: items by ';', their fields by ','. */
#include "random_record.h"

static void lists_are_taken_or_refused(void **state)
{
    (void)state;
    static const struct {
        const struct table *table;
        const char *field;
        const char *typed;
        const char *printed; /* NULL: refused */
        const char *says;
    } rows[] = {
        {&section_table, "voids", "30,34", "30,34", NULL},
        {&section_table, "voids", " 30 , 34 ; 80,85,yes ", "30,34; 80,85,yes", NULL},
        {&section_table, "voids", "0.3m,0.34;", "30,34", NULL}, /* a unit typed once holds for both ends */
        {&section_table, "voids", "0.30,0.34m", "30,34", NULL},
        {&section_table, "voids", "300,340 mm,yes; 0.5m,60cm", "30,34,yes; 50,60", NULL},
        {&section_table, "voids", "30,34kg", NULL, "not a unit"},
        {&section_table, "whole_rounds", "0.30,0.34m,gas", "30,34,gas", NULL},
        {&section_table, "voids", ";;30,34", "30,34", NULL},
        {&section_table, "voids", " ; ", "", NULL},
        {&section_table, "voids", "30,34,no", "30,34", NULL},
        {&section_table, "voids", "30", NULL, "'bottom' is missing"},
        {&section_table, "voids", ",34", NULL, "'top' is missing"},
        {&section_table, "voids", "30,34,yes,more", NULL, "more parts than a void"},
        {&section_table, "voids", "30,34,perhaps", NULL, "neither yes nor no"},
        {&section_table, "voids", "30,-1", NULL, "outside 0 to 10000 cm"},
        {&section_table, "voids", "30-34", NULL, "not a unit"},
        {&section_table, "whole_rounds", "30,34,microbiology,Marwood", "30,34,microbiology,Marwood", NULL},
        {&section_table, "whole_rounds", "30,34,,Marwood", "30,34,,Marwood", NULL},
        {&section_table, "pieces", "1,12; 2,7.5,1", "1,12; 2,7.5,1", NULL},
        {&section_table, "pieces", "0,12", NULL, "outside 1 to 9999"},
        {&hole_table, "plan", "3000,3112,5; 3112,,10", "3000,3112,5; 3112,,10", NULL},
        {&hole_table, "plan", "10000ft,,16.4042ft", "3048,,5", NULL},
        {&hole_table, "plan", "10000,10100ft,5", "3048,3078.48,5", NULL},
        {&hole_table, "plan", "3000,3112", NULL, "'step' is missing"},
        {&hole_table, "plan", "3000,3112,0", NULL, "outside 0.001 to 1000 m"},
        {&geometry_table, "bores", "riser,0,1000,495.3; casing,1000,2500,12.3in; open,2500,,12.25in,5,3",
         "riser,0,1000,495.3; casing,1000,2500,312.42; open,2500,,311.15,5,3", NULL},
        {&geometry_table, "bores", "open,2500,,311.15mm,5%", "open,2500,,311.15,5", NULL},
        {&geometry_table, "bores", "casing,0,5000ft,12in", "casing,0,1524,304.8", NULL},
        {&geometry_table, "bores", "open,2500", NULL, "'diameter' is missing"},
        {&geometry_table, "bores", "hole,2500,,311.15", NULL, "not one of the words"},
        {&geometry_table, "bores", "open,2500,,311.15,5 mm", NULL, "not a unit"},
        {&geometry_table, "bores", "open,2500,,311.15,-5", NULL, "less than 0"},
        {&geometry_table, "bores", "open,2500,,311.15,5,3,1", NULL, "more parts than a bore"},
        {&geometry_table, "string", "collars,200,203.2,71.4; drill pipe,,5in",
         "collars,200,203.2,71.4; drill pipe,,127", NULL},
        {&geometry_table, "string", ",200,203.2", NULL, "'name' is missing"},
        {&geometry_table, "string", "collars,200", NULL, "'outside' is missing"},
        {&correction_table, "heights", "2026-03-01T04:12:00Z,-0.35; 2026-03-01T05:12:00Z,1ft",
         "2026-03-01T04:12:00Z,-0.35; 2026-03-01T05:12:00Z,0.3048", NULL},
        {&correction_table, "heights", "2026-03-01T04:12:00Z", NULL, "'height' is missing"},
        {&correction_table, "heights", "2026-03-01T04:12:00Z,-20.1", NULL, "outside -20 to 20 m"},
        {&correction_table, "offsets", "1,0,tied,1/45,U0012B-1H; 2,-1.25,Appended; 3,10ft,assumed",
         "1,0,tied,1/45,U0012B-1H; 2,-1.25,appended; 3,3.048,assumed", NULL},
        {&correction_table, "offsets", "1,0", NULL, "'method' is missing"},
        {&correction_table, "offsets", "1,0,guessed", NULL, "not one of the words"},
        {&correction_table, "offsets", "0,0,tied", NULL, "outside 1 to 9999"},
        {&correction_table, "offsets", "1,0,tied,a,b,c", NULL, "more parts than"},
        {&correction_table, "intervals", "1,3,1,0,5,40; 2,4,2,0.35m,cc,12", "1,3,1,0,5,40; 2,4,2,35,CC,12", NULL},
        {&correction_table, "intervals", "1,3,1,0,5", NULL, "'bottom' is missing"},
        {&correction_table, "intervals", "1,3,100,0,5,40", NULL, "0 to 99, or CC"},
        {&correction_table, "steps", "0,1.09; 162.8,1.13; -1.5,1.2", "0,1.09; 162.8,1.13; -1.5,1.2", NULL},
        {&correction_table, "steps", "0", NULL, "'factor' is missing"},
        {&correction_table, "steps", "0,-1.09", NULL, "less than 0"},
        {&correction_table, "points", "0,0.5; 100ft,31", "0,0.5; 30.48,31", NULL},
        {&correction_table, "points", "0", NULL, "'matched' is missing"},
        {&correction_table, "points", "-100.000001,0", NULL, "outside -100 to 30000 m"},
        {&correction_table, "stations", "3500ft,15,20; 3600ft,25 deg,45", "1066.8,15,20; 1097.28,25,45", NULL},
        {&correction_table, "stations", "1000,15", NULL, "'azimuth' is missing"},
        {&correction_table, "stations", "-1,15,20", NULL, "outside 0 to 30000 m"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct arena arena;
        struct err err = {0};
        union {
            struct section section;
            struct hole hole;
            struct geometry geometry;
            struct correction correction;
        } record;
        arena_init(&arena, 1 << 20);
        record_init(rows[at].table, &record);
        const struct field *field = field_find(rows[at].table, rows[at].field);
        const enum status status = field_set(field, rows[at].typed, field->unit, INT_NONE, &arena, &record, &err);
        ROW(rows[at].typed, status == (rows[at].printed ? STATUS_OK : STATUS_INPUT));
        if (rows[at].printed) {
            struct text text;
            struct bytes out;
            text_init(&text, &arena);
            field_format(field, &record, &text);
            assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
            ROW_TEXT(rows[at].typed, out.data, rows[at].printed);
        } else {
            ROW(rows[at].typed, field_is_absent(field, &record) && strcmp(err.hint, field->meaning) == 0);
            if (!strstr(err.reason, rows[at].says))
                fail_msg("%s: '%s' does not say '%s'", rows[at].typed, err.reason, rows[at].says);
        }
        arena_clear(&arena);
    }
}

static void printed_lists_read_back_equal(void **state)
{
    (void)state;
    uint64_t seed = 9;
    const struct table *const tables[] = {&section_table, &hole_table, &geometry_table, &correction_table};
    for (int round = 0; round < 800; round++) {
        const struct table *table = tables[round % (int)COUNT_OF(tables)];
        struct arena arena;
        struct err err = {0};
        arena_init(&arena, 1 << 20);
        const void *record = random_new(table, &seed, TEXTS_LISTABLE, &arena);
        void *again = random_new(table, &seed, TEXTS_LISTABLE, &arena);
        for (size_t at = 0; at < table->count; at++) {
            const struct field *field = &table->fields[at];
            struct text text;
            struct bytes out;
            if (field->type != FIELD_LIST)
                continue;
            text_init(&text, &arena);
            field_format(field, record, &text);
            assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
            if (field_set(field, out.data, field->unit, INT_NONE, &arena, again, &err) != STATUS_OK)
                fail_msg("%s: %s", out.data, err.reason);
            ROW(out.data, field_is_equal(field, record, again));
        }
        arena_clear(&arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lists_are_taken_or_refused),
        cmocka_unit_test(printed_lists_read_back_equal),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
