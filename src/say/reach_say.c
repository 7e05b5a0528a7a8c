/* SPDX-License-Identifier: MIT */
/* The report of what moves. */
#include "coretally/say/reach_say.h"

#include <string.h>

struct length_text reach_signed(const struct run *run, int64_t um)
{
    struct length_text out = run_length(run, um, 3);
    struct length_text with_sign;
    (void)snprintf(with_sign.text, sizeof with_sign.text, "%s%.38s", um > 0 && run->format == SHEET_PEOPLE ? "+" : "",
                   out.text);
    return with_sign;
}

const char reach_runs_word[] = "cores without sections";

enum { REPORT_COLUMNS = 10, EACH_COLUMNS = 6 }; /* the last of each: against what, where that is told */

void reach_cells(const struct reach_count *count, struct cell out[REACH_CELLS])
{
    out[0] = cell_count(count->moved);
    out[1] = cell_shift(count->moved ? count->least_um : LENGTH_NONE, 3);
    out[2] = cell_shift(count->moved ? count->greatest_um : LENGTH_NONE, 3);
    out[3] = cell_shift(reach_mean(count), 3);
    out[4] = cell_count(count->lost);
    out[5] = cell_count(count->found);
}

static enum status add_count(const struct reach_part *part, const char *what, const char *scale,
                             const struct reach_count *it, struct sheet *sheet, struct err *err)
{
    struct cell cells[REPORT_COLUMNS] = {cell_text(part->target.hole_name), cell_text(what), cell_text(scale)};
    reach_cells(it, cells + 3);
    cells[REPORT_COLUMNS - 1] = cell_text(part->against);
    return sheet_add_row(sheet, cells, err);
}

static void report_init(const struct run *run, bool tells_against, struct column columns[REPORT_COLUMNS],
                        struct sheet *sheet)
{
    const char *unit = run_unit(run);
    const struct column all[REPORT_COLUMNS] = {{"hole", NULL, false},   {"what", NULL, false}, {"scale", NULL, false},
                                               {"moved", NULL, true},   {"least", unit, true}, {"greatest", unit, true},
                                               {"mean", unit, true},    {"lost", NULL, true},  {"found", NULL, true},
                                               {"against", NULL, false}};
    memcpy(columns, all, sizeof all);
    sheet_init(sheet, run->state->arena, columns, REPORT_COLUMNS - !tells_against);
}

bool reach_count_is_any(const struct reach_count *count)
{
    return count->moved || count->lost || count->found;
}

static enum status add_reach(struct run *run, const struct reach_part *part, const struct reach *reach,
                             struct sheet *sheet, struct err *err)
{
    const bool is_brief = run_option(run, "brief") != NULL;
    for (int item = 0; item < REACH_ITEM_COUNT; item++) {
        if (item == REACH_BAGS ? !reach->has_bags || is_brief : !reach->has_cores || (is_brief && item > REACH_CORES))
            continue;
        TRY(add_count(part, reach_words[item], reach_scale_word(reach, (enum reach_item)item), &reach->counts[item],
                      sheet, err));
    }
    return reach_count_is_any(&reach->runs)
               ? add_count(part, reach_runs_word, scale_words[SCALE_DSF], &reach->runs, sheet, err)
               : STATUS_OK;
}

static enum status add_part(struct run *run, const struct reach_part *part, struct sheet *sheet, struct err *err)
{
    TRY(add_reach(run, part, &part->reach, sheet, err));
    return part->has_also ? add_reach(run, part, &part->also, sheet, err) : STATUS_OK;
}

/* With its sign for programs, too: it stands inside a sentence. */
static void add_shift(const struct run *run, int64_t um, struct text *out)
{
    text_addf(out, "%s%s", um > 0 ? "+" : "", run_length(run, um, 3).text);
}

void reach_made_add(const struct run *run, const struct reach_part *part, struct text *out)
{
    const struct reach_made *made = &part->made;
    if (!made->core.number)
        return;
    text_addf(out, "core %d%c by ", (int)made->core.number, made->core.type);
    add_shift(run, made->um, out);
    text_addf(out, " %s:", run_unit(run));
    for (size_t at = 0; at < made->count; at++) {
        const struct reach_step *step = &made->steps[at];
        text_add(out, at ? ", " : " ");
        add_shift(run, step->um, out);
        text_addf(out, " %s", step->rule);
        if (step->correction)
            text_addf(out, " (correction %d)", (int)step->correction);
    }
}

/* What the counts alone do not say, a line each. */
static void say_lines(struct run *run, const char *hole, const struct reach *reach)
{
    size_t lost = reach->runs.lost;
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
    struct reach_part part = {.kind = CORRECTION_NONE};
    (void)snprintf(part.target.hole_name, sizeof part.target.hole_name, "%s", hole);
    report_init(run, false, columns, &sheet);
    TRY(add_reach(run, &part, reach, &sheet, err));
    TRY(run_print_sheet(run, &sheet, err));
    say_lines(run, hole, reach);
    return STATUS_OK;
}

void reach_say_name(struct run *run, const struct watched *watched)
{
    FILE *out = run->format == SHEET_PEOPLE ? run->out : run->talk;
    const int64_t before_um = watched->before_um;
    const int64_t after_um = watched->after_um;
    (void)fprintf(out, "  %s: %s", watched->name,
                  before_um == LENGTH_NONE ? "n/a" : run_length(run, before_um, 3).text);
    (void)fprintf(out, " -> %s %s %s", after_um == LENGTH_NONE ? "n/a" : run_length(run, after_um, 3).text,
                  run_unit(run), watched->scale);
    if (before_um != LENGTH_NONE && after_um != LENGTH_NONE)
        (void)fprintf(out, " (%s)", reach_signed(run, after_um - before_um).text);
    if (watched->against)
        (void)fprintf(out, ", against %s", watched->against);
    (void)fprintf(out, "\n");
}

