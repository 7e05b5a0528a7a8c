/* SPDX-License-Identifier: MIT */
/* Print labels: choose things, draw their labels, record what was printed, at which state. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/store/file.h"
#include "coretally/act/label.h"
#include "coretally/say/label_face.h"
#include "label_files.h"
#include "coretally/say/label_say.h"
#include "run_commit.h"

static enum status run_label_print(struct run *run, struct err *err);
static enum status run_label_layout(struct run *run, struct err *err);

static const struct option print_options[] = {
    {"new", NULL, "everything below the names (or of the registry) that has no label yet"},
    {"stale", NULL, "everything whose newest label no longer shows its depth"},
    {"all", NULL, "everything below the names: a core with its sections and samples"},
    {"what", "KINDS", "only these: core, section, sample, bag; by ','"},
    {"scale", "SCALE", "the depth scale; default: CSF-A, and MRF for what came over the shaker"},
    {"layout", "NAME|FILE", "one that coretally label layout lists, or a file of your own"},
    {"out", "FILE", "PDF, SVG or PNG by its ending; default: labels-STATE.pdf in this folder; - for standard output"},
    {"replace", NULL, "replace a file of that name"},
    {"start", "PLACE", "place of the first label on the first sheet, row by row from 1"},
    {"dpi", "DOTS", "PNG: dots an inch, as the printer has them (203, 300); default: 300"},
    {"proof", NULL, "draw only: marked as a proof, without symbols; nothing is recorded"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command label_print_command = {
    .words = "label print",
    .arguments = "[NAME...]",
    .purpose = "draw labels of cores, section halves, samples and bags, and record that they were printed",
    .example = "label print --new",
    .detail =
        "A core, a section (both halves unless one is named), a sample or a bag; with --new, --stale or --all "
        "everything below a name.\n"
        "The symbol holds name, check character, depth as printed, scale and state of the registry; coretally "
        "trace reads it.\n"
        "Pages stand beside their place as FILE.part-NUMBER until the printing is recorded; if the machine stops in "
        "between, look there.",
    .use = USE_WRITING,
    .options = print_options,
    .least = 0,
    .most = 1000,
    .run = run_label_print,
};

const struct command label_layout_command = {
    .words = "label layout",
    .arguments = "[NAME]",
    .purpose = "the layouts that labels can be printed with; or the text of one, to copy and change",
    .example = "label layout strip > my.layout",
    .use = USE_CALCULATING,
    .least = 0,
    .most = 1,
    .run = run_label_layout,
};

/* What was asked for, and what is drawn of it. */
struct job {
    struct run *run;
    struct label_scope scope; /* of the name that is looked at */
    bool is_new;
    bool is_stale;
    const struct layout *layout;
    struct printing printing;
    struct printed_file file; /* of the things that are looked at */
    struct label_face *faces;
    size_t count;
    size_t room;
    size_t unknown; /* without a depth */
    bool has_bags;
};

/* --- gather --- */

static enum status read_layout(struct run *run, struct layout *out, struct err *err)
{
    const char *typed = run_option(run, "layout") ? run_option(run, "layout") : layout_texts[0].name;
    const struct layout_text *ours = layout_text_find(typed);
    char text[16384];
    if (ours)
        return layout_parse(ours->name, (struct bytes){ours->text, strlen(ours->text)}, run->state->arena, out, err);
    FILE *file = NULL;
    const enum status opened = file_open_typed(typed, &file, err);
    if (opened == STATUS_UNKNOWN)
        (void)err_set(err, opened, typed, "there is no layout of this name, and no such file");
    if (opened != STATUS_OK)
        return err_hint(err, "layouts are listed by: coretally label layout");
    const size_t len = fread(text, 1, sizeof text, file);
    const bool is_broken = ferror(file) != 0;
    (void)fclose(file);
    if (is_broken)
        return err_set(err, STATUS_SYSTEM, typed, "could not be read");
    if (len == sizeof text)
        return err_set(err, STATUS_INPUT, typed, "a layout has a few lines, this file is longer than 16 kB");
    const char *name = strrchr(typed, '/') ? strrchr(typed, '/') + 1 : typed;
    return layout_parse(name, (struct bytes){text, len}, run->state->arena, out, err);
}

/* A label more of a thing, on a scale, and its face into what is drawn. Names of one act may overlap: each label is
 * printed once. */
