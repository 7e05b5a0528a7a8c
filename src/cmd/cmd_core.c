/* SPDX-License-Identifier: MIT */
/* Cores: add (with all section lengths on one line), amend, withdraw, show, list. */
#include <string.h>

#include "coretally/act/core.h"
#include "coretally/act/core_rename.h"
#include "coretally/act/section.h"
#include "coretally/ask/kept.h"
#include "coretally/ask/list.h"
#include "coretally/domain/recovery.h"
#include "coretally/kind/kind.h"
#include "coretally/say/show.h"
#include "coretally/state/open.h"
#include "coretally/state/stayed.h"
#include "run_commit.h"

static enum status run_core_add(struct run *run, struct err *err);
static enum status run_core_amend(struct run *run, struct err *err);
static enum status run_core_withdraw(struct run *run, struct err *err);
static enum status run_core_show(struct run *run, struct err *err);
static enum status run_core_list(struct run *run, struct err *err);

static const char *const core_options[] = {"datum",   "advance_by", "on_deck", "recovered", "liner",
                                           "curated", "order_note", "hazard",  "remark",    NULL};

static const struct option add_options[] = {
    {"sections", "LENGTHS", "curated lengths from the top, m: 6x1.5,0.93,cc:0.23"},
    {"empty", NULL, "the barrel came up empty: recovered 0"},
    {"hole", "HOLE", "the hole, where the core is typed without one"},
    {0},
};

const struct command core_add_command = {
    .words = "core add",
    .arguments = "CORE TOP [BOTTOM | +ADVANCE]",
    .purpose = "record a core as it lands, with all its section lengths",
    .example =
        "core add U0012A-12H 3126.6 +9.5 --recovered 9.43 --sections 6x1.5,0.20,cc:0.23 --on-deck '2026-03-01 04:12'",
    .detail =
        "TOP and BOTTOM are metres below the datum of the core above (the rig floor for a first core), unless\n"
        "--datum says otherwise. A time without offset is ship's time in the hole's zone. W (wash) and G (ghost)\n"
        "cores carry a wide interval and are not counted in recovery.",
    .use = USE_WRITING,
    .on = ON_STATE,
    .table = &core_table,
    .fields = core_options,
    .options = add_options,
    .least = 2,
    .most = 3,
    .run = run_core_add,
};

