/* SPDX-License-Identifier: MIT */
/* What a join did beside taking both sides: things that got another number, fields with two values, corrections that
 * act twice. */
#include <stdio.h>
#include <string.h>

#include "coretally/say/join_say.h"
#include "coretally/say/open_say.h"
#include "coretally/domain/rule.h"
#include "coretally/state/read.h"

/* A thing by the name that is typed for it: "U0021A-BAG3", "U0020A-3H-4W,10-12", "U0020A correction 3". */
static enum status name_thing(struct state *state, const char *path, const char *what, const char *number,
                              const char **out, struct err *err)
{
    struct place_known place;
    struct text text;
    struct bytes bytes;
    text_init(&text, state->arena);
    if (!registry_place(path, &place))
        text_addf(&text, "%s %s", what, number);
    else if (place.bag)
        text_addf(&text, "%s-%s%s", place.hole,
                  place.bag == BAG_GAS   ? "GAS"
                  : place.bag == BAG_MUD ? "MUD"
                                         : "BAG",
                  number);
    else if (place.known->table == &core_table)
        text_addf(&text, "%s-%s", place.hole, number);
    else if (place_is_of_core(&place)) {
        struct core core = {.number = 0};
        char core_file[REGISTRY_PATH_MAX];
        bool there = false;
        core_path(place.hole, place.number, core_file);
        TRY(state_read(state, core_file, &core_table, &core, &there, err));
        text_addf(&text, "%s-%d%c-%s", place.hole, (int)place.number, there && core.type ? core.type : '?', number);
    } else
        text_addf(&text, "%s %s %s", place.hole, what, number);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status say_renumbered(struct run *run, struct state *state, const struct joined *joined, struct err *err)
{
    static const struct column columns[] = {{"was", NULL, false},         {"is now", NULL, false},
                                            {"recorded by", NULL, false}, {"station", NULL, false},
                                            {"when", NULL, false},        {"the number has", NULL, false}};
    struct sheet sheet;
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof *columns);
    for (size_t at = 0; at < joined->renumbered_count; at++) {
        const struct renumbered *it = &joined->renumbered[at];
        struct commit own = {.line = NULL};
        struct commit first = {.line = NULL};
        const char *older = NULL;
        const char *newer = NULL;
        TRY(name_thing(state, it->path, it->what, it->older, &older, err));
        TRY(name_thing(state, it->path, it->what, it->newer, &newer, err));
        TRY(store_commit(state->store, it->commit, run->state->arena, &own, err));
        TRY(store_commit(state->store, it->first, run->state->arena, &first, err));
        const struct cell cells[] = {cell_text(older),       cell_text(newer),       cell_text(own.author),
                                     cell_text(own.station), cell_instant(own.when), cell_text(first.line)};
        TRY(sheet_add_row(&sheet, cells, err));
    }
    char times[40] = "once";
    if (joined->renumbered_count > 1)
        (void)snprintf(times, sizeof times, "%zu times", joined->renumbered_count);
    (void)fprintf(run->out, "both sides gave out the same number or name %s; the earlier act keeps it:\n", times);
    return run_print_sheet(run, &sheet, err);
}

/* What was printed of the renumbered things shows the old number. */
static enum status say_labels(struct run *run, struct state *state, const struct joined *joined, struct err *err)
{
    char said[HOLE_NAME_MAX] = "";
    for (size_t at = 0; at < joined->renumbered_count; at++) {
        struct place_known place;
        char labels[REGISTRY_PATH_MAX];
        char id[HASH_TEXT_MAX] = "";
        if (!registry_place(joined->renumbered[at].path, &place) || (!place.bag && !place_is_of_core(&place)) ||
            strcmp(said, place.hole) == 0)
            continue;
        if (place.bag)
            bag_labels_path(place.hole, place.bag, place.number, labels);
        else
            core_labels_path(place.hole, place.number, labels);
        TRY(store_look(state->store, labels, id, err));
        if (!*id)
            continue;
        (void)snprintf(said, sizeof said, "%s", place.hole);
        (void)fprintf(run->out,
                      "  labels that show the old number are printed anew by: coretally label print %s --stale\n",
                      said);
    }
    return STATUS_OK;
}

