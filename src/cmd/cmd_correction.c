/* SPDX-License-Identifier: MIT */
/* Record a correction of depth, whatever its kind: what it moves is shown first. */
#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/act/correction.h"
#include "coretally/intake/correction_file.h"
#include "coretally/store/file.h"
#include "coretally/run/command.h"
#include "coretally/say/reach_say.h"
#include "run_commit.h"

static enum status run_correction_add(struct run *run, struct err *err);

static const char *const add_fields[] = {
    "top",         "bottom",      "from", "to",       "first_core",  "last_core", "core_top", "core_bottom",
    "seafloor_by", "seafloor_at", "load", "area",     "pipe_weight", "modulus",   "steel",    "mud",
    "poisson",     "expansion",   "rise", "evidence", "remark",      NULL};

static const struct option add_options[] = {
    {"supersedes", "NUMBERS", "takes the place of these corrections; standing: of all in force that it would repeat"},
    {"evidence-file", "FILE", "attach this file; it is kept in the registry by its hash"},
    {"watch", "NAMES", "show these before and after; names by ';'"},
    {"each", NULL, "list every sample that moves"},
    {"brief", NULL, "look only at the cores: as quick in a hole of a million samples as in a small one"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command correction_add_command = {
    .words = "correction add",
    .arguments = "HOLE KIND AMOUNT | DEPTH | CORE [AMOUNT] | METHOD | FILE",
    .purpose = "record a correction of depth; first shows what it moves, and with --dry-run only that",
    .example =
        "correction add U0012A tally +9.62 --top 3100 --reason \"joint 312 missed\" --evidence \"tally sheet 14\"",
    .detail = "  correction add U0012A tally +9.62 --top 3100            everything drilled from there down\n"
              "  correction add U0012A seafloor 3022.1 --seafloor-by tagged\n"
              "  correction add U0012A reading 12H --core-top 3126.9     a depth typed wrongly\n"
              "  correction add U0012A shift 12H +0.35                   one core\n"
              "  correction add U0012A tide tide.csv                     time,height_m\n"
              "  correction add U0012A stretch weight --mud 1.2g/cm3     or: load --load --area; heat --rise\n"
              "  correction add U0012A composite offsets.csv             hole,core,offset_m,method,feature,reference\n"
              "  correction add U0012A splice splice.csv                 hole,order,core,top_section,top_cm,...\n"
              "  correction add U0012A growth growth.csv                 top_m,factor\n"
              "  correction add U0012A wireline match.csv                depth_m,matched_m\n"
              "  correction add U0012A survey survey.csv                 depth_m,inclination_deg,azimuth_deg\n"
              "Header lines: coretally template tide, composite, ... Readings stay as they are; the order of the chain "
              "counts,\n"
              "not that of entry. A tally range is looked up at the depth as reported.",
    .use = USE_WRITING,
    .needs_reason = true,
    .table = &correction_table,
    .fields = add_fields,
    .options = add_options,
    .least = 2,
    .most = 4,
    .run = run_correction_add,
};

/* What is typed after the kind. */
static const struct {
    enum correction_kind kind;
    const char *arguments;
    size_t count;
} typed[] = {
    {CORRECTION_READING, "CORE, with --core-top or --core-bottom", 1},
    {CORRECTION_TALLY, "AMOUNT, with --top and what else bounds it", 1},
    {CORRECTION_STRETCH, "weight, load or heat, with its inputs", 1},
    {CORRECTION_TIDE, "FILE", 1},
    {CORRECTION_SHIFT, "CORE AMOUNT", 2},
    {CORRECTION_SEAFLOOR, "DEPTH, with --seafloor-by", 1},
    {CORRECTION_COMPOSITE, "FILE", 1},
    {CORRECTION_GROWTH, "FILE", 1},
    {CORRECTION_SPLICE, "FILE", 1},
    {CORRECTION_WIRELINE, "FILE", 1},
    {CORRECTION_SURVEY, "FILE", 1},
};

/* "12H", "12" or a whole name: the core must be there. */
static enum status take_core(struct run *run, struct correction_draft *draft, const char *name, struct err *err)
{
    char whole[NAME_TEXT_MAX];
    char path[REGISTRY_PATH_MAX];
    struct target target;
    struct core core;
    bool there = false;
    char *end = NULL;
    const long number = strtol(name, &end, 10);
    if (isdigit((unsigned char)*name) && !*end) {
        core_path(draft->target.hole_name, (int32_t)(number < CORE_NUMBER_MAX ? number : CORE_NUMBER_MAX), path);
        TRY(state_read(run->state, path, &core_table, &core, &there, err));
        if (!there)
            return err_set(err, STATUS_UNKNOWN, name, "hole %s has no core of this number", draft->target.hole_name);
        if (core.withdrawn)
            return err_set(err, STATUS_RULE, name, "this core is withdrawn: %s", core.withdrawn);
        draft->added.core = core.number;
        return STATUS_OK;
    }
    const bool is_short = isdigit((unsigned char)*name) && isalpha((unsigned char)*end) && !end[1];
    (void)snprintf(whole, sizeof whole, "%s%s%.120s", is_short ? draft->target.hole_name : "", is_short ? "-" : "",
                   name);
    TRY(resolve(run->state, whole, NAME_CORE, NAME_CORE, &target, err));
    if (strcmp(target.hole_name, draft->target.hole_name) != 0)
        return err_set(err, STATUS_INPUT, name, "this core is not of hole %s", draft->target.hole_name);
    if (target.core.withdrawn)
        return err_set(err, STATUS_RULE, name, "this core is withdrawn: %s", target.core.withdrawn);
    draft->added.core = target.core.number;
    return STATUS_OK;
}

/* Offsets that were left out, worked out in the order of the file. */
static enum status find_offsets(struct state *state, const struct correction_file *file,
                                const struct correction_drafts *drafts, struct err *err)
{
    struct core_offset *offsets = (void *)file->rows;
    struct tie_rows ties = {.path = file->path, .count = file->count};
    TRY(arena_take(state->arena, file->count, sizeof *ties.items, &ties.items, err));
    for (size_t at = 0; at < file->count; at++)
        ties.items[at] = (struct tie_row){file->owners[at], file->lines[at], offsets[at]};
    TRY(ties_find(state, drafts, &ties, err));
    for (size_t at = 0; at < file->count; at++)
        offsets[at] = ties.items[at].offset;
    return STATUS_OK;
}

/* The rows of a file, one correction a hole. */
static enum status take_file(struct run *run, struct correction_drafts *drafts, const struct table_text *text,
                             struct err *err)
{
    const struct correction_draft *first = &drafts->items[0];
    struct correction_file file;
    TRY(correction_file_read(run->state, first->added.kind, text, &first->target, &file, err));
    TRY(corrections_open(run->state, file.holes + 1, file.hole_count - 1, drafts, err));
    if (file.kind == CORRECTION_COMPOSITE)
        TRY(find_offsets(run->state, &file, drafts, err));
    for (size_t at = 0; at < drafts->count; at++)
        TRY(correction_file_take(&file, at, run->state->arena, &drafts->items[at].added, err));
    if (file.has_holes)
        corrections_drop_empty(drafts);
    return STATUS_OK;
}

/* The kind, and what follows it. */
static enum status take_arguments(struct run *run, struct correction_drafts *drafts, const struct table_text *text,
                                  struct err *err)
{
    struct correction_draft *draft = &drafts->items[0];
    const int32_t zone_min = draft->target.hole.zone_min;
    const size_t given = run->arg_count - 2;
    bool any = false;
    size_t at = 0;
    TRY(run_set(run->state, &correction_table, "what", run->args[1], INT_NONE, &draft->added, err));
    while (typed[at].kind != draft->added.kind)
        at++;
    TRY(run_take_fields(run, &correction_table, zone_min, &draft->added, &any, err));
    if (given != typed[at].count) {
        err_set(err, STATUS_USAGE, run->args[1],
                given < typed[at].count ? "something is missing" : "too much was typed");
        return err_hint(err, "coretally correction add %s %s %s", draft->target.hole_name, run->args[1],
                        typed[at].arguments);
    }
    draft->added.reason = run_option(run, "reason");
    switch (draft->added.kind) {
    case CORRECTION_READING:
        return take_core(run, draft, run->args[2], err);
    case CORRECTION_SHIFT:
        TRY(take_core(run, draft, run->args[2], err));
        return run_set(run->state, &correction_table, "amount", run->args[3], INT_NONE, &draft->added, err);
    case CORRECTION_TALLY:
        return run_set(run->state, &correction_table, "amount", run->args[2], INT_NONE, &draft->added, err);
    case CORRECTION_STRETCH:
        return run_set(run->state, &correction_table, "stretch", run->args[2], INT_NONE, &draft->added, err);
    case CORRECTION_SEAFLOOR:
        return run_set(run->state, &correction_table, "seafloor", run->args[2], INT_NONE, &draft->added, err);
    default:
        return take_file(run, drafts, text, err);
    }
}

/* Composite offsets as they were worked out; a core that is not there may be a slip of the pen. */
static enum status say_offsets(struct run *run, const struct correction_draft *draft, struct err *err)
{
    for (size_t at = 0; at < draft->added.offset_count; at++) {
        const struct core_offset *it = &draft->added.offsets[at];
        (void)fprintf(run->out, "  core %d of hole %s: offset %s m, %s\n", (int)it->core, draft->target.hole_name,
                      length_text(it->offset_um, UNIT_M, 3).text, tie_words[it->method]);
        char path[REGISTRY_PATH_MAX];
        struct bytes bytes = {0};
        core_path(draft->target.hole_name, it->core, path);
        TRY(state_bytes(run->state, path, &bytes, err));
        if (!bytes.data)
            (void)fprintf(run->talk, "note: %s: no core %d is recorded yet\n", draft->target.hole_name, (int)it->core);
    }
    return STATUS_OK;
}

/* Judge one, and show what it moves. */
static enum status judge(struct run *run, struct correction_draft *draft, struct err *err)
{
    const struct correction_typed asked = {.kind = run->args[1],
                                           .table = run->arg_count > 2 ? run->args[2] : NULL,
                                           .supersedes = run_option(run, "supersedes")};
    TRY(correction_judge(run->state, &asked, draft, err));
    if (draft->is_present || findings_level(&draft->findings) == RULE_REFUSED)
        return STATUS_OK;
    TRY(say_offsets(run, draft, err));
    (void)fprintf(run->out, "moved by it:\n");
    struct reach_part part = {
        .kind = draft->added.kind, .target = draft->target, .without = draft->target.hole, .with = draft->with};
    const struct hole *const changed[] = {&draft->with};
    ties_read_ahead(run->state, changed, 1);
    TRY(reach_show(run, &part, NULL, err));
    reach_check(&part.reach, draft->target.hole_name, &draft->findings);
    return STATUS_OK;
}

/* The bytes of the attached file; data NULL where there is none. Read before the registry is locked. */
static enum status evidence_read(struct run *run, struct bytes *out, struct err *err)
{
    const char *path = run_option(run, "evidence-file");
    char *data = NULL;
    if (!path)
        return STATUS_OK;
    FILE *file = NULL;
    const enum status opened = file_open_read(path, &file, err);
    if (opened == STATUS_INPUT)
        return err_hint(err, "attach one file: a scan, a table; several go into one archive first");
    TRY(opened);
    enum status status = arena_take(run->state->arena, EVIDENCE_BYTES_MAX + 1, 1, &data, err);
    const size_t len = status == STATUS_OK ? fread(data, 1, EVIDENCE_BYTES_MAX + 1, file) : 0;
    if (status == STATUS_OK && ferror(file))
        status = err_set(err, STATUS_SYSTEM, path, "could not be read to its end");
    (void)fclose(file);
    TRY(status);
    if (len > EVIDENCE_BYTES_MAX) {
        err_set(err, STATUS_INPUT, path, "it is larger than the %d MB that evidence may have",
                EVIDENCE_BYTES_MAX >> 20);
        return err_hint(err, "attach the pages that show it, or say in --evidence where the whole is kept");
    }
    *out = (struct bytes){data, len};
    return STATUS_OK;
}

static enum status say_present(struct run *run, const struct correction_draft *draft, struct err *err)
{
    const struct record_at at = record_of_correction(draft->target.hole_name, &draft->added);
    char name[64];
    (void)snprintf(name, sizeof name, "correction %d of hole %s", (int)draft->added.number, draft->target.hole_name);
    return run_already(run, name, &at, err);
}

static enum status run_correction_add(struct run *run, struct err *err)
{
    struct correction_drafts drafts = {.count = 1};
    struct evidence evidence = {.path = run_option(run, "evidence-file")};
    struct target target;
    struct draft draft;
    size_t fresh = 0;
    struct table_text text = {0};
    TRY(evidence_read(run, &evidence.bytes, err)); /* files first: they may be slow, and others wait for the lock */
    if (run->arg_count == 3 && correction_is_table(run->args[1]))
        TRY(csv_read(run->state->arena, run->in, run->args[2], &text, err));
    TRY(run_open(run, STORE_WRITE, err));
    TRY(arena_take(run->state->arena, CORRECTION_HOLES_MAX, sizeof *drafts.items, &drafts.items, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
    TRY(correction_open(run->state, &target, &drafts.items[0], err));
    TRY(take_arguments(run, &drafts, &text, err));
    TRY(evidence_take(run->state, &evidence, &drafts, err));
    if (drafts.items[0].added.kind == CORRECTION_SPLICE)
        TRY(splice_check(run->state, &drafts, &drafts.items[0].findings, err));
    for (size_t at = 0; at < drafts.count; at++) {
        TRY(judge(run, &drafts.items[at], err));
        fresh += !drafts.items[at].is_present;
    }
    for (size_t at = 0; !fresh && at < drafts.count; at++)
        TRY(say_present(run, &drafts.items[at], err));
    if (!fresh)
        return STATUS_OK;
    const struct hole *changed[CORRECTION_HOLES_MAX];
    for (size_t at = 0; at < drafts.count; at++)
        changed[at] = drafts.items[at].is_present ? &drafts.items[at].target.hole : &drafts.items[at].with;
    if (findings_level(&drafts.items[0].findings) != RULE_REFUSED)
        TRY(ties_check(run->state, changed, drafts.count, &drafts.items[0].findings, err));
    TRY(corrections_draft(run->state, &drafts, &evidence, &draft, err));
    return run_draft(run, &draft, err);
}
