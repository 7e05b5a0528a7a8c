/* SPDX-License-Identifier: MIT */
/* Sections: add to a core, amend (lengths, voids, whole rounds, pieces), withdraw, show, list. */
#include <stdlib.h>
#include <string.h>

#include "coretally/act/section.h"
#include "coretally/ask/list.h"
#include "coretally/kind/kind.h"
#include "coretally/state/open.h"
#include "coretally/say/show.h"
#include "run_commit.h"

static enum status run_section_add(struct run *run, struct err *err);
static enum status run_section_amend(struct run *run, struct err *err);
static enum status run_section_withdraw(struct run *run, struct err *err);
static enum status run_section_show(struct run *run, struct err *err);
static enum status run_section_list(struct run *run, struct err *err);

static const struct option hole_option[] = {
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command section_add_command = {
    .words = "section add",
    .arguments = "SECTION [LENGTH] | CORE LENGTHS",
    .purpose = "record a section, or all sections of a core that has none yet",
    .example = "section add U0012A-12H-3 1.5 --voids '30,34; 80,85,yes' --whole-rounds '140,150,pore water'",
    .detail =
        "LENGTH is the curated length in metres: it decides every depth below it. Offsets in voids, whole rounds and\n"
        "pieces are centimetres from the section top; a void pushed shut (yes) is no longer inside the curated length.",
    .use = USE_MOVING,
    .on = ON_STATE,
    .table = &section_table,
    .fields = section_fields_amended,
    .options = hole_option,
    .least = 1,
    .most = 2,
    .run = run_section_add,
};

const struct command section_amend_command = {
    .words = "section amend",
    .arguments = "SECTION",
    .purpose = "amend a section re-cut or re-measured; the earlier version stays in history",
    .example = "section amend U0012A-12H-3 --curated 1.47 --reason \"3 cm void closed at splitting\"",
    .use = USE_MOVING,
    .on = ON_SECTION,
    .needs_reason = true,
    .table = &section_table,
    .fields = section_fields_amended,
    .options = hole_option,
    .least = 1,
    .most = 1,
    .run = run_section_amend,
};

const struct command section_withdraw_command = {
    .words = "section withdraw",
    .arguments = "SECTION",
    .purpose = "withdraw a section that carries no standing sample; what lies below moves up",
    .example = "section withdraw U0012A-12H-7 --reason \"was the catcher, entered twice\"",
    .use = USE_MOVING,
    .on = ON_SECTION,
    .needs_reason = true,
    .options = hole_option,
    .least = 1,
    .most = 1,
    .run = run_section_withdraw,
};

const struct command section_show_command = {
    .words = "section show",
    .arguments = "SECTION",
    .purpose = "everything recorded about a section",
    .example = "section show U0012A-12H-3",
    .use = USE_READING,
    .on = ON_SECTION,
    .options = history_options,
    .least = 1,
    .most = 1,
    .run = run_section_show,
};

const struct command section_list_command = {
    .words = "section list",
    .arguments = "HOLE | CORE",
    .purpose = "the sections of a core or a hole, with lengths and depths",
    .example = "section list U0012A-12H",
    .use = USE_READING,
    .on = ON_HOLE_TO_CORE,
    .options = hole_option,
    .least = 1,
    .most = 1,
    .run = run_section_list,
};

static enum status run_section_add(struct run *run, struct err *err)
{
    struct target target = {0};
    struct section section;
    struct draft draft;
    bool any = false;
    TRY(resolve_name(run->state, run->args[0], &target.name, err));
    if (target.name.level != NAME_CORE && target.name.level != NAME_SECTION) {
        err_set(err, STATUS_INPUT, run->args[0], "this names neither a section nor a core");
        return err_hint(err, "for example U0012A-12H-3, or U0012A-12H with a list of lengths");
    }
    TRY(resolve_hole(run->state, &target.name, &target, err));
    TRY(resolve_core(run->state, &target, err));
    if (target.name.level == NAME_CORE && run->arg_count == 2) {
        TRY(sections_add(run->state, &target, run->args[1], &draft, err));
        return run_draft(run, &draft, err);
    }
    if (target.name.level == NAME_CORE) {
        err_set(err, STATUS_USAGE, run->args[0], "this names a core, and no lengths follow");
        return err_hint(err, "for example: coretally section add %s 6x1.5,0.93,cc:0.23", run->args[0]);
    }
    record_init(&section_table, &section);
    section.number = target.name.section;
    if (run->arg_count == 2)
        TRY(run_set(run->state, &section_table, "curated", run->args[1], INT_NONE, &section, err));
    const int64_t typed_um = section.curated_um;
    TRY(run_take_fields(run, &section_table, target.hole.zone_min, &section, &any, err));
    if (typed_um != LENGTH_NONE && typed_um != section.curated_um) {
        err_set(err, STATUS_USAGE, run->args[0], "the curated length is typed twice, as %s and as %s m",
                length_text(typed_um, UNIT_M, 3).text, length_text(section.curated_um, UNIT_M, 3).text);
        return err_hint(err, "type it once; the tube that was cut is --liner LENGTH");
    }
    if (section_curated(&section) == LENGTH_NONE) {
        err_set(err, STATUS_USAGE, run->args[0], "the section has no length");
        return err_hint(err, "type its curated length in metres, or --liner, or --pieces");
    }
    TRY(section_add(run->state, &target, &section, &draft, err));
    return run_draft(run, &draft, err);
}

static enum status run_section_amend(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct draft draft;
    bool any = false;
    struct section section = *target.section;
    TRY(run_take_fields(run, &section_table, target.hole.zone_min, &section, &any, err));
    if (section_curated(&section) == LENGTH_NONE) {
        err_set(err, STATUS_RULE, run->args[0], "without a length the section and all below it have no depth");
        return err_hint(err, "give its curated length, its liner or its pieces");
    }
    TRY(section_amend(run->state, &target, &section, &draft, err));
    return run_draft(run, &draft, err);
}

static enum status run_section_withdraw(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct draft draft;
    TRY(section_withdraw(run->state, &target, run_option(run, "reason"), &draft, err));
    return run_draft(run, &draft, err);
}

static enum status run_section_show(struct run *run, struct err *err)
{
    struct target target = run->target;
    char name[NAME_TEXT_MAX];
    target_section_name(run->state, &target, target.section->number, name);
    const struct record_at at = record_of_section(target.hole_name, target.core.number, target.section);
    if (run_option(run, "history"))
        return show_history(run, &at, err);
    const struct place place = {&target.hole, &target.core, target.section->number, 0};
    const struct extra extras[] = {
        {"csf_a_top", "top below seafloor, CSF-A", place_depth(&place, SCALE_CSF_A, NULL).um},
        {"csf_b_top", "top below seafloor, CSF-B", place_depth(&place, SCALE_CSF_B, NULL).um}};
    return show_record(run, name, &at, &(struct below){extras, 2, NULL, 0}, err);
}

struct section_rows {
    struct state *state;
    struct sheet sheet;
};

static enum status add_section_rows(void *context, const struct listed_core *core, struct err *err)
{
    struct section_rows *const rows = context;
    for (size_t at = 0; at < core->core->section_count; at++) {
        const struct section *section = &core->core->sections[at];
        const char *note = section->withdrawn ? "withdrawn" : section->remark;
        struct listed_section it;
        list_section(rows->state, core, section, &it);
        if (!section->withdrawn)
            TRY(core_kept(rows->state, core->findings, section->number, note, &note, err));
        const struct record_at open = record_of_section(core->target->hole_name, core->core->number, section);
        TRY(open_note(rows->state, &open, note, &note, err));
        const struct cell cells[] = {cell_text(it.name),
                                     cell_length(section->liner_um, 3),
                                     cell_length(section_curated(section), 3),
                                     cell_length(it.top.um, 3),
                                     cell_length(it.bottom.um, 3),
                                     cell_length(it.top.low_um, 3),
                                     cell_length(it.bottom.high_um, 3),
                                     cell_length(it.csf_b_top.um, 3),
                                     cell_text(note)};
        TRY(sheet_add_row(&rows->sheet, cells, err));
    }
    return STATUS_OK;
}

static enum status run_section_list(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct section_rows rows = {.state = run->state};
    const char *unit = run_unit(run);
    const struct column columns[] = {
        {"section", NULL, false},   {"liner", unit, true},        {"curated", unit, true},
        {"csf-a top", unit, true},  {"csf-a bottom", unit, true}, {"csf-a low", unit, true},
        {"csf-a high", unit, true}, {"csf-b top", unit, true},    {"note", NULL, false}};
    sheet_init(&rows.sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    TRY(list_cores(run->state, &target, add_section_rows, &rows, err));
    return run_print_sheet(run, &rows.sheet, err);
}
