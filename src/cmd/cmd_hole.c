/* SPDX-License-Identifier: MIT */
/* Holes: add, amend, withdraw, show, list. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"
#include "show.h"

static const char *const hole_options[] = {"rig_floor",   "seafloor",    "seafloor_by",    "seafloor_note",
                                           "seafloor_at", "mudline_bit", "mudline_stroke", "mudline_recovered",
                                           "returns",     "zone",        "tolerance",      "heave",
                                           "tide",        "parent",      "kickoff",        "plan",
                                           "remark",      NULL};

static void find_doubts(const struct run *run, const struct hole *hole, struct findings *findings)
{
    hole_check(hole, findings);
    time_check(RULE_TIME_FUTURE, "the time when the seafloor was found", hole->seafloor_at, run->state->now.utc_us,
               CLOCK_SLACK_US, findings);
}

/* "Hole U0012A: seafloor 3021.4 m (tagged), returns to seafloor". */
static enum status hole_line(struct run *run, const struct hole *hole, const char *what, const char **out,
                             struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, run->state->arena);
    text_addf(&text, "Hole %s%s%s", hole->site, hole->letter, what);
    const int64_t seafloor_um = hole_seafloor(hole);
    if (hole->parent)
        text_addf(&text, ", sidetrack of %s from %s m", hole->parent, length_text(hole->kickoff_um, UNIT_M, 3).text);
    if (seafloor_um == LENGTH_NONE)
        text_add(&text, hole->parent ? ": seafloor as there" : ": seafloor not known yet");
    else
        text_addf(&text, ": seafloor %s m below rig floor (%s)", length_text(seafloor_um, UNIT_M, 3).text,
                  seafloor_words[hole->seafloor_by]);
    text_addf(&text, ", returns to %s", returns_words[hole->returns]);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status write_hole(struct run *run, const struct hole *hole, const char *what, const char *sure,
                              struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char name[24];
    const char *line = NULL;
    (void)snprintf(name, sizeof name, "%s%s", hole->site, hole->letter);
    hole_path(name, path);
    TRY(hole_line(run, hole, what, &line, err));
    const struct writing writing = {.path = path, .table = &hole_table, .record = hole};
    return run_commit(run, line, sure, &writing, 1, err);
}

/* The hole that a sidetrack leaves must be there, and be another one. */
static enum status check_parent(struct run *run, const char *name, const struct hole *hole, struct err *err)
{
    struct hole parent;
    bool there = false;
    if (!hole->parent)
        return STATUS_OK;
    TRY(state_hole(run->state, hole->parent, &parent, &there, err));
    int line = 1;
    for (const struct hole *above = there ? &parent : NULL; above; above = above->parent_hole) {
        char own[HOLE_TEXT_MAX];
        if (line++ == PARENTS_MAX)
            return err_set(err, STATUS_RULE, name,
                           "it would be a sidetrack in the %dth generation; at most %d are kept", PARENTS_MAX,
                           PARENTS_MAX - 1);
        hole_text(above, own);
        if (strcmp(own, name) == 0)
            return err_set(err, STATUS_RULE, name, "it would be a sidetrack of itself");
    }
    if (there && parent.withdrawn)
        return err_set(err, STATUS_RULE, name, "hole %s, which it leaves, is withdrawn: %s", hole->parent,
                       parent.withdrawn);
    if (there)
        return STATUS_OK;
    err_set(err, STATUS_UNKNOWN, hole->parent, "the hole that %s leaves is not recorded", name);
    return err_hint(err, "holes are listed by: coretally hole list");
}

/* The zone first: times may be typed by the ship's clock. */
static enum status take_fields(struct run *run, struct hole *hole, bool *any, struct err *err)
{
    if (run_option(run, "zone"))
        TRY(run_set(run->state, &hole_table, "zone", run_option(run, "zone"), INT_NONE, hole, err));
    return run_take_fields(run, &hole_table, hole->zone_min, hole, any, err);
}

static enum status run_hole_add(struct run *run, struct err *err)
{
    struct name name;
    struct hole hole;
    struct hole present;
    char path[REGISTRY_PATH_MAX];
    char hole_name[HOLE_TEXT_MAX];
    bool any = false;
    bool there = false;
    struct findings findings = {0};
    const char *sure = NULL;
    TRY(name_parse(run->args[0], &name, err));
    if (name.level != NAME_HOLE)
        return err_set(err, STATUS_INPUT, run->args[0], "this names more than a hole; type a hole such as U0012A");
    TRY(run_open(run, STORE_WRITE, err));
    if (*name.expedition && strcmp(name.expedition, run->state->expedition.number) != 0)
        return err_set(err, STATUS_UNKNOWN, run->args[0], "this registry belongs to expedition %s",
                       run->state->expedition.number);
    record_init(&hole_table, &hole);
    hole.site = name.site;
    hole.letter = name.letter;
    TRY(take_fields(run, &hole, &any, err));
    name_hole(&name, hole_name);
    if (hole.returns == RETURNS_NONE) {
        err_set(err, STATUS_INPUT, hole_name, "where the mud returns to is not stated");
        return err_hint(err, "add --returns seafloor (riserless) or --returns ship (riser)");
    }
    find_doubts(run, &hole, &findings);
    TRY(run_findings(run, hole_name, &findings, &sure, err));
    TRY(check_parent(run, hole_name, &hole, err));
    hole_path(hole_name, path);
    TRY(state_read(run->state, path, &hole_table, &present, &there, err));
    if (there && record_is_equal(&hole_table, &hole, &present)) {
        const struct record_at at = record_of_hole(hole_name, &present);
        return run_already(run, hole_name, &at, err);
    }
    if (there) {
        err_set(err, STATUS_EXISTS, hole_name, "this hole is already recorded, with other values");
        return err_hint(err, "coretally hole show %s; to change it: coretally hole amend %s --reason ...", hole_name,
                        hole_name);
    }
    return write_hole(run, &hole, "", sure, err);
}