static enum status say_watched(struct run *run, const struct reach_part *part, const char *typed, const char *against,
                               struct err *err)
{
    struct watched watched;
    TRY(reach_watch(run->state, part, typed, &watched, err));
    if (watched.where == WATCHED_BAG)
        (void)fprintf(run->talk, "note: %s: bags are counted, not shown one by one: coretally bag list %s\n", typed,
                      part->target.hole_name);
    else if (watched.where == WATCHED_HERE) {
        watched.against = against;
        reach_say_name(run, &watched);
    }
    return STATUS_OK;
}

bool watch_next(const char **names, char out[NAME_TEXT_MAX])
{
    if (!*names)
        return false;
    *names += strspn(*names, " ;");
    const size_t len = strcspn(*names, ";");
    (void)snprintf(out, NAME_TEXT_MAX, "%.*s", (int)(len < NAME_TEXT_MAX ? len : NAME_TEXT_MAX - 1), *names);
    *names += len;
    return *out;
}

/* Those of the names of --watch that lie in the hole. */
static enum status say_names(struct run *run, const struct reach_part *part, const char *against, struct err *err)
{
    const char *names = run_option(run, "watch");
    char name[NAME_TEXT_MAX];
    while (watch_next(&names, name))
        TRY(say_watched(run, part, name, against, err));
    return STATUS_OK;
}

/* The samples that move, as rows. */
struct each {
    const struct run *run;
    struct column columns[EACH_COLUMNS];
    struct sheet sheet;
};

static void each_init(struct run *run, bool tells_against, struct each *each)
{
    const char *unit = run_unit(run);
    const struct column columns[EACH_COLUMNS] = {{"sample", NULL, false}, {"scale", NULL, false},
                                                 {"before", unit, true},  {"after", unit, true},
                                                 {"moved", unit, true},   {"against", NULL, false}};
    each->run = run;
    memcpy(each->columns, columns, sizeof columns);
    sheet_init(&each->sheet, run->state->arena, each->columns, EACH_COLUMNS - !tells_against);
}

static enum status add_sample(void *context, const struct reach_sample *sample, struct err *err)
{
    struct each *each = context;
    const bool both = sample->before_um != LENGTH_NONE && sample->after_um != LENGTH_NONE;
    const struct cell cells[] = {cell_text(sample->name),
                                 cell_text(scale_words[sample->scale]),
                                 cell_length(sample->before_um, 3),
                                 cell_length(sample->after_um, 3),
                                 cell_length(both ? sample->after_um - sample->before_um : LENGTH_NONE, 3),
                                 cell_text(sample->against)};
    return sheet_add_row(&each->sheet, cells, err);
}

/* Why it is not what the correction says. */
static enum status say_made(struct run *run, const struct reach_part *part, struct err *err)
{
    struct text text;
    struct bytes bytes;
    if (!part->made.core.number)
        return STATUS_OK;
    text_init(&text, run->state->arena);
    reach_made_add(run, part, &text);
    TRY(text_done(&text, &bytes, err));
    (void)fprintf(run->format == SHEET_PEOPLE ? run->out : run->talk, "why in hole %s: %s\n", part->target.hole_name,
                  bytes.data);
    return STATUS_OK;
}

/* against: where there are several. */
static enum status say_part(struct run *run, const struct reach_part *part, bool is_first, const char *against,
                            struct err *err)
{
    if (is_first) { /* labels and the order of cores are those of today */
        say_lines(run, part->target.hole_name, &part->reach);
        TRY(say_made(run, part, err));
    }
    return say_names(run, part, against, err);
}

enum status reach_show(struct run *run, struct reach_part *first, const struct reach_part *alone, struct err *err)
{
    struct column columns[REPORT_COLUMNS];
    struct sheet sheet;
    struct each each;
    struct reach_parts parts = {0};
    char name[NAME_TEXT_MAX];
    const bool wants_each = run_option(run, "each") != NULL;
    const struct reach_asked asked = {
        .is_brief = run_option(run, "brief") != NULL, .take = wants_each ? add_sample : NULL, .context = &each};
    const bool tells_against = first->against && (alone || run->format != SHEET_PEOPLE); /* the same columns always */
    report_init(run, tells_against, columns, &sheet);
    each_init(run, tells_against, &each);
    TRY(reach_parts_add(run->state, first, &parts, err));
    const size_t plain = parts.count;
    if (alone)
        TRY(reach_parts_add(run->state, alone, &parts, err));
    for (const char *names = run_option(run, "watch"); watch_next(&names, name);)
        reach_watch_ahead(run->state, name);
    TRY(reach_find(run->state, &asked, &parts, err));
    for (size_t at = 0; at < parts.count; at++)
        if (at == 0 || at == plain || !reach_is_empty(&parts.items[at]->reach))
            TRY(add_part(run, parts.items[at], &sheet, err));
    if (run->format == SHEET_PEOPLE || !wants_each)
        TRY(run_print_sheet(run, &sheet, err));
    if (wants_each)
        TRY(run_print_sheet(run, &each.sheet, err));
    for (size_t at = 0; at < parts.count; at++)
        TRY(say_part(run, parts.items[at], at < plain, alone ? parts.items[at]->against : NULL, err));
    first->reach = parts.items[0]->reach;
    return STATUS_OK;
}

const struct option reach_options[] = {
    {"watch", "NAMES", "show these without it and with it; names by ';'"},
    {"each", NULL, "list every sample that moves; as CSV or JSON instead of the counts"},
    {"brief", NULL, "look only at the cores: as quick in a hole of a million samples as in a small one"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};
