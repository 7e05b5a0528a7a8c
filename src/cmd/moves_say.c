/* SPDX-License-Identifier: MIT */
/* What moves, in sentences: a tired reader sees at once how much, how far, and what to print anew. */
#include <string.h>

#include "coretally/state/bag.h"
#include "moves.h"
#include "coretally/ask/past.h"
#include "reach_say.h"

static void add_counted(struct text *out, const char *before, size_t count, enum reach_item item)
{
    const char *word = reach_words[item]; /* ends in s */
    text_addf(out, "%s%zu %.*s", before, count, (int)strlen(word) - (count == 1), word);
}

static const char *scale_of(const struct moves_part *part, enum reach_item item)
{
    return item == REACH_BAGS ? part->bag_scale : scale_words[part->reach.scale];
}

static bool moves_alike(const struct reach_count *a, const struct reach_count *b)
{
    return a->least_um == a->greatest_um && b->least_um == b->greatest_um && a->least_um == b->least_um;
}

/* "moves 3 cores, 18 sections, 12 samples of U0012A by +1.000 m (CSF-A)": things that move alike in one sentence. */
static void say_moved(struct run *run, const struct moves_part *part, struct text *out)
{
    const struct reach_count *counts = part->reach.counts;
    for (int item = 0; item < REACH_ITEM_COUNT; item++) {
        const struct reach_count *first = &counts[item];
        int last = item;
        if (!first->moved)
            continue;
        add_counted(out, "moves ", first->moved, (enum reach_item)item);
        for (int next = item + 1; next <= REACH_SAMPLES; next++) {
            if (!counts[next].moved)
                continue;
            if (!moves_alike(first, &counts[next]))
                break;
            add_counted(out, ", ", counts[next].moved, (enum reach_item)next);
            last = next;
        }
        text_addf(out, " of %s by %s", part->hole, reach_signed(run, first->least_um).text);
        if (first->least_um != first->greatest_um)
            text_addf(out, " to %s %s, mean %s", reach_signed(run, first->greatest_um).text, run_unit(run),
                      reach_signed(run, reach_mean(first)).text);
        text_addf(out, " %s (%s)\n", run_unit(run), scale_of(part, (enum reach_item)item));
        item = last;
    }
}

static void say_known(const struct moves_part *part, struct text *out)
{
    for (int item = 0; item < REACH_ITEM_COUNT; item++) {
        const struct reach_count *count = &part->reach.counts[item];
        if (count->lost) {
            add_counted(out, "", count->lost, (enum reach_item)item);
            text_addf(out, " of %s %s no depth any more (%s)%s%s\n", part->hole, count->lost == 1 ? "has" : "have",
                      scale_of(part, (enum reach_item)item), part->reach.why ? ": " : "",
                      part->reach.why ? part->reach.why : "");
        }
        if (count->found) {
            add_counted(out, "", count->found, (enum reach_item)item);
            text_addf(out, " of %s %s a depth now (%s)\n", part->hole, count->found == 1 ? "has" : "have",
                      scale_of(part, (enum reach_item)item));
        }
    }
}

enum status moves_say(struct run *run, const struct moves_part *parts, size_t count, const struct sheet *each,
                      struct err *err)
{
    struct text text;
    text_init(&text, run->state->arena);
    for (size_t at = 0; at < count; at++) {
        say_moved(run, &parts[at], &text);
        say_known(&parts[at], &text);
    }
    const bool is_brief = run_option(run, "brief") != NULL;
    if (!text.len && run_option(run, "dry-run"))
        text_add(&text, is_brief ? "moves no core\n" : "moves nothing\n");
    if (is_brief)
        text_add(&text, "--brief: sections, samples, bags and labels were not looked at\n");
    if (text.len)
        TRY(run_print_text(run, &text, err));
    for (size_t at = 0; at < count; at++)
        reach_say_labels(run, parts[at].hole, &parts[at].reach);
    return each && each->row_count ? run_print_sheet(run, each, err) : STATUS_OK;
}

/* The name after the act, under which what was renamed is found in both; else before it. */
static enum status open_name(struct run *run, struct store *const stores[2], const char *name, struct past *out,
                             struct err *err)
{
    struct err unknown = {0};
    struct past_asked asked = {.typed = name, .scale = SCALE_COUNT};
    TRY(scale_option(run, "scale", &asked.scale, err));
    run->state->store = stores[1];
    const enum status status = past_open(run->state, &asked, out, &unknown);
    if (status_is_failure(status))
        *err = unknown;
    if (status == STATUS_OK || status_is_failure(status))
        return status;
    run->state->store = stores[0];
    return past_open(run->state, &asked, out, err);
}

static enum status watch_name(struct run *run, struct store *const stores[2], const char *name, struct err *err)
{
    struct past past;
    struct moment *moments = NULL;
    int64_t um[2];
    TRY(arena_take(run->state->arena, 2, sizeof *moments, &moments, err));
    TRY(open_name(run, stores, name, &past, err));
    for (int side = 0; side < 2; side++) {
        run->state->store = stores[side];
        TRY(past_look(run->state, &past, &moments[side], err));
        um[side] = moments[side].top_um;
    }
    if (um[0] == um[1] && moments[0].bottom_um != moments[1].bottom_um) /* its lower end alone moves */
        for (int side = 0; side < 2; side++)
            um[side] = moments[side].bottom_um;
    const char *const scale = past.name.level == NAME_BAG ? bag_scale_word(past.scale) : scale_words[past.scale];
    struct watched watched = {.scale = scale, .before_um = um[0], .after_um = um[1]};
    (void)snprintf(watched.name, sizeof watched.name, "%s", *moments[1].name ? moments[1].name : name);
    reach_say_name(run, &watched);
    return STATUS_OK;
}

enum status moves_watch(struct run *run, struct store *const stores[2], struct err *err)
{
    const char *names = run_option(run, "watch");
    while (names && *names) {
        char name[NAME_TEXT_MAX];
        names += strspn(names, " ;");
        const size_t len = strcspn(names, ";");
        (void)snprintf(name, sizeof name, "%.*s", (int)(len < sizeof name ? len : sizeof name - 1), names);
        names += len;
        if (*name)
            TRY(watch_name(run, stores, name, err));
    }
    return STATUS_OK;
}
