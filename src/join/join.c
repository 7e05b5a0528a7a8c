/* SPDX-License-Identifier: MIT */
/* Two histories made one: what differs from the last common state on either side, hole by hole, and the commit. */
#include "coretally/join/join.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "joining.h"

/* --- what differs --- */

static enum status refuse_file(const struct difference *it, struct err *err)
{
    if (it->why)
        return err_set(err, STATUS_DAMAGED, *it->path ? it->path : "/", "%s", it->why);
    err_set(err, STATUS_DAMAGED, it->path, "a link, a program or another repository stands where a plain file belongs");
    return err_hint(err, "who put it there: git log -- %.100s; coretally verify finds all like it", it->path);
}

static enum status add_side(struct joining *joining, int side, const struct differences *differences, struct err *err)
{
    for (size_t at = 0; at < differences->count; at++) {
        const struct difference *it = &differences->items[at];
        if (it->why || (it->newer_mode && it->newer_mode != MODE_FILE))
            return refuse_file(it, err);
        struct changed_file *file = &joining->files[joining->file_count++];
        *file = (struct changed_file){.path = it->path};
        memcpy(file->base, it->older, sizeof file->base);
        memcpy(file->sides[side], it->newer, sizeof file->sides[side]);
        memcpy(file->sides[!side], it->older, sizeof file->sides[!side]);
    }
    return STATUS_OK;
}

/* One path on both sides is one file. */
static void merge_files(struct joining *joining, size_t of_first)
{
    size_t kept = 0;
    for (size_t at = 0; at < joining->file_count; at++)
        joining->files[at].is_joined = at >= of_first; /* for a moment: it comes from the second side */
    if (joining->file_count)
        qsort(joining->files, joining->file_count, sizeof *joining->files, changed_file_order);
    for (size_t at = 0; at < joining->file_count; at++) {
        struct changed_file *file = &joining->files[at];
        struct changed_file *last = kept ? &joining->files[kept - 1] : NULL;
        const int side = file->is_joined;
        file->is_joined = false;
        if (last && strcmp(last->path, file->path) == 0)
            memcpy(last->sides[side], file->sides[side], sizeof last->sides[side]);
        else
            joining->files[kept++] = *file;
    }
    joining->file_count = kept;
}

static enum status find_files(struct joining *joining, struct err *err)
{
    struct differences differences[SIDES_MAX] = {{0}};
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(store_differences(joining->store, joining->base_id, joining->sides[side].tip, joining->arena,
                              &differences[side], err));
    TRY(arena_take(joining->arena, differences[0].count + differences[1].count, sizeof *joining->files, &joining->files,
                   err));
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(add_side(joining, side, &differences[side], err));
    merge_files(joining, differences[0].count);
    return STATUS_OK;
}

/* Records about which both sides changed what is open, or both decided, maybe not alike. */
static enum status find_contested(struct joining *joining, struct err *err)
{
    for (size_t at = 0; at < joining->file_count; at++) {
        const struct changed_file *file = &joining->files[at];
        struct contradiction open;
        if (!file->place.known || file->place.known->table != &contradiction_table || !changed_by(file, 0) ||
            !changed_by(file, 1))
            continue;
        const char *id = *file->base ? file->base : *file->sides[0] ? file->sides[0] : file->sides[1];
        TRY(joining_decode(joining, id, file->path, &contradiction_table, &open, err));
        struct commit_names *all = &joining->contested;
        TRY(arena_grow(joining->arena, &all->items, all->count, &all->room, sizeof *all->items, err));
        all->items[all->count++] = open.path;
    }
    return STATUS_OK;
}

/* --- hole by hole --- */

