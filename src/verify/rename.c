/* SPDX-License-Identifier: MIT */
/* Renamed cores: what a commit moved, held against the renaming that it added to the list of its hole; and the former
 * names of a core against that list. */
#include <string.h>

#include "coretally/base/limits.h"
#include "parts.h"

/* One renaming of the commit under the eyes. */
struct move {
    struct verify *verify;
    const struct differences *changed;
    struct arena *arena;
    char hole[HOLE_NAME_MAX];
    const struct renaming *renaming;
    struct core_id from;
    struct core_id to;
};

/* --- a commit --- */

static const struct difference *find_path(const struct differences *changed, const char *path)
{
    for (size_t at = 0; at < changed->count; at++)
        if (strcmp(changed->items[at].path, path) == 0)
            return &changed->items[at];
    return NULL;
}

/* A version of a file by its id; *sound false where it cannot be read, which is told. Newer ones are looked at by
 * themselves, too. */
static enum status read_side(struct move *move, const struct place_known *place, const char *id, bool is_newer,
                             void *record, bool *sound, struct err *err)
{
    struct bytes bytes = {0};
    struct err why = {0};
    *sound = false;
    if (store_bytes(move->verify->store, id, place->path, move->arena, &bytes, &why) != STATUS_OK)
        return flaw_unreadable(move->verify, FLAW_OBJECT_UNREADABLE, place->path, &why, err);
    if (is_newer)
        return verify_bytes(move->verify, place, bytes, move->arena, record, sound, err);
    *sound = record_decode(place->known->table, bytes, move->arena, record, &why) == STATUS_OK;
    if (!*sound && why.status == STATUS_SYSTEM)
        *err = why;
    return why.status == STATUS_SYSTEM ? why.status : STATUS_OK;
}

static void hold_core(const struct move *move, const char *path, const struct core *older, const struct core *newer)
{
    struct core same = *newer;
    char was[TEXT_FIELD_MAX + CORE_ID_MAX + 1];
    const int32_t before = older->version ? older->version : 1;
    (void)snprintf(was, sizeof was, "%s%s%s", older->was ? older->was : "", older->was ? " " : "",
                   move->renaming->from);
    same.number = older->number;
    same.type = older->type;
    same.was = older->was;
    same.version = older->version;
    if (!record_is_equal(&core_table, &same, older))
        flaw_add(move->verify, FLAW_RECORD_CHANGED, path, "",
                 "core %s became %s and changed in more than its name; an act does one or the other",
                 move->renaming->from, move->renaming->to);
    if (!newer->was || strcmp(newer->was, was) != 0)
        flaw_add(move->verify, FLAW_RECORD_CHANGED, path, "", "its former names should be '%.200s'", was);
    if (newer->version != before + 1)
        flaw_add(move->verify, FLAW_VERSION_COUNT, path, "", "it was renamed, and its version went from %d to %d",
                 (int)before, (int)newer->version);
}

static void hold_set(const struct move *move, const struct table *table, const char *path, const void *older,
                     void *newer)
{
    if (table == &sample_set_table)
        ((struct sample_set *)newer)->core = move->from.number;
    else
        ((struct label_set *)newer)->core = move->from.number;
    if (!record_is_equal(table, older, newer))
        flaw_add(move->verify, FLAW_RECORD_CHANGED, path, "",
                 "it followed core %s to %s and changed on the way; it should be as it was", move->renaming->from,
                 move->renaming->to);
}

/* A file that goes and the one that comes for it, or with the letter alone the one that is changed. */
static enum status hold_file(struct move *move, const char *gone, const char *come, bool must, struct err *err)
{
    const struct difference *older = find_path(move->changed, gone);
    const struct difference *newer = find_path(move->changed, come);
    struct place_known places[2];
    void *records[2] = {NULL, NULL};
    bool sound[2] = {false, false};
    const bool is_moved = strcmp(gone, come) != 0;
    const bool went = older && *older->older && (!is_moved || !older->newer_mode);
    const bool came = newer && *newer->newer && (!is_moved || !newer->older_mode);
    if (!went && !came && !must)
        return STATUS_OK;
    if (!went || !came || !registry_place(gone, &places[0]) || !registry_place(come, &places[1])) {
        flaw_add(move->verify, went ? FLAW_RECORD_REMOVED : FLAW_RECORD_CHANGED, came ? come : gone, "",
                 "the renaming of core %s to %s is recorded, and the file did not go from %s to %s",
                 move->renaming->from, move->renaming->to, strrchr(gone, '/') + 1, strrchr(come, '/') + 1);
        return STATUS_OK;
    }
    for (int side = 0; side < 2; side++) {
        TRY(verify_room(places[side].known, move->arena, &records[side], err));
        TRY(read_side(move, &places[side], side ? newer->newer : older->older, side, records[side], &sound[side], err));
    }
    if (!sound[0] || !sound[1])
        return STATUS_OK;
    if (places[1].known->table == &core_table)
        hold_core(move, come, records[0], records[1]);
    else
        hold_set(move, places[1].known->table, come, records[0], records[1]);
    return STATUS_OK;
}

typedef void core_file_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX]);
static core_file_path *const file_paths[] = {core_path, samples_path, core_labels_path};

