/* SPDX-License-Identifier: MIT */
/* What is claimed of one field: a set of values with the acts that set them, mostly one. Sets are joined as sets are,
 * by what each side added and took away, so the order in which registries are joined does not matter; a decision takes
 * away what it decided, and is a claim of its own. */
#include <stdlib.h>
#include <string.h>

#include "joining.h"

enum { CLAIMS_MAX = 32 }; /* a decision is overdue long before */

struct claimed {
    const char *value; /* NULL: none */
    struct act_at act; /* id "": not looked for yet */
    int side;          /* whose present value it is; -1: neither's */
};

struct claims {
    struct claimed items[CLAIMS_MAX];
    size_t count;
    bool is_open; /* the version has a contradiction */
};

/* A value and the act that set it. */
static struct claimed *find_claim(struct claims *claims, const struct claimed *claim)
{
    for (size_t at = 0; at < claims->count; at++)
        if (is_same_text(claims->items[at].value, claim->value) && strcmp(claims->items[at].act.id, claim->act.id) == 0)
            return &claims->items[at];
    return NULL;
}

static void add_claim(struct claims *claims, const struct claimed *claim)
{
    struct claimed *same = find_claim(claims, claim);
    if (same && same->side < 0)
        same->side = claim->side;
    if (!same && claims->count < CLAIMS_MAX)
        claims->items[claims->count++] = *claim;
}

/* One value, set by two acts, is told of the later one. */
static void add_value(struct claims *claims, const struct claimed *claim)
{
    for (size_t at = 0; at < claims->count; at++) {
        struct claimed *it = &claims->items[at];
        if (!is_same_text(it->value, claim->value))
            continue;
        it->side = it->side < 0 ? claim->side : it->side;
        if (act_is_before(&it->act, &claim->act))
            it->act = claim->act;
        return;
    }
    add_claim(claims, claim);
}

/* Where a version has the contradiction, if it has one. */
static void open_path(const struct subject *subject, enum version version, const struct field *field,
                      char out[REGISTRY_PATH_MAX])
{
    const char *item = subject->items[version] ? subject->items[version] : subject->item;
    const char *path = version != VERSION_BASE ? subject->spots[version].path
                       : subject->base_path    ? subject->base_path
                                               : subject->spots[0].path;
    const struct contradiction of = {.hole = subject->hole, .path = path, .item = item, .field = field->name};
    contradiction_path(&of, out);
}

static enum status look_for_open(struct joining *joining, const char *hole, struct err *err)
{
    struct store *const stores[] = {joining->sides[0].store, joining->sides[1].store, joining->base};
    char folder[REGISTRY_PATH_MAX];
    char id[HASH_TEXT_MAX];
    if (joining->is_open_asked && is_same_text(joining->open_hole, hole))
        return STATUS_OK;
    contradictions_folder(hole, folder);
    joining->has_open = false;
    for (size_t at = 0; at < sizeof stores / sizeof stores[0]; at++) {
        TRY(store_id(stores[at], folder, id, err));
        joining->has_open = joining->has_open || *id;
    }
    joining->open_hole = hole;
    joining->is_open_asked = true;
    return STATUS_OK;
}

enum status has_claims(struct joining *joining, const struct subject *subject, const struct field *field, bool *out,
                       struct err *err)
{
    struct contradiction open;
    char path[REGISTRY_PATH_MAX];
    *out = false;
    TRY(look_for_open(joining, subject->hole, err));
    for (int version = 0; joining->has_open && version < VERSION_COUNT && !*out; version++) {
        open_path(subject, (enum version)version, field, path);
        TRY(joining_read(joining, version, path, &contradiction_table, &open, out, err));
    }
    return STATUS_OK;
}

