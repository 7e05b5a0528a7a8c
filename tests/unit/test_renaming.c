/* SPDX-License-Identifier: MIT */
/* Names of cores carried over renamings, against a simulation that gives cores numbers at random. */
#include "unit.h"

#include "coretally/domain/renaming.h"

enum { CORES = 6, NUMBERS = 9, ACTS = 40 };

static struct core_id id_of(const char *string)
{
    struct core_id id = {0, '\0'};
    ROW(string, core_id_parse(string, strlen(string), &id));
    return id;
}

/* 12H typed for 13H; then the real 12H, which becomes 12X; then back. */
static struct renaming story[] = {{1, "12H", "13H"}, {2, "12H", "12X"}, {3, "13H", "14H"}, {4, "14H", "13H"}};
static const struct renaming_set told = {"U0012A", story, COUNT_OF(story)};

static void names_are_read(void **state)
{
    (void)state;
    static const char *const bad[] = {"",     "H",      "12",   "12h",        "012H", "0H",
                                      "12HH", "10000H", "12H ", "U0012A-12H", "-1H"};
    struct core_id id = {0, '\0'};
    char text[CORE_ID_MAX];
    for (size_t at = 0; at < COUNT_OF(bad); at++)
        ROW(bad[at], !core_id_parse(bad[at], strlen(bad[at]), &id) && !core_ids_are(bad[at]));
    core_id_format(id_of("9999X"), text);
    assert_string_equal(text, "9999X");
    assert_true(core_ids_are("12H 13H"));
    assert_false(core_ids_are("12H  13H"));
}

static void each_moment_has_its_own_names(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        size_t then;
        size_t now;
        const char *is; /* NULL: not there */
    } rows[] = {
        {"12H", 0, 4, "13H"}, {"12H", 1, 4, "12X"}, {"13H", 4, 0, "12H"}, {"12X", 4, 1, "12H"},
        {"12X", 4, 0, NULL},  {"13H", 0, 4, NULL},  {"14H", 3, 4, "13H"}, {"14H", 4, 3, NULL},
        {"5R", 4, 0, "5R"},   {"5R", 0, 4, "5R"},   {"13X", 4, 3, NULL},  {"12H", 2, 1, NULL},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct core_id id = id_of(rows[at].name);
        char text[CORE_ID_MAX] = "";
        const bool is_there = renamings_carry(&told, rows[at].then, rows[at].now, &id);
        core_id_format(id, text);
        ROW(rows[at].name, is_there == (rows[at].is != NULL));
        ROW(rows[at].name, !is_there || strcmp(text, rows[at].is) == 0);
    }
}

/* Each side renamed a core of its own, and one renamed another after the join. */
static void names_are_carried_between_sides(void **state)
{
    (void)state;
    static struct renaming ships[] = {{1, "2H", "12H"}};
    static struct renaming shores[] = {{1, "3H", "13H"}};
    static struct renaming both[] = {{1, "3H", "13H"}, {2, "2H", "12H"}, {3, "13H", "14H"}};
    static const struct renaming_set sets[] = {{"U0012A", ships, 1}, {"U0012A", shores, 1}, {"U0012A", both, 3}};
    static const struct {
        int then;
        int now;
        const char *name;
        const char *is; /* NULL: not there */
    } rows[] = {
        {2, 0, "12H", "12H"}, {2, 0, "14H", "3H"},  {2, 1, "12H", "2H"},  {2, 1, "14H", "13H"},
        {0, 1, "12H", "2H"},  {0, 1, "3H", "13H"},  {1, 2, "13H", "14H"}, {1, 2, "2H", "12H"},
        {2, 0, "13H", NULL},  {2, 2, "14H", "14H"}, {0, 2, "2H", "2H"}, /* recorded after the first 2H had become 12H */
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct core_id id = id_of(rows[at].name);
        char text[CORE_ID_MAX] = "";
        const bool is_there = renamings_between(&sets[rows[at].then], &sets[rows[at].now], &id);
        core_id_format(id, text);
        ROW(rows[at].name, is_there == (rows[at].is != NULL));
        ROW(rows[at].name, !is_there || strcmp(text, rows[at].is) == 0);
    }
}

