/* SPDX-License-Identifier: MIT */
/* What moves, in sentences: a tired reader sees at once how much, how far, and what to print anew. */
#include "coretally/say/moves_say.h"

#include <string.h>

#include "coretally/say/compare_say.h"
#include "coretally/ask/moves.h"
#include "coretally/say/reach_say.h"

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

/* The sentences. */
static enum status say(struct run *run, const struct moves_parts *parts, struct err *err)
{
    struct text text;
    text_init(&text, run->state->arena);
    for (size_t at = 0; at < parts->count; at++) {
        say_moved(run, &parts->items[at], &text);
        say_known(&parts->items[at], &text);
    }
    const bool is_brief = run_option(run, "brief") != NULL;
    if (!text.len && run_option(run, "dry-run"))
        text_add(&text, is_brief ? "moves no core\n" : "moves nothing\n");
    if (is_brief)
        text_add(&text, "--brief: sections, samples, bags and labels were not looked at\n");
    if (text.len)
        TRY(run_print_text(run, &text, err));
    for (size_t at = 0; at < parts->count; at++)
        reach_say_labels(run, parts->items[at].hole, &parts->items[at].reach);
    return STATUS_OK;
}

/* The names of --watch in both states. */
static enum status say_names(struct run *run, struct state *const states[2], struct err *err)
{
    const char *names = run_option(run, "watch");
    char name[NAME_TEXT_MAX];
    while (watch_next(&names, name)) {
        struct past_asked asked = {.typed = name, .scale = SCALE_COUNT};
        struct watched watched;
        TRY(scale_option(run, "scale", &asked.scale, err));
        TRY(moves_watch(states, &asked, &watched, err));
        reach_say_name(run, &watched);
    }
    return STATUS_OK;
}

static enum status tell(struct run *run, struct state *const states[2], const struct touched *touched, size_t count,
                        struct err *err)
{
    struct moves_parts parts;
    struct compare_each each;
    char name[NAME_TEXT_MAX];
    const bool wants_each = run_option(run, "each") != NULL;
    const struct moves_asked asked = {
        .is_brief = run_option(run, "brief") != NULL, .take = wants_each ? compare_each_add : NULL, .context = &each};
    compare_each_init(run, &each);
    for (const char *names = run_option(run, "watch"); watch_next(&names, name);)
        for (int side = 0; side < 2; side++)
            reach_watch_ahead(states[side], name);
    TRY(moves_find(states, &asked, touched, count, &parts, err));
    TRY(say(run, &parts, err));
    if (each.sheet.row_count)
        TRY(run_print_sheet(run, &each.sheet, err));
    return say_names(run, states, err);
}

enum status moves_tell(struct run *run, const struct change *changes, size_t count, struct err *err)
{
    const struct moves_parts none = {0};
    struct touched *touched = NULL;
    size_t touched_count = 0;
    struct store *stores[2] = {NULL, NULL};
    struct state states[2];
    struct state *const both[] = {&states[0], &states[1]};
    if (run->command->use != USE_MOVING)
        return STATUS_OK;
    TRY(touched_find(run->state, changes, count, false, &touched, &touched_count, err));
    if (!touched_count && !run_option(run, "watch"))
        return say(run, &none, err);
    TRY(store_try(run->state->store, changes, count, stores, err));
    for (int side = 0; side < 2; side++)
        state_at(run->state, stores[side], &states[side]);
    const enum status status = tell(run, both, touched, touched_count, err);
    store_close(stores[0]);
    store_close(stores[1]);
    return status;
}
