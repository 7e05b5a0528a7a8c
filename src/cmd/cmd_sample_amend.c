/* SPDX-License-Identifier: MIT */
/* Samples amended (with their sub-samples, where the name changes) and withdrawn. */
#include <string.h>

#include "command.h"
#include "sample_act.h"

static const char *const amend_options[] = {"section",   "half",  "top",     "bottom", "volume", "mass",   "purpose",
                                            "requester", "taken", "used_up", "hazard", "lab_id", "remark", NULL};

/* A sample whose key changed keeps the old one in "was", and its sub-samples follow. */
static enum status rename_sample(struct run *run, struct sample_set *set, size_t at, const struct sample *old,
                                 struct err *err)
{
    char old_key[SAMPLE_KEY_MAX];
    sample_key(old, old_key);
    struct sample *sample = &set->samples[at];
    char *new_key = NULL;
    TRY(arena_take(run->state->arena, SAMPLE_KEY_MAX, 1, &new_key, err));
    sample->ordinal = 0;
    int32_t taken = 0;
    for (size_t other = 0; other < set->sample_count; other++) {
        const struct sample *it = &set->samples[other];
        if (other != at && !it->of && it->section == sample->section && it->half == sample->half &&
            it->top_um == sample->top_um && it->bottom_um == sample->bottom_um) {
            const int32_t ordinal = it->ordinal ? it->ordinal : 1;
            taken = ordinal > taken ? ordinal : taken;
        }
    }
    sample->ordinal = taken ? taken + 1 : 0;
    sample_key(sample, new_key);
    struct text was;
    struct bytes bytes;
    text_init(&was, run->state->arena);
    if (!sample_list_has(sample->was, old_key)) {
        text_addf(&was, "%s%s%s", sample->was ? sample->was : "", sample->was ? " " : "", old_key);
        TRY(text_done(&was, &bytes, err));
        sample->was = bytes.data;
    }
    const size_t len = strlen(old_key);
    for (size_t other = 0; other < set->sample_count; other++) {
        struct sample *sub = &set->samples[other];
        if (!sub->of || strncmp(sub->of, old_key, len) != 0 || (sub->of[len] && sub->of[len] != '/'))
            continue;
        struct text of;
        char sub_key[SAMPLE_KEY_MAX];
        sample_key(sub, sub_key);
        text_init(&was, run->state->arena); /* its label is printed, too */
        if (!sample_list_has(sub->was, sub_key)) {
            text_addf(&was, "%s%s%s", sub->was ? sub->was : "", sub->was ? " " : "", sub_key);
            TRY(text_done(&was, &bytes, err));
            sub->was = bytes.data;
        }
        text_init(&of, run->state->arena);
        text_addf(&of, "%s%s", new_key, sub->of + len);
        TRY(text_done(&of, &bytes, err));
        sub->of = bytes.data;
        sub->section = sample->section;
        sub->half = sample->half;
        if (sub->top_um == old->top_um && sub->bottom_um == old->bottom_um) { /* had no interval of its own */
            sub->top_um = sample->top_um;
            sub->bottom_um = sample->bottom_um;
        }
    }
    return STATUS_OK;
}

/* The sample at its place in the set, and what was taken from it. */
static void hold_sample(const struct run *run, const struct core *core, const struct sample_set *set, size_t at,
                        struct findings *findings)
{
    const struct sample *sample = &set->samples[at];
    const struct sample *parent = sample->of ? sample_find(set->samples, set->sample_count, sample->of) : NULL;
    struct sample whole = *sample;
    sample_check(core, sample, set->samples, set->sample_count, at, parent, findings);
    whole.used_up = false; /* it may well be used up by what was taken from it */
    for (size_t other = 0; other < set->sample_count; other++)
        if (set->samples[other].of && !set->samples[other].withdrawn &&
            sample_find(set->samples, set->sample_count, set->samples[other].of) == sample)
            sample_check(core, &set->samples[other], NULL, 0, 0, &whole, findings);
    sample_check_time(core, sample, run->state->now.utc_us, findings);
}

