/* SPDX-License-Identifier: MIT */
/* What is claimed of one field: a set of values, mostly one. Sets are joined as sets are, by what each side added and
 * took away, so the order in which registries are joined does not matter; a decision takes away what it decided. */
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

static bool is_same_value(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : a == b;
}

static struct claimed *find_value(struct claims *claims, const char *value)
{
    for (size_t at = 0; at < claims->count; at++)
        if (is_same_value(claims->items[at].value, value))
            return &claims->items[at];
    return NULL;
}

static void add_claim(struct claims *claims, const struct claimed *claim)
{
    struct claimed *same = find_value(claims, claim->value);
    if (same && !*same->act.id)
        same->act = claim->act;
    if (same && same->side < 0)
        same->side = claim->side;
    if (!same && claims->count < CLAIMS_MAX)
        claims->items[claims->count++] = *claim;
}

/* Where a version has the contradiction, if it has one. */
static void open_path(const struct subject *subject, const char *path, const struct field *field,
                      char out[REGISTRY_PATH_MAX])
{
    const struct contradiction of = {
        .hole = subject->hole, .path = path, .item = subject->item, .field = field ? field->name : NULL};
    contradiction_path(&of, out);
}

static const char *path_in(const struct subject *subject, enum version version)
{
    if (version != VERSION_BASE)
        return subject->spots[version].path;
    return subject->spots[0].path; /* where a core was renamed, one of the sides has it where it was */
}

