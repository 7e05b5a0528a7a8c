/* SPDX-License-Identifier: MIT */
/* Lengths of cores and sections: what follows by adding, and what stays unknown. */
#include "unit.h"

#include "coretally/base/limits.h"
#include "parts.h"

static void type_letters(void **state)
{
    (void)state;
    static const struct {
        char letter;
        bool known;
        bool wide;
        const char *source;
    } rows[] = {
        {'H', true, false, "Proc. IODP 318, Site U1359 (printed names)"},
        {'X', true, false, "ODP IR 202, chapter 12 (printed names)"},
        {'R', true, false, "daily report, Expedition 305 (printed names)"},
        {'W', true, true, "from memory: ODP and IODP explanatory notes"},
        {'G', true, true, "from memory: ODP and IODP explanatory notes"},
        {'M', true, true, "from memory: ODP and IODP explanatory notes"},
        {'F', true, false, "from memory: ODP and IODP explanatory notes"},
        {'Q', false, false, "ours: the list is open"},
        {'h', false, false, "ours: letters are kept as capitals"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct core core = part_core(0, METRE, NULL, 0);
        core.type = rows[at].letter;
        ROW(rows[at].source, rows[at].source[0]);
        ROW(rows[at].source, (core_type_find(rows[at].letter) != NULL) == rows[at].known);
        ROW(rows[at].source, core_is_wide(&core) == rows[at].wide);
    }
}

static void section_names(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        int32_t number; /* -1: refused */
        const char *printed;
    } rows[] = {
        {"0", 0, "0"},
        {"3", 3, "3"},
        {"03", 3, "3"},
        {"99", SECTION_NUMBER_MAX, "99"},
        {"100", -1, NULL},
        {"CC", SECTION_CATCHER, "CC"},
        {"cc", SECTION_CATCHER, "CC"},
        {"", -1, NULL},
        {"-1", -1, NULL},
        {"1a", -1, NULL},
        {"0001", -1, NULL},
        {"C", -1, NULL},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        int32_t number = 77;
        const bool read = section_parse(rows[at].typed, &number);
        ROW(rows[at].typed, read == (rows[at].number >= 0));
        ROW(rows[at].typed, number == (read ? rows[at].number : 77));
        if (read) {
            char text[SECTION_TEXT_MAX];
            section_format(number, text);
            ROW_TEXT(rows[at].typed, text, rows[at].printed);
        }
    }
}

static void section_lengths(void **state)
{
    (void)state;
    struct gap gaps[] = {{.top_um = 10 * CENTIMETRE, .bottom_um = 15 * CENTIMETRE, .closed = true},
                         {.top_um = 30 * CENTIMETRE, .bottom_um = 32 * CENTIMETRE}};
    struct piece pieces[] = {{1, 10 * CENTIMETRE, 2 * CENTIMETRE}, {2, 20 * CENTIMETRE, LENGTH_NONE}};
    struct section section = part_section(1, LENGTH_NONE);
    assert_true(section_curated(&section) == LENGTH_NONE);
    assert_true(section_recovered(&section) == LENGTH_NONE);
    section.liner_um = 150 * CENTIMETRE;
    section.gaps = gaps;
    section.gap_count = 2;
    assert_int_equal(section_curated(&section), 145 * CENTIMETRE); /* only the void that was pushed shut */
    section.pieces = pieces;
    section.piece_count = 2;
    assert_int_equal(section_curated(&section), 32 * CENTIMETRE);
    assert_int_equal(section_recovered(&section), 30 * CENTIMETRE); /* pieces without spacers */
    section.curated_um = 33 * CENTIMETRE;
    assert_int_equal(section_curated(&section), 33 * CENTIMETRE);
    assert_int_equal(section_recovered(&section), 30 * CENTIMETRE);
}

