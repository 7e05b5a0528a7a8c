/* SPDX-License-Identifier: MIT */
/* The tree of a state: every path in it is known and a plain file; each hole goes to verify_hole. */
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "parts.h"

/* Known files of a folder and the folders in it. */
struct places {
    struct place_known *items;
    size_t count;
    size_t room;
};

static enum status list_folder(struct verify *verify, const char *folder, struct arena *arena, struct places *out,
                               struct err *err);

static enum status list_entry(struct verify *verify, const char *folder, const struct entry *entry, struct arena *arena,
                              struct places *out, struct err *err)
{
    char path[PATH_TEXT_MAX];
    struct place_known place;
    (void)snprintf(path, sizeof path, "%.2000s%s%.2000s", folder, *folder ? "/" : "", entry->name);
    if (entry->mode == MODE_FOLDER && registry_folder(path))
        return list_folder(verify, path, arena, out, err);
    if (entry->mode == MODE_FOLDER || !registry_place(path, &place)) {
        flaw_add(verify, FLAW_FILE_UNKNOWN, path, "", "no %s of a registry has this path",
                 entry->mode == MODE_FOLDER ? "folder" : "file");
        return STATUS_OK;
    }
    if (entry->mode != MODE_FILE) {
        flaw_add(verify, FLAW_FILE_MODE, path, "", "its mode is %06o, that of a plain file is %06o", entry->mode,
                 MODE_FILE);
        if (entry->mode != (MODE_FILE | 0111) && entry->mode != (MODE_FILE | 020)) /* still bytes to read */
            return STATUS_OK;
    }
    TRY(arena_grow(arena, &out->items, out->count, &out->room, sizeof *out->items, err));
    out->items[out->count++] = place;
    return STATUS_OK;
}

/* In git's order a folder stands where its name with a '/' behind it does. */
static bool is_before(const struct entry *one, const struct entry *other)
{
    const size_t len = strlen(one->name);
    const int order = strncmp(one->name, other->name, len);
    if (order != 0 || strlen(other->name) < len)
        return order < 0;
    const unsigned char behind = (unsigned char)(one->mode == MODE_FOLDER ? '/' : '\0');
    const unsigned char at = (unsigned char)(other->name[len] || other->mode != MODE_FOLDER ? other->name[len] : '/');
    return behind < at;
}

/* Git never writes a name twice; a tree made by hand may have it, and readers then differ in which one they see. */
static bool is_twice(struct verify *verify, const char *folder, const struct entries *entries, size_t at)
{
    const char *name = entries->items[at].name;
    if (!at)
        return false;
    if (strcmp(name, entries->items[at - 1].name) != 0) {
        if (!is_before(&entries->items[at - 1], &entries->items[at]))
            flaw_add(verify, FLAW_FILE_ORDER, *folder ? folder : "/", name, "'%s' stands after '%s'", name,
                     entries->items[at - 1].name);
        return false;
    }
    flaw_add(verify, FLAW_FILE_TWICE, *folder ? folder : "/", name, "'%s' occurs twice in this folder", name);
    return true;
}

