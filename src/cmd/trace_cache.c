/* SPDX-License-Identifier: MIT */
/* Names to records, each record read once. */
#include "trace_cache.h"

#include <assert.h>
#include <string.h>

/* FNV-1a, 64 bit (Fowler, Noll, Vo; public domain constants). */
static uint64_t hash_of(const char *key)
{
    uint64_t hash = UINT64_C(14695981039346656037);
    for (; *key; key++)
        hash = (hash ^ (unsigned char)*key) * UINT64_C(1099511628211);
    return hash;
}

static struct trace_slot *find_slot(const struct trace_core *core, const char *key)
{
    size_t at = (size_t)hash_of(key) & (core->slot_count - 1);
    while (core->slots[at].key && strcmp(core->slots[at].key, key) != 0)
        at = (at + 1) & (core->slot_count - 1);
    return &core->slots[at];
}

/* A present key wins over a former one of another sample. */
static enum status put_key(struct trace_cache *cache, struct trace_core *core, const char *key, size_t len,
                           const struct sample *sample, struct err *err)
{
    const char *copy = NULL;
    TRY(arena_copy(cache->state->arena, key, len, &copy, err));
    struct trace_slot *slot = find_slot(core, copy);
    if (!slot->key)
        *slot = (struct trace_slot){copy, sample};
    return STATUS_OK;
}

static enum status index_samples(struct trace_cache *cache, struct trace_core *core, struct err *err)
{
    const struct sample_set *set = &core->target.samples;
    size_t names = 2 * set->sample_count;
    for (size_t at = 0; at < set->sample_count; at++)
        for (const char *was = set->samples[at].was; was && *was; was++)
            names += *was == ' ';
    core->slot_count = 16;
    while (core->slot_count < 2 * names)
        core->slot_count *= 2;
    TRY(arena_take(cache->state->arena, core->slot_count, sizeof *core->slots, &core->slots, err));
    for (size_t at = 0; at < set->sample_count; at++) {
        char key[SAMPLE_KEY_MAX];
        sample_key(&set->samples[at], key);
        TRY(put_key(cache, core, key, strlen(key), &set->samples[at], err));
    }
    for (size_t at = 0; at < set->sample_count; at++)
        for (const char *was = set->samples[at].was; was && *was;
             was += was[strcspn(was, " ")] ? strcspn(was, " ") + 1 : strlen(was))
            TRY(put_key(cache, core, was, strcspn(was, " "), &set->samples[at], err));
    return STATUS_OK;
}

/* What is not there must not fill the memory of the run, however often it is asked for: looked for aside first. */
static enum status probe(struct state *state, struct target *target, const struct name *name, bool is_core,
                         struct err *err)
{
    struct arena scratch;
    struct arena *const whole = state->arena;
    struct target aside = *target;
    arena_init(&scratch, ARENA_LIMIT_BYTES);
    state->arena = &scratch;
    aside.name = *name;
    const enum status status = is_core ? resolve_core(state, &aside, err) : resolve_hole(state, name, &aside, err);
    state->arena = whole;
    arena_clear(&scratch);
    return status;
}

static enum status read_core(struct trace_cache *cache, const struct trace_hole *hole, const struct name *name,
                             struct trace_core **out, struct err *err)
{
    struct trace_core *core = NULL;
    char path[REGISTRY_PATH_MAX];
    struct target target = hole->target;
    TRY(probe(cache->state, &target, name, true, err));
    TRY(arena_take(cache->state->arena, 1, sizeof *core, &core, err));
    core->target = hole->target;
    core->target.name = *name;
    TRY(resolve_core(cache->state, &core->target, err));
    samples_path(hole->target.hole_name, core->target.core.number, path);
    TRY(state_read(cache->state, path, &sample_set_table, &core->target.samples, &core->target.has_samples, err));
    core->target.sample = core->target.samples.sample_count;
    TRY(index_samples(cache, core, err));
    *out = core;
    return STATUS_OK;
}