static enum status hold_move(struct move *move, struct err *err)
{
    char gone[REGISTRY_PATH_MAX];
    char come[REGISTRY_PATH_MAX];
    const size_t count = move->from.number == move->to.number ? 1 : sizeof file_paths / sizeof file_paths[0];
    for (size_t at = 0; at < count; at++) {
        file_paths[at](move->hole, move->from.number, gone);
        file_paths[at](move->hole, move->to.number, come);
        TRY(hold_file(move, gone, come, at == 0, err));
    }
    return STATUS_OK;
}

/* The set of a version; an empty one where there is none. */
static enum status read_set(struct verify *verify, const struct difference *it, const char *id, struct arena *arena,
                            struct renaming_set *out, struct err *err)
{
    struct bytes bytes = {0};
    struct err why = {0};
    record_init(&renaming_set_table, out);
    if (!*id)
        return STATUS_OK;
    enum status status = store_bytes(verify->store, id, it->path, arena, &bytes, &why);
    if (status == STATUS_OK)
        status = record_decode(&renaming_set_table, bytes, arena, out, &why);
    if (status == STATUS_OK && renamings_are_sound(out))
        return STATUS_OK;
    record_init(&renaming_set_table, out);
    if (status == STATUS_SYSTEM)
        *err = why;
    return status == STATUS_SYSTEM ? status : STATUS_OK; /* told where it is looked at by itself */
}

enum status verify_renamings(struct verify *verify, const struct act_told *act, const struct differences *changed,
                             size_t at, struct arena *arena, struct verify_moves *out, struct err *err)
{
    const struct difference *it = &changed->items[at];
    struct place_known place;
    struct renaming_set sets[2];
    if (it->why || !registry_place(it->path, &place) || place.known->table != &renaming_set_table)
        return STATUS_OK;
    TRY(read_set(verify, it, it->older, arena, &sets[0], err));
    TRY(read_set(verify, it, it->newer, arena, &sets[1], err));
    const size_t first = sets[0].renaming_count;
    if (sets[1].renaming_count <= first)
        return STATUS_OK;
    if (sets[1].renaming_count > first + 1)
        flaw_add(verify, FLAW_RECORD_CHANGED, it->path, "", "an act renames one core, and this commit %zu",
                 sets[1].renaming_count - first);
    if (act->kind && strcmp(act->kind, "core amend") != 0 && strcmp(act->kind, "settle") != 0) /* its letter was open */
        flaw_add(verify, FLAW_RECORD_CHANGED, it->path, "", "a core is renamed by 'core amend', and not by '%.40s'",
                 act->kind);
    struct move move = {.verify = verify,
                        .changed = changed,
                        .arena = arena,
                        .renaming = &sets[1].renamings[sets[1].renaming_count - 1]};
    (void)snprintf(move.hole, sizeof move.hole, "%s", place.hole);
    (void)core_id_parse(move.renaming->from, strlen(move.renaming->from), &move.from);
    (void)core_id_parse(move.renaming->to, strlen(move.renaming->to), &move.to);
    if (out->count < sizeof out->items / sizeof out->items[0]) {
        struct verify_move *told = &out->items[out->count++];
        *told = (struct verify_move){.from = move.from.number, .to = move.to.number};
        memcpy(told->hole, move.hole, sizeof told->hole);
    }
    return hold_move(&move, err);
}

bool verify_is_moved(const struct verify_moves *moves, const struct place_known *place)
{
    if (!place_is_of_core(place))
        return false;
    for (size_t at = 0; at < moves->count; at++) {
        const struct verify_move *move = &moves->items[at];
        const bool is_core = place->known->table == &core_table;
        if (strcmp(move->hole, place->hole) == 0 && (place->number == move->from || place->number == move->to) &&
            (is_core || move->from != move->to))
            return true;
    }
    return false;
}

/* --- a state --- */

enum status verify_renamed(struct verify *verify, struct hole_view *view, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct place_known place;
    bool sound = false;
    renamed_path(view->name, path);
    record_init(&renaming_set_table, &view->renamed);
    if (!registry_place(path, &place))
        return STATUS_OK;
    TRY(verify_read(verify, &place, view->arena, &view->renamed, &sound, err));
    if (!sound)
        record_init(&renaming_set_table, &view->renamed);
    for (size_t at = 0; at < view->renamed.renaming_count; at++) {
        const struct renaming *it = &view->renamed.renamings[at];
        struct core_id id = {0, '\0'};
        char item[40];
        (void)core_id_parse(it->to, strlen(it->to), &id);
        (void)snprintf(item, sizeof item, "renaming %d", (int)it->number);
        if (!renamings_carry(&view->renamed, at + 1, view->renamed.renaming_count, &id))
            flaw_add(verify, FLAW_NAME_HISTORY, path, item, "core %s and a later renaming contradict one another",
                     it->to);
        else if (!view_has_core(view, id.number))
            flaw_add(verify, FLAW_REFERENCE_MISSING, path, item, "core %d%c, which was %s, is not recorded",
                     (int)id.number, id.type, it->from);
    }
    return STATUS_OK;
}

void verify_former_names(struct verify *verify, const struct hole_view *view, const char *path, const struct core *core)
{
    if (!renamings_have(&view->renamed, (struct core_id){core->number, core->type}, core->was))
        flaw_add(verify, FLAW_NAME_HISTORY, path, "",
                 "its former names are '%.200s', and renamed.json of the hole says otherwise",
                 core->was ? core->was : "");
}
