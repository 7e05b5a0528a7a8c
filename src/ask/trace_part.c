/* SPDX-License-Identifier: MIT */
/* Looks for what a part of a name could be, hole by hole. */
#include "coretally/ask/trace_part.h"

#include <string.h>

#include "coretally/state/bag.h"
#include "coretally/state/former.h"
#include "coretally/state/namesake.h"

enum { PARTS_SHOWN = 8 };

struct search {
    struct state *state;
    const struct label_text *typed; /* its check character, if there is one, chooses */
    char found[PARTS_SHOWN][NAME_TEXT_MAX];
    size_t count;
};

static void take(struct search *search, const struct name *name)
{
    struct name full = *name;
    char text[NAME_TEXT_MAX];
    (void)snprintf(full.expedition, sizeof full.expedition, "%s", search->state->expedition.number);
    name_format(&full, NAME_COMPACT, text);
    if (!label_text_fits(search->typed, text))
        return;
    name_format(&full, NAME_PRINTED, text);
    for (size_t at = 0; at < search->count && at < PARTS_SHOWN; at++)
        if (strcmp(search->found[at], text) == 0)
            return;
    if (search->count < PARTS_SHOWN)
        memcpy(search->found[search->count], text, sizeof text);
    search->count++;
}

/* Does the sample begin where the name does; with its lower end, half and number, where it has them? */
static bool is_like(const struct sample *sample, const struct name *name)
{
    return !sample->withdrawn && !sample->of && sample->section == name->section && sample->top_um == name->top_um &&
           (name->level != NAME_SAMPLE || sample->bottom_um == name->bottom_um) &&
           (name->half == HALF_NONE || sample->half == name->half) &&
           (name->ordinal <= 1 || sample->ordinal == name->ordinal);
}

static void take_sample(struct search *search, const struct name *name, const struct sample *sample)
{
    struct name whole = *name;
    whole.level = NAME_SAMPLE;
    name_set_sample(&whole, sample);
    take(search, &whole);
}

/* Samples of the name, its former ones too; those that begin there; with none the place itself. */
static enum status look_at_samples(struct search *search, const struct name *name, struct err *err)
{
    char hole[HOLE_TEXT_MAX];
    char path[REGISTRY_PATH_MAX];
    char key[SAMPLE_KEY_MAX];
    struct sample_set set = {0};
    bool there = false;
    bool is_any = false;
    name_hole(name, hole);
    samples_path(hole, name->core, path);
    TRY(state_read(search->state, path, &sample_set_table, &set, &there, err));
    name_sample_key(name, key);
    const struct sample *exact = name->level == NAME_SAMPLE ? sample_find(set.samples, set.sample_count, key) : NULL;
    if (!exact && name->level == NAME_SAMPLE)
        exact = sample_find_former(set.samples, set.sample_count, key);
    if (exact)
        take_sample(search, name, exact);
    for (size_t at = 0; !exact && !name->sub_count && at < set.sample_count; at++)
        if (is_like(&set.samples[at], name)) {
            take_sample(search, name, &set.samples[at]);
            is_any = true;
        }
    if (!exact && !is_any && name->level == NAME_POINT)
        take(search, name);
    return STATUS_OK;
}

static enum status look_at(struct search *search, const struct name *parsed, struct err *err)
{
    struct state *state = search->state;
    struct name now = *parsed;
    struct former former;
    TRY(former_carry(state, NULL, NULL, &now, &former, err));
    const struct name *const name = &now;
    struct target target = {.name = now};
    struct bag_target bag = {0};
    struct err absent = {0};
    name_hole(name, target.hole_name);
    if (*name->expedition && strcmp(name->expedition, state->expedition.number) != 0)
        return STATUS_OK;
    if (name->level == NAME_BAG) {
        const struct minted_group group = {.hole = target.hole_name, .kind = now.bag};
        struct namesake namesake;
        TRY(namesake_number(state, &group, NULL, NULL, now.bag_number, &namesake, err));
        if (namesake.what == NAMESAKE_CARRIED)
            now.bag_number = namesake.number;
        TRY(bag_read(state, &target, name->bag, name->bag_number, &bag, err));
        if (bag.bag)
            take(search, name);
        return STATUS_OK;
    }
    const enum status status = name->level < NAME_CORE ? STATUS_UNKNOWN : resolve_core(state, &target, &absent);
    if (status == STATUS_DAMAGED || status == STATUS_SYSTEM) {
        *err = absent;
        return status;
    }
    if (status != STATUS_OK || (name->level >= NAME_SECTION && !core_section(&target.core, name->section)))
        return STATUS_OK;
    if (name->level >= NAME_POINT)
        return look_at_samples(search, name, err);
    take(search, name);
    return STATUS_OK;
}

