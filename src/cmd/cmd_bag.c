/* SPDX-License-Identifier: MIT */
/* Cuttings bags, gas and mud samples: add, amend, withdraw, show. */
#include "coretally/act/bag.h"
#include "coretally/kind/kind.h"
#include "coretally/say/show.h"
#include "run_commit.h"

static enum status run_bag_add(struct run *run, struct err *err);
static enum status run_bag_amend(struct run *run, struct err *err);
static enum status run_bag_withdraw(struct run *run, struct err *err);
static enum status run_bag_show(struct run *run, struct err *err);

static const char *const bag_options[] = {"mass",     "volume",    "lithology", "fraction", "washed", "contaminants",
                                          "bypassed", "requester", "hazard",    "remark",   NULL};

static const struct option add_options[] = {
    {"kind", "WORD", "where only the hole is typed: bag (cuttings), gas or mud; default: bag"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command bag_add_command = {
    .words = "bag add",
    .arguments = "BAG | HOLE FROM [TO]",
    .purpose = "record cuttings, gas or mud taken at the shaker or flowline; shows their depth at once",
    .example =
        "bag add U0013A-BAG12 '2026-03-09 14:30' '2026-03-09 14:40' --lithology \"silty clay\" --fraction \"1-4 mm\"",
    .detail =
        "With only the hole the next free number is taken. FROM and TO are when it was collected; without TO it was\n"
        "taken at that instant. GAS3 and MUD4 in place of BAG12 are gas and mud, taken at the flowline:\n"
        "their lag is that of the mud, without slip and shaker delay.",
    .use = USE_WRITING,
    .on = ON_STATE,
    .table = &bag_table,
    .fields = bag_options,
    .options = add_options,
    .least = 2,
    .most = 3,
    .run = run_bag_add,
};

const struct command bag_amend_command = {
    .words = "bag amend",
    .arguments = "BAG",
    .purpose = "amend what was recorded of a bag; the earlier version stays in history",
    .example = "bag amend U0013A-BAG12 --contaminants cavings --reason \"seen under the microscope\"",
    .use = USE_MOVING,
    .on = ON_BAG,
    .needs_reason = true,
    .table = &bag_table,
    .fields = bag_fields_amended,
    .options = restore_options,
    .least = 1,
    .most = 1,
    .run = run_bag_amend,
};

const struct command bag_withdraw_command = {
    .words = "bag withdraw",
    .arguments = "BAG",
    .purpose = "withdraw a bag; it stays in the registry, marked",
    .example = "bag withdraw U0013A-BAG12 --reason \"spilled\"",
    .use = USE_MOVING,
    .on = ON_BAG,
    .needs_reason = true,
    .least = 1,
    .most = 1,
    .run = run_bag_withdraw,
};

const struct command bag_show_command = {
    .words = "bag show",
    .arguments = "BAG",
    .purpose = "everything recorded about a bag, with its depth and bounds",
    .example = "bag show U0013A-BAG12",
    .use = USE_READING,
    .on = ON_BAG,
    .options = history_options,
    .least = 1,
    .most = 1,
    .run = run_bag_show,
};

/* What was taken at an instant has one depth. */
static void say_interval(const struct run *run, const char *scale, int64_t top_um, int64_t bottom_um)
{
    (void)fprintf(run->out, "  %s %s", scale, length_text(top_um, UNIT_M, 2).text);
    if (bottom_um != top_um)
        (void)fprintf(run->out, "-%s", length_text(bottom_um, UNIT_M, 2).text);
}

/* The depth for the label, at once; what stands in its way is told, since a bag is kept without a depth, too. */
static void say_depth(struct run *run, const struct bag_target *at, const struct lag_depth *depth)
{
    if (depth->why) {
        (void)fprintf(run->out, "  MRF n/a: %s\n", depth->why);
        return;
    }
    const struct length_text low = length_text(depth->low_um, UNIT_M, 2);
    const struct length_text high = length_text(depth->high_um, UNIT_M, 2);
    say_interval(run, "MRF", depth->top_um, depth->bottom_um);
    (void)fprintf(run->out, " m below rig floor (low %s, high %s)\n", depth->low_um == LENGTH_NONE ? "n/a" : low.text,
                  depth->high_um == LENGTH_NONE ? "n/a" : high.text);
    const int64_t top_um = lag_depth_msf(&at->target.hole, depth->top_um, depth->first.cut_us);
    if (top_um != LENGTH_NONE) {
        say_interval(run, "MSF", top_um, lag_depth_msf(&at->target.hole, depth->bottom_um, depth->last.cut_us));
        (void)fprintf(run->out, " m below seafloor\n");
    }
    run_say_caution(run);
}

/* Which bag: a name with a number, or a hole, which takes the next. */
static enum status find_place(struct run *run, struct bag_target *out, struct err *err)
{
    struct target target;
    struct name name;
    TRY(resolve_typed_name(run->state, run->args[0], &name, err)); /* a new one has no former name */
    const enum name_level level = name.level == NAME_BAG ? NAME_BAG : NAME_HOLE;
    TRY(resolve_level(run->args[0], &name, level, level, err));
    TRY(resolve_named(run->state, run->args[0], &name, level, &target, err));
    enum bag_kind kind = name.level == NAME_BAG ? name.bag : BAG_CUTTINGS;
    int32_t number = name.bag_number;
    const char *typed = run_option(run, "kind");
    if (typed && name.level == NAME_BAG)
        return err_set(err, STATUS_USAGE, "--kind", "the name already says it");
    if (typed)
        kind = bag_kind_find(typed);
    if (kind == BAG_NONE)
        return err_set(err, STATUS_INPUT, typed, "what is taken at the surface is one of bag, gas, mud");
    if (name.level != NAME_BAG) {
        TRY(bag_last_number(run->state, target.hole_name, kind, &number, err));
        if (number++ == BAG_NUMBER_MAX) {
            err_set(err, STATUS_RULE, target.hole_name, "the last number, %d, is taken", BAG_NUMBER_MAX);
            return err_hint(err, "type a free one: coretally bag add %s-BAG1 FROM TO", target.hole_name);
        }
    }
    return bag_read(run->state, &target, kind, number, out, err);
}

/* The draft put down, and the depth of the bag for its label. */
static enum status finish(struct run *run, const struct bag_target *at, const struct bag_draft *drafted,
                          struct err *err)
{
    TRY(run_draft(run, &drafted->draft, err));
    if (drafted->draft.kind == DRAFT_CHANGE)
        say_depth(run, at, &drafted->depth);
    return STATUS_OK;
}

static enum status run_bag_add(struct run *run, struct err *err)
{
    struct bag_target at = {0};
    struct bag bag;
    struct bag_draft drafted;
    bool any = false;
    TRY(find_place(run, &at, err));
    const int32_t zone_min = at.target.hole.zone_min;
    record_init(&bag_table, &bag);
    bag.number = at.target.name.bag_number;
    TRY(run_set(run->state, &bag_table, "from", run->args[1], zone_min, &bag, err));
    if (run->arg_count > 2)
        TRY(run_set(run->state, &bag_table, "to", run->args[2], zone_min, &bag, err));
    TRY(run_take_fields(run, &bag_table, zone_min, &bag, &any, err));
    TRY(bag_add(run->state, &at, &bag, &drafted, err));
    return finish(run, &at, &drafted, err);
}

static enum status run_bag_amend(struct run *run, struct err *err)
{
    struct bag_target at = run->bag;
    struct bag_draft drafted;
    bool any = false;
    struct bag bag = *at.bag;
    TRY(run_standing(run, at.name, &bag.withdrawn, err));
    TRY(run_take_fields(run, &bag_table, at.target.hole.zone_min, &bag, &any, err));
    TRY(run_option(run, "sure") ? bag_keep(run->state, &at, &bag, &drafted, err)
                                : bag_amend(run->state, &at, &bag, &drafted, err));
    return finish(run, &at, &drafted, err);
}

static enum status run_bag_withdraw(struct run *run, struct err *err)
{
    struct bag_target at = run->bag;
    struct draft draft;
    TRY(bag_withdraw(run->state, &at, run_option(run, "reason"), &draft, err));
    return run_draft(run, &draft, err);
}

static enum status show_bag(struct run *run, const struct bag_target *at, const struct record_at *record,
                            const struct lag_depth *depth, struct err *err)
{
    const struct hole *hole = &at->target.hole;
    const struct extra extras[] = {
        {"mrf_top", "below rig floor, through the lag", depth->top_um},
        {"mrf_bottom", "below rig floor, through the lag", depth->bottom_um},
        {"msf_top", "below seafloor", lag_depth_msf(hole, depth->top_um, depth->first.cut_us)},
        {"msf_bottom", "below seafloor", lag_depth_msf(hole, depth->bottom_um, depth->last.cut_us)},
        {"mrf_low", "no shallower than this", depth->low_um},
        {"mrf_high", "no deeper than this", depth->high_um}};
    return show_record(run, at->name, record, &(struct below){extras, 6, NULL, 0}, err);
}

static enum status run_bag_show(struct run *run, struct err *err)
{
    struct bag_target at = run->bag;
    struct lag_hole hole;
    struct lag_depth depth;
    struct findings findings = {0};
    const struct record_at record = record_of_bag(at.target.hole_name, at.set.kind, at.bag);
    if (run_option(run, "history"))
        return show_history(run, &record, err);
    TRY(lag_hole_try(run->state, &at.target, &hole, err));
    const enum status status = bag_depth(run->state, &hole, at.set.kind, at.bag, &depth, err);
    lag_hole_close(&hole);
    TRY(status);
    TRY(show_bag(run, &at, &record, &depth, err));
    lag_depth_check(&at.target.hole, &depth, &findings);
    run_tell(run, at.name, &findings);
    run_say_caution(run);
    return STATUS_OK;
}
