/* SPDX-License-Identifier: MIT */
/* What hand_over.c sends to warm.c, and gets back: the status that wait() gave, an int. */
#ifndef TESTS_SESSION_WARM_H
#define TESTS_SESSION_WARM_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/resource.h>
#include <sys/types.h>

#define TEXT_MAX (1 << 20)

/* Then size bytes of strings, each with its end: the folder, the arguments, the variables. */
struct handed {
    size_t arguments;
    size_t variables;
    size_t size;
    mode_t mask;
    struct rlimit limits[RLIMIT_NLIMITS];
};

#endif