const struct command hole_add_command = {
    .words = "hole add",
    .arguments = "HOLE",
    .purpose = "record a hole: seafloor, rig floor, returns, the ship's time zone",
    .example =
        "hole add U0012A --returns seafloor --rig-floor 11.2 --seafloor 3021.4 --seafloor-by tagged --zone +05:30",
    .detail = "A mudline core gives the seafloor as bit + stroke - recovered:\n"
              "  --seafloor-by mudline --mudline-bit 3018.0 --mudline-stroke 9.5 --mudline-recovered 7.1",
    .use = USE_WRITING,
    .table = &hole_table,
    .fields = hole_options,
    .least = 1,
    .most = 1,
    .run = run_hole_add,
};

/* Cores that another seafloor would leave above it. */
static enum status check_cores(struct run *run, const char *name, const struct hole *hole, struct findings *findings,
                               struct err *err)
{
    int32_t *numbers = NULL;
    size_t count = 0;
    const int64_t seafloor_um = hole_seafloor(hole);
    TRY(state_cores(run->state, name, &numbers, &count, err));
    for (size_t at = 0; seafloor_um != LENGTH_NONE && at < count; at++) {
        struct core core;
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        core_path(name, numbers[at], path);
        TRY(state_read(run->state, path, &core_table, &core, &there, err));
        if (core.withdrawn || core.datum != DATUM_RIG_FLOOR || core.top_um >= seafloor_um)
            continue;
        findings_add(findings, RULE_ABOVE_SEAFLOOR, "the top of core %d%c, %s m, would lie above the seafloor at %s m",
                     (int)core.number, core.type, length_text(core.top_um, UNIT_M, 3).text,
                     length_text(seafloor_um, UNIT_M, 3).text);
        findings_hint(findings, "look at the seafloor once more, or add --sure");
        break;
    }
    return STATUS_OK;
}