static enum status run_sample_amend(struct run *run, struct err *err)
{
    struct target target;
    struct sample_set set;
    struct findings findings = {0};
    struct findings then = {0};
    const char *sure = NULL;
    char old_key[SAMPLE_KEY_MAX];
    char new_key[SAMPLE_KEY_MAX];
    char name[NAME_TEXT_MAX];
    const char *line = NULL;
    bool any = false;
    TRY(run_need_reason(run, err));
    TRY(run_open(run, STORE_WRITE, err));
    TRY(resolve(run->state, run->args[0], NAME_SAMPLE, NAME_SAMPLE, &target, err));
    TRY(sample_copy_set(run->state, &target, &set, err));
    struct sample *sample = &set.samples[target.sample];
    sample_key(sample, old_key);
    TRY(run_standing(run, old_key, &sample->withdrawn, err));
    TRY(run_take_fields(run, &sample_table, target.hole.zone_min, sample, &any, err));
    if (sample->of && (sample->section != target.samples.samples[target.sample].section ||
                       sample->half != target.samples.samples[target.sample].half)) {
        err_set(err, STATUS_RULE, run->args[0], "a sub-sample stays in the section and half of its parent");
        return err_hint(err, "amend the sample that it was taken from: %s", sample->of);
    }
    if (record_is_equal(&sample_table, sample, &target.samples.samples[target.sample]))
        return sample_already(run, &target, &target.samples.samples[target.sample], err);
    if (!core_section(&target.core, sample->section))
        return err_set(err, STATUS_UNKNOWN, run->args[0], "its core has no section %d", (int)sample->section);
    sample_key(sample, new_key);
    if (strcmp(old_key, new_key) != 0)
        TRY(rename_sample(run, &set, target.sample, &target.samples.samples[target.sample], err));
    sample->version = sample->version ? sample->version + 1 : 2;
    target_sample_name(run->state, &target, sample, name);
    TRY(sample_check_standing(&target, name, &set, target.sample, sample->lab_id, err));
    hold_sample(run, &target.core, &set, target.sample, &findings);
    if (!target.samples.samples[target.sample].withdrawn) {
        hold_sample(run, &target.core, &target.samples, target.sample, &then);
        findings_settle(&findings, &then);
    }
    TRY(run_findings(run, name, &findings, &sure, err));
    TRY(findings_words(&findings, run->state->arena, &sample->doubt, err));
    TRY(sample_line(run->state, &target, sample, " amended", &line, err));
    const struct sample amended = *sample; /* writing sorts the set */
    TRY(sample_write(run, &target, &set, line, sure, err));
    TRY(run_say_changes(run, &sample_table, &amended, &target.samples.samples[target.sample], err));
    sample_say_depth(run, &target, &amended);
    return STATUS_OK;
}

const struct command sample_amend_command = {
    .words = "sample amend",
    .arguments = "SAMPLE",
    .purpose = "amend a sample; the earlier version stays in history, and its old name still finds it",
    .example = "sample amend 'U0012A-12H-3W, 45-47 cm' --top 46 --bottom 48 --reason \"ruler read from the wrong end\"",
    .use = USE_MOVING,
    .table = &sample_table,
    .fields = amend_options,
    .options = restore_options,
    .least = 1,
    .most = 1,
    .run = run_sample_amend,
};

static enum status run_sample_withdraw(struct run *run, struct err *err)
{
    struct target target;
    struct sample_set set;
    char key[SAMPLE_KEY_MAX];
    const char *line = NULL;
    TRY(run_need_reason(run, err));
    TRY(run_open(run, STORE_WRITE, err));
    TRY(resolve(run->state, run->args[0], NAME_SAMPLE, NAME_SAMPLE, &target, err));
    TRY(sample_copy_set(run->state, &target, &set, err));
    struct sample *sample = &set.samples[target.sample];
    sample_key(sample, key);
    if (sample->withdrawn) {
        (void)fprintf(run->out, "already withdrawn: %s (%s)\n", key, sample->withdrawn);
        return STATUS_OK;
    }
    for (size_t at = 0; at < set.sample_count; at++)
        if (set.samples[at].of && strcmp(set.samples[at].of, key) == 0 && !set.samples[at].withdrawn) {
            err_set(err, STATUS_RULE, run->args[0], "sub-sample /%d of it still stands", (int)set.samples[at].number);
            return err_hint(err, "withdraw its sub-samples first");
        }
    sample->withdrawn = run_option(run, "reason");
    sample->version = sample->version ? sample->version + 1 : 2;
    TRY(sample_line(run->state, &target, sample, " withdrawn", &line, err));
    return sample_write(run, &target, &set, line, NULL, err);
}

const struct command sample_withdraw_command = {
    .words = "sample withdraw",
    .arguments = "SAMPLE",
    .purpose = "withdraw a sample; it stays in the registry, marked",
    .example = "sample withdraw 'U0012A-12H-3W, 45-47 cm' --reason \"not taken after all\"",
    .use = USE_MOVING,
    .least = 1,
    .most = 1,
    .run = run_sample_withdraw,
};
