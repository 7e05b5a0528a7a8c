/* SPDX-License-Identifier: MIT */
/* Cores keep what they are when a side gives them another number or letter. The joined list of renamings begins with
 * that of one side; what the other renamed follows in the names that the cores have by then. */
#include "names.h"

#include <stdio.h>
#include <string.h>

#include "coretally/base/limits.h"

static bool is_same_id(struct core_id a, struct core_id b)
{
    return a.number == b.number && a.type == b.type;
}

static enum status read_id(struct joining *joining, enum version version, const char *hole, int32_t number,
                           struct core_id *out, const char **was, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct core core;
    bool there = false;
    *out = (struct core_id){0, '\0'};
    core_path(hole, number, path);
    TRY(joining_read(joining, version, path, &core_table, &core, &there, err));
    if (there) {
        *out = (struct core_id){core.number, core.type};
        *was = core.was;
    }
    return STATUS_OK;
}

static enum status read_sets(struct joining *joining, struct named_cores *cores, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    renamed_path(cores->hole, path);
    for (int version = 0; version < VERSION_COUNT; version++)
        TRY(joining_read(joining, version, path, &renaming_set_table, &cores->sets[version], &there, err));
    const size_t base = cores->sets[VERSION_BASE].renaming_count;
    cores->is_renamed = cores->sets[0].renaming_count != base || cores->sets[1].renaming_count != base;
    return STATUS_OK;
}

/* The core of the common state that is this one of a side; number 0: the side recorded it. */
static enum status find_base(struct joining *joining, const struct named_cores *cores, int side, struct core_id id,
                             struct core_id *out, struct err *err)
{
    const struct renaming_set *set = &cores->sets[side];
    const char *was = NULL;
    struct core_id then = id;
    *out = (struct core_id){0, '\0'};
    if (!renamings_carry(set, set->renaming_count, cores->sets[VERSION_BASE].renaming_count, &then))
        return STATUS_OK;
    struct core_id there;
    TRY(read_id(joining, VERSION_BASE, cores->hole, then.number, &there, &was, err));
    if (is_same_id(there, then))
        *out = there;
    return STATUS_OK;
}

static struct named_core *find_by(struct named_cores *cores, enum version version, struct core_id id)
{
    for (size_t at = 0; at < cores->count; at++)
        if (cores->items[at].ids[version].number == id.number)
            return &cores->items[at];
    return NULL;
}

/* Of a core that both knew: under which name each side has it. */
static enum status fill_known(struct joining *joining, const struct named_cores *cores, struct named_core *core,
                              struct err *err)
{
    for (int side = 0; side < SIDES_MAX; side++) {
        const struct renaming_set *set = &cores->sets[side];
        const char *was = NULL;
        struct core_id id = core->ids[VERSION_BASE];
        (void)renamings_carry(set, cores->sets[VERSION_BASE].renaming_count, set->renaming_count, &id);
        TRY(read_id(joining, side, cores->hole, id.number, &core->ids[side], &was, err));
    }
    return STATUS_OK;
}

