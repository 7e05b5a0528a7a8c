/* SPDX-License-Identifier: MIT */
/* Cores with their sections, their samples and labels, under the names that they have in the join. */
#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "names.h"

struct core_pair {
    const struct named_cores *all;
    const struct named_core *named;
    struct core_records records;
};

static const struct section *find_section(const struct core *core, int32_t number)
{
    for (size_t at = 0; at < core->section_count; at++)
        if (core->sections[at].number == number)
            return &core->sections[at];
    return NULL;
}

/* What is open about a core, or a section, that one side alone has goes with it to the name that the core has now. */
static enum status move_open(struct joining *joining, const struct core_pair *pair, int side,
                             const struct section *section, struct err *err)
{
    char name[SECTION_TEXT_MAX];
    struct moved moved = {.hole = pair->all->hole,
                          .table = section ? &section_table : &core_table,
                          .side = side,
                          .from = pair->records.subject.spots[side].path,
                          .to = pair->records.subject.path};
    if (strcmp(moved.from, moved.to) == 0)
        return STATUS_OK;
    if (section) {
        section_format(section->number, name);
        moved.older = moved.newer = name;
    }
    return move_claims(joining, &moved, err);
}

static enum status join_section(struct joining *joining, const struct core_pair *pair, int32_t number,
                                struct section *out, struct err *err)
{
    const struct section *sides[] = {find_section(&pair->records.cores[0], number),
                                     find_section(&pair->records.cores[1], number)};
    const struct section *base =
        pair->records.there[VERSION_BASE] ? find_section(&pair->records.cores[VERSION_BASE], number) : NULL;
    char name[SECTION_TEXT_MAX];
    struct subject subject = pair->records.subject;
    if (!sides[0] || !sides[1]) { /* one of them has it: that is how the number was found */
        const struct section *only = sides[0] ? sides[0] : sides[1];
        assert(only);
        *out = *only;
        return move_open(joining, pair, sides[0] ? 0 : 1, only, err);
    }
    *out = *sides[0];
    section_format(number, name);
    subject.table = &section_table;
    TRY(arena_copy(joining->arena, name, strlen(name), &subject.item, err));
    for (int side = 0; side < SIDES_MAX; side++) {
        subject.spots[side].list = field_find(&core_table, "sections");
        subject.spots[side].number = number;
    }
    const struct three three = {base, {sides[0], sides[1]}};
    return join_fields(joining, &subject, &three, out, err);
}

/* Both are in order of their numbers. */
static enum status join_sections(struct joining *joining, const struct core_pair *pair, struct core *out,
                                 struct err *err)
{
    const struct core *a = &pair->records.cores[0];
    const struct core *b = &pair->records.cores[1];
    struct section *sections = NULL;
    size_t count = 0;
    TRY(arena_take(joining->arena, a->section_count + b->section_count, sizeof *sections, &sections, err));
    for (size_t left = 0, right = 0; left < a->section_count || right < b->section_count; count++) {
        const bool has_left = left < a->section_count;
        const bool has_right = right < b->section_count;
        const int32_t number = !has_right || (has_left && a->sections[left].number < b->sections[right].number)
                                   ? a->sections[left].number
                                   : b->sections[right].number;
        TRY(join_section(joining, pair, number, &sections[count], err));
        left += has_left && a->sections[left].number == number;
        right += has_right && b->sections[right].number == number;
    }
    out->sections = sections;
    out->section_count = count;
    return STATUS_OK;
}

/* Two numbers, two letters: that which stands is that which the core has. */
static enum status contest_name(struct joining *joining, const struct core_pair *pair, enum name_part part,
                                struct err *err)
{
    const struct named_core *named = pair->named;
    struct subject subject = pair->records.subject;
    struct act_at acts[SIDES_MAX];
    int standing = 0;
    for (int side = 0; side < SIDES_MAX; side++)
        if (part == NAME_NUMBER ? named->ids[side].number == named->id.number : named->ids[side].type == named->id.type)
            subject.standing = side + 1;
    if (!named->is_contested[part])
        return STATUS_OK;
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(find_name_act(joining, pair->all, named, side, part, &acts[side], err));
    subject.acts = acts;
    return join_claims(joining, &subject, field_find(&core_table, part == NAME_NUMBER ? "number" : "type"),
                       &pair->records.three, &standing, err);
}

static enum status join_both(struct joining *joining, const struct core_pair *pair, struct core *out, struct err *err)
{
    const struct core_records *records = &pair->records;
    TRY(join_fields(joining, &records->subject, &records->three, out, err));
    if (out->bottom_um != LENGTH_NONE && out->bottom_um < out->top_um)
        TRY(join_as_one(joining, &records->subject, &records->three, out, err));
    TRY(join_sections(joining, pair, out, err));
    for (enum name_part part = NAME_NUMBER; part < NAME_PARTS; part++)
        TRY(contest_name(joining, pair, part, err));
    return STATUS_OK;
}

static enum status join_core(struct joining *joining, struct core_pair *pair, struct err *err)
{
    const struct core_records *records = &pair->records;
    struct core out = records->there[0] ? records->cores[0] : records->cores[1];
    const bool is_both = records->there[0] && records->there[1];
    const int only = records->there[0] ? 0 : 1;
    if (is_both)
        TRY(join_both(joining, pair, &out, err));
    else
        TRY(move_open(joining, pair, only, NULL, err));
    for (size_t at = 0; !is_both && at < out.section_count; at++)
        TRY(move_open(joining, pair, only, &out.sections[at], err));
    out.number = pair->named->id.number;
    out.type = pair->named->id.type;
    out.was = pair->named->was;
    return joining_write(joining, &core_table, &out, err);
}

