/* SPDX-License-Identifier: MIT */
/* One thing, what it belongs to, and what moved it. */
#include "coretally/ask/trace.h"

#include <string.h>

#include "coretally/ask/link.h"
#include "coretally/base/limits.h"

enum { MOVED_MAX = DEPTH_LINKS_MAX };

struct gathered {
    struct trace_moved items[MOVED_MAX];
    size_t count;
};

/* The corrections among the links of a scale that no scale before has shown. */
static void gather(struct gathered *gathered, enum scale scale, const struct depth_links *links)
{
    const size_t before = gathered->count;
    for (size_t at = 0; at < links->count; at++) {
        const struct depth_link *link = &links->items[at];
        size_t place = 0;
        while (place < gathered->count && gathered->items[place].correction != link->correction)
            place++;
        if (!link->correction || place < before || place == MOVED_MAX)
            continue;
        if (place == gathered->count)
            gathered->items[gathered->count++] =
                (struct trace_moved){.correction = link->correction, .hole = link->hole, .scale = scale};
        if (link->amount_um != LENGTH_NONE)
            gathered->items[place].amount_um += link->amount_um;
    }
}

static void gather_span(const struct span *span, struct gathered *out)
{
    static const enum scale scales[] = {SCALE_CSF_A, SCALE_CCSF, SCALE_CCSF_B, SCALE_CCSF_D, SCALE_WMSF, SCALE_TVD};
    for (size_t at = 0; at < sizeof scales / sizeof scales[0]; at++) {
        struct depth_links links = {0};
        if (span->in_core)
            (void)place_depth(&span->top, scales[at], &links);
        else
            (void)core_top_depth(&span->target.hole, &span->target.core, at ? SCALE_TVD : SCALE_DSF, &links);
        gather(out, span->in_core ? scales[at] : at ? SCALE_TVD : SCALE_DSF, &links);
    }
}

static void gather_bag(const struct hole *hole, const struct lag_passage *passage, struct gathered *out)
{
    static const enum scale scales[] = {SCALE_DSF, SCALE_TVD};
    const struct instant cut = {.utc_us = passage->cut_us, .known = true};
    for (size_t at = 0; at < 2; at++) {
        struct depth_links links = {0};
        (void)drilled_depth(hole, passage->hole_um, DATUM_RIG_FLOOR, cut, scales[at], &links);
        gather(out, scales[at], &links);
    }
}

/* With the acts that recorded them. */
static enum status keep_moved(struct state *state, const struct gathered *gathered, struct trace *out, struct err *err)
{
    TRY(arena_take(state->arena, gathered->count, sizeof *out->moved, &out->moved, err));
    for (size_t at = 0; at < gathered->count; at++) {
        struct trace_moved *moved = &out->moved[at];
        *moved = gathered->items[at];
        const struct depth_link link = {
            .input = INPUT_CORRECTION, .correction = moved->correction, .hole = moved->hole};
        TRY(link_commit(state, &link, &moved->commit, err));
    }
    out->moved_count = gathered->count;
    return STATUS_OK;
}

/* The standing samples that were taken from it. */
static enum status find_parts(struct state *state, const struct sample_set *set, struct trace *out, struct err *err)
{
    char key[SAMPLE_KEY_MAX];
    TRY(arena_take(state->arena, set->sample_count, sizeof(void *), &out->parts, err));
    sample_key(out->sample, key);
    for (size_t at = 0; at < set->sample_count; at++)
        if (set->samples[at].of && strcmp(set->samples[at].of, key) == 0 && !set->samples[at].withdrawn)
            out->parts[out->part_count++] = &set->samples[at];
    return STATUS_OK;
}

static enum status look_in_core(struct state *state, const char *typed, const struct name *name, struct trace *out,
                                struct err *err)
{
    struct span *span = NULL;
    struct gathered gathered = {.count = 0};
    int32_t missing = 0;
    TRY(arena_take(state->arena, 1, sizeof *span, &span, err));
    TRY(span_named(state, typed, name, span, err));
    const struct target *target = &span->target;
    out->span = span;
    (void)snprintf(out->name, sizeof out->name, "%s", span->name);
    out->core = core_retyped(&target->hole, &target->core);
    out->core_top_um = core_top_depth(&target->hole, &target->core, SCALE_DRF, NULL).um;
    out->core_bottom_um = core_bottom_depth(&target->hole, &target->core, SCALE_DRF).um;
    if (target->section)
        out->section_start_um = core_section_start(&target->core, target->section->number, &missing);
    if (target->sample < target->samples.sample_count) {
        out->sample = &target->samples.samples[target->sample];
        TRY(find_parts(state, &target->samples, out, err));
    }
    gather_span(span, &gathered);
    return keep_moved(state, &gathered, out, err);
}

static enum status look_at_bag(struct state *state, const struct name *name, struct trace *out, struct err *err)
{
    struct target target = {.name = *name};
    struct bag_target *at = NULL;
    struct lag_hole hole;
    struct lag_depth depth;
    struct gathered gathered = {.count = 0};
    TRY(arena_take(state->arena, 1, sizeof *at, &at, err));
    TRY(resolve_hole(state, name, &target, err));
    TRY(bag_read(state, &target, name->bag, name->bag_number, at, err));
    if (!at->bag)
        return err_set(err, STATUS_UNKNOWN, at->name, "it is not recorded");
    out->bag = at;
    (void)snprintf(out->name, sizeof out->name, "%s", at->name);
    TRY(lag_hole_try(state, &at->target, &hole, err));
    const enum status status = bag_depth(state, &hole, at->set.kind, at->bag, &depth, err);
    lag_hole_close(&hole);
    TRY(status);
    if (!depth.why)
        gather_bag(&at->target.hole, &depth.first, &gathered);
    return keep_moved(state, &gathered, out, err);
}

enum status trace_look(struct state *state, const char *typed, const struct name *name, struct trace *out,
                       struct err *err)
{
    struct trace trace = {.core_top_um = LENGTH_NONE, .core_bottom_um = LENGTH_NONE, .section_start_um = LENGTH_NONE};
    TRY(name->level == NAME_BAG ? look_at_bag(state, name, &trace, err)
                                : look_in_core(state, typed, name, &trace, err));
    *out = trace;
    return STATUS_OK;
}