static void former_names_find_their_core(void **state)
{
    (void)state;
    struct core_id now;
    size_t at = 0;
    int32_t numbers[8];
    assert_true(renamings_former(&told, id_of("12H"), &now, &at));
    assert_int_equal(at, 1); /* who had it last */
    assert_int_equal(now.type, 'X');
    assert_true(renamings_former(&told, id_of("14H"), &now, &at));
    assert_int_equal(now.number, 13);
    assert_false(renamings_former(&told, id_of("13H"), &now, &at)); /* it has it again */
    assert_int_equal(renamings_numbers(&told, id_of("13H"), numbers, 8), 4);
    assert_int_equal(numbers[0], 13);
    assert_int_equal(numbers[1], 14);
    assert_int_equal(numbers[2], 13);
    assert_int_equal(numbers[3], 12);
    assert_int_equal(renamings_numbers(&told, id_of("13H"), numbers, 2), 2);
    assert_true(renamings_have(&told, id_of("13H"), "12H 13H 14H"));
    assert_true(renamings_have(&told, id_of("12X"), "12H"));
    assert_true(renamings_have(&told, id_of("5R"), NULL));
    assert_false(renamings_have(&told, id_of("13H"), "13H 14H"));
    assert_false(renamings_have(&told, id_of("13H"), "11H 12H 13H 14H"));
    assert_false(renamings_have(&told, id_of("13H"), NULL));
    assert_false(renamings_have(&told, id_of("5R"), "4R"));
}

static void a_broken_story_is_no_story(void **state)
{
    (void)state;
    struct renaming broken[] = {{1, "12H", "13H"}, {3, "13H", "14H"}};
    struct renaming_set set = {"U0012A", broken, 2};
    assert_true(renamings_are_sound(&told));
    assert_false(renamings_are_sound(&set));
    broken[1].number = 2;
    assert_true(renamings_are_sound(&set));
    broken[1].to = "13H";
    assert_false(renamings_are_sound(&set));
}

/* Cores get numbers and letters at random; what each was called at each moment is kept beside, and asked. */
static void random_stories_are_carried(void **state)
{
    (void)state;
    uint64_t seed = 41;
    for (int round = 0; round < 300; round++) {
        struct core_id called[ACTS + 1][CORES] = {{{0, '\0'}}};
        char texts[ACTS][2][CORE_ID_MAX];
        struct renaming renamings[ACTS];
        struct renaming_set set = {"U0012A", renamings, 0};
        int born[CORES];
        for (int core = 0; core < CORES; core++)
            born[core] = (int)random_within(&seed, 0, ACTS / 2);
        for (int act = 0; act < ACTS; act++) {
            bool taken[NUMBERS + 1] = {false};
            for (int core = 0; core < CORES; core++)
                taken[called[act][core].number] = true;
            for (int core = 0; core < CORES; core++) { /* new ones take a free number */
                int32_t number = 1;
                while (born[core] == act && taken[number])
                    number++;
                if (born[core] == act) {
                    called[act][core] = (struct core_id){number, 'H'};
                    taken[number] = true;
                }
            }
            memcpy(called[act + 1], called[act], sizeof called[act]);
            const int core = (int)random_within(&seed, 0, CORES - 1);
            struct core_id to = {(int32_t)random_within(&seed, 1, NUMBERS), random_within(&seed, 0, 3) ? 'H' : 'X'};
            const struct core_id from = called[act][core];
            if (!from.number || (taken[to.number] && to.number != from.number) ||
                (to.number == from.number && to.type == from.type)) {
                to = from.number ? (struct core_id){from.number, from.type == 'H' ? 'X' : 'H'} : to;
                if (!from.number) { /* nobody to rename: the story stands still */
                    core_id_format((struct core_id){NUMBERS + 1, act % 2 ? 'H' : 'X'}, texts[act][0]);
                    core_id_format((struct core_id){NUMBERS + 1, act % 2 ? 'X' : 'H'}, texts[act][1]);
                    renamings[act] = (struct renaming){act + 1, texts[act][0], texts[act][1]};
                    set.renaming_count++;
                    continue;
                }
            }
            core_id_format(from, texts[act][0]);
            core_id_format(to, texts[act][1]);
            renamings[act] = (struct renaming){act + 1, texts[act][0], texts[act][1]};
            called[act + 1][core] = to;
            set.renaming_count++;
        }
        for (int core = 0; core < CORES; core++)
            for (int then = born[core]; then <= ACTS; then++)
                for (int now = born[core]; now <= ACTS; now++) {
                    struct core_id id = called[then][core];
                    assert_true(renamings_carry(&set, (size_t)then, (size_t)now, &id));
                    assert_int_equal(id.number, called[now][core].number);
                    assert_int_equal(id.type, called[now][core].type);
                    const struct renaming_set then_set = {"U0012A", renamings, (size_t)then};
                    const struct renaming_set now_set = {"U0012A", renamings, (size_t)now};
                    id = called[then][core];
                    assert_true(renamings_between(&then_set, &now_set, &id));
                    assert_int_equal(id.number, called[now][core].number);
                    assert_int_equal(id.type, called[now][core].type);
                }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_are_read),
        cmocka_unit_test(each_moment_has_its_own_names),
        cmocka_unit_test(names_are_carried_between_sides),
        cmocka_unit_test(former_names_find_their_core),
        cmocka_unit_test(a_broken_story_is_no_story),
        cmocka_unit_test(random_stories_are_carried),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
