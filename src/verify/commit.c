/* SPDX-License-Identifier: MIT */
/* Each commit against the one before it: what it says of its act, and that its changes are such as acts make. The cost
 * is that of the changes. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/store/merge.h"
#include "done.h"

/* One commit under the eyes. */
struct commit_view {
    struct verify *verify;
    const struct act_told *act;
    struct verify_done *done;
    struct arena arena; /* of one file at a time, or of the few of an act */
};

static bool is_known_act(const struct verify *verify, const char *kind)
{
    for (const char *const *act = verify->acts; *act; act++)
        if (strcmp(*act, kind) == 0)
            return true;
    return false;
}

static void hold_message(struct verify *verify, const struct act_told *act)
{
    if (act->kind && strcmp(act->kind, JOIN_KIND) == 0)
        flaw_add(verify, FLAW_ACT_MISSING, "", "",
                 "it says that it is a join, and has %zu parent%s: it was made by no act", act->parent_count,
                 act->parent_count == 1 ? "" : "s");
    else if (!*act->commit.line || !act->kind || !act->commit.station)
        flaw_add(verify, FLAW_ACT_MISSING, "", "", "\"%s\" has no %s: it was made by no act", act->commit.line,
                 !*act->commit.line ? "line"
                 : act->kind        ? "station (Station:)"
                                    : "kind of act (Act:)");
    else if (!is_known_act(verify, act->kind))
        flaw_add(verify, FLAW_ACT_UNKNOWN, "", "", "this program has no act '%s'", act->kind);
    else if (act->is_lengthened)
        flaw_add(verify, FLAW_ACT_LINE, "", "",
                 "it says more than an act does: a second line, or one of Act:, Station: "
                 "and Reason: twice");
}

static int64_t latest(const struct commit *commit)
{
    return commit->when.utc_us > commit->here.utc_us ? commit->when.utc_us : commit->here.utc_us;
}

/* A clock that ran ahead when the act was done, or a date that was made up. parent NULL: there is none; of acts after
 * now that follow each other the first is told. */
static void hold_ahead(struct verify *verify, const struct commit *commit, const struct commit *parent)
{
    const int64_t limit_us = verify->state->now.utc_us + DAY_US;
    char text[INSTANT_TEXT_MAX];
    instant_format(commit->when.utc_us > commit->here.utc_us ? commit->when : commit->here, text);
    if (commit->when.utc_us > commit->here.utc_us + DAY_US)
        flaw_add(verify, FLAW_TIME_AHEAD, "", "", "it is dated %s, %.1f days after git wrote it", text,
                 (double)(commit->when.utc_us - commit->here.utc_us) / DAY_US);
    else if (latest(commit) > limit_us && (!parent || latest(parent) <= limit_us))
        flaw_add(verify, FLAW_TIME_AHEAD, "", "",
                 "it is dated %s, which is still to come; a clock ran ahead, or it is "
                 "made up",
                 text);
}