/* The field that this join leaves with two values. */
static enum status say_point(struct open_say *say, struct state *state, const struct contradiction *it, struct err *err)
{
    struct open_points points = {0};
    char wanted[CONTRADICTION_ID_MAX];
    char id[CONTRADICTION_ID_MAX];
    TRY(open_points_read(state, it->hole, &points, err));
    contradiction_id(it, wanted);
    for (size_t at = 0; at < points.count; at++) {
        contradiction_id(&points.items[at].it, id);
        if (strcmp(id, wanted) == 0)
            return open_say_point(say, &points.items[at], err);
    }
    return STATUS_OK;
}

enum { POINTS_MAX = 20 };

/* Both values of each, with what to type. */
static enum status say_contradictions(struct run *run, struct state *state, const struct joined *joined,
                                      struct err *err)
{
    struct open_say say;
    const size_t count = joined->contradiction_count;
    const size_t shown = count > POINTS_MAX && !run_option(run, "each") ? POINTS_MAX : count;
    open_say_begin(run, &say);
    for (size_t at = 0; at < shown; at++)
        TRY(say_point(&say, state, &joined->contradictions[at], err));
    (void)fprintf(run->out,
                  "both sides set %zu field%s to different values; the later act's stands until somebody decides:\n",
                  count, count == 1 ? "" : "s");
    TRY(run_print_text(run, &say.text, err));
    if (shown < count)
        (void)fprintf(run->out, "and %zu more: coretally open lists all\n", count - shown);
    return STATUS_OK;
}

/* --- corrections that both sides made of one thing --- */

/* What entry would have refused of one in force beside those before it. */
static void find_twice(const struct hole *hole, size_t at, struct findings *out)
{
    *out = (struct findings){.count = 0};
    correction_check(hole->corrections[at], hole->corrections, at, hole, out);
}

/* Was it so on this side already? */
static bool is_known(const struct hole *before, const struct finding *finding)
{
    struct findings findings;
    for (size_t at = 0; at < before->correction_count; at++) {
        find_twice(before, at, &findings);
        if (findings_have(&findings, finding))
            return true;
    }
    return false;
}

static enum status say_twice(struct run *run, const char *name, struct state *joined, struct state *before,
                             bool *is_said, struct err *err)
{
    struct hole now;
    struct hole then;
    struct findings findings;
    bool there = false;
    TRY(state_hole(joined, name, &now, &there, err));
    TRY(state_hole(before, name, &then, &there, err));
    for (size_t at = 0; at < now.correction_count; at++) {
        find_twice(&now, at, &findings);
        for (size_t found = 0; found < findings.count; found++) {
            const struct finding *finding = &findings.items[found];
            if (rule_level(finding->rule) != RULE_REFUSED || (there && is_known(&then, finding)))
                continue;
            if (!*is_said)
                (void)fprintf(run->out, "corrections of both sides act together; what to type: coretally open\n");
            *is_said = true;
            (void)fprintf(run->out, "  %s correction %d: %s\n", name, (int)now.corrections[at]->number, finding->text);
        }
    }
    return STATUS_OK;
}

static enum status say_corrections(struct run *run, struct state *joined, struct state *before, struct err *err)
{
    struct names holes = {0};
    bool is_said = false;
    TRY(state_holes(joined, &holes, err));
    for (size_t at = 0; at < holes.count; at++)
        TRY(say_twice(run, holes.items[at], joined, before, &is_said, err));
    return STATUS_OK;
}

enum status join_say(struct run *run, const struct join_told *told, struct err *err)
{
    const struct joined *const joined = told->joined;
    struct state state;
    struct state then;
    struct store *before = NULL;
    state_at(run->state, told->there, &state);
    if (joined->renumbered_count) {
        TRY(say_renumbered(run, &state, joined, err));
        TRY(say_labels(run, &state, joined, err));
    }
    if (joined->contradiction_count)
        TRY(say_contradictions(run, &state, joined, err));
    TRY(store_open_beside(run->state->store, told->before, &before, err));
    state_at(run->state, before, &then);
    const enum status status = say_corrections(run, &state, &then, err);
    store_close(before);
    return status;
}
