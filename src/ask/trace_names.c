/* SPDX-License-Identifier: MIT */
/* Names to records, each core looked up once. */
#include "coretally/ask/trace_names.h"

#include <assert.h>
#include <string.h>

struct traced_slot {
    const char *key; /* NULL: free */
    const struct sample *sample;
    bool is_namesake; /* another sample had the key, or it was this one's before registries were joined */
};

struct traced_core {
    struct target target;      /* hole, core and samples; its name that of the core */
    struct traced_slot *slots; /* present and former keys; a power of two, at most half full */
    size_t slot_count;
};

struct traced_hole {
    struct target target;
    struct renaming_set renamed;
    struct traced_core *cores[CORE_NUMBER_MAX + 1]; /* NULL: not asked for yet */
};

/* FNV-1a, 64 bit (Fowler, Noll, Vo; public domain constants). */
static uint64_t hash_of(const char *key)
{
    uint64_t hash = UINT64_C(14695981039346656037);
    for (; *key; key++)
        hash = (hash ^ (unsigned char)*key) * UINT64_C(1099511628211);
    return hash;
}

static struct traced_slot *find_slot(const struct traced_core *core, const char *key)
{
    size_t at = (size_t)hash_of(key) & (core->slot_count - 1);
    while (core->slots[at].key && strcmp(core->slots[at].key, key) != 0)
        at = (at + 1) & (core->slot_count - 1);
    return &core->slots[at];
}

/* A present key wins over a former one of another sample. */
static enum status put_key(struct trace_names *names, struct traced_core *core, const char *key, size_t len,
                           const struct sample *sample, struct err *err)
{
    const char *copy = NULL;
    const size_t name = strcspn(key, "@") < len ? strcspn(key, "@") : len;
    TRY(arena_copy(names->state->arena, key, name, &copy, err));
    struct traced_slot *slot = find_slot(core, copy);
    const bool is_namesake = name < len || (slot->key && slot->sample != sample);
    if (!slot->key)
        *slot = (struct traced_slot){.key = copy, .sample = sample};
    slot->is_namesake = slot->is_namesake || is_namesake;
    return STATUS_OK;
}

static enum status index_samples(struct trace_names *names, struct traced_core *core, struct err *err)
{
    const struct sample_set *set = &core->target.samples;
    size_t keys = 2 * set->sample_count;
    for (size_t at = 0; at < set->sample_count; at++)
        for (const char *was = set->samples[at].was; was && *was; was++)
            keys += *was == ' ';
    core->slot_count = 16;
    while (core->slot_count < 2 * keys)
        core->slot_count *= 2;
    TRY(arena_take(names->state->arena, core->slot_count, sizeof *core->slots, &core->slots, err));
    for (size_t at = 0; at < set->sample_count; at++) {
        char key[SAMPLE_KEY_MAX];
        sample_key(&set->samples[at], key);
        TRY(put_key(names, core, key, strlen(key), &set->samples[at], err));
    }
    for (size_t at = 0; at < set->sample_count; at++)
        for (const char *was = set->samples[at].was; was && *was;
             was += was[strcspn(was, " ")] ? strcspn(was, " ") + 1 : strlen(was))
            TRY(put_key(names, core, was, strcspn(was, " "), &set->samples[at], err));
    return STATUS_OK;
}

/* What is not there must not fill the memory of the run, however often it is asked for: looked for aside first. */
static enum status probe(const struct state *state, const struct target *hole, const struct name *name, bool is_core,
                         struct err *err)
{
    struct state inner;
    struct target aside = *hole;
    aside.name = *name;
    state_nest_results(state, &inner);
    const enum status status = is_core ? resolve_core(&inner, &aside, err) : resolve_hole(&inner, name, &aside, err);
    state_leave(&inner);
    return status;
}

static enum status read_core(struct trace_names *names, const struct traced_hole *hole, const struct name *name,
                             struct traced_core **out, struct err *err)
{
    struct traced_core *core = NULL;
    char path[REGISTRY_PATH_MAX];
    struct target target = hole->target;
    TRY(probe(names->state, &target, name, true, err));
    TRY(arena_take(names->state->arena, 1, sizeof *core, &core, err));
    core->target = hole->target;
    core->target.name = *name;
    TRY(resolve_core(names->state, &core->target, err));
    samples_path(hole->target.hole_name, core->target.core.number, path);
    TRY(state_read(names->state, path, &sample_set_table, &core->target.samples, &core->target.has_samples, err));
    core->target.sample = core->target.samples.sample_count;
    TRY(index_samples(names, core, err));
    *out = core;
    return STATUS_OK;
}

static enum status read_hole(struct trace_names *names, const struct name *name, struct err *err)
{
    struct traced_hole *hole = NULL;
    struct target target = {.name = *name};
    TRY(probe(names->state, &target, name, false, err));
    TRY(arena_take(names->state->arena, 1, sizeof *hole, &hole, err));
    TRY(resolve_hole(names->state, name, &hole->target, err));
    TRY(state_renamings(names->state, hole->target.hole_name, &hole->renamed, err));
    TRY(arena_grow(names->state->arena, &names->holes, names->count, &names->room, sizeof(void *), err));
    names->holes[names->count] = hole;
    names->last = names->count++;
    return STATUS_OK;
}