static enum status add_label(struct state *state, struct job *job, const struct things *things,
                             const struct thing *thing, const char *scale, struct err *err)
{
    struct run *const run = job->run;
    struct label label = {.name = thing->name, .scale = scale};
    struct thing_depth depth;
    if (printing_has(&job->file, thing->name, scale))
        return STATUS_OK;
    TRY(thing_depth(state, things, thing, scale, &depth, err));
    label.top_um = depth.top_um;
    label.bottom_um = depth.bottom_um;
    TRY(thing_hazard(state, things, thing, &label.hazard, err));
    TRY(printing_add(&job->printing, &job->file, &label, err));
    if (label.top_um == LENGTH_NONE && job->unknown++ < 5)
        (void)fprintf(run->talk, "note: %s: printed without a depth: %s\n", thing->name,
                      depth.why ? depth.why : "it is not known");
    job->has_bags = job->has_bags || thing->bag;
    /* The face lives on. */
    TRY(arena_grow(run->state->arena, &job->faces, job->count, &job->room, sizeof *job->faces, err));
    TRY(label_face_fill(run->state, things, thing, &label, &job->faces[job->count], err));
    job->count++;
    return STATUS_OK;
}

/* Things as they were named, or those that have no label yet. */
static enum status add_things(struct state *state, struct job *job, const struct things *things, struct err *err)
{
    for (size_t at = 0; at < things->count; at++) {
        const struct thing *thing = &things->items[at];
        if (thing->kind != THING_GONE && label_scope_has(&job->scope, thing) && (!job->is_new || !thing->copies))
            TRY(add_label(state, job, things, thing, thing_scale(&job->scope, thing), err));
    }
    return STATUS_OK;
}

/* Anew what is stale, each on the scale that it was printed on. */
static enum status add_stale(struct state *state, struct job *job, const struct things *things, struct err *err)
{
    for (size_t at = 0; at < things->held_count; at++) {
        const struct held_label *held = &things->held[at];
        const struct thing *thing = &things->items[held->thing];
        const bool has_scale = job->scope.asked.scale != SCALE_COUNT;
        struct label_now now;
        if (!held->is_newest || thing->kind == THING_GONE || !label_scope_has(&job->scope, thing))
            continue;
        TRY(label_hold(state, things, thing, held->label, &now, err));
        if (now.freshness == LABEL_STALE)
            TRY(add_label(state, job, things, thing, has_scale ? thing_scale(&job->scope, thing) : held->label->scale,
                          err));
    }
    return STATUS_OK;
}

static enum status visit_things(struct state *state, void *context, struct things *things, struct err *err)
{
    struct job *job = context;
    const size_t more = things->count + things->held_count;
    TRY(printing_open(state, &job->printing, things->path, &things->labels, more, &job->file, err));
    if (job->is_new || !job->is_stale)
        TRY(add_things(state, job, things, err));
    if (job->is_stale)
        TRY(add_stale(state, job, things, err));
    return printing_close(&job->printing, &job->file, err);
}

static enum status gather(struct run *run, struct job *job, struct err *err)
{
    const bool is_below = job->is_new || job->is_stale || run_option(run, "all");
    struct label_asked asked;
    struct err none = {0}; /* the last name that has nothing to print */
    if (!run->arg_count && !is_below) {
        err_set(err, STATUS_USAGE, "label print", "type what to print labels of, or --new for what has none yet");
        return err_hint(err, "for example: coretally %s", run->command->example);
    }
    TRY(label_asked_read(run, &asked, err));
    for (size_t at = 0; at == 0 || at < run->arg_count; at++) {
        struct label_scope *const scope = &job->scope;
        const size_t before = job->count;
        TRY(label_scope_of(run->state, &asked, run->arg_count ? run->args[at] : NULL, scope, err));
        scope->is_below = is_below;
        scope->is_labelled = job->is_stale && !job->is_new;
        if (scope->name.level == NAME_HOLE && !is_below) {
            err_set(err, STATUS_USAGE, run->args[at], "a hole has no label");
            return err_hint(err, "add --new, --stale or --all for what came out of it");
        }
        TRY(label_walk(run->state, scope, visit_things, job, err));
        if (job->count == before && !is_below) {
            err_set(&none, STATUS_UNKNOWN, run->args[at], "%s",
                    "there is nothing of this name that stands and has a label");
            if (run->arg_count > 1) /* the others have theirs */
                (void)fprintf(run->talk, "note: %s: %s; passed over\n", none.subject, none.reason);
        }
        if (job->count > LABEL_JOB_MAX)
            return err_set(err, STATUS_RULE, "label print", "more than %d labels at once", LABEL_JOB_MAX);
    }
    if (none.status == STATUS_OK || job->count)
        return STATUS_OK;
    *err = none;
    return err_hint(err, "what is withdrawn, and an empty barrel, has none");
}

/* --- work out --- */

struct range {
    double least;
    double most;
};

/* *out stays where the option is not given. */
static enum status read_number(const struct run *run, const char *option, struct range range, double *out,
                               struct err *err)
{
    const char *typed = run_option(run, option);
    char *end = NULL;
    if (!typed)
        return STATUS_OK;
    *out = strtod(typed, &end);
    if (end == typed || *end || !(*out >= range.least && *out <= range.most)) {
        char name[24];
        (void)snprintf(name, sizeof name, "--%s", option);
        return err_set(err, STATUS_INPUT, name, "'%.40s' is outside %g to %g", typed, range.least, range.most);
    }
    return STATUS_OK;
}

