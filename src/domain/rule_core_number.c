/* SPDX-License-Identifier: MIT */
/* Numbers of cores: passed over, which is a slip of the pen or a core that nobody wrote down; amended, while
 * corrections name them; used again. */
#include "coretally/domain/rule.h"

#include <stdio.h>

#include "coretally/base/quantity.h"

void core_number_check(const struct core *core, int32_t below, struct findings *findings)
{
    const int32_t first = below + 1;
    const int32_t last = core->number - 1;
    if (last < first)
        return;
    if (last == first)
        findings_add(findings, RULE_CORE_SKIPPED, "%s-%d is not recorded: number skipped?", core->hole, (int)first);
    else
        findings_add(findings, RULE_CORE_SKIPPED, "%s-%d %s %d are not recorded: numbers skipped?", core->hole,
                     (int)first, last == first + 1 ? "and" : "to", (int)last);
}

static bool is_named(const struct correction *correction, int32_t number)
{
    bool is_named = correction->core == number;
    for (size_t at = 0; at < correction->offset_count; at++)
        is_named = is_named || correction->offsets[at].core == number;
    for (size_t at = 0; at < correction->interval_count; at++)
        is_named = is_named || correction->intervals[at].core == number;
    return is_named;
}

static bool is_within(const struct correction *correction, int32_t number)
{
    return (!correction->first_core || number >= correction->first_core) &&
           (!correction->last_core || number <= correction->last_core);
}

/* Superseded ones count: withdrawing what took their place puts them in force again. */
static void find_named(const struct core *core, const struct correction *all, size_t count, struct findings *findings)
{
    char list[FINDING_TEXT_MAX / 2] = "";
    size_t used = 0;
    size_t named = 0;
    int32_t first = 0;
    for (size_t at = 0; at < count; at++) {
        if (all[at].withdrawn || !is_named(&all[at], core->number))
            continue;
        if (!named++)
            first = all[at].number;
        if (used < sizeof list - 40)
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%d (%s)", used ? ", " : "",
                                     (int)all[at].number, correction_words[all[at].kind]);
    }
    if (!named)
        return;
    findings_add(findings, RULE_CORE_CORRECTED, "correction%s %s name%s core %d by its number", named > 1 ? "s" : "",
                 list, named > 1 ? "" : "s", (int)core->number);
    findings_hint(findings,
                  "withdraw %s first (coretally correction withdraw %s %d --reason ...), amend the name, then add %s "
                  "again for the new number",
                  named > 1 ? "them" : "it", core->hole, (int)first, named > 1 ? "them" : "it");
}

void core_number_corrected(const struct core *core, int32_t number, const struct correction *all, size_t count,
                           struct findings *findings)
{
    find_named(core, all, count, findings);
    for (size_t at = 0; at < count; at++) {
        const struct correction *it = &all[at];
        const bool before = is_within(it, core->number);
        const bool after = is_within(it, number);
        if (it->withdrawn)
            continue;
        if (before != after)
            findings_add(findings, RULE_CORE_COVERED, "correction %d (%s) holds for core %d and not for core %d",
                         (int)it->number, correction_words[it->kind], (int)(before ? core->number : number),
                         (int)(before ? number : core->number));
        else if (is_named(it, number) && !is_named(it, core->number))
            findings_add(findings, RULE_CORE_COVERED, "correction %d (%s) names core %d, and would hold for this one",
                         (int)it->number, correction_words[it->kind], (int)number);
        else
            continue;
        findings_hint(findings, "if it is meant to hold by the new number, add --sure; otherwise withdraw it first");
    }
}

void core_again_check(const struct core *core, const struct core *former, struct findings *findings)
{
    if (former->withdrawn || former->datum != core->datum || former->top_um != core->top_um)
        return;
    findings_add(findings, RULE_CORE_AGAIN, "its top %s m is that of core %d%c, which was %d%c before",
                 length_text(core->top_um, UNIT_M, 3).text, (int)former->number, former->type, (int)core->number,
                 core->type);
    findings_hint(findings, "if it is that core, it is recorded already; if it is another one, look at the depth, or "
                            "add --sure");
}
