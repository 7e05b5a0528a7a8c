/* SPDX-License-Identifier: MIT */
/* What a core is called in the join follows from what each side did with its number and its letter, as any field does;
 * then each number has to be that of one core. */
#include <string.h>

#include "coretally/base/limits.h"
#include "names.h"

static int32_t part_of(struct core_id id, enum name_part part)
{
    return part == NAME_NUMBER ? id.number : id.type;
}

/* The side whose number or letter stands. */
static enum status decide_part(struct joining *joining, const struct named_cores *cores, struct named_core *core,
                               enum name_part part, int *side, struct err *err)
{
    const struct field *field = field_find(&core_table, part == NAME_NUMBER ? "number" : "type");
    const int32_t now[SIDES_MAX] = {part_of(core->ids[0], part), part_of(core->ids[1], part)};
    const int32_t before = core->born ? (part == NAME_NUMBER ? core->born : 0) : part_of(core->ids[VERSION_BASE], part);
    struct core_records *records = NULL;
    struct act_at acts[SIDES_MAX];
    struct subject subject;
    bool is_open = false;
    *side = now[0] == before;
    TRY(core_subject(joining, cores->hole, core, &subject, err));
    TRY(has_claims(joining, &subject, field, &is_open, err));
    core->is_contested[part] = is_open || (now[0] != now[1] && now[0] != before && now[1] != before);
    if (!core->is_contested[part])
        return STATUS_OK;
    TRY(arena_take(joining->arena, 1, sizeof *records, &records, err));
    TRY(read_core_records(joining, cores->hole, core, records, err));
    for (int of = 0; of < SIDES_MAX; of++)
        TRY(find_name_act(joining, cores, core, of, part, &acts[of], err));
    records->subject.acts = acts;
    return claims_standing(joining, &records->subject, field, &records->three, side, err);
}

static enum status decide(struct joining *joining, const struct named_cores *cores, struct named_core *core,
                          struct err *err)
{
    int sides[NAME_PARTS];
    core->id = core->ids[core->ids[0].number ? 0 : 1];
    if (!core->ids[0].number || !core->ids[1].number)
        return STATUS_OK;
    for (enum name_part part = NAME_NUMBER; part < NAME_PARTS; part++)
        TRY(decide_part(joining, cores, core, part, &sides[part], err));
    core->id = (struct core_id){core->ids[sides[NAME_NUMBER]].number, core->ids[sides[NAME_TYPE]].type};
    return STATUS_OK;
}

/* --- each number is that of one core --- */

/* A side that has the core under this number. */
static int side_with(const struct named_core *core, int32_t number)
{
    return core->ids[0].number == number ? 0 : 1;
}

static enum status id_text(struct joining *joining, struct core_id id, const char **out, struct err *err)
{
    char text[CORE_ID_MAX];
    core_id_format(id, text);
    return arena_copy(joining->arena, text, strlen(text), out, err);
}

/* It gets another number, since another core has the one that a side gave it. */
static enum status renumber(struct joining *joining, const struct named_cores *cores, struct named_core *core,
                            const struct act_at *first, int32_t number, struct err *err)
{
    struct renumbered told = {.what = core_table.kind};
    const int side = side_with(core, core->id.number);
    char path[REGISTRY_PATH_MAX];
    struct act_at act;
    TRY(find_name_act(joining, cores, core, side, NAME_NUMBER, &act, err));
    memcpy(told.commit, act.id, sizeof told.commit);
    memcpy(told.first, first->id, sizeof told.first);
    TRY(id_text(joining, core->id, &told.older, err));
    core->id.number = number;
    core_path(cores->hole, number, path);
    TRY(arena_copy(joining->arena, path, strlen(path), &told.path, err));
    TRY(id_text(joining, core->id, &told.newer, err));
    return tell_renumbered(joining, &told, err);
}

/* Another core that is to have its number. */
static struct named_core *find_rival(const struct named_cores *cores, const struct named_core *core, bool is_known)
{
    for (size_t at = 0; at < cores->count; at++) {
        struct named_core *other = &cores->items[at];
        if (other != core && other->id.number == core->id.number && !other->born == is_known)
            return other;
    }
    return NULL;
}

