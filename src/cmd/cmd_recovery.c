/* SPDX-License-Identifier: MIT */
/* Recovery per core, per type, per depth range and per hole. */
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/depth.h"
#include "coretally/domain/recovery.h"
#include "command.h"
#include "penetrated.h"

struct tally {
    struct recovery total;
    struct recovery by_type[26];
    int32_t straddlers;
    struct penetrated penetrated; /* all of the hole, whatever the range */
};

static const struct option recovery_options[] = {
    {"by", "WHAT", "core, type or hole: how far the rows go; the default is core"},
    {"from", "DEPTH", "only cores whose drilled top is at or below this, m below seafloor"},
    {"to", "DEPTH", "only cores whose drilled top is above this, m below seafloor"},
    {0},
};

static enum status add_row(struct run *run, const char *what, const struct recovery *it, struct sheet *sheet,
                           const char *note, struct err *err)
{
    char percent[RECOVERY_TEXT_MAX];
    char cores[16];
    recovery_format(it->recovered_um, it->advance_um, 1, percent);
    (void)snprintf(cores, sizeof cores, "%d", (int)it->cores);
    const struct length_text um[] = {run_length(run, it->advance_um, 3), run_length(run, it->recovered_um, 3)};
    const char *cells[] = {what, cores, um[0].text, um[1].text, percent, note};
    return sheet_add(sheet, cells, err);
}

/* The depth range, in m below seafloor; open ends are the farthest there are. */
static enum status take_range(struct run *run, int64_t *from_um, int64_t *to_um, struct err *err)
{
    *from_um = INT64_MIN;
    *to_um = INT64_MAX;
    if (run_option(run, "from"))
        TRY(length_parse(run_option(run, "from"), UNIT_M, from_um, err));
    if (run_option(run, "to"))
        TRY(length_parse(run_option(run, "to"), UNIT_M, to_um, err));
    if (*from_um >= *to_um)
        return err_set(err, STATUS_INPUT, "--from", "%s m does not lie above --to, %s m: the range is upside down",
                       length_text(*from_um, UNIT_M, 3).text, length_text(*to_um, UNIT_M, 3).text);
    return STATUS_OK;
}

static enum status tally_core(struct run *run, const struct target *target, bool rows, int64_t from_um, int64_t to_um,
                              struct tally *tally, struct sheet *sheet, struct err *err)
{
    const struct core retyped = core_retyped(&target->hole, &target->core);
    const struct core *core = &retyped;
    const bool ranged = run_option(run, "from") || run_option(run, "to");
    if (core->withdrawn)
        return STATUS_OK;
    TRY(penetrated_add_core(run->state, &tally->penetrated, &target->core, err));
    const struct depth top = core_top_depth(&target->hole, &target->core, SCALE_DSF, NULL);
    const struct depth bottom = core_bottom_depth(&target->hole, &target->core, SCALE_DSF);
    if (ranged && top.um == LENGTH_NONE)
        return err_set(err, STATUS_RULE, target->hole_name, "%s, so no range below seafloor can be taken", top.why);
    if (ranged && (top.um < from_um || top.um >= to_um))
        return STATUS_OK;
    tally->straddlers += ranged && bottom.um != LENGTH_NONE && bottom.um > to_um;
    recovery_add(&tally->total, core);
    recovery_add(&tally->by_type[core->type - 'A'], core);
    if (!rows)
        return STATUS_OK;
    char name[NAME_TEXT_MAX];
    struct recovery own = {0};
    target_core_name(run->state, target, name);
    recovery_add(&own, core);
    if (own.unknown || own.wide) {
        own.advance_um = core_advance(core);
        own.recovered_um = core_recovered(core);
    }
    return add_row(run, name, &own, sheet,
                   own.wide      ? "wide interval, not counted"
                   : own.unknown ? "advance or recovered length not known, not counted"
                                 : NULL,
                   err);
}