static enum status join_outside(struct joining *joining, struct changed_file *file, struct err *err)
{
    /* Changed alike by both is an act of each: they are counted. */
    const bool is_both = changed_by(file, 0) && changed_by(file, 1);
    if (!is_both && !joining_is_contested(joining, file->path))
        return joining_place(joining, file->path, file->sides[changed_by(file, 1)], err);
    if (file->place.known && file->place.known->table == &act_signature_set_table)
        return join_act_signatures(joining, file->path, err);
    if (file->place.known && file->place.known->kind == KNOWN_RECORD &&
        file->place.known->table != &contradiction_table)
        return join_whole(joining, NULL, file, err);
    if (file->place.known && file->place.known->table == &contradiction_table)
        return STATUS_OK; /* of the expedition: with its record */
    if (strcmp(file->sides[0], file->sides[1]) == 0)
        return STATUS_OK;
    err_set(err, STATUS_DAMAGED, file->path, "no file of a registry has this name, and both sides changed it");
    return err_hint(err, "who put it there: git log -- %.100s; take it out in a clone (git rm), commit, push",
                    file->path);
}

static size_t hole_end(const struct joining *joining, size_t first)
{
    size_t at = first;
    const char *hole = joining->files[first].place.hole;
    while (at < joining->file_count && joining->files[at].place.known &&
           strcmp(joining->files[at].place.hole, hole) == 0)
        at++;
    return at;
}

static enum status join_files(struct joining *joining, struct err *err)
{
    for (size_t at = 0; at < joining->file_count;) {
        struct changed_file *file = &joining->files[at];
        if (!file->place.known || !*file->place.hole) {
            TRY(join_outside(joining, file, err));
            at++;
            continue;
        }
        struct hole_files files = {.hole = file->place.hole, .files = file};
        bool sides[SIDES_MAX] = {false};
        files.count = hole_end(joining, at) - at;
        for (size_t in = 0; in < files.count; in++)
            for (int side = 0; side < SIDES_MAX; side++)
                sides[side] = sides[side] || changed_by(&files.files[in], side);
        if (sides[0] && sides[1])
            TRY(join_hole(joining, &files, err));
        for (size_t in = 0; in < files.count && !(sides[0] && sides[1]); in++)
            TRY(joining_place(joining, files.files[in].path, files.files[in].sides[sides[1]], err));
        at += files.count;
    }
    return STATUS_OK;
}

static enum status join_trees(struct joining *joining, char tree[COMMIT_ID_MAX], struct err *err)
{
    TRY(find_files(joining, err));
    for (size_t at = 0; at < joining->file_count; at++)
        (void)registry_place(joining->files[at].path, &joining->files[at].place);
    TRY(find_contested(joining, err));
    TRY(join_files(joining, err));
    struct placed *placed = NULL;
    size_t count = 0;
    TRY(joining_gather(joining, &placed, &count, err));
    const struct join_commit join = {.parents = {joining->sides[0].tip, joining->sides[1].tip},
                                     .onto = joining->sides[0].tip,
                                     .files = placed,
                                     .count = count};
    return store_put_join(joining->store, &join, joining->out->id, tree, err);
}

/* --- the commits --- */

static enum status join_parted(struct store *store, const char *const tips[SIDES_MAX], const char *base,
                               struct arena *arena, struct joined *out, char tree[COMMIT_ID_MAX], struct err *err)
{
    struct joining joining = {.store = store, .arena = arena, .out = out};
    const bool in_order = strcmp(tips[0], tips[1]) < 0;
    memcpy(joining.base_id, base, sizeof joining.base_id);
    enum status status = store_open_beside(store, base, &joining.base, err);
    for (int side = 0; status == STATUS_OK && side < SIDES_MAX; side++) {
        (void)snprintf(joining.sides[side].tip, COMMIT_ID_MAX, "%s", tips[in_order ? side : !side]);
        status = store_open_beside(store, joining.sides[side].tip, &joining.sides[side].store, err);
    }
    if (status == STATUS_OK)
        status = join_trees(&joining, tree, err);
    store_close(joining.base);
    for (int side = 0; side < SIDES_MAX; side++)
        store_close(joining.sides[side].store);
    return status;
}

static enum status join_commits(struct store *store, const char *const tips[SIDES_MAX], struct arena *arena,
                                struct joined *out, char tree[COMMIT_ID_MAX], struct err *err);

