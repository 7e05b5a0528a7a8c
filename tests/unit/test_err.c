/* SPDX-License-Identifier: MIT */
/* Statuses and refusals: the list is complete and unambiguous, texts are cut, never overrun. */
#include "unit.h"

#include "coretally/base/err.h"

static void statuses_are_told_apart(void **state)
{
    (void)state;
    static const struct {
        enum status status;
        int code;
        const char *word;
    } rows[] = {
        {STATUS_OK, 0, "ok"},
        {STATUS_USAGE, 2, "usage"},
        {STATUS_INPUT, 3, "input"},
        {STATUS_RULE, 4, "rule"},
        {STATUS_UNKNOWN, 5, "unknown"},
        {STATUS_EXISTS, 6, "exists"},
        {STATUS_CONFLICT, 7, "conflict"},
        {STATUS_DAMAGED, 8, "damaged"},
        {STATUS_SYSTEM, 9, "system"},
    };
    assert_int_equal(COUNT_OF(rows), STATUS_COUNT);
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        ROW(rows[at].word, rows[at].status == (enum status)at);
        ROW(rows[at].word, status_exit_code(rows[at].status) == rows[at].code);
        ROW_TEXT(rows[at].word, status_word(rows[at].status), rows[at].word);
        ROW(rows[at].word, strlen(status_meaning(rows[at].status)) > 3);
    }
}

static void a_refusal_is_filled_and_returned(void **state)
{
    (void)state;
    struct err err = {.hint = "old"};
    assert_int_equal(err_set(&err, STATUS_INPUT, "12x", "this is %d", 7), STATUS_INPUT);
    assert_int_equal(err.status, STATUS_INPUT);
    assert_string_equal(err.subject, "12x");
    assert_string_equal(err.reason, "this is 7");
    assert_string_equal(err.hint, "");
    assert_int_equal(err_hint(&err, "type %s", "12"), STATUS_INPUT);
    assert_string_equal(err.hint, "type 12");
    (void)err_set(&err, STATUS_SYSTEM, NULL, "no subject");
    assert_string_equal(err.subject, "");
}

static void parts_of_itself_may_be_passed(void **state)
{
    (void)state;
    struct err err;
    (void)err_set(&err, STATUS_INPUT, "inner", "first reason");
    (void)err_hint(&err, "a hint");
    (void)err_set(&err, STATUS_DAMAGED, err.subject, "outer: %s", err.reason);
    assert_string_equal(err.subject, "inner");
    assert_string_equal(err.reason, "outer: first reason");
    (void)err_hint(&err, "again: %s", err.reason);
    assert_string_equal(err.hint, "again: outer: first reason");
}

static void long_texts_are_cut(void **state)
{
    (void)state;
    char text[2000];
    memset(text, 'x', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    struct err err;
    (void)err_set(&err, STATUS_INPUT, text, "%s", text);
    (void)err_hint(&err, "%s", text);
    assert_int_equal(strlen(err.subject), ERR_SUBJECT_MAX - 1);
    assert_int_equal(strlen(err.reason), ERR_REASON_MAX - 1);
    assert_int_equal(strlen(err.hint), ERR_HINT_MAX - 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(statuses_are_told_apart),
        cmocka_unit_test(a_refusal_is_filled_and_returned),
        cmocka_unit_test(parts_of_itself_may_be_passed),
        cmocka_unit_test(long_texts_are_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