static enum status look_for_open(struct joining *joining, const char *hole, struct err *err)
{
    struct store *const stores[] = {joining->sides[0].store, joining->sides[1].store, joining->base};
    char folder[REGISTRY_PATH_MAX];
    char id[HASH_TEXT_MAX];
    if (joining->is_open_asked && is_same_value(joining->open_hole, hole))
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
        open_path(subject, path_in(subject, version), field, path);
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

/* The claims of a version: what is open there, else its value. */
static enum status read_claims(struct joining *joining, const struct subject *subject, const struct field *field,
                               enum version version, const void *item, struct claims *out, struct err *err)
{
    struct contradiction open = {.claim_count = 0};
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    *out = (struct claims){.count = 0};
    TRY(look_for_open(joining, subject->hole, err));
    if (joining->has_open) {
        open_path(subject, path_in(subject, version), field, path);
        TRY(joining_read(joining, version, path, &contradiction_table, &open, &there, err));
    }
    out->is_open = there;
    for (size_t at = 0; there && at < open.claim_count; at++) {
        struct claimed claim = {.value = open.claims[at].value, .side = -1};
        TRY(act_find(joining, open.claims[at].commit, &claim.act, err));
        add_claim(out, &claim);
    }
    if (!item)
        return STATUS_OK;
    struct claimed present = {.side = version == VERSION_BASE ? -1 : (int)version};
    TRY(value_text(joining, field, item, &present.value, err));
    add_claim(out, &present);
    return STATUS_OK;
}

/* In both, or added by one. What a side decided is added by it, also where it was claimed before. */
static void join_sets(const struct subject *subject, struct claims claims[VERSION_COUNT], struct claims *out)
{
    *out = (struct claims){.count = 0};
    for (int side = 0; side < SIDES_MAX; side++)
        for (size_t at = 0; at < claims[side].count; at++) {
            const struct claimed *it = &claims[side].items[at];
            const bool is_decided = claims[VERSION_BASE].is_open && !claims[side].is_open;
            if (subject->forced || is_decided || find_value(&claims[!side], it->value) ||
                !find_value(&claims[VERSION_BASE], it->value))
                add_claim(out, it);
        }
    const bool is_empty = !out->count; /* each took away what the other kept */
    for (int side = 0; is_empty && side < SIDES_MAX; side++)
        for (size_t at = 0; at < claims[side].count; at++)
            add_claim(out, &claims[side].items[at]);
}

static int compare_claims(const void *a, const void *b)
{
    const struct claimed *left = a;
    const struct claimed *right = b;
    if ((left->side < 0) != (right->side < 0)) /* what a record can be given stands before the rest */
        return left->side < 0 ? 1 : -1;
    return act_is_before(&left->act, &right->act) ? 1 : -1;
}

/* Was the very same open on a side already? */
static bool is_same_set(struct claims *a, struct claims *b)
{
    bool same = a->count == b->count;
    for (size_t at = 0; same && at < a->count; at++)
        same = find_value(b, a->items[at].value) != NULL;
    return same;
}

/* A side that took away what was open has decided, maybe for the value that stood: by the act that did so. */
static enum status find_decision(struct joining *joining, const struct subject *subject, const struct field *field,
                                 int side, struct act_at *out, bool *found, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    open_path(subject, subject->spots[side].path, field, path);
    const struct changed_file *file = joining_find(joining, path);
    *found = file && *file->base && !*file->sides[side];
    return *found ? side_last(joining, side, path, out, err) : STATUS_OK;
}

static enum status find_acts(struct joining *joining, const struct subject *subject, const struct field *field,
                             struct claims *claims, struct err *err)
{
    for (size_t at = 0; at < claims->count; at++) {
        struct claimed *it = &claims->items[at];
        struct blamed blamed;
        if (*it->act.id || it->side < 0)
            continue;
        if (subject->forced) {
            it->act = subject->forced[it->side];
            continue;
        }
        bool is_decided = false;
        TRY(find_decision(joining, subject, field, it->side, &it->act, &is_decided, err));
        if (is_decided)
            continue;
        TRY(side_blame(joining, it->side, &subject->spots[it->side], field, NULL, &blamed, err));
        it->act = blamed.act;
    }
    return STATUS_OK;
}

static enum status write_open(struct joining *joining, const struct subject *subject, const struct field *field,
                              const struct claims *claims, bool is_news, struct err *err)
{
    struct contradiction open = {.hole = subject->hole,
                                 .path = subject->path,
                                 .item = subject->item,
                                 .field = field->name,
                                 .claim_count = claims->count};
    TRY(arena_take(joining->arena, claims->count, sizeof *open.claims, &open.claims, err));
    for (size_t at = 0; at < claims->count; at++) {
        open.claims[at].value = claims->items[at].value;
        TRY(arena_copy(joining->arena, claims->items[at].act.id, COMMIT_ID_MAX - 1, &open.claims[at].commit, err));
    }
    if (is_news)
        TRY(tell_contradiction(joining, &open, err));
    return joining_write(joining, &contradiction_table, &open, err);
}

/* Nothing is open there any more, or it moved with its record. */
static enum status remove_open(struct joining *joining, const struct subject *subject, const struct field *field,
                               const char *path, struct err *err)
{
    char open[REGISTRY_PATH_MAX];
    char id[HASH_TEXT_MAX];
    open_path(subject, path, field, open);
    TRY(store_id(joining->sides[0].store, open, id, err));
    return *id ? joining_place(joining, open, "", err) : STATUS_OK;
}

static void mark_open(struct joining *joining, const struct subject *subject, const struct field *field)
{
    for (int side = 0; side < SIDES_MAX; side++) {
        char open[REGISTRY_PATH_MAX];
        open_path(subject, subject->spots[side].path, field, open);
        struct changed_file *file = joining_find(joining, open);
        if (file)
            file->is_joined = true;
    }
}

enum status join_claims(struct joining *joining, const struct subject *subject, const struct field *field,
                        const struct three *three, int *standing, struct err *err)
{
    struct claims claims[VERSION_COUNT];
    struct claims all;
    TRY(read_claims(joining, subject, field, VERSION_FIRST, three->sides[0], &claims[0], err));
    TRY(read_claims(joining, subject, field, VERSION_SECOND, three->sides[1], &claims[1], err));
    TRY(read_claims(joining, subject, field, VERSION_BASE, three->base, &claims[VERSION_BASE], err));
    join_sets(subject, claims, &all);
    mark_open(joining, subject, field);
    if (all.count > 1) {
        TRY(find_acts(joining, subject, field, &all, err));
        qsort(all.items, all.count, sizeof all.items[0], compare_claims);
    }
    *standing = all.items[0].side < 0 ? 0 : all.items[0].side;
    if (joining->has_open)
        for (int side = 0; side < SIDES_MAX; side++)
            if (all.count < 2 || strcmp(subject->spots[side].path, subject->path) != 0)
                TRY(remove_open(joining, subject, field, subject->spots[side].path, err));
    if (all.count < 2)
        return STATUS_OK;
    return write_open(joining, subject, field, &all, !is_same_set(&all, &claims[0]) && !is_same_set(&all, &claims[1]),
                      err);
}

enum status move_claims(struct joining *joining, const struct moved *moved, struct err *err)
{
    TRY(look_for_open(joining, moved->hole, err));
    for (size_t at = 0; joining->has_open && at < moved->table->count; at++) {
        struct subject subject = {.hole = moved->hole, .item = moved->older};
        struct contradiction open;
        char path[REGISTRY_PATH_MAX];
        char other[HASH_TEXT_MAX];
        bool there = false;
        open_path(&subject, moved->from, &moved->table->fields[at], path);
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
