/* SPDX-License-Identifier: MIT */
/* What the tests of intake share: an arena, and text that is read as standard input. */
#ifndef CORETALLY_TESTS_INTAKE_H
#define CORETALLY_TESTS_INTAKE_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "coretally/intake/csv.h"

struct intake {
    struct arena arena;
    struct err err;
};

/* cmocka set-up and tear-down: *state is a struct intake. */
int intake_open(void **state);
int intake_close(void **state);

/* The text as a file to read; it must outlive it. */
FILE *intake_text(const char *text);

/* The text as a table; asserts that it is one. */
struct table_text intake_table(struct intake *intake, const char *text);

/* Asserts the status, and that subject and reason have these parts. */
void intake_refused(const struct intake *intake, enum status status, enum status wanted, const char *subject,
                    const char *reason);
/* Asserts STATUS_OK and shows the refusal otherwise. */
void intake_ok(const struct intake *intake, enum status status);

#endif
