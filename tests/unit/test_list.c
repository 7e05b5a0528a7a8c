/* SPDX-License-Identifier: MIT */
/* Lists as typed text: items by ';', their fields by ','. */
#include "random_record.h"

static void lists_are_taken_or_refused(void **state)
{
    (void)state;
    static const struct {
        const char *field;
        const char *typed;
        const char *printed; /* NULL: refused */
        const char *says;
    } rows[] = {
        {"voids", "30,34", "30,34", NULL},
        {"voids", " 30 , 34 ; 80,85,yes ", "30,34; 80,85,yes", NULL},
        {"voids", "0.3m,34;", "30,34", NULL},
        {"voids", ";;30,34", "30,34", NULL},
        {"voids", " ; ", "", NULL},
        {"voids", "30,34,no", "30,34", NULL},
        {"voids", "30", NULL, "'bottom' is missing"},
        {"voids", ",34", NULL, "'top' is missing"},
        {"voids", "30,34,yes,more", NULL, "more parts than a void"},
        {"voids", "30,34,perhaps", NULL, "neither yes nor no"},
        {"voids", "30,-1", NULL, "outside 0 to 10000 cm"},
        {"voids", "30-34", NULL, "not a unit"},
        {"whole_rounds", "30,34,microbiology,Marwood", "30,34,microbiology,Marwood", NULL},
        {"whole_rounds", "30,34,,Marwood", "30,34,,Marwood", NULL},
        {"pieces", "1,12; 2,7.5,1", "1,12; 2,7.5,1", NULL},
        {"pieces", "0,12", NULL, "outside 1 to 9999"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct arena arena;
        struct err err = {0};
        struct section section;
        arena_init(&arena, 1 << 20);
        record_init(&section_table, &section);
        const struct field *field = field_find(&section_table, rows[at].field);
        const enum status status = field_set(field, rows[at].typed, field->unit, INT_NONE, &arena, &section, &err);
        ROW(rows[at].typed, status == (rows[at].printed ? STATUS_OK : STATUS_INPUT));
        if (rows[at].printed) {
            struct text text;
            struct bytes out;
            text_init(&text, &arena);
            field_format(field, &section, &text);
            assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
            ROW_TEXT(rows[at].typed, out.data, rows[at].printed);
        } else {
            ROW(rows[at].typed, field_is_absent(field, &section) && strcmp(err.hint, field->meaning) == 0);
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
    for (int round = 0; round < 600; round++) {
        struct arena arena;
        struct err err = {0};
        arena_init(&arena, 1 << 20);
        const struct section *section = random_new(&section_table, &seed, TEXTS_LISTABLE, &arena);
        struct section again;
        record_init(&section_table, &again);
        for (size_t at = 0; at < section_table.count; at++) {
            const struct field *field = &section_table.fields[at];
            struct text text;
            struct bytes out;
            if (field->type != FIELD_LIST)
                continue;
            text_init(&text, &arena);
            field_format(field, section, &text);
            assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
            if (field_set(field, out.data, field->unit, INT_NONE, &arena, &again, &err) != STATUS_OK)
                fail_msg("%s: %s", out.data, err.reason);
            ROW(out.data, field_is_equal(field, section, &again));
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
