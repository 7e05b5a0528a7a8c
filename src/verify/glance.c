/* SPDX-License-Identifier: MIT */
/* What a file shows at a commit, of the flaws that two sides can make together. A look is kept by the ids of all that
 * it rests on, so that a state in which nothing of that changed is not looked at again. */
#include <string.h>

#include "coretally/base/limits.h"
#include "first.h"

enum { KEY_MAX = 41 * (8 + 3 * (PARENTS_MAX + 1)) };

/* --- which flaws two sides can make together --- */

struct mark mark_of(const struct flaw_found *found)
{
    struct mark mark = {.flaw = found->flaw, .item = found->item};
    const size_t len = strcspn(found->sentence, ":");
    if (found->flaw == FLAW_RULE_BROKEN)
        (void)snprintf(mark.rule, sizeof mark.rule, "%.*s", (int)(len < sizeof mark.rule ? len : 0), found->sentence);
    return mark;
}

bool mark_is_same(const struct mark *a, const struct mark *b)
{
    return a->flaw == b->flaw && strcmp(a->item, b->item) == 0 && strcmp(a->rule, b->rule) == 0;
}

bool glance_has(const struct glance *glance, const struct mark *mark)
{
    for (size_t at = 0; at < glance->count; at++)
        if (mark_is_same(&glance->marks[at], mark))
            return true;
    return false;
}

/* --- a file at a commit --- */

enum status sight_find(struct sights *sights, const char *path, struct sight **out, struct err *err)
{
    struct place_known place;
    *out = NULL;
    if (!registry_place(path, &place) || !*place.hole || place.known->kind != KNOWN_RECORD)
        return STATUS_OK;
    for (struct sight *sight = sights->all; sight; sight = sight->next)
        if (strcmp(sight->place.path, path) == 0) {
            *out = sight;
            return STATUS_OK;
        }
    TRY(arena_take(sights->aside.arena, 1, sizeof **out, out, err));
    **out = (struct sight){.next = sights->all, .place = place};
    sights->all = *out;
    return STATUS_OK;
}

/* The id of a path, behind those that the key has. */
static enum status add_id(struct sights *sights, const char *path, char key[KEY_MAX], struct err *err)
{
    char id[HASH_TEXT_MAX];
    const size_t len = strlen(key);
    TRY(store_id(sights->store, path, id, err));
    (void)snprintf(key + len, KEY_MAX - len, "%s.", id);
    return STATUS_OK;
}

/* What depths of a hole rest on but its cores. */
static enum status add_hole(struct sights *sights, const char *hole, char key[KEY_MAX], struct err *err)
{
    static const char *const files[] = {"hole.json", "corrections", "renamed.json"};
    char path[REGISTRY_PATH_MAX];
    for (size_t at = 0; at < sizeof files / sizeof files[0]; at++) {
        (void)snprintf(path, sizeof path, "holes/%.12s/%.20s", hole, files[at]);
        TRY(add_id(sights, path, key, err));
    }
    return STATUS_OK;
}

static enum status add_parents(struct sights *sights, struct state *at, const char *name, char key[KEY_MAX],
                               struct err *err)
{
    struct hole hole = {.parent = name};
    for (int deep = 0; hole.parent && deep < PARENTS_MAX; deep++) {
        char path[REGISTRY_PATH_MAX];
        struct err why = {0};
        bool there = false;
        hole_path(hole.parent, path);
        if (deep)
            TRY(add_hole(sights, hole.parent, key, err));
        const enum status status = state_read(at, path, &hole_table, &hole, &there, &why);
        if (status == STATUS_SYSTEM) {
            *err = why;
            return status;
        }
        if (status != STATUS_OK || !there)
            return STATUS_OK;
    }
    return STATUS_OK;
}