/* The core that has this number on a side. */
static enum status add_core(struct joining *joining, struct named_cores *cores, int side, int32_t number, size_t *room,
                            struct err *err)
{
    struct core_id id;
    struct core_id base;
    struct named_core core = {.was = NULL};
    const char *was = NULL;
    TRY(read_id(joining, side, cores->hole, number, &id, &was, err));
    if (!id.number || find_by(cores, side, id))
        return STATUS_OK;
    TRY(find_base(joining, cores, side, id, &base, err));
    if (base.number && find_by(cores, VERSION_BASE, base))
        return STATUS_OK;
    core.ids[VERSION_BASE] = base;
    if (base.number)
        TRY(fill_known(joining, cores, &core, err));
    else {
        struct core_id other;
        struct core_id other_base = {0, '\0'};
        core.ids[side] = id;
        TRY(read_id(joining, !side, cores->hole, number, &other, &was, err));
        if (other.number)
            TRY(find_base(joining, cores, !side, other, &other_base, err));
        if (!other_base.number) /* one number, one core */
            core.ids[!side] = other;
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

/* --- the joined list --- */

/* A renaming that is to come. */
struct coming {
    struct core_id from;
    struct core_id to;
};

struct comings {
    struct coming *items;
    size_t count;
    size_t room;
};

static enum status add_coming(struct joining *joining, struct comings *comings, struct core_id from, struct core_id to,
                              struct err *err)
{
    TRY(arena_grow(joining->arena, &comings->items, comings->count, &comings->room, sizeof *comings->items, err));
    comings->items[comings->count++] = (struct coming){from, to};
    return STATUS_OK;
}

static enum status id_text(struct joining *joining, struct core_id id, const char **out, struct err *err)
{
    char text[CORE_ID_MAX];
    core_id_format(id, text);
    return arena_copy(joining->arena, text, strlen(text), out, err);
}

static enum status add_renaming(struct joining *joining, struct named_cores *cores, size_t *room,
                                const struct renaming *renaming, struct err *err)
{
    struct renaming_set *set = &cores->set;
    TRY(arena_grow(joining->arena, &set->renamings, set->renaming_count, room, sizeof *renaming, err));
    set->renamings[set->renaming_count] = *renaming;
    set->renamings[set->renaming_count].number = (int32_t)set->renaming_count + 1;
    set->renaming_count++;
    return STATUS_OK;
}

static enum status add_comings(struct joining *joining, struct named_cores *cores, size_t *room,
                               const struct comings *comings, struct err *err)
{
    for (size_t at = 0; at < comings->count; at++) {
        struct renaming it = {.number = 0};
        TRY(id_text(joining, comings->items[at].from, &it.from, err));
        TRY(id_text(joining, comings->items[at].to, &it.to, err));
        TRY(add_renaming(joining, cores, room, &it, err));
    }
    return STATUS_OK;
}

/* The side whose list comes first: the only one that renamed, or whose last renaming was done earlier. */
static enum status find_first(struct joining *joining, const struct named_cores *cores, int *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct act_at acts[SIDES_MAX];
    const size_t base = cores->sets[VERSION_BASE].renaming_count;
    *out = cores->sets[0].renaming_count == base;
    if (cores->sets[0].renaming_count == base || cores->sets[1].renaming_count == base)
        return STATUS_OK;
    renamed_path(cores->hole, path);
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(side_last(joining, side, path, &acts[side], err));
    *out = act_is_before(&acts[1], &acts[0]);
    return STATUS_OK;
}

/* Is it the number of a core that both sides knew? */
static bool is_taken(const struct named_cores *cores, const struct named_core *own, int32_t number)
{
    for (size_t at = 0; at < cores->count; at++)
        if (&cores->items[at] != own && cores->items[at].ids[VERSION_BASE].number &&
            cores->items[at].id.number == number)
            return true;
    return false;
}

/* A number that no core of either side has, above all that are named here. */
static enum status find_free(struct joining *joining, const struct named_cores *cores, int32_t *out, struct err *err)
{
    int32_t number = 0;
    for (size_t at = 0; at < cores->count; at++)
        number = cores->items[at].id.number > number ? cores->items[at].id.number : number;
    for (bool is_free = false; !is_free;) {
        number++;
        is_free = number <= CORE_NUMBER_MAX;
        for (int version = 0; is_free && version < VERSION_COUNT; version++) {
            char path[REGISTRY_PATH_MAX];
            char id[HASH_TEXT_MAX];
            struct store *store = version == VERSION_BASE ? joining->base : joining->sides[version].store;
            core_path(cores->hole, number, path);
            TRY(store_id(store, path, id, err));
            is_free = !*id;
        }
        if (number > CORE_NUMBER_MAX)
            return err_set(err, STATUS_RULE, cores->hole, "no core number is free for one that both sides gave out");
    }
    *out = number;
    return STATUS_OK;
}

/* Who recorded a core that one side alone has, else who renamed it there. */
static enum status find_act(struct joining *joining, const struct named_cores *cores, const struct named_core *core,
                            int side, struct act_at *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct blamed blamed;
    renamed_path(cores->hole, path);
    if (core->ids[VERSION_BASE].number)
        return side_last(joining, side, path, out, err);
    struct spot_at spot = {.table = &core_table};
    core_path(cores->hole, core->ids[side].number, spot.path);
    TRY(side_blame(joining, side, &spot, NULL, NULL, &blamed, err));
    *out = blamed.act;
    return STATUS_OK;
}

/* That it is not called as a side called it, since the other side gave that name to another core, or this core another.
 */
static enum status tell_renamed(struct joining *joining, const struct named_cores *cores, const struct named_core *core,
                                int side, struct core_id newer, struct err *err)
{
    struct renumbered told = {.what = core_table.kind};
    const struct core_id older = core->ids[side];
    char path[REGISTRY_PATH_MAX];
    struct act_at act;
    TRY(find_act(joining, cores, core, side, &act, err));
    memcpy(told.commit, act.id, sizeof told.commit);
    renamed_path(cores->hole, path);
    TRY(side_last(joining, !side, path, &act, err));
    memcpy(told.first, act.id, sizeof told.first);
    core_path(cores->hole, newer.number, path);
    TRY(arena_copy(joining->arena, path, strlen(path), &told.path, err));
    TRY(id_text(joining, older, &told.older, err));
    TRY(id_text(joining, newer, &told.newer, err));
    return tell_renumbered(joining, &told, err);
}

/* What the second side renamed, in the names that the cores have now. Renamed by both: the second was the later. */
static enum status follow_second(struct joining *joining, struct named_cores *cores, int second, struct comings *out,
                                 struct err *err)
{
    for (size_t at = 0; at < cores->count; at++) {
        struct named_core *core = &cores->items[at];
        struct core_id to = core->ids[second];
        if (!core->ids[VERSION_BASE].number || !to.number || is_same_id(to, core->ids[VERSION_BASE]) ||
            is_same_id(to, core->id))
            continue;
        if (is_taken(cores, core, to.number))
            TRY(find_free(joining, cores, &to.number, err));
        if (!is_same_id(core->id, core->ids[VERSION_BASE]) || !is_same_id(to, core->ids[second]))
            TRY(tell_renamed(joining, cores, core, is_same_id(to, core->ids[second]) ? !second : second, to, err));
        TRY(add_coming(joining, out, core->id, to, err));
        core->id = to;
    }
    return STATUS_OK;
}

/* A core that one side recorded under a number which the other gave to a core that both knew. */
static enum status give_way(struct joining *joining, struct named_cores *cores, struct comings *out, struct err *err)
{
    for (size_t at = 0; at < cores->count; at++) {
        struct named_core *core = &cores->items[at];
        struct core_id to = core->id;
        if (core->ids[VERSION_BASE].number || !is_taken(cores, core, to.number))
            continue;
        TRY(find_free(joining, cores, &to.number, err));
        TRY(add_coming(joining, out, core->id, to, err));
        TRY(tell_renamed(joining, cores, core, core->ids[0].number ? 0 : 1, to, err));
        core->id = to;
    }
    return STATUS_OK;
}

/* Its former names, by the joined list, the oldest first. */
static enum status find_was(struct joining *joining, const struct named_cores *cores, struct named_core *core,
                            struct err *err)
{
    struct text text;
    struct bytes bytes;
    struct core_id id = core->id;
    const char *names[CORE_STAYS_MAX];
    size_t count = 0;
    for (size_t back = cores->set.renaming_count; back > 0 && count < CORE_STAYS_MAX; back--) {
        const struct core_id newer = id;
        if (!renamings_carry(&cores->set, back, back - 1, &id))
            break;
        if (!is_same_id(newer, id))
            names[count++] = cores->set.renamings[back - 1].from;
    }
    core->was = NULL;
    if (!count)
        return STATUS_OK;
    text_init(&text, joining->arena);
    while (count-- > 0)
        text_addf(&text, "%s%s", text.len ? " " : "", names[count]);
    TRY(text_done(&text, &bytes, err));
    core->was = bytes.data;
    return STATUS_OK;
}

/* Cores that give way do so first: until then they had the number that another one is to have. */
static enum status join_lists(struct joining *joining, struct named_cores *cores, struct err *err)
{
    int first = 0;
    size_t room = 0;
    struct comings followed = {.count = 0};
    struct comings given = {.count = 0};
    TRY(find_first(joining, cores, &first, err));
    const struct renaming_set *set = &cores->sets[first];
    const size_t base = cores->sets[VERSION_BASE].renaming_count;
    cores->set = (struct renaming_set){.hole = cores->hole};
    for (size_t at = 0; at < cores->count; at++) {
        struct named_core *core = &cores->items[at];
        core->id = core->ids[first].number ? core->ids[first] : core->ids[!first];
    }
    TRY(follow_second(joining, cores, !first, &followed, err));
    TRY(give_way(joining, cores, &given, err));
    for (size_t at = 0; at < base && at < set->renaming_count; at++)
        TRY(add_renaming(joining, cores, &room, &set->renamings[at], err));
    TRY(add_comings(joining, cores, &room, &given, err));
    for (size_t at = base; at < set->renaming_count; at++)
        TRY(add_renaming(joining, cores, &room, &set->renamings[at], err));
    return add_comings(joining, cores, &room, &followed, err);
}

enum status find_cores(struct joining *joining, const struct hole_files *files, struct named_cores *out,
                       struct err *err)
{
    *out = (struct named_cores){.hole = files->hole};
    TRY(read_sets(joining, out, err));
    TRY(gather(joining, files, out, err));
    TRY(join_lists(joining, out, err));
    for (size_t at = 0; at < out->count; at++)
        TRY(find_was(joining, out, &out->items[at], err));
    return STATUS_OK;
}
