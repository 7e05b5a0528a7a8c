/* SPDX-License-Identifier: MIT */
/* Samples and sub-samples: add, amend, withdraw. */
#include "coretally/act/sample.h"
#include "coretally/domain/depth.h"
#include "coretally/kind/kind.h"
#include "coretally/run/command.h"
#include "run_commit.h"

static enum status run_sample_add(struct run *run, struct err *err);
static enum status run_sample_amend(struct run *run, struct err *err);
static enum status run_sample_withdraw(struct run *run, struct err *err);

static const char *const sample_options[] = {"volume",  "mass",   "purpose", "requester", "taken",
                                             "used_up", "hazard", "lab_id",  "remark",    NULL};

static const struct option add_options[] = {
    {"of", "SAMPLE", "take a sub-sample of this one; type an interval only if it has its own"},
    {"another", NULL, "a further sample, although an equal one is recorded"},
    {"piece", "NUMBER", "hard rock: the interval counts from the top of this piece"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command sample_add_command = {
    .words = "sample add",
    .arguments = "[SAMPLE | INTERVAL]",
    .purpose = "record a sample of a section, or a sub-sample of a sample",
    .example = "sample add 'U0012A-12H-3W, 45-47 cm' --volume 10 --purpose isotopes --requester Tamm",
    .detail =
        "Offsets are centimetres from the section top; a unit typed once holds for both ends (1.20-1.22m). A sample\n"
        "that shares its interval with another is kept, with a note; one that a whole round took, or that is marked\n"
        "--used-up yes, is refused. Sub-samples: --of SAMPLE; an interval of its own (46-47) is optional. Volume in "
        "cm3,\n"
        "mass in g.",
    .use = USE_WRITING,
    .on = ON_STATE,
    .table = &sample_table,
    .fields = sample_options,
    .options = add_options,
    .least = 0,
    .most = 1,
    .run = run_sample_add,
};

const struct command sample_amend_command = {
    .words = "sample amend",
    .arguments = "SAMPLE",
    .purpose = "amend a sample; the earlier version stays in history, and its old name still finds it",
    .example = "sample amend 'U0012A-12H-3W, 45-47 cm' --top 46 --bottom 48 --reason \"ruler read from the wrong end\"",
    .use = USE_MOVING,
    .on = ON_SAMPLE,
    .needs_reason = true,
    .table = &sample_table,
    .fields = sample_fields_amended,
    .options = restore_options,
    .least = 1,
    .most = 1,
    .run = run_sample_amend,
};

const struct command sample_withdraw_command = {
    .words = "sample withdraw",
    .arguments = "SAMPLE",
    .purpose = "withdraw a sample; it stays in the registry, marked",
    .example = "sample withdraw 'U0012A-12H-3W, 45-47 cm' --reason \"not taken after all\"",
    .use = USE_MOVING,
    .on = ON_SAMPLE,
    .needs_reason = true,
    .least = 1,
    .most = 1,
    .run = run_sample_withdraw,
};

/* The sample as typed: from its own name, or under its parent. *parent NULL for a sample of a section. */
static enum status read_typed(struct run *run, struct target *target, struct sample *sample,
                              const struct sample **parent, struct err *err)
{
    const char *of = run_option(run, "of");
    bool any = false;
    record_init(&sample_table, sample);
    *parent = NULL;
    if (of) {
        char *key = NULL;
        TRY(resolve(run->state, of, NAME_SAMPLE, NAME_SAMPLE, target, err));
        *parent = &target->samples.samples[target->sample];
        if (!core_section(&target->core, (*parent)->section)) {
            err_set(err, STATUS_RULE, of, "its section is withdrawn");
            return err_hint(err, "first move the sample: coretally sample amend %s --section NUMBER --reason WHY", of);
        }
        TRY(arena_take(run->state->arena, SAMPLE_KEY_MAX, 1, &key, err));
        sample_key(*parent, key);
        sample->of = key;
        sample->section = (*parent)->section;
        sample->half = (*parent)->half;
        sample->top_um = (*parent)->top_um;
        sample->bottom_um = (*parent)->bottom_um;
        if (run->arg_count) /* "46-47": an interval of its own */
            TRY(interval_parse(run->args[0], &sample->top_um, &sample->bottom_um, err));
    } else {
        if (!run->arg_count)
            return err_set(err, STATUS_USAGE, "sample add", "neither a sample nor --of was typed");
        TRY(resolve(run->state, run->args[0], NAME_POINT, NAME_SAMPLE, target, err));
        sample->section = target->name.section;
        sample->half = target->name.half;
        sample->top_um = target->name.top_um;
        sample->bottom_um = target->name.bottom_um;
        if (target->name.sub_count) {
            err_set(err, STATUS_USAGE, run->args[0], "sub-samples are numbered by coretally");
            return err_hint(err, "add --of and the parent's name instead");
        }
        if (run_option(run, "piece"))
            TRY(sample_from_piece(target->section, run_option(run, "piece"), sample, err));
    }
    return run_take_fields(run, &sample_table, target->hole.zone_min, sample, &any, err);
}

/* The depth for the label, at once. */
static void say_depth(const struct run *run, const struct target *target, const struct sample *sample)
{
    const struct place places[] = {{&target->hole, &target->core, sample->section, sample->top_um},
                                   {&target->hole, &target->core, sample->section, sample->bottom_um}};
    const struct depth top = place_depth(&places[0], SCALE_CSF_A, NULL);
    const struct depth bottom = place_depth(&places[1], SCALE_CSF_A, NULL);
    if (top.um == LENGTH_NONE) {
        (void)fprintf(run->out, "  CSF-A n/a: %s\n", top.why);
        return;
    }
    (void)fprintf(run->out, "  CSF-A %s-%s m below seafloor (low %s, high %s)\n", length_text(top.um, UNIT_M, 3).text,
                  length_text(bottom.um, UNIT_M, 3).text, length_text(top.low_um, UNIT_M, 3).text,
                  bottom.high_um == LENGTH_NONE ? "n/a" : length_text(bottom.high_um, UNIT_M, 3).text);
    const struct depth top_b = place_depth(&places[0], SCALE_CSF_B, NULL);
    const struct depth bottom_b = place_depth(&places[1], SCALE_CSF_B, NULL);
    if (top_b.um != LENGTH_NONE && (top_b.um != top.um || bottom_b.um != bottom.um))
        (void)fprintf(run->out, "  CSF-B %s-%s m below seafloor: the core is longer than its run\n",
                      length_text(top_b.um, UNIT_M, 3).text, length_text(bottom_b.um, UNIT_M, 3).text);
}

static enum status run_sample_add(struct run *run, struct err *err)
{
    struct target target = {0};
    struct sample sample;
    struct draft draft;
    struct sample_asked asked = {.of_typed = run_option(run, "of"), .is_another = run_option(run, "another") != NULL};
    TRY(read_typed(run, &target, &sample, &asked.of, err));
    TRY(sample_add(run->state, &target, &sample, &asked, &draft, err));
    TRY(run_draft(run, &draft, err));
    if (draft.kind == DRAFT_CHANGE)
        say_depth(run, &target, draft.changed.after);
    else
        (void)fprintf(run->talk, "  for a further sample of the very same kind add --another\n");
    return STATUS_OK;
}

static enum status run_sample_amend(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct draft draft;
    char key[SAMPLE_KEY_MAX];
    bool any = false;
    struct sample sample = target.samples.samples[target.sample];
    sample_key(&sample, key);
    TRY(run_standing(run, key, &sample.withdrawn, err));
    TRY(run_take_fields(run, &sample_table, target.hole.zone_min, &sample, &any, err));
    TRY(run_option(run, "sure") ? sample_keep(run->state, &target, run->args[0], &sample, &draft, err)
                                : sample_amend(run->state, &target, run->args[0], &sample, &draft, err));
    TRY(run_draft(run, &draft, err));
    if (draft.kind == DRAFT_CHANGE)
        say_depth(run, &target, draft.changed.after);
    return STATUS_OK;
}

static enum status run_sample_withdraw(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct draft draft;
    TRY(sample_withdraw(run->state, &target, run->args[0], run_option(run, "reason"), &draft, err));
    return run_draft(run, &draft, err);
}