/* The hole of a name, if it was read before. */
static bool knows_hole(struct trace_names *names, const struct name *name)
{
    char wanted[HOLE_TEXT_MAX];
    name_hole(name, wanted);
    for (size_t step = 0; step < names->count; step++) {
        const size_t at = (names->last + step) % names->count;
        if (strcmp(names->holes[at]->target.hole_name, wanted) == 0) {
            names->last = at;
            return true;
        }
    }
    return false;
}

/* The name as it is now, where cores of its hole were renamed. */
static enum status carry(struct trace_names *names, const struct traced_hole *hole, struct name *name, struct err *err)
{
    struct state inner;
    const char *label_state = names->label.is_symbol ? names->label.state : NULL;
    if (!hole->renamed.renaming_count)
        return STATUS_OK;
    state_nest_results(names->state, &inner);
    const enum status status = former_carry(&inner, &hole->renamed, label_state, name, &names->former, err);
    state_leave(&inner);
    return status;
}

/* The hole of a typed name, read when it is first asked for; the name as it is now. */
static enum status find_hole(struct trace_names *names, const char *typed, struct name *name, struct traced_hole **out,
                             struct err *err)
{
    struct err unread = {0};
    const bool is_whole = name_parse(typed, name, &unread) == STATUS_OK && name->level >= NAME_CORE;
    if (!is_whole || !knows_hole(names, name)) {
        TRY(resolve_typed_name(names->state, typed, name, err));
        if (!knows_hole(names, name))
            TRY(read_hole(names, name, err));
    }
    if (name->level < NAME_CORE || name->level == NAME_BAG)
        return err_set(err, STATUS_INPUT, typed, "this names no core, section or sample");
    if (*name->expedition && strcmp(name->expedition, names->state->expedition.number) != 0)
        return err_set(err, STATUS_UNKNOWN, typed, "this registry belongs to expedition %s",
                       names->state->expedition.number);
    *out = names->holes[names->last];
    return carry(names, *out, name, err);
}

static enum status find_core(struct trace_names *names, struct traced_hole *hole, const char *typed,
                             const struct name *name, const struct traced_core **out, struct err *err)
{
    if (!hole->cores[name->core])
        TRY(read_core(names, hole, name, &hole->cores[name->core], err));
    *out = hole->cores[name->core];
    assert(*out);
    const char type = (*out)->target.core.type;
    if (type != name->type)
        return err_set(err, STATUS_UNKNOWN, typed, "core %d of hole %s is %d%c, not %d%c", (int)name->core,
                       hole->target.hole_name, (int)name->core, type, (int)name->core, name->type);
    return STATUS_OK;
}

/* What a label says of a key that two samples had. */
static enum status ask_label(struct trace_names *names, const struct traced_core *core, const char *key,
                             const struct sample **out, struct err *err)
{
    const char *label_state = names->label.is_symbol ? names->label.state : NULL;
    struct state inner;
    state_nest_results(names->state, &inner);
    const enum status status =
        namesake_sample(&inner, &core->target, label_state, NULL, key, out, &names->namesake, err);
    state_leave(&inner);
    return status;
}

/* NULL: none of this name is recorded, or none is named. */
static enum status find_sample(struct trace_names *names, const struct traced_core *core, const struct name *name,
                               const char *typed, bool must, const struct sample **out, struct err *err)
{
    char key[SAMPLE_KEY_MAX];
    *out = NULL;
    if (name->level != NAME_SAMPLE)
        return STATUS_OK;
    name_sample_key(name, key);
    const struct traced_slot *slot = find_slot(core, key);
    *out = slot->sample;
    if (slot->is_namesake || (!*out && names->label.is_symbol))
        TRY(ask_label(names, core, key, out, err));
    if (!*out)
        TRY(name_check_order(name, typed, err));
    if (!*out && must)
        return err_set(err, STATUS_UNKNOWN, typed, "no such sample is recorded");
    return STATUS_OK;
}

enum status trace_names_span(struct trace_names *names, const char *typed, bool must, struct span *out, struct err *err)
{
    struct name name;
    struct err unread = {0};
    struct traced_hole *hole = NULL;
    const struct traced_core *core = NULL;
    const struct sample *sample = NULL;
    names->former = (struct former){.what = FORMER_NONE};
    names->namesake = (struct namesake){.what = NAMESAKE_NONE};
    if (!strchr(typed, '*') || label_text_read(typed, &names->label, &unread) != STATUS_OK)
        names->label = (struct label_text){.is_symbol = false};
    TRY(find_hole(names, typed, &name, &hole, err));
    assert(hole);
    TRY(find_core(names, hole, typed, &name, &core, err));
    *out = (struct span){.target = core->target};
    out->target.name = name;
    if (name.level >= NAME_SECTION) {
        out->target.section = core_section(&out->target.core, name.section);
        if (!out->target.section)
            return err_set(err, STATUS_UNKNOWN, typed, "this core has no such section");
    }
    TRY(find_sample(names, core, &name, typed, must, &sample, err));
    return span_from(names->state, typed, sample, out, err);
}

bool trace_names_is_stale(const struct trace_names *names, const struct span *span)
{
    const struct label_text *label = &names->label;
    struct depth top;
    struct depth bottom;
    if (!label->is_symbol || scale_find(label->scale) == SCALE_COUNT)
        return false;
    const int decimals = label_decimals(label->scale);
    span_depths(span, scale_find(label->scale), &top, &bottom);
    return label_rounded(top.um, decimals) != label->top_um || label_rounded(bottom.um, decimals) != label->bottom_um;
}