/* Several last common states: they are joined first, by the same function. */
static enum status join_bases(struct store *store, const struct commits *bases, struct arena *arena,
                              char out[COMMIT_ID_MAX], struct err *err)
{
    (void)snprintf(out, COMMIT_ID_MAX, "%s", bases->ids[0]);
    for (size_t at = 1; at < bases->count; at++) {
        struct joined joined = {.is_new = false};
        const char *const tips[] = {out, bases->ids[at]};
        TRY(join_commits(store, tips, arena, &joined, NULL, err));
        (void)snprintf(out, COMMIT_ID_MAX, "%s", joined.id);
    }
    return STATUS_OK;
}

static enum status refuse_strangers(const char *const tips[SIDES_MAX], struct err *err)
{
    err_set(err, STATUS_RULE, "registry",
            "%.10s and %.10s have no commit in common: they are two registries, not two "
            "copies of one",
            tips[0], tips[1]);
    return err_hint(err, "a copy to work in is made by: git clone --bare REGISTRY PLACE");
}

static enum status join_commits(struct store *store, const char *const tips[SIDES_MAX], struct arena *arena,
                                struct joined *out, char tree[COMMIT_ID_MAX], struct err *err)
{
    struct commits bases = {0};
    char base[COMMIT_ID_MAX];
    *out = (struct joined){.is_new = false};
    TRY(store_bases(store, tips[0], tips[1], arena, &bases, err));
    if (!bases.count)
        return refuse_strangers(tips, err);
    if (bases.count == 1)
        memcpy(out->base, bases.ids[0], sizeof out->base);
    for (int side = 0; side < SIDES_MAX; side++)
        if (strcmp(bases.ids[0], tips[side]) == 0) {
            (void)snprintf(out->id, sizeof out->id, "%s", tips[!side]);
            return STATUS_OK;
        }
    TRY(join_bases(store, &bases, arena, base, err));
    out->is_new = true;
    return join_parted(store, tips, base, arena, out, tree, err);
}

enum status join_make(struct store *store, const char *other, struct arena *arena, struct joined *out, struct err *err)
{
    const char *const tips[] = {store_state(store), other};
    return join_commits(store, tips, arena, out, NULL, err);
}

/* The first paths in which two trees differ. */
static enum status tell_different(struct store *store, const char *made, const char *commit, struct arena *arena,
                                  const char **why, struct err *err)
{
    struct differences differences = {0};
    struct text text;
    struct bytes bytes;
    TRY(store_differences(store, made, commit, arena, &differences, err));
    text_init(&text, arena);
    text_add(&text, "its tree is not what joining its parents gives:");
    for (size_t at = 0; at < differences.count && at < 3; at++)
        text_addf(&text, "%s %s", at ? "," : "", differences.items[at].path);
    if (differences.count > 3)
        text_addf(&text, " and %zu more", differences.count - 3);
    TRY(text_done(&text, &bytes, err));
    *why = bytes.data;
    return STATUS_OK;
}

enum status join_is_sound(struct store *store, const char *commit, struct arena *arena, bool *sound, const char **why,
                          struct err *err)
{
    struct parents parents;
    struct joined joined = {.is_new = false};
    char tree[COMMIT_ID_MAX];
    *sound = false;
    *why = "it does not join two histories";
    TRY(store_parents(store, commit, &parents, err));
    if (parents.count != SIDES_MAX)
        return STATUS_OK;
    const char *const tips[] = {parents.ids[0], parents.ids[1]};
    struct err refused = {0};
    const enum status status = join_commits(store, tips, arena, &joined, tree, &refused);
    if (status == STATUS_SYSTEM) {
        *err = refused;
        return status;
    }
    if (status != STATUS_OK)
        return arena_copy(arena, refused.reason, strlen(refused.reason), why, err);
    if (!joined.is_new) /* git merge --no-ff: nothing to join; the newer one's tree it must be */
        TRY(store_parents(store, joined.id, &parents, err));
    memcpy(tree, joined.is_new ? tree : parents.tree, sizeof tree);
    TRY(store_parents(store, commit, &parents, err));
    *sound = strcmp(tree, parents.tree) == 0;
    return *sound ? STATUS_OK : tell_different(store, joined.id, commit, arena, why, err);
}