static const struct option core_amend_options[] = {
    {"name", "NAME", "its new number and letter, such as 13H; that act changes nothing else"},
    {"restore", NULL, "bring a withdrawn record back"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command core_amend_command = {
    .words = "core amend",
    .arguments = "CORE",
    .purpose = "amend a core's readings; the earlier version stays in history",
    .example = "core amend U0012A-12H --top 3126.1 --reason \"depth misread, driller's sheet 14\"",
    .detail =
        "Section lengths are amended with 'coretally section amend'.\n"
        "With --name the core has another number or letter, with its sections, samples and labels. It keeps the old\n"
        "name as a former one, by which it is still found, and the old number is free for another core.",
    .use = USE_MOVING,
    .on = ON_STATE,
    .needs_reason = true,
    .table = &core_table,
    .fields = core_fields_amended,
    .options = core_amend_options,
    .least = 1,
    .most = 1,
    .run = run_core_amend,
};

const struct command core_withdraw_command = {
    .words = "core withdraw",
    .arguments = "CORE",
    .purpose = "withdraw a core; it stays in the registry, marked, and its number stays taken",
    .example = "core withdraw U0012A-13H --reason \"entered for the wrong hole\"",
    .use = USE_MOVING,
    .on = ON_CORE,
    .needs_reason = true,
    .least = 1,
    .most = 1,
    .run = run_core_withdraw,
};

const struct command core_show_command = {
    .words = "core show",
    .arguments = "CORE",
    .purpose = "everything recorded about a core",
    .example = "core show U0012A-12H",
    .use = USE_READING,
    .on = ON_CORE,
    .options = history_options,
    .least = 1,
    .most = 1,
    .run = run_core_show,
};

const struct command core_list_command = {
    .words = "core list",
    .arguments = "[HOLE]",
    .purpose = "the cores of a hole, or of all, with depths and recovery",
    .example = "core list U0012A",
    .use = USE_READING,
    .on = ON_STATE,
    .least = 0,
    .most = 1,
    .run = run_core_list,
};

/* Top and bottom as typed; +9.5 for the bottom means that far below the top. */
static enum status take_run(struct run *run, struct core *core, struct err *err)
{
    TRY(run_set(run->state, &core_table, "top", run->args[1], INT_NONE, core, err));
    if (run->arg_count < 3)
        return STATUS_OK;
    const bool relative = run->args[2][0] == '+';
    if (relative && !run->args[2][1])
        return err_set(err, STATUS_USAGE, "+", "the advance is missing after it");
    TRY(run_set(run->state, &core_table, "bottom", run->args[2] + relative, INT_NONE, core, err));
    if (relative)
        core->bottom_um += core->top_um;
    return STATUS_OK;
}

static enum status read_typed(struct run *run, const struct target *target, struct core *core, struct err *err)
{
    bool any = false;
    record_init(&core_table, core);
    core->hole = target->hole_name;
    core->number = target->name.core;
    core->type = target->name.type;
    TRY(take_run(run, core, err));
    TRY(run_take_fields(run, &core_table, target->hole.zone_min, core, &any, err));
    if (run_option(run, "empty")) {
        if (core->recovered_um != LENGTH_NONE && core->recovered_um != 0)
            return err_set(err, STATUS_USAGE, "--empty", "an empty barrel recovers 0 m, not %s m",
                           length_text(core->recovered_um, UNIT_M, 3).text);
        core->recovered_um = 0;
    }
    if (run_option(run, "sections"))
        TRY(sections_take(run->state, run_option(run, "sections"), core, err));
    if (core->bottom_um == LENGTH_NONE && core->advance_by == ADVANCE_PIPE) {
        err_set(err, STATUS_USAGE, "core add", "the bottom of the run is missing");
        return err_hint(err,
                        "type it after the top, or say how the advance is known: --advance-by recovery, or unknown");
    }
    return STATUS_OK;
}

static enum status run_core_add(struct run *run, struct err *err)
{
    struct target target = {0};
    struct core core;
    struct draft draft;
    TRY(resolve_typed_name(run->state, run->args[0], &target.name, err));
    if (target.name.level != NAME_CORE) {
        err_set(err, STATUS_INPUT, run->args[0], "this does not name a core");
        return err_hint(err, "for example U0012A-12H, or 12H with --hole U0012A");
    }
    TRY(resolve_hole(run->state, &target.name, &target, err));
    TRY(read_typed(run, &target, &core, err));
    TRY(core_add(run->state, &target, &core, &draft, err));
    return run_draft(run, &draft, err);
}

/* A renaming changes the name alone, so that whoever looks at it has one thing to look at. */
static enum status check_alone(const struct run *run, struct err *err)
{
    for (size_t at = 0; at < run->option_count; at++) {
        const char *name = run->options[at].name;
        if (!field_find(&core_table, name) && strcmp(name, "restore") != 0)
            continue;
        err_set(err, STATUS_USAGE, "--name", "an act that changes the name changes nothing else: leave --%.40s out",
                name);
        return err_hint(err, "amend the rest by a further act, under the new name");
    }
    return STATUS_OK;
}

static void say_renamed(const struct run *run, const struct renamed *act)
{
    const char *hole = act->hole;
    const bool is_dry = run_option(run, "dry-run") != NULL;
    char things[STAYED_TEXT_MAX];
    if (act->to.number != act->from.number)
        (void)fprintf(run->out, "  number %d of %s %s free; until another core has it, %d%c still finds this one\n",
                      (int)act->from.number, hole, is_dry ? "would be" : "is", (int)act->from.number, act->from.type);
    if (act->stayed.samples || act->stayed.labels) {
        stayed_things(&act->stayed, things);
        (void)fprintf(run->out, "  what stayed behind under number %d %s its own again: %s\n", (int)act->to.number,
                      is_dry ? "would be" : "is", things);
    }
    if (act->labels)
        (void)fprintf(run->out, "  its labels show the old name: coretally label print %s-%d%c --stale\n", hole,
                      (int)act->to.number, act->to.type);
}

static enum status amend_name(struct run *run, struct err *err)
{
    struct renamed renamed;
    struct draft draft;
    TRY(check_alone(run, err));
    TRY(core_rename(run->state, run->args[0], run_option(run, "name"), &renamed, &draft, err));
    TRY(run_draft(run, &draft, err));
    if (draft.kind == DRAFT_CHANGE)
        say_renamed(run, &renamed);
    return STATUS_OK;
}

static enum status run_core_amend(struct run *run, struct err *err)
{
    struct target target;
    struct draft draft;
    struct findings open = {0};
    char name[NAME_TEXT_MAX];
    bool any = false;
    if (run_option(run, "name"))
        return amend_name(run, err);
    TRY(resolve(run->state, run->args[0], NAME_CORE, NAME_CORE, &target, err));
    struct core core = target.core;
    target_core_name(run->state, &target, name);
    TRY(run_standing(run, name, &core.withdrawn, err));
    TRY(run_take_fields(run, &core_table, target.hole.zone_min, &core, &any, err));
    const char *bottom = run_option(run, "bottom");
    if (bottom && bottom[0] == '+' && core.bottom_um != LENGTH_NONE)
        core.bottom_um += core.top_um; /* that far below the top, as in core add */
    if (run_option(run, "sure"))
        TRY(kept_open_core(run->state, &target, &open, err));
    TRY(core_keep(run->state, &target, &core, &open, &draft, err));
    return run_draft(run, &draft, err);
}

static enum status run_core_withdraw(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct draft draft;
    TRY(core_withdraw(run->state, &target, run_option(run, "reason"), &draft, err));
    return run_draft(run, &draft, err);
}

static enum status run_core_show(struct run *run, struct err *err)
{
    struct target target = run->target;
    char name[NAME_TEXT_MAX];
    const struct core *core = &target.core;
    const struct record_at at = record_of_core(target.hole_name, core);
    if (run_option(run, "history"))
        return show_history(run, &at, err);
    const struct depth top = core_top_depth(&target.hole, core, SCALE_DSF, NULL);
    const struct depth bottom = core_bottom_depth(&target.hole, core, SCALE_DSF);
    const struct core retyped = core_retyped(&target.hole, core);
    const struct extra extras[] = {{"dsf_top", "drilled top below seafloor", top.um},
                                   {"dsf_bottom", "drilled bottom below seafloor", bottom.um},
                                   {"advance", "bottom less top", core_advance(&retyped)},
                                   {"curated_sum", "curated lengths of the sections that stand", core_curated(core)}};
    target_core_name(run->state, &target, name);
    struct findings findings = {0};
    struct extra_words kept = {.name = "kept", .meaning = "what is doubted of it: coretally kept"};
    struct core_roll roll;
    TRY(core_roll_open(run->state, target.hole_name, &roll, err));
    TRY(core_doubts(&roll, &target, core, &findings, err));
    TRY(findings_words(&findings, run->state->arena, &kept.text, err));
    return show_record(run, name, &at, &(struct below){extras, 4, &kept, 1}, err);
}

struct core_rows {
    struct state *state;
    struct sheet sheet;
};

static enum status add_core_row(void *context, const struct listed_core *it, struct err *err)
{
    struct core_rows *const rows = context;
    const struct core *core = it->core;
    const bool has_more = core->withdrawn || core_is_wide(core);
    char note[100];
    const char *noted = NULL;
    (void)snprintf(note, sizeof note, "%s%s%s%.60s",
                   core->withdrawn      ? "withdrawn"
                   : core_is_wide(core) ? "wide interval"
                                        : "",
                   core->was && has_more ? "; " : "", core->was ? "was " : "", core->was ? core->was : "");
    const struct record_at at = record_of_core(it->target->hole_name, core);
    TRY(core_kept(rows->state, it->findings, SECTIONS_ALL, note, &noted, err));
    TRY(open_note(rows->state, &at, noted, &noted, err));
    const struct cell cells[] = {
        cell_text(it->name),
        cell_length(it->drf_top.um, 3),
        cell_length(it->dsf_top.um, 3),
        cell_length(it->dsf_bottom.um, 3),
        cell_length(it->dsf_top.low_um, 3),
        cell_length(it->dsf_bottom.high_um, 3),
        cell_length(core_advance(&it->retyped), 3),
        cell_length(core_recovered(core), 3),
        cell_length(core_curated(core), 3),
        cell_recovery(core_recovered(&it->retyped), core_advance(&it->retyped)),
        cell_count(core_standing_sections(core)),
        cell_instant(core->on_deck),
        cell_text(noted),
    };
    return sheet_add_row(&rows->sheet, cells, err);
}

static enum status run_core_list(struct run *run, struct err *err)
{
    struct target target = {0};
    struct core_rows rows = {.state = run->state};
    const char *unit = run_unit(run);
    const struct column columns[] = {{"core", NULL, false},      {"drf top", unit, true},   {"dsf top", unit, true},
                                     {"dsf bottom", unit, true}, {"dsf low", unit, true},   {"dsf high", unit, true},
                                     {"advance", unit, true},    {"recovered", unit, true}, {"curated", unit, true},
                                     {"recovery", "%", true},    {"sections", NULL, true},  {"on deck", NULL, false},
                                     {"note", NULL, false}};
    sheet_init(&rows.sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    struct names holes = {0};
    TRY(state_holes(run->state, &holes, err));
    for (size_t hole = 0; hole < holes.count; hole++) {
        TRY(name_parse(holes.items[hole], &target.name, err));
        if (run->arg_count)
            TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
        else
            TRY(resolve_hole(run->state, &target.name, &target, err));
        TRY(list_cores(run->state, &target, add_core_row, &rows, err));
        TRY(stayed_say(run->state, target.hole_name, err));
        if (run->arg_count)
            break;
    }
    return run_print_sheet(run, &rows.sheet, err);
}
