/* SPDX-License-Identifier: MIT */
/* Who counts as one person. */
#include "unit.h"

#include "coretally/domain/signature.h"

static void tells_persons_apart(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        const char *mail;
        const char *other_name;
        const char *other_mail;
        bool is_same;
    } rows[] = {
        {"Mira Tamm", "mira@ship.example", "Mira Tamm", "mira@ship.example", true},
        {"Mira Tamm", "mira@ship.example", "MIRA tamm", "office@ship.example", true},
        {"Mira Tamm", "mira@ship.example", "M. Tamm", "Mira@Ship.Example", true},
        {" Mira Tamm\t", "mira@ship.example", "Mira Tamm", "office@ship.example", true},
        {"Mira Tamm", "mira@ship.example", "Ida Lindqvist", "ida@shore.example", false},
        {"Mira Tamm", "mira@ship.example", "Mira Tam", "mira@ship.example.invalid", false},
        {"", "", "", "", false},
        {" ", "mira@ship.example", "", "ida@shore.example", false},
        {"mira@ship.example", "mira@ship.example", "Mira Tamm", "ida@shore.example", false},
        {"Mira  Tamm", "a@ship.example", "Mira Tamm", "b@ship.example", false},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        ROW(rows[at].other_name, signature_is_person(rows[at].name, rows[at].mail, rows[at].other_name,
                                                     rows[at].other_mail) == rows[at].is_same);
        ROW(rows[at].name, signature_is_person(rows[at].other_name, rows[at].other_mail, rows[at].name,
                                               rows[at].mail) == rows[at].is_same);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(tells_persons_apart)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
