/* SPDX-License-Identifier: MIT */
/* Looks for what a part of a name could be, hole by hole. */
#include "trace_part.h"

#include <string.h>

#include "bag_act.h"

enum { PARTS_SHOWN = 8 };

struct search {
    struct run *run;
    char found[PARTS_SHOWN][NAME_TEXT_MAX];
    size_t count;
};

static void take(struct search *search, const struct name *name)
{
    struct name full = *name;
    char text[NAME_TEXT_MAX];
    (void)snprintf(full.expedition, sizeof full.expedition, "%s", search->run->expedition.number);
    name_format(&full, NAME_PRINTED, text);
    for (size_t at = 0; at < search->count && at < PARTS_SHOWN; at++)
        if (strcmp(search->found[at], text) == 0)
            return;
    if (search->count < PARTS_SHOWN)
        memcpy(search->found[search->count], text, sizeof text);
    search->count++;
}

/* Samples of the section that begin where the name does; with its lower end and half, where it has them. */
static enum status look_at_samples(struct search *search, const struct name *name, struct err *err)
{
    char hole[HOLE_TEXT_MAX];
    char path[REGISTRY_PATH_MAX];
    struct sample_set set = {0};
    bool there = false;
    name_hole(name, hole);
    samples_path(hole, name->core, path);
    TRY(registry_read(search->run->store, path, &sample_set_table, search->run->arena, &set, &there, err));
    for (size_t at = 0; at < set.sample_count; at++) {
        const struct sample *sample = &set.samples[at];
        struct name whole = *name;
        if (sample->withdrawn || sample->of || sample->section != name->section || sample->top_um != name->top_um ||
            (name->level == NAME_SAMPLE && sample->bottom_um != name->bottom_um) ||
            (name->half != HALF_NONE && sample->half != name->half) ||
            (name->ordinal > 1 && sample->ordinal != name->ordinal))
            continue;
        whole.level = NAME_SAMPLE;
        name_set_sample(&whole, sample);
        take(search, &whole);
    }
    return STATUS_OK;
}

static enum status look_at(struct search *search, const struct name *name, struct err *err)
{
    struct run *run = search->run;
    struct target target = {.name = *name};
    struct bag_target bag = {0};
    struct err absent = {0};
    name_hole(name, target.hole_name);
    if (*name->expedition && strcmp(name->expedition, run->expedition.number) != 0)
        return STATUS_OK;
    if (name->level == NAME_BAG) {
        TRY(bag_read(run, &target, name->bag, name->bag_number, &bag, err));
        if (bag.bag)
            take(search, name);
        return STATUS_OK;
    }
    if (name->level < NAME_CORE || resolve_core(run, &target, &absent) != STATUS_OK)
        return STATUS_OK;
    if (name->level >= NAME_SECTION && !core_section(&target.core, name->section))
        return STATUS_OK;
    if (name->level < NAME_POINT)
        take(search, name);
    else if (!name->sub_count)
        return look_at_samples(search, name, err);
    return STATUS_OK;
}

/* The recorded thing, or place, of a whole name needs no search. */
static bool is_whole(struct run *run, const char *typed)
{
    struct target target;
    struct err absent = {0};
    struct name name;
    if (name_parse(typed, &name, &absent) != STATUS_OK)
        return false;
    const enum name_level least = name.level == NAME_SAMPLE ? NAME_SAMPLE : NAME_HOLE;
    return name.level != NAME_POINT && resolve(run, typed, least, NAME_BAG, &target, &absent) == STATUS_OK;
}

static enum status search_holes(struct search *search, const char *typed, struct err *err)
{
    struct names holes = {0};
    struct name name;
    struct err unread = {0};
    TRY(registry_holes(search->run->store, search->run->arena, &holes, err));
    if (name_parse(typed, &name, &unread) == STATUS_OK)
        TRY(look_at(search, &name, err));
    for (size_t at = 0; at < holes.count; at++) {
        char whole[2 * NAME_TEXT_MAX];
        (void)snprintf(whole, sizeof whole, "%s-%s", holes.items[at], typed);
        if (name_parse(whole, &name, &unread) == STATUS_OK)
            TRY(look_at(search, &name, err));
    }
    return STATUS_OK;
}

enum status trace_part(struct run *run, const char *typed, const char **out, struct err *err)
{
    struct search search = {.run = run};
    struct text text;
    struct bytes bytes;
    *out = typed;
    if (strchr(typed, '*') || strlen(typed) >= NAME_TEXT_MAX || is_whole(run, typed))
        return STATUS_OK;
    TRY(search_holes(&search, typed, err));
    if (search.count == 1) {
        (void)fprintf(run->talk, "note: '%s' is %s\n", typed, search.found[0]);
        return arena_copy(run->arena, search.found[0], strlen(search.found[0]), out, err);
    }
    if (!search.count)
        return STATUS_OK;
    text_init(&text, run->arena);
    for (size_t at = 0; at < search.count && at < PARTS_SHOWN; at++)
        text_addf(&text, "%s%s", at ? "; " : "", search.found[at]);
    TRY(text_done(&text, &bytes, err));
    err_set(err, STATUS_INPUT, typed, "this part of a name fits %zu things; type more of it", search.count);
    return err_hint(err, "%s%s", bytes.data, search.count > PARTS_SHOWN ? "; ..." : "");
}
