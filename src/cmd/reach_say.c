/* SPDX-License-Identifier: MIT */
/* The report of what moves. */
#include <string.h>

#include "reach.h"
#include "span.h"

static struct length_text signed_text(const struct run *run, int64_t um)
{
    struct length_text out = run_length(run, um, 3);
    struct length_text with_sign;
    (void)snprintf(with_sign.text, sizeof with_sign.text, "%s%.38s", um > 0 && run->format == SHEET_PEOPLE ? "+" : "",
                   out.text);
    return with_sign;
}

static enum status add_count(struct run *run, const struct reach *reach, enum reach_item item, struct sheet *sheet,
                             struct err *err)
{
    const struct reach_count *it = &reach->counts[item];
    char counts[3][24];
    struct length_text shifts[3] = {{""}, {""}, {""}};
    (void)snprintf(counts[0], sizeof counts[0], "%zu", it->moved);
    (void)snprintf(counts[1], sizeof counts[1], "%zu", it->lost);
    (void)snprintf(counts[2], sizeof counts[2], "%zu", it->found);
    if (it->moved) {
        const double mean_um = it->sum_m / (double)it->moved * 1e6;
        shifts[0] = signed_text(run, it->least_um);
        shifts[1] = signed_text(run, it->greatest_um);
        shifts[2] = signed_text(run, (int64_t)(mean_um + (mean_um < 0 ? -0.5 : 0.5)));
    }
    const char *scale = item == REACH_BAGS && reach->scale != SCALE_TVD ? "MSF" : scale_words[reach->scale];
    const char *cells[] = {reach_words[item], scale,          counts[0], shifts[0].text,
                           shifts[1].text,    shifts[2].text, counts[1], counts[2]};
    return sheet_add(sheet, cells, err);
}

enum status reach_say(struct run *run, const struct reach *reach, struct err *err)
{
    const char *unit = run_unit(run);
    const struct column columns[] = {{"what", NULL, false}, {"scale", NULL, false},   {"moved", NULL, true},
                                     {"least", unit, true}, {"greatest", unit, true}, {"mean", unit, true},
                                     {"lost", NULL, true},  {"found", NULL, true}};
    struct sheet sheet;
    size_t stale = 0;
    size_t lost = 0;
    sheet_init(&sheet, run->arena, columns, sizeof columns / sizeof columns[0]);
    const bool is_brief = run_option(run, "brief") != NULL;
    for (int item = 0; item < REACH_ITEM_COUNT; item++) {
        if (item == REACH_BAGS ? !reach->has_bags || is_brief : !reach->has_cores || (is_brief && item > REACH_CORES))
            continue;
        TRY(add_count(run, reach, (enum reach_item)item, &sheet, err));
        stale += reach->counts[item].moved + reach->counts[item].lost;
        lost += reach->counts[item].lost;
    }
    TRY(run_print_sheet(run, &sheet, err));
    FILE *out = run->format == SHEET_PEOPLE ? run->out : run->talk;
    for (size_t at = 0; at < reach->upset_count && at < REACH_UPSETS_MAX; at++)
        (void)fprintf(out, "order upset: core %d lies above the core before it\n", (int)reach->upsets[at]);
    if (reach->upset_count > REACH_UPSETS_MAX)
        (void)fprintf(out, "order upset: %zu more\n", reach->upset_count - REACH_UPSETS_MAX);
    if (lost)
        (void)fprintf(out, "lost: no depth any more, the last one because %s\n", reach->why);
    if (stale && !is_brief)
        (void)fprintf(out, "labels to write anew: %zu, wherever one was written before now\n", stale);
    return STATUS_OK;
}

static void say_name(struct run *run, const char *name, const struct depth *before, const struct depth *after,
                     enum scale scale)
{
    const char *unit = run_unit(run);
    (void)fprintf(run->out, "  %s: %s", name, before->um == LENGTH_NONE ? "n/a" : run_length(run, before->um, 3).text);
    (void)fprintf(run->out, " -> %s %s %s", after->um == LENGTH_NONE ? "n/a" : run_length(run, after->um, 3).text, unit,
                  scale_words[scale]);
    if (before->um != LENGTH_NONE && after->um != LENGTH_NONE)
        (void)fprintf(run->out, " (%s)", signed_text(run, after->um - before->um).text);
    (void)fprintf(run->out, "\n");
}

enum status reach_say_names(struct run *run, const char *names, const struct hole *without, const struct hole *with,
                            enum scale scale, struct err *err)
{
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
        TRY(span_read(run, name + strspn(name, " "), &span, err));
        if (strcmp(span.target.hole.site, with->site) != 0 || strcmp(span.target.hole.letter, with->letter) != 0)
            continue; /* of another hole of the same table */
        span.target.hole = *without;
        span_depths(&span, scale, &before[0], &before[1]);
        span.target.hole = *with;
        span_depths(&span, scale, &after[0], &after[1]);
        say_name(run, span.name, &before[0], &after[0], scale);
    }
    return STATUS_OK;
}
