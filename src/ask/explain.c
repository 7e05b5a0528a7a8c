/* SPDX-License-Identifier: MIT */
/* A depth link by link, with the act behind each input. */
#include "coretally/ask/explain.h"

#include "coretally/ask/link.h"

/* The readings of a record that a link rests on. */
static const char *const of_run[] = {"top", "datum", NULL};
static const char *const of_tolerance[] = {"tolerance", "heave", "tide", NULL};
static const char *const of_advance[] = {"top", "bottom", "advance_by", "recovered", "type", NULL};
static const char *const of_offset[] = {"section", "top", "bottom", NULL};
static const char *const of_length[] = {"curated", "liner", "voids", "pieces", "withdrawn", NULL};

static enum status find_source(struct state *state, const struct target *target, struct explained *out, struct err *err)
{
    const struct depth_link *link = out->link;
    const struct sample *sample =
        target->sample < target->samples.sample_count ? &target->samples.samples[target->sample] : NULL;
    if (link->input == INPUT_SECTIONS_ABOVE)
        return STATUS_OK; /* the sections follow with their own */
    if (link->input == INPUT_OFFSET && !sample) {
        out->is_typed = true;
        return STATUS_OK;
    }
    if (link->input == INPUT_SEAFLOOR || link->input == INPUT_CORRECTION) {
        struct commit commit = {0};
        TRY(link_commit(state, link, &commit, err));
        return source_of_commit(state, &commit, &out->source, err);
    }
    if (link->input == INPUT_TOLERANCE) {
        const struct record_at at = record_of_hole(target->hole_name, &target->hole);
        return source_find(state, &at, of_tolerance, &out->source, err);
    }
    if (link->input == INPUT_OFFSET) {
        const struct record_at at = record_of_sample(target->hole_name, target->core.number, sample);
        return source_find(state, &at, of_offset, &out->source, err);
    }
    const struct record_at at = record_of_core(target->hole_name, &target->core);
    return source_find(state, &at, link->input == INPUT_CORE_TOP ? of_run : of_advance, &out->source, err);
}

/* Does the link count this section with its curated length? */
static bool counts(const struct span *span, const struct depth_link *link, const struct section *section)
{
    if (section->withdrawn)
        return false;
    if (link->input == INPUT_SECTIONS_ABOVE)
        return section->number < span->top.section;
    return link->input == INPUT_COMPRESSION && link->amount_um != LENGTH_NONE && section->number >= span->top.section;
}

static enum status add_link(struct state *state, const struct span *span, const struct depth_link *link,
                            struct explanation *out, struct err *err)
{
    const struct core *core = &span->target.core;
    struct explained *item = &out->items[out->count++];
    *item = (struct explained){.link = link};
    TRY(find_source(state, &span->target, item, err));
    TRY(link_words(state, link, core->number, &item->rule, &item->why, err));
    for (size_t at = 0; at < core->section_count; at++) {
        const struct section *section = &core->sections[at];
        if (!counts(span, link, section))
            continue;
        const struct record_at record = record_of_section(span->target.hole_name, core->number, section);
        item = &out->items[out->count++];
        *item = (struct explained){.link = link, .section = section};
        TRY(source_find(state, &record, of_length, &item->source, err));
    }
    return STATUS_OK;
}

enum status explain_depth(struct state *state, const struct span *span, enum scale scale, struct explanation *out,
                          struct err *err)
{
    const struct core *core = &span->target.core;
    struct depth_links *links = NULL;
    size_t room = 0;
    *out = (struct explanation){.count = 0};
    TRY(arena_take(state->arena, 1, sizeof *links, &links, err));
    out->depth =
        span->in_core ? place_depth(&span->top, scale, links) : core_top_depth(&span->target.hole, core, scale, links);
    for (size_t at = 0; at < links->count; at++) {
        room++;
        for (size_t section = 0; section < core->section_count; section++)
            room += counts(span, &links->items[at], &core->sections[section]);
    }
    TRY(arena_take(state->arena, room, sizeof *out->items, &out->items, err));
    for (size_t at = 0; at < links->count; at++)
        TRY(add_link(state, span, &links->items[at], out, err));
    out->dropped = links->dropped;
    return STATUS_OK;
}
