/* SPDX-License-Identifier: MIT */
/* What is asked for of things with labels, their depths, and whether a label still shows them. */
#include <string.h>

#include "coretally/ask/label_things.h"
#include "coretally/state/span.h"

/* The thing that a typed name names, down to a sample or a bag. */
static enum status read_name(struct state *state, const char *typed, struct name *out, struct err *err)
{
    struct target target;
    TRY(resolve(state, typed, NAME_HOLE, NAME_BAG, &target, err));
    if (target.name.level == NAME_POINT) {
        err_set(err, STATUS_INPUT, typed, "a place in a section has no label; a sample has");
        return err_hint(err, "type its interval, such as 45-47");
    }
    *out = target.name;
    if (target.name.level != NAME_SAMPLE)
        return STATUS_OK;
    TRY(resolve_named(state, typed, out, NAME_SAMPLE, &target, err));
    name_set_sample(out, &target.samples.samples[target.sample]);
    return STATUS_OK;
}

enum status label_scope_of(struct state *state, const struct label_asked *asked, const char *typed,
                           struct label_scope *out, struct err *err)
{
    struct label_scope scope = {.asked = *asked};
    if (typed)
        TRY(read_name(state, typed, &scope.name, err));
    *out = scope;
    return STATUS_OK;
}

/* Is the name what the scope names, or below it? */
static bool holds_name(const struct label_scope *scope, const struct name *name)
{
    char wanted[SAMPLE_KEY_MAX];
    char key[SAMPLE_KEY_MAX];
    switch (scope->name.level) {
    case NAME_HOLE:
    case NAME_CORE:
        return scope->is_below || name->level == scope->name.level;
    case NAME_SECTION:
        return name->level >= NAME_SECTION && name->level <= NAME_SAMPLE && name->section == scope->name.section &&
               (scope->name.half == HALF_NONE || name->half == scope->name.half) &&
               (scope->is_below || name->level == NAME_SECTION);
    case NAME_BAG:
        return name->level == NAME_BAG && name->bag_number == scope->name.bag_number;
    default:
        name_sample_key(&scope->name, wanted);
        name_sample_key(name, key);
        return name->level == NAME_SAMPLE && strcmp(wanted, key) == 0;
    }
}

bool label_scope_has(const struct label_scope *scope, const struct thing *thing)
{
    struct name name;
    struct err unread;
    static const enum thing_kind kinds[] = {
        [NAME_HOLE] = THING_CORE,    [NAME_CORE] = THING_CORE,     [NAME_SECTION] = THING_SECTION,
        [NAME_POINT] = THING_SAMPLE, [NAME_SAMPLE] = THING_SAMPLE, [NAME_BAG] = THING_BAG};
    if (name_parse(thing->name, &name, &unread) != STATUS_OK)
        return scope->is_below;
    return scope->asked.kinds[kinds[name.level]] && holds_name(scope, &name);
}

const char *thing_scale(const struct label_scope *scope, const struct thing *thing)
{
    if (thing->kind == THING_BAG)
        return bag_scale_word(scope->asked.scale == SCALE_COUNT ? SCALE_DRF : scope->asked.scale);
    return scale_words[scope->asked.scale == SCALE_COUNT ? SCALE_CSF_A : scope->asked.scale];
}

static enum status find_bag_depth(struct state *state, const struct things *things, const struct thing *thing,
                                  enum scale scale, struct thing_depth *out, struct err *err)
{
    struct lag_depth depth;
    struct depth ends[BAG_ENDS];
    if (!scale_is_drilled(scale)) {
        err_set(err, STATUS_RULE, thing->name, "what is taken at the shaker has no %s", scale_words[scale]);
        return err_hint(err, "it has MRF, MSF, TVD and TVDSF: leave --scale out, or add --what core,section,sample");
    }
    TRY(bag_depth(state, things->lag, things->bags.kind, thing->bag, &depth, err));
    bag_depths(&things->target.hole, &depth, scale, ends);
    *out = (struct thing_depth){ends[BAG_TOP].um, ends[BAG_BOTTOM].um, depth.why ? depth.why : ends[BAG_TOP].why};
    return STATUS_OK;
}

