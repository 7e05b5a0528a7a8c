/* SPDX-License-Identifier: MIT */
/* Former numbers: what a `was` says, and what it does not. */
#include "unit.h"

#include <stdio.h>

#include "coretally/domain/minted.h"

#define ONE "8ab686eafeb1f44702738c8b0e65f4f6d5c1a2b3"
#define TWO "0123456789abcdef0123456789abcdef01234567"

static void the_word_with_a_commit(void **state)
{
    static const struct {
        const char *was;
        const char *name; /* NULL: none */
        const char *commit;
    } rows[] = {
        {NULL, NULL, NULL},
        {"", NULL, NULL},
        {"3", NULL, NULL},
        {"4W,10-12 4W,11-13", NULL, NULL},
        {"3@" ONE, "3", ONE},
        {"4W,10-12@" ONE, "4W,10-12", ONE},
        {"4W,10-12#2/1@" TWO, "4W,10-12#2/1", TWO},
        {"4W,9-11 4W,10-12@" ONE, "4W,10-12", ONE},
        {"4W,10-12@" ONE " 4W,9-11", "4W,10-12", ONE},
        {"4W,9-11 4W,10-12@" TWO " 4W,8-10", "4W,10-12", TWO},
        {"4W,10-12@" ONE " 4W,9-11@" TWO, "4W,10-12", ONE},
        {"3@", NULL, NULL},
        {"3@8ab686e", NULL, NULL},
        {"3@" ONE "0", NULL, NULL},
        {"3@8AB686EAFEB1F44702738C8B0E65F4F6D5C1A2B3", NULL, NULL},
        {"3@@" ONE, NULL, NULL},
        {"3 @" ONE, NULL, NULL},
    };
    (void)state;
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        const char *name = NULL;
        size_t len = 0;
        char commit[MINTED_COMMIT_MAX] = "";
        char found[40] = "-";
        const bool is_found = minted_former(rows[at].was, &name, &len, commit);
        if (is_found)
            (void)snprintf(found, sizeof found, "%.*s", (int)len, name);
        ROW_TEXT(rows[at].was, found, rows[at].name ? rows[at].name : "-");
        ROW_TEXT(rows[at].was, commit, rows[at].commit ? rows[at].commit : "");
    }
}

static void the_number(void **state)
{
    static const struct {
        const char *was;
        int32_t number; /* 0: none */
        bool is_formed; /* as the field of a record */
    } rows[] = {
        {NULL, 0, false},
        {"", 0, false},
        {"3", 0, false},
        {"3@" ONE, 3, true},
        {"999999@" ONE, 999999, true},
        {"1000000@" ONE, 0, false},
        {"0@" ONE, 0, false},
        {"03@" ONE, 3, false},
        {"@" ONE, 0, false},
        {"-3@" ONE, 0, false},
        {"+3@" ONE, 0, false},
        {"BAG3@" ONE, 0, false},
        {"4W,10-12@" ONE, 0, false},
        {"2 3@" ONE, 3, false},
        {"3@" ONE " 4@" TWO, 3, false},
        {"3@" ONE " ", 3, false},
    };
    (void)state;
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        ROW(rows[at].was, minted_number(rows[at].was) == rows[at].number);
        ROW(rows[at].was, minted_is_number(rows[at].was) == rows[at].is_formed);
    }
}

static void one_thing_has_one_word(void **state)
{
    static const struct {
        const char *was;
        const char *other;
        bool is_same;
    } rows[] = {
        {NULL, NULL, false},
        {"3@" ONE, NULL, false},
        {"3@" ONE, "3@" ONE, true},
        {"3@" ONE, "3@" TWO, false},
        {"3@" ONE, "4@" ONE, false}, /* one act may record several */
        {"3@" ONE, "13@" ONE, false},
        {"4W,9-11 4W,10-12@" ONE, "4W,10-12@" ONE " 4W,11-13", true}, /* amended since */
        {"4W,10-12", "4W,10-12", false},
    };
    (void)state;
    for (size_t at = 0; at < COUNT_OF(rows); at++)
        ROW(rows[at].was ? rows[at].was : "-", minted_is_same(rows[at].was, rows[at].other) == rows[at].is_same);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_word_with_a_commit),
        cmocka_unit_test(the_number),
        cmocka_unit_test(one_thing_has_one_word),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
