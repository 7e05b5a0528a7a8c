/* SPDX-License-Identifier: MIT */
/* What an act did to the records that a depth rests on, in words. */
#include <string.h>

#include "coretally/ask/past.h"

static void add_word(struct text *out, const char *word)
{
    text_addf(out, "%s%s", out->len ? "; " : "", word);
}

static const struct correction *find_number(const struct moment *moment, size_t hole, int32_t number)
{
    for (size_t at = 0; at < moment->correction_counts[hole]; at++)
        if (moment->corrections[hole][at].number == number)
            return &moment->corrections[hole][at];
    return NULL;
}

/* New, withdrawn or changed ones; a signature changes none. */
static void add_corrections(const struct past *past, size_t hole, const struct moment *newer,
                            const struct moment *older, struct text *out)
{
    for (size_t at = 0; at < newer->correction_counts[hole]; at++) {
        const struct correction *it = &newer->corrections[hole][at];
        const struct correction *then = find_number(older, hole, it->number);
        if (then && record_is_equal(&correction_table, it, then))
            continue;
        text_addf(out, "%scorrection %d of %s (%s)%s", out->len ? "; " : "", (int)it->number, past->holes[hole],
                  correction_words[it->kind],
                  !then                               ? ""
                  : it->withdrawn && !then->withdrawn ? " withdrawn"
                                                      : " changed");
    }
}

/* What became of a record; both NULL never comes. */
static const char *change_word(bool was, bool is, const char *withdrawn_then, const char *withdrawn_now)
{
    if (!was)
        return "recorded";
    if (!is)
        return "removed"; /* by no command of ours */
    if (!withdrawn_then && withdrawn_now)
        return "withdrawn";
    return withdrawn_then && !withdrawn_now ? "brought back" : "amended";
}

static void add_change(struct text *out, const char *noun, const char *word)
{
    text_addf(out, "%s%s %s", out->len ? "; " : "", noun, word);
}

/* The core's own readings, its sections, or both. */
static void add_core(const struct moment *newer, const struct moment *older, struct text *out)
{
    bool own = false;
    bool sections = false;
    const bool was = older->core.hole != NULL;
    const bool is = newer->core.hole != NULL;
    for (size_t at = 0; was && is && at < core_table.count; at++) {
        const struct field *field = &core_table.fields[at];
        if (field_is_equal(field, &newer->core, &older->core))
            continue;
        own = own || field->type != FIELD_LIST;
        sections = sections || field->type == FIELD_LIST;
    }
    if (own || !was || !is)
        add_change(out, "core", change_word(was, is, older->core.withdrawn, newer->core.withdrawn));
    if (was && is && (older->core.number != newer->core.number || older->core.type != newer->core.type))
        text_addf(out, ", was %d%c", (int)older->core.number, older->core.type);
    if (sections)
        add_word(out, newer->core.section_count > older->core.section_count ? "sections added" : "sections amended");
}

static void add_sample(const struct moment *newer, const struct moment *older, struct text *out)
{
    const struct sample *now = newer->sample;
    const struct sample *then = older->sample;
    if ((!now && !then) || (now && then && record_is_equal(&sample_table, now, then)))
        return;
    add_change(out, "sample", change_word(then, now, then ? then->withdrawn : NULL, now ? now->withdrawn : NULL));
    if (then && now && strcmp(newer->name, older->name) != 0)
        text_addf(out, ", was %s", older->name);
}

/* The same record under another path that it had was told before. */
static bool is_told(const struct past_act *act, size_t at)
{
    const struct past_path *paths = act->paths;
    for (size_t before = 0; before < at; before++)
        if ((act->touched & (UINT64_C(1) << before)) && paths[before].part == paths[at].part &&
            paths[before].hole == paths[at].hole)
            return true;
    return false;
}

static void add_bag(const struct moment *newer, const struct moment *older, struct text *out)
{
    const struct bag *now = newer->bag;
    const struct bag *then = older->bag;
    if ((!now && !then) || (now && then && record_is_equal(&bag_table, now, then)))
        return;
    add_change(out, "bag", change_word(then, now, then ? then->withdrawn : NULL, now ? now->withdrawn : NULL));
}

static void add_part(const struct past *past, const struct past_path *path, const struct moment *newer,
                     const struct moment *older, struct text *out)
{
    switch (path->part) {
    case PAST_HOLE:
        if (path->hole)
            text_addf(out, "%shole %s amended", out->len ? "; " : "", past->holes[path->hole]);
        else
            add_change(out, "hole",
                       change_word(older->hole.site, newer->hole.site, older->hole.withdrawn, newer->hole.withdrawn));
        break;
    case PAST_CORRECTIONS:
        add_corrections(past, path->hole, newer, older, out);
        break;
    case PAST_CORE:
        add_core(newer, older, out);
        break;
    case PAST_SAMPLES:
        add_sample(newer, older, out);
        break;
    case PAST_WELL:
        add_word(out, "well");
        break;
    case PAST_PUMPS:
        add_word(out, "pumps");
        break;
    case PAST_CHECKS:
        add_word(out, "lag check");
        break;
    case PAST_LOG:
        add_word(out, "pump log");
        break;
    case PAST_BAGS:
        add_bag(newer, older, out);
        break;
    }
}

enum status past_cause(struct state *state, const struct past *past, const struct past_act *act, const char **out,
                       struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, state->arena);
    for (size_t at = 0; at < act->path_count; at++)
        if ((act->touched & (UINT64_C(1) << at)) && !is_told(act, at))
            add_part(past, &act->paths[at], act->newer, act->older, &text);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}
