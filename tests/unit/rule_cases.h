/* SPDX-License-Identifier: MIT */
/* One case a row: a situation, the rule that it must provoke (or must not), and a part of what is said. The
 * tests of the rules run their own rows; test_rule.c has all of them and asks that no rule is left out. */
#ifndef CORETALLY_TESTS_RULE_CASES_H
#define CORETALLY_TESTS_RULE_CASES_H

#include "unit.h"

#include "coretally/domain/rule.h"

struct rule_case {
    enum rule rule;
    bool absent; /* the rule must be silent */
    const char *situation;
    void (*provoke)(struct findings *findings);
    const char *says;
};

extern const struct rule_case run_cases[];
extern const struct rule_case core_cases[];
extern const struct rule_case core_number_cases[];
extern const struct rule_case section_cases[];
extern const struct rule_case sample_cases[];
extern const struct rule_case lag_cases[];
extern const struct rule_case tracer_cases[];
extern const struct rule_case correction_cases[];
extern const struct rule_case time_cases[];

static inline void run_rule_cases(const struct rule_case *cases)
{
    for (const struct rule_case *row = cases; row->situation; row++) {
        struct findings findings = {0};
        row->provoke(&findings);
        const struct finding *found = NULL;
        for (size_t at = 0; at < findings.count; at++) {
            if (findings.items[at].rule == row->rule && (!found || !row->says || !strstr(found->text, row->says)))
                found = &findings.items[at];
            ROW(row->situation, !strstr(findings.items[at].text, "9223372036")); /* an absent length in print */
        }
        ROW(row->situation, (found == NULL) == row->absent);
        if (found && row->says && !strstr(found->text, row->says) && !strstr(found->hint, row->says))
            fail_msg("row '%s': '%s' '%s' does not say '%s'", row->situation, found->text, found->hint, row->says);
    }
}

#endif