static enum status hold_time(struct verify *verify, const struct act_told *act, struct arena *arena, struct err *err)
{
    struct act_told parent;
    struct err why = {0};
    if (!*act->parent) {
        hold_ahead(verify, &act->commit, NULL);
        return STATUS_OK;
    }
    if (store_act(verify->store, act->parent, arena, &parent, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &why, err);
    const struct commit *own = &act->commit;
    hold_ahead(verify, own, &parent.commit);
    const int64_t back_us = parent.commit.when.utc_us - own->when.utc_us;
    const bool is_rebased = own->here.utc_us > own->when.utc_us && own->here.utc_us >= parent.commit.when.utc_us;
    char until[INSTANT_TEXT_MAX];
    if (back_us <= DAY_US)
        return STATUS_OK;
    instant_format(is_rebased ? own->here : parent.commit.when, until);
    flaw_add(verify, FLAW_TIME_BACK, "", "",
             is_rebased
                 ? "it was done %.1f days before the commit that it follows, %.10s, and set on top of it later: a "
                   "time before %s means a state without it"
                 : "it is dated %.1f days before the commit that it follows, %.10s: a time before %s means a "
                   "state without either",
             (double)back_us / DAY_US, act->parent, until);
    return STATUS_OK;
}

/* The version before, of which nothing is told but that it cannot be compared. */
static enum status read_older(struct commit_view *view, const struct place_known *place, struct bytes bytes,
                              void *record, bool *sound, struct err *err)
{
    struct err why = {0};
    const enum status status = place->known->kind == KNOWN_LOG_DAY
                                   ? log_day_decode(bytes, &view->arena, record, &why)
                                   : record_decode(place->known->table, bytes, &view->arena, record, &why);
    *sound = status == STATUS_OK;
    if (status == STATUS_OK)
        return STATUS_OK;
    if (status != STATUS_SYSTEM && !view->verify->is_whole) /* it may just have been mended */
        return STATUS_OK;
    return flaw_unreadable(view->verify, FLAW_RECORD_UNREADABLE, place->path, &why, err);
}

/* Bytes of a version; *there false where git cannot give them, which is told. */
static enum status read_version(struct commit_view *view, const char *path, const char *id, struct bytes *out,
                                bool *there, struct err *err)
{
    struct err why = {0};
    *there = store_bytes(view->verify->store, id, path, &view->arena, out, &why) == STATUS_OK;
    return *there ? STATUS_OK : flaw_unreadable(view->verify, FLAW_OBJECT_UNREADABLE, path, &why, err);
}

static enum status hold_changed(struct commit_view *view, const struct place_known *place, const struct difference *it,
                                const void *newer, struct err *err)
{
    struct bytes bytes = {0};
    void *older = NULL;
    bool there = false;
    TRY(read_version(view, it->path, it->older, &bytes, &there, err));
    if (!there) {
        verify_done_cut(view->done);
        return STATUS_OK;
    }
    TRY(verify_room(place->known, &view->arena, &older, err));
    TRY(read_older(view, place, bytes, older, &there, err));
    if (!there) {
        verify_done_cut(view->done);
        return STATUS_OK;
    }
    TRY(verify_done_add(view->done, place, older, newer, err));
    if (verify_is_signatures(place))
        TRY(verify_signatures(view->verify, place, &view->act->commit, older, newer, err));
    if (place->known->kind == KNOWN_RECORD)
        verify_change(view->verify, place, &view->act->commit, older, newer);
    else
        verify_log_change(view->verify, place, older, newer);
    return STATUS_OK;
}

/* What a commit added is looked at in the state, or with the next change; a version that it may begin with, and former
 * numbers, are not. */
static bool is_left_to_state(const struct commit_view *view, const struct difference *it, struct bytes bytes)
{
    return view->verify->is_whole && !*it->older && !strstr(bytes.data, "\"version\":") &&
           !strstr(bytes.data, "\"was\":") && !strstr(bytes.data, "\"withdrawn\":");
}

/* Of what is left to the state only what the act did is told; of what is read from a file not more than how much. */
static enum status count_left(struct commit_view *view, const struct place_known *place, struct bytes bytes,
                              struct err *err)
{
    const bool is_bulk = !view->done->keeps && place->known->table && place->known->table != &label_set_table;
    return is_bulk ? verify_done_count(view->done, place, bytes, err)
                   : verify_done_decode(view->done, place, bytes, err);
}

static enum status hold_new(struct commit_view *view, const struct place_known *place, const void *newer,
                            struct err *err)
{
    TRY(verify_done_add(view->done, place, NULL, newer, err));
    if (place->known->kind == KNOWN_RECORD)
        verify_new(view->verify, place, newer);
    return verify_is_signatures(place) /* are held against their commit */
               ? verify_signatures(view->verify, place, &view->act->commit, NULL, newer, err)
               : STATUS_OK;
}

static enum status hold_there(struct commit_view *view, const struct place_known *place, const struct difference *it,
                              struct err *err)
{
    struct bytes bytes = {0};
    void *newer = NULL;
    bool there = false;
    if (place->known->kind == KNOWN_EVIDENCE && *it->older)
        flaw_add(view->verify, FLAW_RECORD_CHANGED, it->path, "", "evidence stays as it was attached");
    TRY(read_version(view, it->path, it->newer, &bytes, &there, err));
    if (there && !verify_is_signatures(place) && is_left_to_state(view, it, bytes))
        return count_left(view, place, bytes, err);
    if (there) {
        TRY(verify_room(place->known, &view->arena, &newer, err));
        TRY(verify_bytes(view->verify, place, bytes, &view->arena, newer, &there, err));
    }
    if (!there) {
        verify_done_cut(view->done);
        return STATUS_OK;
    }
    if (place->known->kind == KNOWN_EVIDENCE)
        return verify_done_read(view->done, place, it, err);
    return *it->older ? hold_changed(view, place, it, newer, err) : hold_new(view, place, newer, err);
}

static void hold_removed(const struct commit_view *view, const struct place_known *place)
{
    const bool is_withdrawn_log =
        place->known->kind == KNOWN_LOG_DAY && view->act->kind && strcmp(view->act->kind, "log withdraw") == 0;
    if (!is_withdrawn_log)
        flaw_add(view->verify, FLAW_RECORD_REMOVED, place->path, "", "the file was recorded, and is gone");
}

static enum status hold_difference(struct commit_view *view, const struct verify_moves *moves,
                                   const struct difference *it, struct err *err)
{
    struct place_known place;
    if (it->why) {
        flaw_add(view->verify, FLAW_OBJECT_UNREADABLE, *it->path ? it->path : "/", "", "%s", it->why);
        return STATUS_OK;
    }
    if (!registry_place(it->path, &place)) {
        if (it->newer_mode)
            flaw_add(view->verify, FLAW_FILE_UNKNOWN, it->path, "", "no file of a registry has this path");
        return STATUS_OK;
    }
    if (verify_is_moved(moves, &place) && (!it->newer_mode || it->newer_mode == MODE_FILE))
        return verify_done_read(view->done, &place, it, err);
    if (!it->newer_mode) {
        hold_removed(view, &place);
        return verify_done_read(view->done, &place, it, err);
    }
    if (it->newer_mode != MODE_FILE) {
        flaw_add(view->verify, FLAW_FILE_MODE, it->path, "", "its mode is %06o, that of a plain file is %06o",
                 it->newer_mode, MODE_FILE);
        return STATUS_OK;
    }
    TRY(verify_unseen(view->verify, view->act, &place, &view->arena, err));
    return hold_there(view, &place, it, err);
}

/* A file after the other; an act that is judged as a whole keeps them until its end. */
static enum status hold_files(struct commit_view *view, const struct verify_moves *moves,
                              const struct differences *differences, struct err *err)
{
    for (size_t at = 0; at < differences->count; at++) {
        const struct difference *it = &differences->items[at];
        struct place_known place;
        if (verify_is_open(it)) {
            TRY(verify_decided(view->verify, view->act, differences, at, &view->arena, err));
            if (registry_place(it->path, &place))
                TRY(verify_done_read(view->done, &place, it, err));
        } else
            TRY(hold_difference(view, moves, it, err));
        if (!view->done->keeps)
            arena_clear(&view->arena);
    }
    return verify_done_end(view->done, err);
}

static enum status look_at_act(struct commit_view *view, struct arena *arena, struct err *err)
{
    struct differences differences = {0};
    struct verify *verify = view->verify;
    struct verify_done done;
    struct err why = {0};
    TRY(verify_note_key(verify, view->act, err));
    if (view->act->parent_count > 1)
        return verify_join(verify, view->act, arena, err);
    hold_message(verify, view->act);
    TRY(hold_time(verify, view->act, arena, err));
    if (store_differences(verify->store, view->act->parent, verify->commit, arena, &differences, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &why, err);
    struct verify_moves moves = {.count = 0};
    for (size_t at = 0; at < differences.count; at++) {
        TRY(verify_renamings(verify, view->act, &differences, at, &view->arena, &moves, err));
        arena_clear(&view->arena);
    }
    verify_done_begin(verify, view->act, differences.count, &done);
    view->done = &done;
    const enum status status = hold_files(view, &moves, &differences, err);
    view->done = NULL;
    verify_done_close(&done);
    return status;
}

static enum status look_at_commit(struct verify *verify, const char *id, struct err *err)
{
    struct arena arena;
    struct act_told act;
    struct err why = {0};
    struct commit_view view = {.verify = verify, .act = &act};
    arena_init(&arena, ARENA_LIMIT_BYTES);
    arena_init(&view.arena, ARENA_LIMIT_BYTES);
    verify->commit = id;
    state_progress(verify->state, "commits looked at", verify->commits++, 0, &verify->next_ms);
    enum status status = store_act(verify->store, id, &arena, &act, &why);
    if (status != STATUS_OK)
        status = flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &why, err);
    else
        status = look_at_act(&view, &arena, err);
    verify->commit = "";
    arena_clear(&view.arena);
    arena_clear(&arena);
    return status;
}

/* The commits that led to the state and not to since ("": all). */
static enum status verify_commits(struct verify *verify, const char *since, struct err *err)
{
    struct commits commits = {0};
    TRY(store_commits(verify->store, since, verify->state->arena, &commits, err));
    if (commits.broken) {
        verify->commit = commits.broken;
        flaw_add(verify, FLAW_OBJECT_UNREADABLE, "", "", "the history ends here: %s", commits.why);
        verify->commit = "";
    }
    for (size_t at = 0; at < commits.count; at++)
        TRY(look_at_commit(verify, commits.ids[at], err));
    return verify_hold_keys(verify, err);
}

/* Of the state what changed since. */
static enum status verify_changed(struct verify *verify, const char *since, struct err *err)
{
    struct differences changed = {0};
    struct err why = {0};
    if (store_differences(verify->store, since, store_state(verify->store), verify->state->arena, &changed, &why) !=
        STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &why, err);
    return verify_state_of(verify, &changed, err);
}

enum status verify_state(struct verify *verify, struct err *err)
{
    const size_t from = verify->found_count;
    TRY(verify_tree(verify, err));
    TRY(verify_kept(verify, err));
    return verify_first(verify, from, err);
}

enum status verify_range(struct verify *verify, const char *since, struct err *err)
{
    const size_t from = verify->found_count;
    verify->is_whole = !*since;
    TRY(verify_commits(verify, since, err));
    TRY(verify->is_whole ? verify_tree(verify, err) : verify_changed(verify, since, err));
    TRY(verify_kept(verify, err));
    return verify_first(verify, from, err);
}