/* The recorded thing of a whole name needs no search. */
static enum status is_whole(struct state *state, const char *typed, struct name *name, bool *out, struct err *err)
{
    struct target target;
    struct err absent = {0};
    enum status status = resolve_name(state, typed, name, &absent);
    *out = false;
    if (status == STATUS_OK && name->level == NAME_POINT)
        return STATUS_OK;
    if (status == STATUS_OK)
        status =
            resolve_named(state, typed, name, name->level == NAME_SAMPLE ? NAME_SAMPLE : NAME_HOLE, &target, &absent);
    *out = status == STATUS_OK;
    if (!status_is_failure(status))
        return STATUS_OK;
    *err = absent;
    return status;
}

/* As typed, and below each hole, or below the one that was said. */
static enum status search_holes(struct search *search, const char *typed, struct err *err)
{
    struct names holes = {0};
    struct name name;
    struct err unread = {0};
    const char *said = NULL;
    TRY(resolve_default_hole(search->state, &said, err));
    TRY(state_holes(search->state, &holes, err));
    if (name_parse(typed, &name, &unread) == STATUS_OK)
        TRY(look_at(search, &name, err));
    for (size_t at = 0; at < holes.count; at++) {
        char whole[2 * NAME_TEXT_MAX];
        if (said && name_distance(said, holes.items[at]) != 0)
            continue;
        (void)snprintf(whole, sizeof whole, "%s-%s", holes.items[at], typed);
        if (name_parse(whole, &name, &unread) == STATUS_OK)
            TRY(look_at(search, &name, err));
    }
    return STATUS_OK;
}

/* Is what was found called as it was typed, but for the expedition? A place is what it is called. */
static bool is_as_typed(const struct search *search)
{
    char own[NAME_TEXT_MAX];
    struct name name;
    struct err unread = {0};
    if (name_parse(search->typed->name, &name, &unread) != STATUS_OK)
        return false;
    (void)snprintf(name.expedition, sizeof name.expedition, "%s", search->state->expedition.number);
    name_format(&name, NAME_PRINTED, own);
    return strcmp(own, search->found[0]) == 0;
}

static enum status refuse_many(const struct search *search, const char *typed, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, search->state->arena);
    for (size_t at = 0; at < search->count && at < PARTS_SHOWN; at++)
        text_addf(&text, "%s%s", at ? "; " : "", search->found[at]);
    TRY(text_done(&text, &bytes, err));
    err_set(err, STATUS_INPUT, typed, "this part of a name fits %zu things; type more of it", search->count);
    return err_hint(err, "%s%s", bytes.data, search->count > PARTS_SHOWN ? "; ..." : "");
}

enum status trace_part(struct state *state, const char *typed, const char **out, struct name *name, struct err *err)
{
    struct label_text label;
    struct search search = {.state = state, .typed = &label};
    bool is_found = false;
    *out = typed;
    TRY(label_text_read(typed, &label, err));
    if (!label.is_symbol) { /* a symbol has the whole name */
        TRY(is_whole(state, typed, name, &is_found, err));
        if (is_found)
            return STATUS_OK;
        TRY(search_holes(&search, label.name, err));
    }
    if (search.count > 1)
        return refuse_many(&search, typed, err);
    if (search.count == 1 && !is_as_typed(&search)) {
        state_tell(state, "note: '%s' is %s\n", typed, search.found[0]);
        TRY(arena_copy(state->arena, search.found[0], strlen(search.found[0]), out, err));
    }
    return resolve_name(state, *out, name, err);
}