enum core_file { FILE_CORE, FILE_SAMPLES, FILE_LABELS, FILE_COUNT };

static void file_path(enum core_file kind, const char *hole, int32_t number, char out[REGISTRY_PATH_MAX])
{
    if (kind == FILE_CORE)
        core_path(hole, number, out);
    else if (kind == FILE_SAMPLES)
        samples_path(hole, number, out);
    else
        core_labels_path(hole, number, out);
}

static void paths_of(const struct core_pair *pair, enum core_file kind, char texts[VERSION_COUNT][REGISTRY_PATH_MAX],
                     const char *out[VERSION_COUNT])
{
    for (int version = 0; version < VERSION_COUNT; version++) {
        out[version] = pair->named->ids[version].number ? texts[version] : NULL;
        if (out[version])
            file_path(kind, pair->all->hole, pair->named->ids[version].number, texts[version]);
    }
}

static enum status join_file(struct joining *joining, struct core_pair *pair, enum core_file kind, struct err *err)
{
    char texts[VERSION_COUNT][REGISTRY_PATH_MAX];
    const char *paths[VERSION_COUNT];
    char path[REGISTRY_PATH_MAX];
    const struct named_core *named = pair->named;
    const struct core_files files = {pair->all->hole,
                                     {named->ids[0].number, named->ids[1].number, named->ids[VERSION_BASE].number},
                                     named->id.number};
    file_path(kind, pair->all->hole, named->id.number, path);
    paths_of(pair, kind, texts, paths);
    if (kind == FILE_CORE)
        return join_core(joining, pair, err);
    if (kind == FILE_SAMPLES)
        return join_samples(joining, &files, err);
    return join_labels(joining, path, paths, err);
}

static void mark(struct joining *joining, const char *path)
{
    struct changed_file *file = joining_find(joining, path);
    if (file)
        file->is_joined = true;
}

/* Under one name on all sides: a file that one side alone changed is taken as it is. */
static bool is_taken_whole(struct joining *joining, const char *path)
{
    const struct changed_file *file = joining_find(joining, path);
    return !file || ((!changed_by(file, 0) || !changed_by(file, 1)) && !joining_is_contested(joining, path));
}

static bool has_one_name(const struct named_core *named)
{
    for (int version = 0; version < VERSION_COUNT; version++)
        if (named->ids[version].number &&
            (named->ids[version].number != named->id.number ||
             (named->ids[version].type != named->id.type && named->ids[VERSION_BASE].number)))
            return false;
    return true;
}

static enum status join_one(struct joining *joining, const struct named_cores *all, const struct named_core *named,
                            struct err *err)
{
    struct core_pair pair = {.all = all, .named = named};
    char path[REGISTRY_PATH_MAX];
    const bool is_plain = has_one_name(named);
    const bool is_new = !named->ids[VERSION_BASE].number;
    const int only = is_new && !named->ids[1].number ? 0 : is_new && !named->ids[0].number ? 1 : -1;
    TRY(read_core_records(joining, all->hole, named, &pair.records, err));
    for (enum core_file kind = FILE_CORE; kind < FILE_COUNT; kind++) {
        file_path(kind, all->hole, named->id.number, path);
        if (is_plain && only >= 0) { /* the other side has another core's file there, if any */
            const struct changed_file *file = joining_find(joining, path);
            mark(joining, path);
            if (file)
                TRY(joining_place(joining, path, file->sides[only], err));
            continue;
        }
        if (is_plain && is_taken_whole(joining, path)) {
            const struct changed_file *file = joining_find(joining, path);
            mark(joining, path);
            if (file)
                TRY(joining_place(joining, path, file->sides[changed_by(file, 1)], err));
            continue;
        }
        TRY(join_file(joining, &pair, kind, err));
        mark(joining, path);
    }
    return STATUS_OK;
}

/* What the first side has under names that are not those of the join: others may be written there. */
static enum status clear_names(struct joining *joining, const struct named_cores *cores, struct err *err)
{
    for (size_t at = 0; at < cores->count; at++) {
        const struct named_core *named = &cores->items[at];
        for (enum core_file kind = FILE_CORE; kind < FILE_COUNT && !has_one_name(named); kind++)
            for (int version = 0; version < VERSION_COUNT; version++) {
                char path[REGISTRY_PATH_MAX];
                char id[HASH_TEXT_MAX];
                file_path(kind, cores->hole, named->ids[version].number, path);
                mark(joining, path);
                if (version != VERSION_FIRST || !named->ids[version].number)
                    continue;
                TRY(store_id(joining->sides[0].store, path, id, err));
                if (*id)
                    TRY(joining_place(joining, path, "", err));
            }
    }
    return STATUS_OK;
}

enum status join_cores(struct joining *joining, const struct named_cores *cores, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    TRY(clear_names(joining, cores, err));
    for (size_t at = 0; at < cores->count; at++)
        TRY(join_one(joining, cores, &cores->items[at], err));
    renamed_path(cores->hole, path);
    mark(joining, path);
    return cores->set.renaming_count ? joining_write(joining, &renaming_set_table, &cores->set, err) : STATUS_OK;
}