/* The number that the other side gave it, where nobody has that; else a free one. */
static enum status find_other_number(struct joining *joining, const struct named_cores *cores,
                                     const struct named_core *core, int32_t *out, struct err *err)
{
    const int32_t other = core->ids[!side_with(core, core->id.number)].number;
    bool is_used = !other || other == core->ids[VERSION_BASE].number;
    for (size_t at = 0; at < cores->count; at++)
        is_used = is_used || cores->items[at].id.number == other;
    *out = other;
    return is_used ? find_free(joining, cores, core->id.number, out, err) : STATUS_OK;
}

/* Two cores that both knew, one number by either side: by the earlier act. What kept its number had it before. */
static enum status part_known(struct joining *joining, struct named_cores *cores, struct named_core *core,
                              struct named_core *rival, struct err *err)
{
    struct named_core *both[] = {core, rival};
    struct act_at acts[2] = {{.time_us = INT64_MIN}, {.time_us = INT64_MIN}};
    int32_t number = 0;
    for (size_t at = 0; at < 2; at++)
        if (both[at]->ids[VERSION_BASE].number != both[at]->id.number)
            TRY(find_name_act(joining, cores, both[at], side_with(both[at], both[at]->id.number), NAME_NUMBER,
                              &acts[at], err));
    const bool is_first_later = act_is_before(&acts[1], &acts[0]);
    struct named_core *later = both[is_first_later ? 0 : 1];
    TRY(find_other_number(joining, cores, later, &number, err));
    return renumber(joining, cores, later, &acts[is_first_later ? 1 : 0], number, err);
}

/* Did the other side ever give its number to a core that it does not know? Asked of the list, not of what has the
 * number in the end: so it does not matter which side of three was joined first. */
static bool was_given(const struct named_cores *cores, const struct named_core *core, int side)
{
    const struct renaming_set *set = &cores->sets[!side];
    const size_t own = renamings_shared(set, &cores->sets[side]);
    if (core->ids[!side].number)
        return false;
    for (size_t at = own; at < set->renaming_count; at++) {
        struct core_id id;
        const char *to = set->renamings[at].to;
        if (!core_id_parse(to, strlen(to), &id) || id.number != core->id.number)
            continue;
        if (!renamings_carry(set, at + 1, set->renaming_count, &id))
            continue;
        const struct named_core *other = named_by(cores, !side, id.number);
        if (!other || !other->born)
            return true;
    }
    return false;
}

/* A core that one side recorded under a number which the other gave to a core that both knew. Of two new ones that have
 * one number by now the one that had another before gives way again. */
static enum status give_way(struct joining *joining, struct named_cores *cores, struct named_core *core,
                            struct err *err)
{
    const int side = core->ids[0].number ? 0 : 1;
    const struct named_core *rival = find_rival(cores, core, false);
    char path[REGISTRY_PATH_MAX];
    struct act_at first;
    int32_t number = 0;
    const bool gives_way = rival && core->id.number != core->born;
    if (!find_rival(cores, core, true) && !was_given(cores, core, side) && !gives_way)
        return STATUS_OK;
    TRY(find_free(joining, cores, core->id.number, &number, err));
    renamed_path(cores->hole, path);
    if (gives_way)
        TRY(find_name_act(joining, cores, rival, rival->ids[0].number ? 0 : 1, NAME_NUMBER, &first, err));
    else
        TRY(side_last(joining, !side, path, &first, err));
    return renumber(joining, cores, core, &first, number, err);
}

enum status name_cores(struct joining *joining, struct named_cores *cores, struct err *err)
{
    for (size_t at = 0; at < cores->count; at++)
        TRY(decide(joining, cores, &cores->items[at], err));
    for (size_t at = 0; at < cores->count; at++) {
        struct named_core *core = &cores->items[at];
        struct named_core *rival = core->born ? NULL : find_rival(cores, core, true);
        for (; rival; rival = find_rival(cores, core, true))
            TRY(part_known(joining, cores, core, rival, err));
    }
    for (size_t at = 0; at < cores->count; at++)
        if (cores->items[at].born)
            TRY(give_way(joining, cores, &cores->items[at], err));
    return STATUS_OK;
}
