/* SPDX-License-Identifier: MIT */
/* What a typed name spans in its core, and its depths. */
#include "coretally/state/span.h"

#include "coretally/base/limits.h"
#include "coretally/base/marks.h"
#include "coretally/domain/rule.h"
#include "coretally/state/namesake.h"

/* A whole core spans from the top of its first standing section to the end of its last one. */
static void read_core_span(struct span *span)
{
    const struct core *core = &span->target.core;
    for (size_t at = 0; at < core->section_count; at++) {
        const struct section *section = &core->sections[at];
        if (section->withdrawn)
            continue;
        const int64_t length_um = section_curated(section);
        if (!span->in_core)
            span->top = (struct place){&span->target.hole, core, section->number, 0};
        span->bottom =
            (struct place){&span->target.hole, core, section->number, length_um == LENGTH_NONE ? 0 : length_um};
        span->in_core = true;
    }
}

const char *span_note(const struct span *span, const struct depth *a, const struct depth *b)
{
    const struct target *target = &span->target;
    if (target->hole.withdrawn)
        return "the hole is withdrawn";
    if (target->core.withdrawn)
        return "the core is withdrawn";
    const struct sample *sample =
        target->sample < target->samples.sample_count ? &target->samples.samples[target->sample] : NULL;
    if (sample && sample->withdrawn)
        return "the sample is withdrawn";
    if (sample && target->section && !a->why && sample_is_outside(target->section, sample))
        return "the sample lies outside its section";
    return a->why ? a->why : b->why;
}

enum status span_from(const struct state *state, const char *typed, const struct sample *sample, struct span *out,
                      struct err *err)
{
    struct target *target = &out->target;
    out->in_core = target->name.level >= NAME_SECTION;
    (void)snprintf(target->name.expedition, sizeof target->name.expedition, "%s", state->expedition.number);
    if (!out->in_core) {
        name_format(&target->name, NAME_PRINTED, out->name);
        read_core_span(out);
        return STATUS_OK;
    }
    int64_t top_um = target->name.top_um;
    int64_t bottom_um = target->name.bottom_um;
    if (target->name.level == NAME_SECTION)
        bottom_um = section_curated(target->section);
    if (sample) { /* it may have been amended since it was named */
        name_set_sample(&target->name, sample);
        target->section = core_section(&target->core, sample->section);
        target->sample = (size_t)(sample - target->samples.samples);
        top_um = sample->top_um;
        bottom_um = sample->bottom_um;
    }
    name_format(&target->name, NAME_PRINTED, out->name);
    if (!target->section)
        return err_set(err, STATUS_RULE, out->name, "its section is withdrawn, so it has no depth");
    const int64_t length_um = section_curated(target->section);
    const int64_t last_um = sample || bottom_um == LENGTH_NONE || bottom_um < top_um ? top_um : bottom_um;
    if (!sample && length_um != LENGTH_NONE && (top_um < 0 || last_um > length_um + SAMPLE_PAST_END_UM)) {
        err_set(err, STATUS_RULE, typed, "%s cm lies outside the section, which is 0-%s cm",
                length_text(top_um < 0 || top_um > length_um + SAMPLE_PAST_END_UM ? top_um : last_um, UNIT_CM, 1).text,
                length_text(length_um, UNIT_CM, 1).text);
        return err_hint(err, "offsets are centimetres from the section top");
    }
    out->top = (struct place){&target->hole, &target->core, target->section->number, top_um};
    out->bottom = out->top;
    out->bottom.offset_um = bottom_um == LENGTH_NONE ? top_um : bottom_um;
    return STATUS_OK;
}

/* A recorded sample of the name; any other interval has a depth, too. */
static enum status span_of_target(struct state *state, const char *typed, const struct target *target, struct span *out,
                                  struct err *err)
{
    const struct sample *sample = NULL;
    struct namesake namesake;
    *out = (struct span){.target = *target};
    if (target->name.level == NAME_SAMPLE)
        TRY(namesake_find_sample(state, typed, &out->target, &sample, &namesake, err));
    return span_from(state, typed, sample, out, err);
}

enum status span_read(struct state *state, const char *typed, struct span *out, struct err *err)
{
    struct target target;
    TRY(resolve(state, typed, NAME_CORE, NAME_SAMPLE, &target, err));
    return span_of_target(state, typed, &target, out, err);
}

enum status span_named(struct state *state, const char *typed, const struct name *name, struct span *out,
                       struct err *err)
{
    struct target target;
    TRY(resolve_level(typed, name, NAME_CORE, NAME_SAMPLE, err));
    TRY(resolve_named(state, typed, name, NAME_CORE, &target, err));
    return span_of_target(state, typed, &target, out, err);
}

void span_depths(const struct span *span, enum scale scale, struct depth *top, struct depth *bottom)
{
    const struct core *core = &span->target.core;
    const struct hole *hole = &span->target.hole;
    if (scale == SCALE_DRF || scale == SCALE_DSF || (scale_is_drilled(scale) && !span->in_core)) {
        *top = core_top_depth(hole, core, scale, NULL);
        *bottom = core_bottom_depth(hole, core, scale);
        return;
    }
    if (!span->in_core) {
        *top = (struct depth){.um = LENGTH_NONE,
                              .low_um = LENGTH_NONE,
                              .high_um = LENGTH_NONE,
                              .why = core_recovered(core) == 0 ? "the barrel came up empty" : "no section is recorded"};
        *bottom = *top;
        return;
    }
    *top = place_depth(&span->top, scale, NULL);
    *bottom = place_depth(&span->bottom, scale, NULL);
}

enum status scale_typed(const char *typed, enum scale *out, struct err *err)
{
    const enum scale scale = scale_find(typed);
    if (scale == SCALE_COUNT) {
        err_set(err, STATUS_INPUT, typed, "this is not a depth scale that is kept here");
        err_hint(err, "scales are DRF, DSF, CSF-A, CSF-B, CCSF, CCSF-B, CCSF-D, WMSF, TVD and TVDSF");
        return err_marks(err, typed);
    }
    *out = scale;
    return STATUS_OK;
}