static enum status value_text(struct joining *joining, const struct field *field, const void *item, const char **out,
                              struct err *err)
{
    struct text text;
    struct bytes bytes;
    *out = NULL;
    if (field_is_absent(field, item))
        return STATUS_OK;
    text_init(&text, joining->arena);
    field_format(field, item, &text);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

/* What stands open in a version; *out has its claims. */
static enum status read_open(struct joining *joining, const struct subject *subject, const struct field *field,
                             enum version version, struct claims *out, struct err *err)
{
    struct contradiction open = {.claim_count = 0};
    char path[REGISTRY_PATH_MAX];
    *out = (struct claims){.count = 0};
    TRY(look_for_open(joining, subject->hole, err));
    if (joining->has_open) {
        open_path(subject, version, field, path);
        TRY(joining_read(joining, version, path, &contradiction_table, &open, &out->is_open, err));
    }
    for (size_t at = 0; out->is_open && at < open.claim_count; at++) {
        struct claimed claim = {.value = open.claims[at].value, .side = -1};
        TRY(act_find(joining, open.claims[at].commit, &claim.act, err));
        add_claim(out, &claim);
    }
    return STATUS_OK;
}

/* The act by which a side took away what was open. */
static enum status find_closing(struct joining *joining, const struct subject *subject, const struct field *field,
                                int side, struct act_at *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    open_path(subject, VERSION_BASE, field, path);
    const struct changed_file *file = joining_find(joining, path);
    if (!file || !changed_by(file, side)) /* it had moved with its record before */
        open_path(subject, (enum version)side, field, path);
    return side_last(joining, side, path, out, err);
}

/* Confirmed, the value that stood is the decision's; else it is whose it was: to withdraw a record says nothing of it.
 */
static enum status find_standing(struct joining *joining, const struct act_at *closing, const struct claims *base,
                                 struct claimed *present, struct err *err)
{
    struct act_told told = {.kind = NULL};
    TRY(store_act(joining->store, closing->id, joining->arena, &told, err));
    present->act = *closing;
    if (told.kind && strcmp(told.kind, "settle") == 0)
        return STATUS_OK;
    for (size_t at = 0; at < base->count; at++)
        if (is_same_text(base->items[at].value, present->value))
            present->act = base->items[at].act;
    return STATUS_OK;
}

/* What was open is so no more on this side: by which act it has its value. */
static enum status find_decision(struct joining *joining, const struct subject *subject, const struct field *field,
                                 int side, const struct claims *base, struct claimed *present, struct err *err)
{
    struct act_at closing;
    struct blamed blamed;
    struct claimed confirmed = *present;
    TRY(find_closing(joining, subject, field, side, &closing, err));
    TRY(side_blame(joining, side, &subject->spots[side], field, NULL, &blamed, err));
    TRY(find_standing(joining, &closing, base, &confirmed, err));
    const bool is_confirmed = strcmp(confirmed.act.id, closing.id) == 0;
    present->act = confirmed.act;
    if (blamed.is_found && (!is_confirmed || side_is_before(joining, side, &closing, &blamed.act)))
        present->act = blamed.act;
    return STATUS_OK;
}

/* The value of a side, with the act that set it; none where it is that of the common state. */
static enum status read_value(struct joining *joining, const struct subject *subject, const struct field *field,
                              int side, const struct three *three, struct claims claims[VERSION_COUNT], struct err *err)
{
    struct claimed present = {.side = side};
    const void *item = three->sides[side];
    struct blamed blamed;
    TRY(value_text(joining, field, item, &present.value, err));
    if (claims[side].is_open) { /* it is among the claims */
        for (size_t at = 0; at < claims[side].count; at++)
            if (is_same_text(claims[side].items[at].value, present.value))
                claims[side].items[at].side = side;
        return STATUS_OK;
    }
    if (subject->forced)
        present.act = subject->forced[side];
    else if (claims[VERSION_BASE].is_open)
        TRY(find_decision(joining, subject, field, side, &claims[VERSION_BASE], &present, err));
    else if (!three->base || !field_is_equal(field, item, three->base)) {
        if (!subject->acts)
            TRY(side_blame(joining, side, &subject->spots[side], field, NULL, &blamed, err));
        present.act = subject->acts ? subject->acts[side] : blamed.act;
    }
    add_claim(&claims[side], &present);
    return STATUS_OK;
}

/* The value of the common state is a claim like others where a side joined it with another one: its act is told there.
 */
static enum status name_common(struct joining *joining, struct claims claims[VERSION_COUNT], struct err *err)
{
    struct claimed *before = &claims[VERSION_BASE].items[0];
    bool is_behind = false;
    for (int side = 0; side < SIDES_MAX; side++)
        for (size_t at = 0; claims[side].is_open && !is_behind && at < claims[side].count; at++) {
            if (!is_same_text(claims[side].items[at].value, before->value))
                continue;
            TRY(store_descends(joining->base, claims[side].items[at].act.id, &is_behind, err));
            before->act = is_behind ? claims[side].items[at].act : before->act;
        }
    for (int side = 0; side < SIDES_MAX; side++)
        for (size_t at = 0; at < claims[side].count; at++)
            if (!*claims[side].items[at].act.id)
                claims[side].items[at].act = before->act;
    return STATUS_OK;
}

static enum status read_claims(struct joining *joining, const struct subject *subject, const struct field *field,
                               const struct three *three, struct claims claims[VERSION_COUNT], struct err *err)
{
    for (int version = 0; version < VERSION_COUNT; version++)
        TRY(read_open(joining, subject, field, (enum version)version, &claims[version], err));
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(read_value(joining, subject, field, side, three, claims, err));
    if (claims[VERSION_BASE].is_open || !three->base)
        return STATUS_OK;
    struct claimed before = {.side = -1};
    TRY(value_text(joining, field, three->base, &before.value, err));
    add_claim(&claims[VERSION_BASE], &before);
    return subject->forced ? STATUS_OK : name_common(joining, claims, err);
}

/* In both, or added by one. */
static void join_sets(const struct subject *subject, struct claims claims[VERSION_COUNT], struct claims *out)
{
    *out = (struct claims){.count = 0};
    for (int side = 0; side < SIDES_MAX; side++)
        for (size_t at = 0; at < claims[side].count; at++) {
            const struct claimed *it = &claims[side].items[at];
            if (subject->forced || find_claim(&claims[!side], it) || !find_claim(&claims[VERSION_BASE], it))
                add_value(out, it);
        }
    const bool is_empty = !out->count; /* each took away what the other kept */
    for (int side = 0; is_empty && side < SIDES_MAX; side++)
        for (size_t at = 0; at < claims[side].count; at++)
            add_value(out, &claims[side].items[at]);
}

static int compare_claims(const void *a, const void *b)
{
    return act_is_before(&((const struct claimed *)a)->act, &((const struct claimed *)b)->act) ? 1 : -1;
}

/* The latest first; but what a record can be given, since a side has it, stands before all that none has. */
static void sort_claims(const struct subject *subject, struct claims *claims)
{
    size_t first = 0;
    qsort(claims->items, claims->count, sizeof claims->items[0], compare_claims);
    while (first < claims->count &&
           (subject->standing ? claims->items[first].side != subject->standing - 1 : claims->items[first].side < 0))
        first++;
    if (first == claims->count)
        return;
    const struct claimed standing = claims->items[first];
    memmove(&claims->items[1], &claims->items[0], first * sizeof standing);
    claims->items[0] = standing;
}

/* Was the very same open on a side already? */
static bool is_same_set(struct claims *a, struct claims *b)
{
    bool same = a->count == b->count;
    for (size_t at = 0; same && at < a->count; at++)
        same = find_claim(b, &a->items[at]) != NULL;
    return same;
}

static enum status write_open(struct joining *joining, const struct subject *subject, const struct field *field,
                              const struct claims *claims, bool is_news, struct err *err)
{
    struct contradiction open = {
        .hole = subject->hole, .item = subject->item, .field = field->name, .claim_count = claims->count};
    TRY(arena_copy(joining->arena, subject->path, strlen(subject->path), &open.path, err)); /* what is told lasts */
    TRY(arena_take(joining->arena, claims->count, sizeof *open.claims, &open.claims, err));
    for (size_t at = 0; at < claims->count; at++) {
        open.claims[at].value = claims->items[at].value;
        TRY(arena_copy(joining->arena, claims->items[at].act.id, COMMIT_ID_MAX - 1, &open.claims[at].commit, err));
    }
    if (is_news)
        TRY(tell_contradiction(joining, &open, err));
    return joining_write(joining, &contradiction_table, &open, err);
}

/* Nothing is open there any more, or it moved with its record: the first side has it still. */
static enum status remove_open(struct joining *joining, const struct subject *subject, const struct field *field,
                               struct err *err)
{
    char open[REGISTRY_PATH_MAX];
    char id[HASH_TEXT_MAX];
    open_path(subject, VERSION_FIRST, field, open);
    TRY(store_id(joining->sides[0].store, open, id, err));
    return *id ? joining_place(joining, open, "", err) : STATUS_OK;
}

static void mark_open(struct joining *joining, const struct subject *subject, const struct field *field)
{
    for (int version = 0; version < VERSION_COUNT; version++) {
        char open[REGISTRY_PATH_MAX];
        open_path(subject, (enum version)version, field, open);
        struct changed_file *file = joining_find(joining, open);
        if (file)
            file->is_joined = true;
    }
}

static enum status find_all(struct joining *joining, const struct subject *subject, const struct field *field,
                            const struct three *three, struct claims claims[VERSION_COUNT], struct claims *all,
                            int *standing, struct err *err)
{
    TRY(read_claims(joining, subject, field, three, claims, err));
    join_sets(subject, claims, all);
    sort_claims(subject, all);
    *standing = all->items[0].side < 0 ? 0 : all->items[0].side;
    return STATUS_OK;
}

enum status claims_standing(struct joining *joining, const struct subject *subject, const struct field *field,
                            const struct three *three, int *standing, struct err *err)
{
    struct claims claims[VERSION_COUNT];
    struct claims all;
    return find_all(joining, subject, field, three, claims, &all, standing, err);
}

enum status join_claims(struct joining *joining, const struct subject *subject, const struct field *field,
                        const struct three *three, int *standing, struct err *err)
{
    struct claims claims[VERSION_COUNT];
    struct claims all;
    TRY(find_all(joining, subject, field, three, claims, &all, standing, err));
    mark_open(joining, subject, field);
    if (joining->has_open)
        TRY(remove_open(joining, subject, field, err));
    if (all.count < 2)
        return STATUS_OK;
    return write_open(joining, subject, field, &all, !is_same_set(&all, &claims[0]) && !is_same_set(&all, &claims[1]),
                      err);
}

enum status move_claims(struct joining *joining, const struct moved *moved, struct err *err)
{
    TRY(look_for_open(joining, moved->hole, err));
    for (size_t at = 0; joining->has_open && at < moved->table->count; at++) {
        const struct contradiction then = {
            .hole = moved->hole, .path = moved->from, .item = moved->older, .field = moved->table->fields[at].name};
        struct contradiction open;
        char path[REGISTRY_PATH_MAX];
        char other[HASH_TEXT_MAX];
        bool there = false;
        contradiction_path(&then, path);
        TRY(joining_read(joining, (enum version)moved->side, path, &contradiction_table, &open, &there, err));
        if (!there)
            continue;
        struct changed_file *file = joining_find(joining, path);
        if (file)
            file->is_joined = true;
        TRY(store_id(joining->sides[!moved->side].store, path, other, err));
        if (!joining_is_placed(joining, path)) /* else what has the name now was there before */
            TRY(joining_place(joining, path, other, err));
        open.path = moved->to;
        open.item = moved->newer;
        TRY(joining_write(joining, &contradiction_table, &open, err));
    }
    return STATUS_OK;
}
