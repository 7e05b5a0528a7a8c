/* SPDX-License-Identifier: MIT */
/* A thing on one scale after the other. */
#include "coretally/ask/on_scales.h"

#include "coretally/state/bag.h"

static int64_t mid(int64_t top_um, int64_t bottom_um)
{
    return top_um == LENGTH_NONE || bottom_um == LENGTH_NONE ? LENGTH_NONE : (top_um + bottom_um) / 2;
}

static void add_span(const struct span *span, enum scale scale, struct on_scales *out)
{
    struct depth top;
    struct depth bottom;
    span_depths(span, scale, &top, &bottom);
    const bool is_upside_down =
        top.um != LENGTH_NONE && bottom.um != LENGTH_NONE && bottom.um < top.um; /* kept although typed so */
    out->items[out->count++] = (struct on_scale){.scale = scale,
                                                 .word = scale_words[scale],
                                                 .method = top.um == LENGTH_NONE ? bottom.method : top.method,
                                                 .top_um = top.um,
                                                 .bottom_um = bottom.um,
                                                 .mid_um = mid(top.um, bottom.um),
                                                 .low_um = is_upside_down ? bottom.low_um : top.low_um,
                                                 .high_um = is_upside_down ? top.high_um : bottom.high_um,
                                                 .note = span_note(span, &top, &bottom)};
}

/* A bag on MRF and MSF, and by the survey on TVD and TVDSF; the other scales are those of cores. */
static void add_bag(const struct bag_target *at, const struct lag_depth *bag, enum scale scale, struct on_scales *out)
{
    struct depth ends[BAG_ENDS];
    bag_depths(&at->target.hole, bag, scale, ends);
    const int64_t mid_um = mid(ends[BAG_TOP].um, ends[BAG_BOTTOM].um);
    const char *why = bag->why ? bag->why : ends[BAG_TOP].why;
    const bool is_lag = scale == SCALE_DRF && mid_um != LENGTH_NONE;
    out->items[out->count++] = (struct on_scale){.scale = scale,
                                                 .word = bag_scale_word(scale),
                                                 .method = is_lag ? "lag through the pump log" : ends[BAG_TOP].method,
                                                 .top_um = ends[BAG_TOP].um,
                                                 .bottom_um = ends[BAG_BOTTOM].um,
                                                 .mid_um = mid_um,
                                                 .low_um = ends[BAG_LOW].um,
                                                 .high_um = ends[BAG_HIGH].um,
                                                 .note = at->bag->withdrawn ? "the bag is withdrawn" : why};
}

void on_scales_of_span(const struct span *span, enum scale first, enum scale last, struct on_scales *out)
{
    *out = (struct on_scales){.count = 0};
    (void)snprintf(out->name, sizeof out->name, "%s", span->name);
    for (int scale = (int)first; scale <= (int)last; scale++)
        add_span(span, (enum scale)scale, out);
}

enum status on_scales_of_bag(struct state *state, const struct bag_target *at, enum scale first, enum scale last,
                             struct on_scales *out, struct err *err)
{
    struct lag_hole hole;
    struct lag_depth depth;
    *out = (struct on_scales){.is_bag = true};
    (void)snprintf(out->name, sizeof out->name, "%s", at->name);
    if (first == last && !scale_is_drilled(first)) {
        err_set(err, STATUS_RULE, at->name, "what is taken at the shaker has no %s", scale_words[first]);
        return err_hint(err, "it has MRF, MSF, TVD and TVDSF");
    }
    TRY(lag_hole_try(state, &at->target, &hole, err));
    const enum status status = bag_depth(state, &hole, at->set.kind, at->bag, &depth, err);
    lag_hole_close(&hole);
    TRY(status);
    for (int scale = (int)first; scale <= (int)last; scale++)
        if (scale_is_drilled((enum scale)scale))
            add_bag(at, &depth, (enum scale)scale, out);
    return STATUS_OK;
}

enum status on_scales_find(struct state *state, const char *typed, enum scale first, enum scale last,
                           struct on_scales *out, struct err *err)
{
    struct bag_target at = {0};
    struct span span;
    struct name name;
    TRY(resolve_name(state, typed, &name, err));
    if (name.level != NAME_BAG) {
        TRY(span_named(state, typed, &name, &span, err));
        on_scales_of_span(&span, first, last, out);
        return STATUS_OK;
    }
    struct target target = {.name = name};
    TRY(resolve_hole(state, &name, &target, err));
    TRY(bag_read(state, &target, name.bag, name.bag_number, &at, err));
    if (!at.bag)
        return err_set(err, STATUS_UNKNOWN, at.name, "it is not recorded");
    return on_scales_of_bag(state, &at, first, last, out, err);
}
