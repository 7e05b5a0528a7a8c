/* SPDX-License-Identifier: MIT */
/* Samples shown and listed, with their depths. */
#include <ctype.h>
#include <string.h>

#include "coretally/ask/list.h"
#include "coretally/say/show.h"
#include "coretally/state/span.h"
#include "coretally/state/stayed.h"

static enum status run_sample_show(struct run *run, struct err *err);
static enum status run_sample_list(struct run *run, struct err *err);

const struct command sample_show_command = {
    .words = "sample show",
    .arguments = "SAMPLE",
    .purpose = "everything recorded about a sample",
    .example = "sample show 'U0012A-12H-3W, 45-47 cm'",
    .use = USE_READING,
    .on = ON_SAMPLE,
    .options = history_options,
    .least = 1,
    .most = 1,
    .run = run_sample_show,
};

static const struct option list_options[] = {
    {"scale", "SCALE", "the depth scale: CSF-A unless another one is named"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command sample_list_command = {
    .words = "sample list",
    .arguments = "HOLE | CORE | SECTION",
    .purpose = "the samples of a hole, core or section, with depths and bounds",
    .example = "sample list U0012A-12H-3W --scale CCSF",
    .use = USE_READING,
    .options = list_options,
    .least = 1,
    .most = 1,
    .run = run_sample_list,
};

static enum status run_sample_show(struct run *run, struct err *err)
{
    struct target target = run->target;
    char name[NAME_TEXT_MAX];
    const struct sample *sample = &target.samples.samples[target.sample];
    const struct record_at at = record_of_sample(target.hole_name, target.core.number, sample);
    target_sample_name(run->state, &target, sample, name);
    if (run_option(run, "history"))
        return show_history(run, &at, err);
    if (!core_section(&target.core, sample->section)) { /* its section was withdrawn after it: no depth */
        (void)fprintf(run->talk, "note: its section is withdrawn, so it has no depth\n");
        return show_record(run, name, &at, NULL, err);
    }
    const struct place top = {&target.hole, &target.core, sample->section, sample->top_um};
    const struct place bottom = {&target.hole, &target.core, sample->section, sample->bottom_um};
    const struct extra extras[] = {
        {"csf_a_top", "top below seafloor, CSF-A", place_depth(&top, SCALE_CSF_A, NULL).um},
        {"csf_a_bottom", "bottom below seafloor, CSF-A", place_depth(&bottom, SCALE_CSF_A, NULL).um},
        {"csf_b_top", "top below seafloor, CSF-B", place_depth(&top, SCALE_CSF_B, NULL).um},
        {"csf_b_bottom", "bottom below seafloor, CSF-B", place_depth(&bottom, SCALE_CSF_B, NULL).um},
    };
    return show_record(run, name, &at, &(struct below){extras, 4, NULL, 0}, err);
}

static enum status add_sample_row(void *context, const struct listed_sample *it, struct err *err)
{
    struct sheet *const sheet = context;
    const struct sample *sample = it->sample;
    const struct cell cells[] = {cell_text(it->name),
                                 cell_text(it->top.method),
                                 cell_length(it->top.um, 3),
                                 cell_length(it->bottom.um, 3),
                                 cell_length(it->top.low_um, 3),
                                 cell_length(it->bottom.high_um, 3),
                                 cell_real(sample->volume_cm3),
                                 cell_text(sample->purpose),
                                 cell_text(sample->requester),
                                 cell_text(sample->lab_id),
                                 cell_text(it->note)};
    return sheet_add_row(sheet, cells, err);
}

static enum status run_sample_list(struct run *run, struct err *err)
{
    struct target target;
    struct sheet sheet;
    enum scale scale = SCALE_CSF_A;
    char headers[4][24];
    static const char *const parts[] = {"top", "bottom", "low", "high"};
    TRY(scale_option(run, "scale", &scale, err));
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_SECTION, &target, err));
    const char *unit = run_unit(run);
    for (size_t part = 0; part < 4; part++) {
        (void)snprintf(headers[part], sizeof headers[part], "%s %s", scale_words[scale], parts[part]);
        for (char *at = headers[part]; *at; at++)
            *at = (char)tolower((unsigned char)*at);
    }
    const struct column columns[] = {{"sample", NULL, false},  {"method", NULL, false},  {headers[0], unit, true},
                                     {headers[1], unit, true}, {headers[2], unit, true}, {headers[3], unit, true},
                                     {"volume", "cm3", true},  {"purpose", NULL, false}, {"requester", NULL, false},
                                     {"lab id", NULL, false},  {"note", NULL, false}};
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    const struct sample_asked asked = {scale, add_sample_row, &sheet};
    TRY(list_samples(run->state, &target, &asked, err));
    if (target.name.level < NAME_CORE)
        TRY(stayed_say(run->state, target.hole_name, err));
    return run_print_sheet(run, &sheet, err);
}
