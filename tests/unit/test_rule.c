/* SPDX-License-Identifier: MIT */
/* The list of rules and the gathering of findings; every rule has a case that provokes it. */
#include "rule_cases.h"

static void every_rule_is_provoked(void **state)
{
    (void)state;
    const struct rule_case *const lists[] = {run_cases, core_cases,   core_number_cases, section_cases, sample_cases,
                                             lag_cases, tracer_cases, correction_cases,  time_cases};
    bool provoked[RULE_COUNT] = {false};
    for (size_t list = 0; list < COUNT_OF(lists); list++)
        for (const struct rule_case *row = lists[list]; row->situation; row++)
            provoked[row->rule] = provoked[row->rule] || !row->absent;
    for (int rule = 0; rule < RULE_COUNT; rule++)
        ROW(rule_word((enum rule)rule), provoked[rule]);
}

static void words_are_told_apart(void **state)
{
    (void)state;
    for (int rule = 0; rule < RULE_COUNT; rule++) {
        const char *word = rule_word((enum rule)rule);
        ROW(word, word[0] && strlen(rule_meaning((enum rule)rule)) > 5);
        ROW(word, strspn(word, "abcdefghijklmnopqrstuvwxyz-0123456789") == strlen(word));
        ROW(word, rule_level((enum rule)rule) >= RULE_TOLD && rule_level((enum rule)rule) <= RULE_REFUSED);
        for (int other = 0; other < rule; other++)
            ROW(word, strcmp(word, rule_word((enum rule)other)) != 0);
    }
}

static void the_worst_is_kept(void **state)
{
    (void)state;
    struct findings findings = {0};
    assert_int_equal(findings_level(&findings), RULE_TOLD);
    for (int at = 0; at < FINDINGS_MAX + 3; at++)
        findings_add(&findings, RULE_CORE_GAP, "remark %d", at);
    assert_int_equal(findings.count, FINDINGS_MAX);
    assert_int_equal(findings.dropped, 3);
    findings_hint(&findings, "for a dropped remark");
    assert_string_equal(findings.items[FINDINGS_MAX - 1].hint, "");
    findings_add(&findings, RULE_CORE_ORDER, "doubt");
    findings_hint(&findings, "hint of the doubt");
    findings_add(&findings, RULE_LENGTH_NEGATIVE, "refusal");
    findings_hint(&findings, "hint of the refusal");
    findings_add(&findings, RULE_SAMPLE_USED_UP, "taken");
    assert_int_equal(findings.count, FINDINGS_MAX);
    assert_int_equal(findings_level(&findings), RULE_REFUSED);
    bool doubt = false;
    bool refusal = false;
    for (size_t at = 0; at < findings.count; at++) {
        const struct finding *finding = &findings.items[at];
        doubt = doubt || (finding->rule == RULE_CORE_ORDER && strcmp(finding->hint, "hint of the doubt") == 0);
        refusal =
            refusal || (finding->rule == RULE_LENGTH_NEGATIVE && strcmp(finding->hint, "hint of the refusal") == 0);
    }
    assert_true(doubt && refusal);
    for (int at = 0; at < 2 * FINDINGS_MAX; at++)
        findings_add(&findings, RULE_LENGTH_NEGATIVE, "refusal %d", at);
    for (size_t at = 0; at < findings.count; at++)
        assert_int_equal(findings.items[at].rule, RULE_LENGTH_NEGATIVE);
}

static void kept_doubts_are_settled(void **state)
{
    (void)state;
    struct findings then = {0};
    struct findings now = {0};
    findings_add(&then, RULE_ADVANCE_LONG, "31.2 m");
    findings_add(&then, RULE_SAMPLE_USED_UP, "3W,45-47");
    findings_add(&then, RULE_SAMPLE_EMPTY_CORE, "core 1H");
    findings_add(&then, RULE_CORE_GAP, "2 m");
    findings_add(&now, RULE_ADVANCE_LONG, "31.2 m");
    findings_add(&now, RULE_ADVANCE_LONG, "31.3 m"); /* another value */
    findings_add(&now, RULE_CORE_ORDER, "31.2 m");   /* another rule */
    findings_add(&now, RULE_SAMPLE_USED_UP, "3W,45-47");
    findings_add(&now, RULE_SAMPLE_EMPTY_CORE, "core 1H"); /* never kept */
    findings_add(&now, RULE_CORE_GAP, "2 m");              /* told each time */
    static const bool settled[] = {true, false, false, true, false, false};
    findings_settle(&now, &then);
    for (size_t at = 0; at < COUNT_OF(settled); at++)
        ROW(now.items[at].text, now.items[at].is_settled == settled[at]);
}