static enum status read_hole(struct trace_cache *cache, const struct name *name, struct err *err)
{
    struct trace_hole *hole = NULL;
    struct target target = {.name = *name};
    TRY(probe(cache->state, &target, name, false, err));
    TRY(arena_take(cache->state->arena, 1, sizeof *hole, &hole, err));
    TRY(resolve_hole(cache->state, name, &hole->target, err));
    TRY(state_renamings(cache->state, hole->target.hole_name, &hole->renamed, err));
    TRY(arena_grow(cache->state->arena, &cache->holes, cache->count, &cache->room, sizeof(void *), err));
    cache->holes[cache->count] = hole;
    cache->last = cache->count++;
    return STATUS_OK;
}

/* The hole of a name, if it was read before. */
static bool knows_hole(struct trace_cache *cache, const struct name *name)
{
    char wanted[HOLE_TEXT_MAX];
    name_hole(name, wanted);
    for (size_t step = 0; step < cache->count; step++) {
        const size_t at = (cache->last + step) % cache->count;
        if (strcmp(cache->holes[at]->target.hole_name, wanted) == 0) {
            cache->last = at;
            return true;
        }
    }
    return false;
}

/* The name as it is now, where cores of its hole were renamed; what is read for it dies with it. */
static enum status carry(struct trace_cache *cache, const struct trace_hole *hole, const char *typed, struct name *name,
                         struct err *err)
{
    struct label_text label = {.is_symbol = false};
    struct err unread = {0};
    struct arena scratch;
    struct arena *const whole = cache->state->arena;
    if (!hole->renamed.renaming_count)
        return STATUS_OK;
    const bool is_label = strchr(typed, '*') && label_text_read(typed, &label, &unread) == STATUS_OK && label.is_symbol;
    arena_init(&scratch, ARENA_LIMIT_BYTES);
    cache->state->arena = &scratch;
    const enum status status =
        former_carry(cache->state, &hole->renamed, is_label ? label.state : NULL, name, &cache->former, err);
    cache->state->arena = whole;
    arena_clear(&scratch);
    return status;
}

enum status trace_cache_span(struct trace_cache *cache, const char *typed, bool must, struct span *out, struct err *err)
{
    struct name name;
    struct err unread = {0};
    cache->former = (struct former){.what = FORMER_NONE};
    const bool is_whole = name_parse(typed, &name, &unread) == STATUS_OK && name.level >= NAME_CORE;
    if (!is_whole || !knows_hole(cache, &name)) {
        TRY(resolve_typed_name(cache->state, typed, &name, err));
        if (!knows_hole(cache, &name))
            TRY(read_hole(cache, &name, err));
    }
    if (name.level < NAME_CORE || name.level == NAME_BAG)
        return err_set(err, STATUS_INPUT, typed, "this names no core, section or sample");
    if (*name.expedition && strcmp(name.expedition, cache->state->expedition.number) != 0)
        return err_set(err, STATUS_UNKNOWN, typed, "this registry belongs to expedition %s",
                       cache->state->expedition.number);
    struct trace_hole *hole = cache->holes[cache->last];
    TRY(carry(cache, hole, typed, &name, err));
    struct trace_core *core = hole->cores[name.core];
    if (!core) {
        TRY(read_core(cache, hole, &name, &core, err));
        hole->cores[name.core] = core;
    }
    assert(core);
    if (core->target.core.type != name.type)
        return err_set(err, STATUS_UNKNOWN, typed, "core %d of hole %s is %d%c, not %d%c", (int)name.core,
                       hole->target.hole_name, (int)name.core, core->target.core.type, (int)name.core, name.type);
    *out = (struct span){.target = core->target};
    out->target.name = name;
    const struct sample *sample = NULL;
    if (name.level >= NAME_SECTION) {
        out->target.section = core_section(&out->target.core, name.section);
        if (!out->target.section)
            return err_set(err, STATUS_UNKNOWN, typed, "this core has no such section");
    }
    if (name.level == NAME_SAMPLE) {
        char key[SAMPLE_KEY_MAX];
        name_sample_key(&name, key);
        sample = find_slot(core, key)->sample;
        if (!sample)
            TRY(name_check_order(&name, typed, err));
        if (!sample && must)
            return err_set(err, STATUS_UNKNOWN, typed, "no such sample is recorded");
    }
    return span_from(cache->state, typed, sample, out, err);
}
