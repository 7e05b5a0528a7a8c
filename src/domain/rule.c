/* SPDX-License-Identifier: MIT */
/* The list of rules and the gathering of what they find. */
#include "coretally/domain/rule.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static const struct {
    const char *word;
    enum rule_level level;
    const char *meaning;
} rule_rows[RULE_COUNT] = {
#define RULE_ROW(id, word, level, meaning) [RULE_##id] = {word, RULE_##level, meaning},
    RULE_LIST(RULE_ROW)
#undef RULE_ROW
};

const char *rule_word(enum rule rule)
{
    return rule_rows[rule].word;
}

enum rule_level rule_level(enum rule rule)
{
    return rule_rows[rule].level;
}

const char *rule_meaning(enum rule rule)
{
    return rule_rows[rule].meaning;
}

void findings_add(struct findings *findings, enum rule rule, const char *format, ...)
{
    size_t at = findings->count;
    findings->last = FINDINGS_MAX;
    if (at == FINDINGS_MAX) { /* full: give up the last one of the lowest level, if that is lower */
        findings->dropped++;
        at = 0;
        for (size_t other = 1; other < FINDINGS_MAX; other++)
            if (rule_level(findings->items[other].rule) <= rule_level(findings->items[at].rule))
                at = other;
        if (rule_level(findings->items[at].rule) >= rule_level(rule))
            return;
    } else
        findings->count++;
    findings->last = at;
    struct finding *finding = &findings->items[at];
    *finding = (struct finding){.rule = rule, .of_section = findings->of_section};
    va_list args;
    va_start(args, format);
    (void)vsnprintf(finding->text, sizeof finding->text, format, args);
    va_end(args);
}

void findings_hint(struct findings *findings, const char *format, ...)
{
    if (findings->last >= findings->count)
        return;
    struct finding *finding = &findings->items[findings->last];
    va_list args;
    va_start(args, format);
    (void)vsnprintf(finding->hint, sizeof finding->hint, format, args);
    va_end(args);
}

bool findings_have(const struct findings *findings, const struct finding *wanted)
{
    for (size_t at = 0; at < findings->count; at++)
        if (findings->items[at].rule == wanted->rule && strcmp(findings->items[at].text, wanted->text) == 0)
            return true;
    return false;
}

void findings_settle(struct findings *findings, const struct findings *then)
{
    for (size_t at = 0; at < findings->count; at++) {
        const enum rule_level level = rule_level(findings->items[at].rule);
        if ((level == RULE_DOUBTED || level == RULE_TAKEN) && findings_have(then, &findings->items[at]))
            findings->items[at].is_settled = true;
    }
}

void findings_open(struct findings *findings, const struct findings *open)
{
    for (size_t at = 0; at < findings->count; at++)
        if (findings_have(open, &findings->items[at]))
            findings->items[at].is_settled = false;
}

void findings_settle_notes(struct findings *findings, const struct findings *then)
{
    for (size_t at = 0; at < findings->count; at++)
        if (rule_level(findings->items[at].rule) == RULE_TOLD && findings_have(then, &findings->items[at]))
            findings->items[at].is_settled = true;
}

enum rule_level findings_level(const struct findings *findings)
{
    enum rule_level worst = RULE_TOLD;
    for (size_t at = 0; at < findings->count; at++)
        if (rule_level(findings->items[at].rule) > worst)
            worst = rule_level(findings->items[at].rule);
    return worst;
}

enum fate finding_fate(const struct finding *finding, enum keeping keeping)
{
    const enum rule_level level = rule_level(finding->rule);
    if (finding->is_settled)
        return FATE_SETTLED;
    if (level == RULE_TOLD)
        return FATE_TOLD;
    const bool is_kept =
        (level == RULE_DOUBTED && keeping != KEEP_NOTHING) || (level == RULE_TAKEN && keeping == KEEP_TAKEN);
    return is_kept ? FATE_KEPT : FATE_REFUSED;
}

const struct finding *findings_worst(const struct findings *findings, enum keeping keeping)
{
    const struct finding *worst = NULL;
    for (size_t at = 0; at < findings->count; at++) {
        const struct finding *finding = &findings->items[at];
        if (finding_fate(finding, keeping) == FATE_REFUSED &&
            (!worst || rule_level(finding->rule) > rule_level(worst->rule)))
            worst = finding;
    }
    return worst;
}

enum status findings_pass(const struct findings *findings, enum keeping keeping, const char *subject, struct err *err)
{
    const struct finding *worst = findings_worst(findings, keeping);
    if (!worst)
        return STATUS_OK;
    err_set(err, STATUS_RULE, subject, "%s", worst->text);
    return err_hint(err, "%s", worst->hint);
}
