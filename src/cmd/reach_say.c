/* SPDX-License-Identifier: MIT */
/* The report of what moves. */
#include <string.h>

#include "reach.h"
#include "coretally/state/span.h"

struct length_text reach_signed(const struct run *run, int64_t um)
{
    struct length_text out = run_length(run, um, 3);
    struct length_text with_sign;
    (void)snprintf(with_sign.text, sizeof with_sign.text, "%s%.38s", um > 0 && run->format == SHEET_PEOPLE ? "+" : "",
                   out.text);
    return with_sign;
}

int64_t reach_mean(const struct reach_count *count)
{
    const double mean_um = count->sum_m / (double)count->moved * 1e6;
    return count->moved ? (int64_t)(mean_um + (mean_um < 0 ? -0.5 : 0.5)) : LENGTH_NONE;
}

static enum status add_count(const char *hole, const struct reach *reach, enum reach_item item, struct sheet *sheet,
                             struct err *err)
{
    const struct reach_count *it = &reach->counts[item];
    const char *scale = item == REACH_BAGS && reach->scale != SCALE_TVD ? "MSF" : scale_words[reach->scale];
    const struct cell cells[] = {cell_text(hole),
                                 cell_text(reach_words[item]),
                                 cell_text(scale),
                                 cell_count(it->moved),
                                 cell_shift(it->moved ? it->least_um : LENGTH_NONE, 3),
                                 cell_shift(it->moved ? it->greatest_um : LENGTH_NONE, 3),
                                 cell_shift(reach_mean(it), 3),
                                 cell_count(it->lost),
                                 cell_count(it->found)};
    return sheet_add_row(sheet, cells, err);
}

enum { REPORT_COLUMNS = 9, EACH_COLUMNS = 5 };

static void report_init(const struct run *run, struct column columns[REPORT_COLUMNS], struct sheet *sheet)
{
    const char *unit = run_unit(run);
    const struct column all[REPORT_COLUMNS] = {{"hole", NULL, false}, {"what", NULL, false}, {"scale", NULL, false},
                                               {"moved", NULL, true}, {"least", unit, true}, {"greatest", unit, true},
                                               {"mean", unit, true},  {"lost", NULL, true},  {"found", NULL, true}};
    memcpy(columns, all, sizeof all);
    sheet_init(sheet, run->state->arena, columns, REPORT_COLUMNS);
}

static enum status add_reach(struct run *run, const char *hole, const struct reach *reach, struct sheet *sheet,
                             struct err *err)
{
    const bool is_brief = run_option(run, "brief") != NULL;
    for (int item = 0; item < REACH_ITEM_COUNT; item++) {
        if (item == REACH_BAGS ? !reach->has_bags || is_brief : !reach->has_cores || (is_brief && item > REACH_CORES))
            continue;
        TRY(add_count(hole, reach, (enum reach_item)item, sheet, err));
    }
    return STATUS_OK;
}

/* What the counts alone do not say, a line each. */
static void say_lines(struct run *run, const char *hole, const struct reach *reach)
{
    size_t lost = 0;
    FILE *out = run->format == SHEET_PEOPLE ? run->out : run->talk;
    for (int item = 0; item < REACH_ITEM_COUNT; item++)
        lost += reach->counts[item].lost;
    for (size_t at = 0; at < reach->upset_count && at < REACH_UPSETS_MAX; at++)
        (void)fprintf(out, "order upset: core %d of hole %s lies above the core before it\n", (int)reach->upsets[at],
                      hole);
    if (reach->upset_count > REACH_UPSETS_MAX)
        (void)fprintf(out, "order upset: %zu more\n", reach->upset_count - REACH_UPSETS_MAX);
    if (lost)
        (void)fprintf(out, "lost in hole %s: left without a depth, the last one because %s\n", hole, reach->why);
    reach_say_labels(run, hole, reach);
}

