/* SPDX-License-Identifier: MIT */
/* A depth link by link, with the commit behind each input. */
#include "coretally/ask/explain.h"
#include "coretally/say/explain_bag_say.h"
#include "coretally/say/source_say.h"

static enum status run_explain(struct run *run, struct err *err);

static const struct option explain_options[] = {
    {"scale", "SCALE", "DRF, DSF, CSF-A, CSF-B, CCSF, CCSF-B, CCSF-D, WMSF, TVD, TVDSF; the default is CSF-B"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command explain_command = {
    .words = "explain",
    .arguments = "NAME",
    .purpose = "every link from the driller's reading to a depth, with the commit behind each input",
    .example = "explain 'U0012A-12H-3W, 45-47 cm'",
    .use = USE_READING,
    .on = ON_STATE,
    .options = explain_options,
    .least = 1,
    .most = 1,
    .run = run_explain,
};

static enum status add_section(const struct section *section, const struct source *source, const char *who,
                               struct sheet *sheet, struct err *err)
{
    char what[64];
    char label[SECTION_TEXT_MAX];
    section_format(section->number, label);
    (void)snprintf(what, sizeof what, "  section %s, curated length", label);
    const struct cell cells[] = {cell_text(what), cell_length(section_curated(section), 3), cell_nothing(),
                                 cell_commit(source->id), cell_text(who)};
    return sheet_add_row(sheet, cells, err);
}

static enum status add_link(struct run *run, const struct explained *it, struct sheet *sheet, struct err *err)
{
    const struct depth_link *link = it->link;
    const char *who = NULL;
    TRY(source_who(run->state, &it->source, &who, err));
    if (it->section)
        return add_section(it->section, &it->source, who, sheet, err);
    const struct cell cells[] = {cell_text(it->rule), cell_step(link->amount_um, 3), cell_length(link->result_um, 3),
                                 cell_commit(it->source.id), cell_text(it->is_typed ? "as typed" : who)};
    TRY(sheet_add_row(sheet, cells, err));
    const struct cell because[] = {cell_text(it->why), cell_nothing(), cell_nothing(), cell_nothing(), cell_nothing()};
    return it->why ? sheet_add_row(sheet, because, err) : STATUS_OK;
}

/* The depth itself, above its links. */
static void say_depth(const struct run *run, const struct span *span, enum scale scale, const struct depth *depth)
{
    const char *unit = run_unit(run);
    const char *note = span_note(span, depth, depth);
    if (depth->um == LENGTH_NONE) {
        (void)fprintf(run->out, "%s %s: n/a, %s\n", span->name, scale_words[scale], depth->why);
        return;
    }
    if (note)
        (void)fprintf(run->out, "note: %s\n", note);
    (void)fprintf(run->out, "%s %s top: %s %s (low %s, high %s)\n", span->name, scale_words[scale],
                  run_length(run, depth->um, 3).text, unit, run_length(run, depth->low_um, 3).text,
                  depth->high_um == LENGTH_NONE ? "n/a" : run_length(run, depth->high_um, 3).text);
    (void)fprintf(run->out, "method: %s\n", depth->method);
}

static enum status explain_scale(struct run *run, const struct span *span, enum scale scale, struct err *err)
{
    const char *unit = run_unit(run);
    const struct column columns[] = {{"link", NULL, false},
                                     {"step", unit, true},
                                     {"depth", unit, true},
                                     {"commit", NULL, false},
                                     {"by", NULL, false}};
    struct explanation it;
    struct sheet sheet;
    sheet_init(&sheet, run->state->arena, columns, 5);
    TRY(explain_depth(run->state, span, scale, &it, err));
    for (size_t at = 0; at < it.count; at++)
        TRY(add_link(run, &it.items[at], &sheet, err));
    if (it.dropped)
        (void)fprintf(run->talk, "note: %zu more links are not shown\n", it.dropped);
    if (run->format == SHEET_PEOPLE)
        say_depth(run, span, scale, &it.depth);
    return run_print_sheet(run, &sheet, err);
}

static enum status run_explain(struct run *run, struct err *err)
{
    struct span span;
    struct name name;
    const char *wanted = run_option(run, "scale");
    TRY(resolve_name(run->state, run->args[0], &name, err));
    if (name.level == NAME_BAG)
        return explain_bag_say(run, err);
    TRY(span_read(run->state, run->args[0], &span, err));
    enum scale scale = span.target.name.level > NAME_CORE ? SCALE_CSF_B : SCALE_DSF;
    TRY(scale_option(run, "scale", &scale, err));
    if (!span.in_core && !scale_is_drilled(scale))
        return err_set(err, STATUS_INPUT, wanted,
                       "the core has no sections, so drilled depths only: DRF, DSF, TVD and TVDSF");
    TRY(explain_scale(run, &span, scale, err));
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "%s: %s\nstate %.10s of the registry\n", scale_words[scale], scale_meanings[scale],
                      store_state(run->state->store));
    return STATUS_OK;
}