static enum status tally_hole(struct run *run, struct target *target, bool rows, struct tally *tally,
                              struct sheet *sheet, struct err *err)
{
    int32_t *numbers = NULL;
    size_t count = 0;
    int64_t from_um = 0;
    int64_t to_um = 0;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    struct drilled_set set;
    TRY(take_range(run, &from_um, &to_um, err));
    TRY(state_cores(run->state, target->hole_name, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        core_path(target->hole_name, numbers[at], path);
        TRY(state_read(run->state, path, &core_table, &target->core, &there, err));
        target->name.core = target->core.number;
        target->name.type = target->core.type;
        TRY(tally_core(run, target, rows, from_um, to_um, tally, sheet, err));
    }
    drilled_path(target->hole_name, path);
    TRY(state_read(run->state, path, &drilled_set_table, &set, &there, err));
    for (size_t at = 0; at < set.interval_count; at++)
        if (!set.intervals[at].withdrawn)
            TRY(penetrated_add_drilled(run->state, &tally->penetrated, &set.intervals[at], err));
    return STATUS_OK;
}

static enum status add_totals(struct run *run, const struct target *target, struct tally *tally, bool types,
                              struct sheet *sheet, struct err *err)
{
    char what[64];
    int64_t from_um = 0;
    int64_t to_um = 0;
    struct text text;
    struct bytes note;
    for (int letter = 0; types && letter < 26; letter++) {
        const struct recovery *it = &tally->by_type[letter];
        if (!it->cores)
            continue;
        (void)snprintf(what, sizeof what, "%s all %c", target->hole_name, 'A' + letter);
        TRY(add_row(run, what, it, sheet,
                    core_type_find((char)('A' + letter)) ? core_type_find((char)('A' + letter))->meaning : NULL, err));
    }
    text_init(&text, run->state->arena);
    TRY(take_range(run, &from_um, &to_um, err));
    if (tally->straddlers)
        text_add(&text, "the last core reaches past the range and is counted whole; ");
    if (tally->penetrated.count && (run_option(run, "from") || run_option(run, "to")))
        text_add(&text, "within the range: ");
    TRY(penetrated_say(run, &target->hole, &tally->penetrated, from_um, to_um, &text, err));
    TRY(text_done(&text, &note, err));
    (void)snprintf(what, sizeof what, "%s all", target->hole_name);
    return add_row(run, what, &tally->total, sheet, note.len ? note.data : NULL, err);
}

static enum status run_recovery(struct run *run, struct err *err)
{
    static const struct column plain[] = {{"what", NULL, false}, {"cores", NULL, true}};
    struct column columns[6] = {plain[0], plain[1]};
    struct names holes = {0};
    struct sheet sheet;
    const char *by = run_option(run, "by");
    const bool types = !by || strcmp(by, "hole") != 0;
    const bool rows = !by || strcmp(by, "core") == 0;
    if (by && !rows && strcmp(by, "type") != 0 && strcmp(by, "hole") != 0) {
        err_set(err, STATUS_INPUT, by, "rows go by core, type or hole");
        return err_hint(err, "for example --by type");
    }
    TRY(run_open(run, STORE_READ, err));
    columns[2] = (struct column){"advance", run_unit(run), true};
    columns[3] = (struct column){"recovered", run_unit(run), true};
    columns[4] = (struct column){"recovery", "%", true};
    columns[5] = (struct column){"note", NULL, false};
    sheet_init(&sheet, run->state->arena, columns, 6);
    TRY(state_holes(run->state, &holes, err));
    for (size_t at = 0; at < (run->arg_count ? 1 : holes.count); at++) {
        struct target target = {0};
        struct tally tally = {0};
        TRY(resolve(run->state, run->arg_count ? run->args[0] : holes.items[at], NAME_HOLE, NAME_CORE, &target, err));
        if (target.name.level == NAME_CORE) {
            TRY(tally_core(run, &target, true, INT64_MIN, INT64_MAX, &tally, &sheet, err));
            return run_print_sheet(run, &sheet, err);
        }
        TRY(tally_hole(run, &target, rows, &tally, &sheet, err));
        TRY(add_totals(run, &target, &tally, types, &sheet, err));
    }
    return run_print_sheet(run, &sheet, err);
}

const struct command recovery_command = {
    .words = "recovery",
    .arguments = "[HOLE | CORE]",
    .purpose = "recovery per core, per type letter and per hole, or of a depth range",
    .example = "recovery U0012A --from 100 --to 200",
    .detail =
        "100 x recovered / advance, to one decimal, half away from zero; totals are ratios of sums. A core belongs to "
        "a\n"
        "range by its drilled top. n/a where nothing was advanced. Wash, ghost and loose material is not counted.\n"
        "Penetration is how deep the hole went, on the depths of today: from the seafloor (a sidetrack: from its "
        "kickoff)\n"
        "to the deepest bottom of a core or drilled interval, gaps without a record included, and listed.",
    .use = USE_READING,
    .options = recovery_options,
    .least = 0,
    .most = 1,
    .run = run_recovery,
};
