/* SPDX-License-Identifier: MIT */
/* What the tests of intake share. */
#include "intake.h"

int intake_open(void **state)
{
    struct intake *intake = calloc(1, sizeof *intake);
    if (!intake)
        return 1;
    arena_init(&intake->arena, (size_t)64 << 20);
    *state = intake;
    return 0;
}

int intake_close(void **state)
{
    struct intake *intake = *state;
    arena_clear(&intake->arena);
    free(intake);
    return 0;
}

FILE *intake_text(const char *text)
{
    FILE *file = *text ? fmemopen((void *)(uintptr_t)text, strlen(text), "rb") : fopen("/dev/null", "rb");
    assert_non_null(file);
    return file;
}

void intake_ok(const struct intake *intake, enum status status)
{
    if (status != STATUS_OK)
        fail_msg("%s: %s", intake->err.subject, intake->err.reason);
}

void intake_refused(const struct intake *intake, enum status status, enum status wanted, const char *subject,
                    const char *reason)
{
    assert_int_equal(status, wanted);
    assert_int_equal(intake->err.status, wanted);
    if (!strstr(intake->err.subject, subject) || !strstr(intake->err.reason, reason))
        fail_msg("%s: %s, instead of %s: %s", intake->err.subject, intake->err.reason, subject, reason);
}

struct table_text intake_table(struct intake *intake, const char *text)
{
    struct table_text table = {0};
    FILE *in = intake_text(text);
    intake_ok(intake, csv_read(&intake->arena, in, "-", &table, &intake->err));
    (void)fclose(in);
    return table;
}
