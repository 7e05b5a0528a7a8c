/* SPDX-License-Identifier: MIT */
/* Cores keep what they are when a side gives them another number or letter: which core of one side is which of the
 * other. */
#include "names.h"

#include <string.h>

static enum status read_id(struct joining *joining, enum version version, const char *hole, int32_t number,
                           struct core_id *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct core core;
    bool there = false;
    *out = (struct core_id){0, '\0'};
    core_path(hole, number, path);
    TRY(joining_read(joining, version, path, &core_table, &core, &there, err));
    if (there)
        *out = (struct core_id){core.number, core.type};
    return STATUS_OK;
}

static enum status read_sets(struct joining *joining, struct named_cores *cores, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    renamed_path(cores->hole, path);
    for (int version = 0; version < VERSION_COUNT; version++)
        TRY(joining_read(joining, version, path, &renaming_set_table, &cores->sets[version], &there, err));
    return STATUS_OK;
}

/* The core of the common state that is this one of a side; number 0: the side recorded it. */
static enum status find_base(struct joining *joining, const struct named_cores *cores, int side, struct core_id id,
                             struct core_id *out, struct err *err)
{
    struct core_id then = id;
    struct core_id there;
    *out = (struct core_id){0, '\0'};
    if (!renamings_between(&cores->sets[side], &cores->sets[VERSION_BASE], &then))
        return STATUS_OK;
    TRY(read_id(joining, VERSION_BASE, cores->hole, then.number, &there, err));
    if (core_id_is(there, then))
        *out = there;
    return STATUS_OK;
}

/* Of a core that both knew: under which name each side has it. */
static enum status fill_known(struct joining *joining, const struct named_cores *cores, struct named_core *core,
                              struct err *err)
{
    for (int side = 0; side < SIDES_MAX; side++) {
        struct core_id id = core->ids[VERSION_BASE];
        (void)renamings_between(&cores->sets[VERSION_BASE], &cores->sets[side], &id);
        TRY(read_id(joining, side, cores->hole, id.number, &core->ids[side], err));
    }
    return STATUS_OK;
}

/* Did an act of the side give the core this name? What no act did a join did. */
static enum status is_of_act(struct joining *joining, const struct named_cores *cores, int side, struct core_id now,
                             const char *name, bool *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct touch *touches = NULL;
    size_t count = 0;
    *out = false;
    renamed_path(cores->hole, path);
    TRY(side_touches(joining, side, path, &touches, &count, err));
    for (size_t at = 0; at < count && !*out; at++) {
        struct renaming_set set;
        struct core_id id;
        TRY(read_renamings(joining, touches[at].newer, path, &set, err));
        const char *to = set.renaming_count ? set.renamings[set.renaming_count - 1].to : "";
        *out = strcmp(to, name) == 0 && core_id_parse(to, strlen(to), &id) &&
               renamings_between(&set, &cores->sets[side], &id) && core_id_is(id, now);
    }
    return STATUS_OK;
}

/* The number that people gave to a core which a side alone has: one that a join gave it since is no claim. */
static enum status find_claimed(struct joining *joining, const struct named_cores *cores, int side, struct core_id id,
                                int32_t *out, struct err *err)
{
    const struct renaming_set *set = &cores->sets[side];
    const size_t shared = renamings_shared(set, &cores->sets[VERSION_BASE]);
    struct core_id then = id;
    *out = id.number;
    for (size_t back = set->renaming_count; back > shared; back--) {
        const struct core_id newer = then;
        bool is_claim = false;
        if (!renamings_carry(set, back, back - 1, &then))
            return STATUS_OK;
        if (core_id_is(newer, then))
            continue;
        TRY(is_of_act(joining, cores, side, id, set->renamings[back - 1].to, &is_claim, err));
        if (is_claim)
            return STATUS_OK;
        *out = then.number;
    }
    return STATUS_OK;
}

/* One number, one core: the other side recorded it, too. */
static struct named_core *find_twin(const struct named_cores *cores, int side, int32_t born)
{
    for (size_t at = 0; at < cores->count; at++)
        if (cores->items[at].born == born && !cores->items[at].ids[side].number)
            return &cores->items[at];
    return NULL;
}

/* The core that has this number on a side. */
static enum status add_core(struct joining *joining, struct named_cores *cores, int side, int32_t number, size_t *room,
                            struct err *err)
{
    struct core_id id;
    struct named_core core = {.was = NULL};
    TRY(read_id(joining, side, cores->hole, number, &id, err));
    if (!id.number || named_by(cores, side, id.number))
        return STATUS_OK;
    TRY(find_base(joining, cores, side, id, &core.ids[VERSION_BASE], err));
    if (core.ids[VERSION_BASE].number && named_by(cores, VERSION_BASE, core.ids[VERSION_BASE].number))
        return STATUS_OK;
    core.ids[side] = id;
    if (core.ids[VERSION_BASE].number)
        TRY(fill_known(joining, cores, &core, err));
    else
        TRY(find_claimed(joining, cores, side, id, &core.born, err));
    struct named_core *twin = core.born ? find_twin(cores, side, core.born) : NULL;
    if (twin) {
        twin->ids[side] = id;
        return STATUS_OK;
    }
    TRY(arena_grow(joining->arena, &cores->items, cores->count, room, sizeof *cores->items, err));
    cores->items[cores->count++] = core;
    return STATUS_OK;
}

static enum status gather(struct joining *joining, const struct hole_files *files, struct named_cores *cores,
                          struct err *err)
{
    size_t room = 0;
    for (size_t at = 0; at < files->count; at++) {
        const struct changed_file *file = &files->files[at];
        for (int side = 0; place_is_of_core(&file->place) && side < SIDES_MAX; side++)
            TRY(add_core(joining, cores, side, file->place.number, &room, err));
    }
    return STATUS_OK;
}

enum status find_cores(struct joining *joining, const struct hole_files *files, struct named_cores *out,
                       struct err *err)
{
    *out = (struct named_cores){.hole = files->hole};
    TRY(read_sets(joining, out, err));
    TRY(gather(joining, files, out, err));
    TRY(name_cores(joining, out, err));
    return join_renamings(joining, out, err);
}