/* All that what is told of the file rests on. */
static enum status make_key(struct sights *sights, struct state *at, const struct sight *sight, char key[KEY_MAX],
                            struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    const char *hole = sight->place.hole;
    *key = '\0';
    if (place_is_of_core(&sight->place)) {
        TRY(add_hole(sights, hole, key, err));
        core_path(hole, sight->place.number, path);
        TRY(add_id(sights, path, key, err));
        samples_path(hole, sight->place.number, path);
        TRY(add_id(sights, path, key, err));
        TRY(add_id(sights, sight->place.path, key, err));
    } else {
        (void)snprintf(path, sizeof path, "holes/%.12s", hole);
        TRY(add_id(sights, path, key, err));
    }
    return add_parents(sights, at, hole, key, err);
}

/* Files that verify_hole leaves alone where a few cores are wanted. */
static enum status look_at_file(struct verify *probe, const struct place_known *place, struct err *err)
{
    struct arena arena;
    void *record = NULL;
    bool sound = false;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    enum status status = verify_room(place->known, &arena, &record, err);
    if (status == STATUS_OK)
        status = verify_read(probe, place, &arena, record, &sound, err);
    arena_clear(&arena);
    return status;
}

static enum status look_again(struct sights *sights, const struct sight *sight, struct state *aside,
                              struct verify *probe, struct err *err)
{
    const bool is_core = place_is_of_core(&sight->place);
    verify_init(probe, aside, sights->verify->path, sights->verify->acts);
    probe->store = sights->store;
    probe->objects = sights->verify->objects;
    TRY(verify_hole_of(probe, sight->place.hole, &sight->place.number, is_core, err));
    TRY(look_at_file(probe, &sight->place, err));
    if (probe->failed)
        *err = probe->failure;
    return probe->failed ? err->status : STATUS_OK;
}

static enum status keep_marks(struct sights *sights, const struct sight *sight, const struct verify *probe,
                              struct glance *out, struct err *err)
{
    struct arena *arena = sights->aside.arena;
    size_t room = 0;
    for (size_t at = 0; at < probe->found_count; at++) {
        const struct flaw_found *found = &probe->found[at];
        if (strcmp(found->path, sight->place.path) != 0 || !flaw_may_be_open(found->flaw))
            continue;
        TRY(arena_grow(arena, &out->marks, out->count, &room, sizeof *out->marks, err));
        struct mark *mark = &out->marks[out->count++];
        *mark = mark_of(found);
        TRY(arena_copy(arena, found->item, strlen(found->item), &mark->item, err));
    }
    return STATUS_OK;
}

static enum status take_glance(struct sights *sights, struct sight *sight, const char *key, struct glance **out,
                               struct err *err)
{
    struct state aside;
    struct verify probe;
    struct glance *glance = NULL;
    TRY(arena_take(sights->aside.arena, 1, sizeof *glance, &glance, err));
    *glance = (struct glance){.next = sight->glances};
    TRY(arena_copy(sights->aside.arena, key, strlen(key), &glance->key, err));
    state_nest(&sights->aside, &aside);
    enum status status = look_again(sights, sight, &aside, &probe, err);
    if (status == STATUS_OK)
        status = keep_marks(sights, sight, &probe, glance, err);
    state_leave(&aside);
    sight->glances = status == STATUS_OK ? glance : sight->glances;
    *out = glance;
    return status;
}

/* The flaws of a file at a commit. */
enum status sight_look(struct sights *sights, struct sight *sight, const char *commit, struct glance **out,
                       struct err *err)
{
    char key[KEY_MAX];
    struct state at;
    TRY(sights->store ? store_stand_at(sights->store, commit, err)
                      : store_open_at(sights->verify->path, commit, sights->verify->objects, &sights->store, err));
    state_at(&sights->aside, sights->store, &at);
    TRY(make_key(sights, &at, sight, key, err));
    for (*out = sight->glances; *out; *out = (*out)->next)
        if (strcmp((*out)->key, key) == 0)
            return STATUS_OK;
    return take_glance(sights, sight, key, out, err);
}

void sights_begin(struct sights *sights, struct verify *verify)
{
    *sights = (struct sights){.verify = verify};
    state_nest(verify->state, &sights->aside);
    sights->aside.store = verify->store;
    sights->aside.sink = NULL; /* what is looked at again is told once */
}

void sights_end(struct sights *sights)
{
    store_close(sights->store);
    state_leave(&sights->aside);
}