static void a_finding_is_told_kept_or_refused(void **state)
{
    (void)state;
    static const struct {
        enum rule rule;
        enum fate fates[KEEP_TAKEN + 1]; /* by what is kept */
    } rows[] = {{RULE_CORE_GAP, {FATE_TOLD, FATE_TOLD, FATE_TOLD}},
                {RULE_ADVANCE_LONG, {FATE_REFUSED, FATE_KEPT, FATE_KEPT}},
                {RULE_SAMPLE_USED_UP, {FATE_REFUSED, FATE_REFUSED, FATE_KEPT}},
                {RULE_LENGTH_NEGATIVE, {FATE_REFUSED, FATE_REFUSED, FATE_REFUSED}}};
    for (size_t at = 0; at < COUNT_OF(rows); at++)
        for (int keeping = KEEP_NOTHING; keeping <= KEEP_TAKEN; keeping++) {
            struct finding finding = {.rule = rows[at].rule};
            ROW(rule_word(rows[at].rule), finding_fate(&finding, (enum keeping)keeping) == rows[at].fates[keeping]);
            finding.is_settled = true;
            ROW(rule_word(rows[at].rule), finding_fate(&finding, (enum keeping)keeping) == FATE_SETTLED);
        }
}

static void the_first_of_the_worst_refuses(void **state)
{
    (void)state;
    struct findings findings = {0};
    struct err err = {0};
    findings_add(&findings, RULE_CORE_GAP, "gap");
    assert_null(findings_worst(&findings, KEEP_NOTHING));
    assert_int_equal(findings_pass(&findings, KEEP_NOTHING, "12H", &err), STATUS_OK);
    findings_add(&findings, RULE_ADVANCE_LONG, "long");
    findings_hint(&findings, "type less");
    findings_add(&findings, RULE_CORE_ORDER, "order");
    assert_ptr_equal(findings_worst(&findings, KEEP_NOTHING), &findings.items[1]);
    assert_null(findings_worst(&findings, KEEP_DOUBTED));
    assert_int_equal(findings_pass(&findings, KEEP_NOTHING, "12H", &err), STATUS_RULE);
    assert_string_equal(err.subject, "12H");
    assert_string_equal(err.reason, "long");
    assert_string_equal(err.hint, "type less");
    findings_add(&findings, RULE_LENGTH_NEGATIVE, "below zero");
    assert_ptr_equal(findings_worst(&findings, KEEP_DOUBTED), &findings.items[3]);
    findings.items[3].is_settled = true;
    assert_int_equal(findings_pass(&findings, KEEP_DOUBTED, "12H", &err), STATUS_OK);
}

static void long_texts_are_cut(void **state)
{
    (void)state;
    char text[600];
    memset(text, 'x', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    struct findings findings = {0};
    findings_add(&findings, RULE_CORE_GAP, "%s", text);
    findings_hint(&findings, "%s", text);
    assert_int_equal(strlen(findings.items[0].text), FINDING_TEXT_MAX - 1);
    assert_int_equal(strlen(findings.items[0].hint), FINDING_TEXT_MAX - 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_rule_is_provoked),
        cmocka_unit_test(words_are_told_apart),
        cmocka_unit_test(the_worst_is_kept),
        cmocka_unit_test(kept_doubts_are_settled),
        cmocka_unit_test(long_texts_are_cut),
        cmocka_unit_test(a_finding_is_told_kept_or_refused),
        cmocka_unit_test(the_first_of_the_worst_refuses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