void reach_say_labels(struct run *run, const char *hole, const struct reach *reach)
{
    FILE *out = run->format == SHEET_PEOPLE ? run->out : run->talk;
    if (reach->labels_stale)
        (void)fprintf(out, "labels of hole %s made stale: %zu; to print them anew: coretally label print %s --stale\n",
                      hole, reach->labels_stale, hole);
    if (reach->labels_fresh)
        (void)fprintf(out, "labels of hole %s that show the depth of today again: %zu\n", hole, reach->labels_fresh);
    if (reach->labels_gone)
        (void)fprintf(out,
                      "labels of hole %s that name what no longer stands: %zu; they are in: coretally label list %s\n",
                      hole, reach->labels_gone, hole);
}

enum status reach_say(struct run *run, const char *hole, const struct reach *reach, struct err *err)
{
    struct column columns[REPORT_COLUMNS];
    struct sheet sheet;
    report_init(run, columns, &sheet);
    TRY(add_reach(run, hole, reach, &sheet, err));
    TRY(run_print_sheet(run, &sheet, err));
    say_lines(run, hole, reach);
    return STATUS_OK;
}

void reach_say_name(struct run *run, const char *name, int64_t before_um, int64_t after_um, const char *scale)
{
    FILE *out = run->format == SHEET_PEOPLE ? run->out : run->talk;
    (void)fprintf(out, "  %s: %s", name, before_um == LENGTH_NONE ? "n/a" : run_length(run, before_um, 3).text);
    (void)fprintf(out, " -> %s %s %s", after_um == LENGTH_NONE ? "n/a" : run_length(run, after_um, 3).text,
                  run_unit(run), scale);
    if (before_um != LENGTH_NONE && after_um != LENGTH_NONE)
        (void)fprintf(out, " (%s)", reach_signed(run, after_um - before_um).text);
    (void)fprintf(out, "\n");
}

/* A hole before and after, with its report. */
struct pair {
    struct target target;
    struct hole without;
    struct hole with;
    struct reach reach;
};

/* Those of the names of --watch that lie in the hole. */
static enum status say_names(struct run *run, const struct pair *pair, struct err *err)
{
    const char *names = run_option(run, "watch");
    while (names && *names) {
        char name[NAME_TEXT_MAX];
        struct span span;
        struct depth before[2];
        struct depth after[2];
        const size_t len = strcspn(names, ";");
        (void)snprintf(name, sizeof name, "%.*s", (int)(len < sizeof name ? len : sizeof name - 1), names);
        names += len + (names[len] == ';');
        if (!name[strspn(name, " ")])
            continue;
        struct name parsed;
        TRY(resolve_name(run->state, name + strspn(name, " "), &parsed, err));
        if (parsed.level == NAME_BAG) {
            (void)fprintf(run->talk, "note: %s: bags are counted, not shown one by one: coretally bag list %s\n",
                          name + strspn(name, " "), pair->target.hole_name);
            continue;
        }
        TRY(span_read(run->state, name + strspn(name, " "), &span, err));
        if (strcmp(span.target.hole_name, pair->target.hole_name) != 0)
            continue;
        span.target.hole = pair->without;
        span_depths(&span, pair->reach.scale, &before[0], &before[1]);
        span.target.hole = pair->with;
        span_depths(&span, pair->reach.scale, &after[0], &after[1]);
        const int end = before[0].um == after[0].um && before[1].um != after[1].um; /* its lower end alone moves */
        reach_say_name(run, span.name, before[end].um, after[end].um, scale_words[pair->reach.scale]);
    }
    return STATUS_OK;
}

/* What hangs on the hole of a pair: its sidetracks, and theirs. */
static enum status add_sidetracks(struct state *state, struct pair **pairs, size_t *count, size_t *room,
                                  struct err *err)
{
    struct names holes = {0};
    TRY(state_holes(state, &holes, err));
    for (size_t parent = 0; parent < *count; parent++)
        for (size_t at = 0; at < holes.count; at++) {
            struct pair child = {.target = {.name = {.core = 0}}};
            bool there = false;
            TRY(state_hole(state, holes.items[at], &child.without, &there, err));
            if (!there || !child.without.parent || strcmp(child.without.parent, (*pairs)[parent].target.hole_name) != 0)
                continue;
            TRY(name_parse(holes.items[at], &child.target.name, err));
            (void)snprintf(child.target.hole_name, sizeof child.target.hole_name, "%s", holes.items[at]);
            child.target.hole = child.with = child.without;
            child.without.parent_hole = &(*pairs)[parent].without;
            child.with.parent_hole = &(*pairs)[parent].with;
            if (*count == *room)
                return err_set(err, STATUS_RULE, holes.items[at], "more than %zu sidetracks hang on one hole", *room);
            (*pairs)[(*count)++] = child;
        }
    return STATUS_OK;
}