static enum status list_folder(struct verify *verify, const char *folder, struct arena *arena, struct places *out,
                               struct err *err)
{
    struct entries entries = {0};
    struct err why = {0};
    if (store_entries(verify->store, folder, arena, &entries, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, *folder ? folder : "/", &why, err);
    for (size_t at = 0; at < entries.count; at++) {
        if (is_twice(verify, folder, &entries, at))
            continue;
        TRY(list_entry(verify, folder, &entries.items[at], arena, out, err));
    }
    return STATUS_OK;
}

/* One hole with an arena of its own, so that the memory is that of the largest hole. */
enum status verify_hole_of(struct verify *verify, const char *hole, const int32_t *wanted, size_t count,
                           struct err *err)
{
    struct arena arena;
    struct places places = {0};
    char folder[REGISTRY_PATH_MAX];
    struct hole_view view = {.name = hole, .arena = &arena};
    arena_init(&arena, ARENA_LIMIT_BYTES);
    (void)snprintf(folder, sizeof folder, "holes/%.12s", hole);
    enum status status = list_folder(verify, folder, &arena, &places, err);
    view.places = places.items;
    view.place_count = places.count;
    if (status == STATUS_OK && (places.count || wanted))
        status = verify_hole(verify, &view, wanted, count, err);
    arena_clear(&arena);
    return status;
}

enum status verify_hole_rules(struct verify *verify, const char *hole, struct err *err)
{
    verify->is_rules = true;
    return verify_hole_of(verify, hole, NULL, 0, err);
}

static enum status look_at_holes(struct verify *verify, struct err *err)
{
    struct entries entries = {0};
    struct err why = {0};
    char path[PATH_TEXT_MAX];
    if (store_entries(verify->store, "holes", verify->state->arena, &entries, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "holes", &why, err);
    for (size_t at = 0; at < entries.count; at++) {
        const struct entry *entry = &entries.items[at];
        (void)snprintf(path, sizeof path, "holes/%.2000s", entry->name);
        if (is_twice(verify, "holes", &entries, at))
            continue;
        if (entry->mode != MODE_FOLDER || !registry_folder(path))
            flaw_add(verify, FLAW_FILE_UNKNOWN, path, "", "no hole has this name");
        else
            TRY(verify_hole_of(verify, entry->name, NULL, 0, err));
    }
    return STATUS_OK;
}

static int compare_texts(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* Evidence that nothing names may be the half of a correction that is missing. */
static void look_for_use(struct verify *verify, const struct place_known *place)
{
    const char *hash = strrchr(place->path, '/') + 1;
    if (!verify->evidence_count ||
        !bsearch(&hash, verify->evidence, verify->evidence_count, sizeof *verify->evidence, compare_texts))
        flaw_add(verify, FLAW_EVIDENCE_UNUSED, place->path, "", "no correction names this file");
}

/* A file at the root or in the evidence folder. */
static enum status look_at_file(struct verify *verify, const struct place_known *place, struct err *err)
{
    struct arena arena;
    void *record = NULL;
    bool sound = false;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    enum status status = verify_room(place->known, &arena, &record, err);
    if (status == STATUS_OK)
        status = verify_read(verify, place, &arena, record, &sound, err);
    arena_clear(&arena);
    return status;
}

static enum status look_at_evidence(struct verify *verify, struct err *err)
{
    struct places places = {0};
    TRY(list_folder(verify, "evidence", verify->state->arena, &places, err));
    if (verify->evidence_count)
        qsort(verify->evidence, verify->evidence_count, sizeof *verify->evidence, compare_texts);
    for (size_t at = 0; at < places.count; at++) {
        TRY(look_at_file(verify, &places.items[at], err));
        look_for_use(verify, &places.items[at]);
    }
    return STATUS_OK;
}

static enum status look_at_root(struct verify *verify, bool *has_expedition, struct err *err)
{
    struct entries entries = {0};
    struct err why = {0};
    if (store_entries(verify->store, "", verify->state->arena, &entries, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "/", &why, err);
    for (size_t at = 0; at < entries.count; at++) {
        const struct entry *entry = &entries.items[at];
        struct places places = {0};
        if (is_twice(verify, "", &entries, at) || (entry->mode == MODE_FOLDER && registry_folder(entry->name)))
            continue; /* folders have their turn */
        TRY(list_entry(verify, "", entry, verify->state->arena, &places, err));
        for (size_t file = 0; file < places.count; file++) {
            *has_expedition = *has_expedition || strcmp(places.items[file].path, EXPEDITION_PATH) == 0;
            TRY(look_at_file(verify, &places.items[file], err));
        }
    }
    return STATUS_OK;
}

static enum status look_at_expedition(struct verify *verify, struct err *err)
{
    bool there = false;
    TRY(look_at_root(verify, &there, err));
    if (!there)
        flaw_add(verify, FLAW_FILE_MISSING, EXPEDITION_PATH, "",
                 "the registry does not say which expedition it belongs to");
    return STATUS_OK;
}

/* What is open of the expedition itself. */
static enum status look_at_open(struct verify *verify, struct err *err)
{
    struct places places = {0};
    TRY(list_folder(verify, "open", verify->state->arena, &places, err));
    for (size_t at = 0; at < places.count; at++)
        TRY(verify_contradiction(verify, &places.items[at], err));
    return STATUS_OK;
}

/* Signatures under acts. */
static enum status look_at_signed(struct verify *verify, struct err *err)
{
    struct places places = {0};
    TRY(list_folder(verify, "signed", verify->state->arena, &places, err));
    for (size_t at = 0; at < places.count; at++)
        TRY(verify_act_signatures(verify, &places.items[at], err));
    return STATUS_OK;
}

enum status verify_tree(struct verify *verify, struct err *err)
{
    TRY(look_at_expedition(verify, err));
    TRY(look_at_open(verify, err));
    TRY(look_at_signed(verify, err));
    TRY(look_at_holes(verify, err));
    return look_at_evidence(verify, err);
}

/* What was changed of a hole. */
struct touched {
    const char *hole;
    int32_t core; /* 0: the hole itself */
};

static int compare_touched(const void *a, const void *b)
{
    const struct touched *left = a;
    const struct touched *right = b;
    const int order = strcmp(left->hole, right->hole);
    return order ? order : (left->core > right->core) - (left->core < right->core);
}

static enum status list_touched(struct verify *verify, const struct differences *changed, struct touched **out,
                                size_t *count, struct err *err)
{
    struct arena *arena = verify->state->arena;
    TRY(arena_take(arena, changed->count, sizeof **out, out, err));
    *count = 0;
    for (size_t at = 0; at < changed->count; at++) {
        struct place_known place;
        if (!registry_place(changed->items[at].path, &place) || !*place.hole)
            continue;
        struct touched *touched = &(*out)[(*count)++];
        const bool is_core = place_is_of_core(&place);
        TRY(arena_copy(arena, place.hole, strlen(place.hole), &touched->hole, err));
        touched->core = is_core ? place.number : 0;
    }
    if (*count)
        qsort(*out, *count, sizeof **out, compare_touched);
    return STATUS_OK;
}

/* Which name states and acts of the history. */
static enum status look_at_naming(struct verify *verify, const struct differences *changed, struct err *err)
{
    for (size_t at = 0; at < changed->count; at++) {
        struct place_known place;
        if (!*changed->items[at].newer || !registry_place(changed->items[at].path, &place))
            continue;
        if (place.known->table == &label_set_table)
            TRY(verify_labels(verify, &place, err));
        if (place.known->table == &act_signature_set_table)
            TRY(verify_act_signatures(verify, &place, err));
    }
    return STATUS_OK;
}

/* Of a range the files that are no core's were read with its commits; what is doubted is that of the state. */
static enum status look_at_items(struct verify *verify, const struct differences *changed, struct err *err)
{
    for (size_t at = 0; at < changed->count; at++) {
        struct place_known place;
        if (!*changed->items[at].newer || !registry_place(changed->items[at].path, &place))
            continue;
        const struct table *table = place.known->table;
        if (table == &bag_set_table || table == &drilled_set_table || table == &pump_set_table)
            TRY(look_at_file(verify, &place, err));
    }
    return STATUS_OK;
}

enum status verify_state_of(struct verify *verify, const struct differences *changed, struct err *err)
{
    struct touched *touched = NULL;
    size_t count = 0;
    TRY(look_at_expedition(verify, err));
    TRY(look_at_open(verify, err));
    TRY(list_touched(verify, changed, &touched, &count, err));
    for (size_t at = 0; at < count;) {
        const char *hole = touched[at].hole;
        int32_t *cores = NULL;
        size_t wanted = 0;
        size_t end = at;
        while (end < count && strcmp(touched[end].hole, hole) == 0)
            end++;
        TRY(arena_take(verify->state->arena, end - at, sizeof *cores, &cores, err));
        for (; at < end; at++)
            if (touched[at].core && (!wanted || cores[wanted - 1] != touched[at].core))
                cores[wanted++] = touched[at].core;
        TRY(verify_hole_of(verify, hole, cores, wanted, err));
    }
    TRY(look_at_items(verify, changed, err));
    return look_at_naming(verify, changed, err);
}