static enum status draw(struct run *run, const struct job *job, struct label_files *files, struct err *err)
{
    const struct range places = {1, (double)layout_places(job->layout)};
    const struct range dots = {LABEL_DPI_LEAST, LABEL_DPI_MOST};
    double start = 1;
    struct label_job drawn = {.layout = job->layout,
                              .faces = job->faces,
                              .count = job->count,
                              .format = files->format,
                              .is_proof = run_option(run, "proof") != NULL,
                              .dpi = 300,
                              .created = run->state->now};
    TRY(read_number(run, "start", places, &start, err));
    TRY(read_number(run, "dpi", dots, &drawn.dpi, err));
    if (start != floor(start))
        return err_set(err, STATUS_INPUT, "--start", "places on a sheet are counted 1, 2, 3");
    drawn.start = (size_t)start;
    return label_pages_draw(&drawn, run->state->arena, &files->pages, &files->count, err);
}

/* --- write down, say --- */

/* Pages that are no labels. */
static enum status draw_proof(struct run *run, const struct job *job, struct label_files *files, struct err *err)
{
    if (run_option(run, "dry-run")) {
        TRY(label_files_check(run, files, err));
        (void)fprintf(run->talk, "dry run: nothing was written; it would draw a proof of %zu labels into %s\n",
                      job->count, files->path);
        return STATUS_OK;
    }
    TRY(label_files_write(run, files, err));
    (void)fprintf(run->talk, "proof: nothing was recorded; these are not labels\n");
    return label_files_keep(run, files, err);
}

static enum status record(struct run *run, struct job *job, struct label_files *files, struct err *err)
{
    const bool is_dry = run_option(run, "dry-run") != NULL;
    FILE *const out = run->out;
    struct draft draft;
    if (run_option(run, "proof"))
        return draw_proof(run, job, files, err);
    TRY(printing_draft(&job->printing, run->arg_count == 1 ? run->args[0] : NULL, &draft, err));
    TRY(is_dry ? label_files_check(run, files, err) : label_files_write(run, files, err));
    if (strcmp(files->path, "-") == 0) /* the output is the page */
        run->out = run->talk;
    const enum status status = run_draft(run, &draft, err);
    run->out = out;
    if (status != STATUS_OK && !is_dry)
        label_files_drop(files);
    return status;
}

static void say_nothing_to_print(const struct run *run, const struct job *job)
{
    (void)fprintf(run->talk, "nothing to print: %s\n",
                  job->is_new && job->is_stale ? "everything has a label that shows its depth"
                  : job->is_stale              ? "every label shows the depth of today"
                  : job->is_new                ? "everything has a label; a lost one is printed again by its name"
                                               : "nothing is recorded there");
}

static enum status run_label_print(struct run *run, struct err *err)
{
    struct layout layout = {.name = NULL};
    struct label_files files = {.path = NULL};
    struct job job = {.run = run,
                      .is_new = run_option(run, "new") != NULL,
                      .is_stale = run_option(run, "stale") != NULL,
                      .layout = &layout};
    TRY(run_open(run, run_option(run, "proof") ? STORE_READ : STORE_WRITE, err));
    TRY(read_layout(run, &layout, err));
    TRY(label_files_plan(run, &files, err));
    printing_init(&job.printing, run->state, layout.name);
    TRY(gather(run, &job, err));
    if (!job.count) {
        say_nothing_to_print(run, &job);
        return STATUS_OK;
    }
    if (job.unknown > 5)
        (void)fprintf(run->talk, "note: %zu more without a depth: section list, sample list and bag list show which\n",
                      job.unknown - 5);
    TRY(draw(run, &job, &files, err));
    TRY(record(run, &job, &files, err));
    if (job.has_bags)
        run_say_caution(run);
    return run_option(run, "dry-run") || run_option(run, "proof") ? STATUS_OK : label_files_keep(run, &files, err);
}

static enum status run_label_layout(struct run *run, struct err *err)
{
    static const struct column columns[] = {{"layout", NULL, false}, {"for", NULL, false}};
    struct sheet sheet;
    struct text text;
    if (run->arg_count) {
        const struct layout_text *ours = layout_text_find(run->args[0]);
        if (!ours) {
            err_set(err, STATUS_UNKNOWN, run->args[0], "there is no layout of this name");
            return err_hint(err, "layouts are listed by: coretally label layout");
        }
        text_init(&text, run->state->arena);
        text_add(&text, ours->text);
        return run_print_text(run, &text, err);
    }
    sheet_init(&sheet, run->state->arena, columns, 2);
    for (const struct layout_text *at = layout_texts; at->name; at++) {
        const struct cell cells[] = {cell_text(at->name), cell_text(at->meaning)};
        TRY(sheet_add_row(&sheet, cells, err));
    }
    return run_print_sheet(run, &sheet, err);
}
