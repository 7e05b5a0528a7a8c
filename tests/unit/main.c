/* SPDX-License-Identifier: MIT */
/* The program of a room's unit tests: runs one file of them, test_NAME.c, by its name. tests.inc has a line for each,
 * from CMakeLists.txt, where the main of such a file is given a name of its own. */
#include <stdio.h>
#include <string.h>

#define TEST(name) int test_##name##_main(void);
#include "tests.inc"
#undef TEST

static const struct test {
    const char *name;
    int (*run)(void);
} tests[] = {
#define TEST(name) {#name, test_##name##_main},
#include "tests.inc"
#undef TEST
};

int main(int argc, char **argv)
{
    for (size_t at = 0; argc == 2 && at < sizeof tests / sizeof tests[0]; at++)
        if (strcmp(argv[1], tests[at].name) == 0)
            return tests[at].run();
    (void)fprintf(stderr, "%s NAME, with one of:\n", argv[0]);
    for (size_t at = 0; at < sizeof tests / sizeof tests[0]; at++)
        (void)fprintf(stderr, "    %s\n", tests[at].name);
    return 2;
}