static enum status find_core_depth(struct state *state, const struct things *things, const struct thing *thing,
                                   enum scale scale, struct thing_depth *out, struct err *err)
{
    struct span span = {.target = things->target};
    struct depth top;
    struct depth bottom;
    if (thing->section) {
        span.target.name.level = thing->sample ? NAME_SAMPLE : NAME_SECTION;
        span.target.name.section = thing->section->number;
        span.target.section = thing->section;
    }
    TRY(span_from(state, thing->name, thing->sample, &span, err));
    span_depths(&span, scale, &top, &bottom);
    *out = (struct thing_depth){top.um, bottom.um, top.why ? top.why : bottom.why};
    return STATUS_OK;
}

enum status thing_depth(struct state *state, const struct things *things, const struct thing *thing, const char *scale,
                        struct thing_depth *out, struct err *err)
{
    const int decimals = label_decimals(scale);
    struct thing_depth depth = {.top_um = LENGTH_NONE, .bottom_um = LENGTH_NONE};
    TRY(thing->kind == THING_BAG ? find_bag_depth(state, things, thing, scale_find(scale), &depth, err)
                                 : find_core_depth(state, things, thing, scale_find(scale), &depth, err));
    if (depth.top_um == LENGTH_NONE || depth.bottom_um == LENGTH_NONE)
        depth.top_um = depth.bottom_um = LENGTH_NONE;
    else
        depth.why = NULL;
    depth.top_um = label_rounded(depth.top_um, decimals);
    depth.bottom_um = label_rounded(depth.bottom_um, decimals);
    *out = depth;
    return STATUS_OK;
}

static void add_hazard(struct text *out, const char *hazard)
{
    if (hazard)
        text_addf(out, "%s%s", out->len ? ", " : "", hazard);
}

enum status thing_hazard(struct state *state, const struct things *things, const struct thing *thing, const char **out,
                         struct err *err)
{
    const struct sample_set *set = &things->target.samples;
    struct text text;
    struct bytes bytes = {0};
    text_init(&text, state->arena);
    if (thing->bag)
        add_hazard(&text, thing->bag->hazard);
    else {
        for (const struct sample *at = thing->sample; at;
             at = at->of ? sample_find(set->samples, set->sample_count, at->of) : NULL)
            add_hazard(&text, at->hazard);
        add_hazard(&text, things->target.core.hazard);
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

/* Why a label is stale, by ';'. */
static enum status add_why(struct state *state, struct label_now *now, const char *word, const char *what,
                           struct err *err)
{
    struct text text;
    struct bytes bytes;
    now->freshness = LABEL_STALE;
    text_init(&text, state->arena);
    text_addf(&text, "%s%s%s%s", now->why ? now->why : "", now->why ? "; " : "", word, what);
    TRY(text_done(&text, &bytes, err));
    now->why = bytes.data;
    return STATUS_OK;
}

/* What the label warns of against today. A text that was scanned has no hazard in it. */
static enum status hold_hazard(struct state *state, const struct things *things, const struct thing *thing,
                               const struct label *label, struct label_now *now, struct err *err)
{
    const char *hazard = NULL;
    if (!label->printed.known)
        return STATUS_OK;
    TRY(thing_hazard(state, things, thing, &hazard, err));
    if (strcmp(hazard ? hazard : "", label->hazard ? label->hazard : "") == 0)
        return STATUS_OK;
    return add_why(state, now, "hazard now: ", hazard ? hazard : "none", err);
}

enum status label_hold(struct state *state, const struct things *things, const struct thing *thing,
                       const struct label *label, struct label_now *out, struct err *err)
{
    struct label_now now = {.freshness = LABEL_GONE, .top_um = LENGTH_NONE, .bottom_um = LENGTH_NONE};
    struct thing_depth depth;
    now.why = thing->gone;
    if (thing->kind != THING_GONE) {
        TRY(thing_depth(state, things, thing, label->scale, &depth, err));
        const bool is_same = depth.top_um == label->top_um && depth.bottom_um == label->bottom_um;
        now = (struct label_now){is_same ? LABEL_FRESH : LABEL_STALE, depth.top_um, depth.bottom_um, depth.why};
        TRY(hold_hazard(state, things, thing, label, &now, err));
        if (strcmp(label->name, thing->name) != 0) /* its core was given another one */
            TRY(add_why(state, &now, "name now: ", thing->name, err));
    }
    *out = now;
    return STATUS_OK;
}