static void core_lengths(void **state)
{
    (void)state;
    struct section sections[] = {part_section(1, 150 * CENTIMETRE), part_section(2, 150 * CENTIMETRE),
                                 part_section(3, LENGTH_NONE), part_section(SECTION_CATCHER, 20 * CENTIMETRE)};
    struct core core = part_core(100 * METRE, 109 * METRE, sections, COUNT_OF(sections));
    int32_t missing = -1;
    assert_int_equal(core_section_start(&core, 1, &missing), 0);
    assert_int_equal(core_section_start(&core, 3, &missing), 3 * METRE);
    assert_int_equal(missing, -1);
    assert_true(core_section_start(&core, SECTION_CATCHER, &missing) == LENGTH_NONE);
    assert_int_equal(missing, 3);
    assert_true(core_curated(&core) == LENGTH_NONE);
    assert_true(core_recovered(&core) == LENGTH_NONE);
    sections[2].withdrawn = "recut";
    assert_int_equal(core_standing_sections(&core), 3);
    assert_null(core_section(&core, 3));
    assert_ptr_equal(core_section(&core, SECTION_CATCHER), &sections[3]);
    assert_int_equal(core_section_start(&core, SECTION_CATCHER, &missing), 3 * METRE);
    assert_int_equal(core_curated(&core), 320 * CENTIMETRE);
    assert_int_equal(core_recovered(&core), 320 * CENTIMETRE);
    core.recovered_um = 3 * METRE;
    assert_int_equal(core_recovered(&core), 3 * METRE);
    assert_int_equal(core_advance(&core), 9 * METRE);
    core.advance_by = ADVANCE_RECOVERY;
    assert_int_equal(core_bottom(&core), 103 * METRE);
    assert_int_equal(core_advance(&core), 3 * METRE);
    core.advance_by = ADVANCE_UNKNOWN;
    assert_true(core_bottom(&core) == LENGTH_NONE && core_advance(&core) == LENGTH_NONE);
    core = part_core(100 * METRE, 109 * METRE, NULL, 0);
    core.curated_um = 4 * METRE;
    assert_int_equal(core_curated(&core), 4 * METRE);
    assert_int_equal(core_recovered(&core), 4 * METRE);
}

static void stated_length_counts_before_its_sections(void **state)
{
    (void)state;
    struct section sections[] = {part_section(1, 150 * CENTIMETRE), part_section(2, 150 * CENTIMETRE)};
    struct piece pieces[] = {{1, 130 * CENTIMETRE, 20 * CENTIMETRE}};
    struct core core = part_core(100 * METRE, 109 * METRE, sections, 0);
    core.curated_um = 3 * METRE;
    for (core.section_count = 0; core.section_count <= 2; core.section_count++) {
        assert_int_equal(core_length(&core), 3 * METRE);
        assert_int_equal(core_recovered(&core), 3 * METRE);
    }
    core.section_count = 1;
    assert_int_equal(core_unsectioned(&core), 150 * CENTIMETRE);
    assert_int_equal(core_curated(&core), 150 * CENTIMETRE);
    sections[0].pieces = pieces; /* what the spacers take was not recovered */
    sections[0].piece_count = 1;
    assert_int_equal(core_recovered(&core), 280 * CENTIMETRE);
    core.curated_um = METRE; /* more than stated */
    assert_int_equal(core_unsectioned(&core), 0);
    assert_int_equal(core_length(&core), 150 * CENTIMETRE);
    sections[0] = part_section(1, LENGTH_NONE);
    assert_true(core_length(&core) == LENGTH_NONE && core_unsectioned(&core) == 0);
}

static void sections_partition_the_curated_length(void **state)
{
    (void)state;
    uint64_t seed = 2;
    for (int round = 0; round < 2000; round++) {
        struct section sections[10];
        const size_t count = (size_t)random_within(&seed, 1, 10);
        int32_t number = (int32_t)random_within(&seed, 0, 1);
        for (size_t at = 0; at < count; at++)
            sections[at] = part_section(number++, random_within(&seed, 0, 1600000));
        if (round % 2)
            sections[count - 1].number = SECTION_CATCHER;
        const struct core core = part_core(METRE, 10 * METRE, sections, count);
        int32_t missing = 0;
        int64_t end_um = 0;
        for (size_t at = 0; at < count; at++) {
            assert_int_equal(core_section_start(&core, sections[at].number, &missing), end_um);
            end_um += sections[at].curated_um;
        }
        assert_int_equal(core_curated(&core), end_um);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(type_letters),
        cmocka_unit_test(section_names),
        cmocka_unit_test(section_lengths),
        cmocka_unit_test(core_lengths),
        cmocka_unit_test(stated_length_counts_before_its_sections),
        cmocka_unit_test(sections_partition_the_curated_length),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