enum { PAIRS_MAX = 64 };

/* The hole and, where a correction of this kind moves them, what hangs on it; each with its reach. */
static enum status find_pairs(struct run *run, const struct pair *first, enum correction_kind kind, struct sheet *each,
                              struct pair **out, size_t *count, struct err *err)
{
    struct pair *pairs = NULL;
    size_t room = PAIRS_MAX;
    TRY(arena_take(run->state->arena, room, sizeof *pairs, &pairs, err));
    pairs[0] = *first;
    *count = 1;
    if (reach_of_kind(kind).has_bags) /* what moves the pipe, the seafloor or the way of the hole */
        TRY(add_sidetracks(run->state, &pairs, count, &room, err));
    for (size_t at = 0; at < *count; at++)
        TRY(reach_find(run, &pairs[at].target, &pairs[at].without, &pairs[at].with, kind, each, &pairs[at].reach, err));
    *out = pairs;
    return STATUS_OK;
}

enum status reach_holes(struct run *run, const struct target *target, const struct hole *without,
                        const struct hole *with, enum correction_kind kind, struct reach_part **out, size_t *count,
                        struct err *err)
{
    const struct pair first = {.target = *target, .without = *without, .with = *with};
    struct pair *pairs = NULL;
    struct reach_part *parts = NULL;
    TRY(find_pairs(run, &first, kind, NULL, &pairs, count, err));
    TRY(arena_take(run->state->arena, *count, sizeof *parts, &parts, err));
    for (size_t at = 0; at < *count; at++) {
        (void)snprintf(parts[at].hole, sizeof parts[at].hole, "%s", pairs[at].target.hole_name);
        parts[at].reach = pairs[at].reach;
    }
    *out = parts;
    return STATUS_OK;
}

enum status reach_show(struct run *run, const struct target *target, const struct hole *without,
                       const struct hole *with, enum correction_kind kind, struct reach *out, struct err *err)
{
    const char *unit = run_unit(run);
    const struct column each_columns[EACH_COLUMNS] = {{"sample", NULL, false},
                                                      {"scale", NULL, false},
                                                      {"before", unit, true},
                                                      {"after", unit, true},
                                                      {"moved", unit, true}};
    const struct pair first = {.target = *target, .without = *without, .with = *with};
    struct column columns[REPORT_COLUMNS];
    struct sheet sheet;
    struct sheet each;
    struct pair *pairs = NULL;
    size_t count = 0;
    const bool wants_each = run_option(run, "each") != NULL;
    report_init(run, columns, &sheet);
    sheet_init(&each, run->state->arena, each_columns, EACH_COLUMNS);
    TRY(find_pairs(run, &first, kind, wants_each ? &each : NULL, &pairs, &count, err));
    for (size_t at = 0; at < count; at++)
        if (at == 0 || !reach_is_empty(&pairs[at].reach))
            TRY(add_reach(run, pairs[at].target.hole_name, &pairs[at].reach, &sheet, err));
    if (run->format == SHEET_PEOPLE || !wants_each)
        TRY(run_print_sheet(run, &sheet, err));
    if (wants_each)
        TRY(run_print_sheet(run, &each, err));
    for (size_t at = 0; at < count; at++) {
        say_lines(run, pairs[at].target.hole_name, &pairs[at].reach);
        TRY(say_names(run, &pairs[at], err));
    }
    *out = pairs[0].reach;
    return STATUS_OK;
}

const struct option reach_options[] = {
    {"watch", "NAMES", "show these without it and with it; names by ';'"},
    {"each", NULL, "list every sample that moves; as CSV or JSON instead of the counts"},
    {"brief", NULL, "look only at the cores: as quick in a hole of a million samples as in a small one"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};