static enum status run_hole_amend(struct run *run, struct err *err)
{
    struct target target;
    bool any = false;
    const char *sure = NULL;
    TRY(run_need_reason(run, err));
    TRY(run_open(run, STORE_WRITE, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
    struct hole hole = target.hole;
    TRY(run_standing(run, target.hole_name, &hole.withdrawn, err));
    TRY(take_fields(run, &hole, &any, err));
    struct findings findings = {0};
    struct findings then = {0};
    find_doubts(run, &hole, &findings);
    if (!target.hole.withdrawn)
        find_doubts(run, &target.hole, &then);
    findings_settle(&findings, &then);
    TRY(check_parent(run, target.hole_name, &hole, err));
    if (hole_seafloor(&hole) != hole_seafloor(&target.hole))
        TRY(check_cores(run, target.hole_name, &hole, &findings, err));
    TRY(run_findings(run, target.hole_name, &findings, &sure, err));
    if (record_is_equal(&hole_table, &hole, &target.hole)) {
        const struct record_at at = record_of_hole(target.hole_name, &hole);
        return run_already(run, target.hole_name, &at, err);
    }
    hole.version = hole.version ? hole.version + 1 : 2;
    TRY(write_hole(run, &hole, " amended", sure, err));
    return run_say_changes(run, &hole_table, &hole, &target.hole, err);
}

const struct command hole_amend_command = {
    .words = "hole amend",
    .arguments = "HOLE",
    .purpose = "amend a hole; the earlier version stays in history",
    .example = "hole amend U0012A --seafloor 3021.4 --reason \"typed 3012.4 for 3021.4, tally sheet 1\"",
    .detail = "An option with an empty value takes the field out: --heave \"\"\n"
              "A seafloor that was found anew is a correction: coretally correction add HOLE seafloor DEPTH",
    .use = USE_MOVING,
    .table = &hole_table,
    .fields = hole_options,
    .options = restore_options,
    .least = 1,
    .most = 1,
    .run = run_hole_amend,
};

static enum status run_hole_withdraw(struct run *run, struct err *err)
{
    struct target target;
    int32_t *numbers = NULL;
    size_t count = 0;
    TRY(run_need_reason(run, err));
    TRY(run_open(run, STORE_WRITE, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
    if (target.hole.withdrawn) {
        (void)fprintf(run->out, "already withdrawn: %s (%s)\n", target.hole_name, target.hole.withdrawn);
        return STATUS_OK;
    }
    TRY(state_cores(run->state, target.hole_name, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct core core;
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        core_path(target.hole_name, numbers[at], path);
        TRY(state_read(run->state, path, &core_table, &core, &there, err));
        if (there && !core.withdrawn) {
            err_set(err, STATUS_RULE, target.hole_name, "core %d%c of this hole still stands", (int)core.number,
                    core.type);
            return err_hint(err, "withdraw its cores first");
        }
    }
    struct names holes = {0};
    TRY(state_holes(run->state, &holes, err));
    for (size_t at = 0; at < holes.count; at++) {
        struct hole other;
        bool there = false;
        TRY(state_hole(run->state, holes.items[at], &other, &there, err));
        if (there && !other.withdrawn && other.parent && strcmp(other.parent, target.hole_name) == 0)
            return err_set(err, STATUS_RULE, target.hole_name, "%s, which leaves it, still stands", holes.items[at]);
    }
    struct hole hole = target.hole;
    hole.withdrawn = run_option(run, "reason");
    hole.version = hole.version ? hole.version + 1 : 2;
    return write_hole(run, &hole, " withdrawn", NULL, err);
}

const struct command hole_withdraw_command = {
    .words = "hole withdraw",
    .arguments = "HOLE",
    .purpose = "withdraw a hole that carries no standing core; it stays in the registry, marked",
    .example = "hole withdraw U0012B --reason \"never spudded\"",
    .use = USE_MOVING,
    .least = 1,
    .most = 1,
    .run = run_hole_withdraw,
};

static enum status run_hole_show(struct run *run, struct err *err)
{
    struct target target;
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
    const struct record_at at = record_of_hole(target.hole_name, &target.hole);
    if (run_option(run, "history"))
        return show_history(run, &at, err);
    const int64_t seafloor_um = hole_seafloor(&target.hole);
    const int64_t water_um = hole_water_depth(&target.hole);
    const struct extra extras[] = {{"seafloor_drf", "below rig floor, as recorded", seafloor_um},
                                   {"water_depth", "seafloor less rig floor above sea level", water_um},
                                   {"seafloor_corrected", "below rig floor, with its corrections",
                                    hole_seafloor_corrected(&target.hole, (struct instant){0})}};
    return show_record(run, target.hole_name, &at, &(struct below){extras, 3, NULL}, err);
}

const struct command hole_show_command = {
    .words = "hole show",
    .arguments = "HOLE",
    .purpose = "everything recorded about a hole",
    .example = "hole show U0012A",
    .use = USE_READING,
    .options = history_options,
    .least = 1,
    .most = 1,
    .run = run_hole_show,
};

static enum status run_hole_list(struct run *run, struct err *err)
{
    struct names holes = {0};
    TRY(run_open(run, STORE_READ, err));
    TRY(state_holes(run->state, &holes, err));
    const char *unit = run_unit(run);
    const struct column columns[] = {{"hole", NULL, false},    {"returns", NULL, false}, {"rig floor", unit, true},
                                     {"seafloor", unit, true}, {"by", NULL, false},      {"water depth", unit, true},
                                     {"zone", NULL, false},    {"cores", NULL, true},    {"withdrawn", NULL, false}};
    struct sheet sheet;
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t at = 0; at < holes.count; at++) {
        struct hole hole;
        char path[REGISTRY_PATH_MAX];
        char zone[ZONE_TEXT_MAX] = "";
        int32_t *numbers = NULL;
        size_t count = 0;
        bool there = false;
        hole_path(holes.items[at], path);
        TRY(state_read(run->state, path, &hole_table, &hole, &there, err));
        TRY(state_cores(run->state, holes.items[at], &numbers, &count, err));
        if (hole.zone_min != INT_NONE)
            zone_format(hole.zone_min, zone);
        const struct cell cells[] = {cell_text(holes.items[at]),
                                     cell_text(returns_words[hole.returns]),
                                     cell_length(hole.rig_floor_um, 2),
                                     cell_length(hole_seafloor(&hole), 2),
                                     cell_text(seafloor_words[hole.seafloor_by]),
                                     cell_length(hole_water_depth(&hole), 2),
                                     cell_text(zone),
                                     cell_count(count),
                                     cell_text(hole.withdrawn)};
        TRY(sheet_add_row(&sheet, cells, err));
    }
    if (!holes.count)
        (void)fprintf(run->talk, "no hole is recorded yet: coretally hole add U0012A --returns seafloor\n");
    return run_print_sheet(run, &sheet, err);
}

const struct command hole_list_command = {
    .words = "hole list",
    .arguments = "",
    .purpose = "the holes, a line each",
    .example = "hole list",
    .use = USE_READING,
    .run = run_hole_list,
};
