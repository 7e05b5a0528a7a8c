/* SPDX-License-Identifier: MIT */
/* What an auditor asks first: which state, is it sound, is the evidence intact, what moved by which act, what is open.
 */
#include <string.h>

#include "coretally/say/audit_say.h"

/* "sound: 0 damaged, 0 wrong, 1 doubtful in 113 files, 73 commits, 177 labels, looked at for this page" */
static enum status verify_text(struct audit *audit, const char **out, struct err *err)
{
    const struct verify *verify = &audit->verify;
    const size_t *counts = verify->counts;
    const bool is_sound = !counts[SEVERITY_DAMAGED] && !counts[SEVERITY_WRONG];
    const char *answer = is_sound ? "yes" : "NO";
    if (audit->run->arg_count)
        return audit_text(audit->run->state, out, err,
                          "%s, as far as the rules for %s go: %zu damaged, %zu wrong; the rest is looked at by: "
                          "coretally verify",
                          answer, audit->run->arg_count == 1 ? "this hole" : "these holes", counts[SEVERITY_DAMAGED],
                          counts[SEVERITY_WRONG]);
    return audit_text(
        audit->run->state, out, err,
        "%s: verify found %zu damaged, %zu wrong, %zu doubtful in %zu files, %zu commits, %zu labels when "
        "this was written",
        answer, counts[SEVERITY_DAMAGED], counts[SEVERITY_WRONG], counts[SEVERITY_DOUBTFUL], verify->files,
        verify->commits, verify->labels);
}

/* Files of all corrections; how many in force have nothing. */
static enum status evidence_text(struct audit *audit, const char **out, struct err *err)
{
    size_t counts[EVIDENCE_GONE + 1] = {0};
    size_t without = 0;
    for (size_t hole = 0; hole < audit->holes.count; hole++)
        for (size_t at = 0; at < audit->holes.items[hole].correction_count; at++) {
            const struct correction_facts *one = &audit->holes.items[hole].corrections[at];
            enum evidence held = EVIDENCE_NONE;
            TRY(evidence_find(audit->run->state, one->it, &held, err));
            counts[held]++;
            without += held == EVIDENCE_NONE && one->in_force;
        }
    const size_t files = counts[EVIDENCE_INTACT] + counts[EVIDENCE_SPOILT] + counts[EVIDENCE_GONE];
    const size_t lost = files - counts[EVIDENCE_INTACT];
    return audit_text(audit->run->state, out, err,
                      "%s: %zu of %zu attached file%s unchanged; %zu correction%s with words alone, %zu in force "
                      "with none",
                      !files  ? "no file was attached"
                      : !lost ? "yes"
                              : "NO",
                      counts[EVIDENCE_INTACT], files, files == 1 ? "" : "s", counts[EVIDENCE_WORDS],
                      counts[EVIDENCE_WORDS] == 1 ? "" : "s", without);
}

/* "typed, not proven: no act is signed by a key", "36 acts proven by a key; 2 typed, not proven". */
static enum status names_text(struct audit *audit, const char **out, struct err *err)
{
    const size_t *counts = audit->verify.keys.counts;
    struct text text;
    struct bytes bytes;
    size_t keyed = 0;
    for (int state = KEY_NONE + 1; state < KEY_STATE_COUNT; state++)
        keyed += counts[state];
    text_init(&text, audit->run->state->arena);
    if (audit->run->arg_count)
        text_add(&text, "typed; whether keys prove them is looked at by: coretally verify");
    else if (!keyed)
        text_add(&text, "typed, not proven: no act is signed by a key");
    for (int state = KEY_PROVEN; keyed && state < KEY_STATE_COUNT; state++)
        if (counts[state])
            text_addf(&text, "%s%zu act%s %s", text.len ? "; " : "", counts[state], counts[state] == 1 ? "" : "s",
                      key_state_words[state]);
    if (keyed && counts[KEY_NONE])
        text_addf(&text, "; %zu %s", counts[KEY_NONE], key_state_words[KEY_NONE]);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status add_states(struct audit *audit, struct sheet *facts, struct err *err)
{
    struct state *const state = audit->run->state;
    char when[INSTANT_TEXT_MAX];
    const char *words = NULL;
    TRY(audit_text(state, &words, err, "%s%s%s%s%s", state->expedition.number, state->expedition.title ? ", " : "",
                   state->expedition.title ? state->expedition.title : "", state->expedition.remark ? "; " : "",
                   state->expedition.remark ? state->expedition.remark : ""));
    TRY(audit_fact_add(facts, "expedition", words, err));
    instant_format(audit->state.when, when);
    TRY(audit_text(state, &words, err, "%s, %s: %s", audit->state.id, when, audit->state.line));
    TRY(audit_fact_add(facts, "state", words, err));
    if (!audit->from)
        return audit_fact_add(facts, "since", "the first act (a later state: --from STATE)", err);
    struct commit from = {0};
    TRY(store_commit(state->store, audit->from, state->arena, &from, err));
    instant_format(from.when, when);
    TRY(audit_text(state, &words, err, "state %.10s, %s: %s", from.id, when, from.line));
    return audit_fact_add(facts, "since", words, err);
}

static enum status write_facts(struct audit *audit, struct err *err)
{
    static const struct column columns[] = {{"what", NULL, false}, {"value", NULL, false}};
    struct sheet *facts = NULL;
    const char *words = NULL;
    TRY(audit_sheet_new(audit->run->state, columns, 2, &facts, err));
    TRY(add_states(audit, facts, err));
    TRY(verify_text(audit, &words, err));
    TRY(audit_fact_add(facts, "sound", words, err));
    TRY(evidence_text(audit, &words, err));
    TRY(audit_fact_add(facts, "evidence intact", words, err));
    TRY(names_text(audit, &words, err));
    TRY(audit_fact_add(facts, "names", words, err));
    return page_add_sheet(&audit->page, BLOCK_FACTS, NULL, facts, err);
}

enum status audit_first_write(struct audit *audit, struct err *err)
{
    struct page *const page = &audit->page;
    TRY(page_add_frame(page, FRAME_FIRST, err));
    TRY(write_facts(audit, err));
    TRY(page_add_frame(page, FRAME_PAIR, err));
    TRY(audit_between_write(audit, err));
    TRY(page_add_frame(page, FRAME_NEXT, err));
    TRY(audit_open_rows(audit, err));
    TRY(page_add_frame(page, FRAME_PAIR_END, err));
    TRY(audit_acts_first_write(audit, err));
    TRY(audit_bounds_write(audit, err));
    return page_add_frame(page, FRAME_REST, err);
}
