/* SPDX-License-Identifier: MIT */
/* Two lines of a history, joined. */
#include "two_lines.h"

#include "coretally/ask/label_things.h"
#include "coretally/join/join.h"
#include "coretally/store/merge.h"

static const struct label_asked everything = {{true, true, true, true}, SCALE_COUNT};

/* The branch back to a commit, as a station that has not seen what came after it. */
void stand_back(struct room *room, const char *commit)
{
    char out[SCENE_TEXT_MAX];
    scene_must(room->scene, out, "git -C %s update-ref refs/heads/main %s", room->scene->registry, commit);
}

/* The branch with both; then an act, so that the state stands there. */
const char *join_lines(struct room *room, const char *ship, const char *shore)
{
    struct store *store = NULL;
    struct joined joined;
    stand_back(room, shore);
    room_ok(room, store_open(room->scene->registry, STORE_WRITE, NULL, &store, &room->err));
    room_ok(room, join_make(store, ship, room->arena, &joined, &room->err));
    assert_true(joined.is_new);
    room_ok(room, store_advance(store, joined.id, "join", &room->err));
    store_close(store);
    (void)room_write(room, "holes/U0014A/hole.json", "'site':'U0014','letter':'A','returns':'seafloor'");
    const char *kept = NULL;
    room_ok(room, arena_copy(room->arena, joined.id, strlen(joined.id), &kept, &room->err));
    return kept;
}

const char *state_now(struct room *room)
{
    const char *kept = NULL;
    room_ok(room, arena_copy(room->arena, store_state(room->state->store), 40, &kept, &room->err));
    return kept;
}

/* A label as it is stored, printed in the state of now. */
void print_label(struct room *room, const char *path, const char *head, const char *name, const char *shows)
{
    char fields[1024];
    (void)snprintf(fields, sizeof fields,
                   "%s,'labels':[{'name':'%s','printed':'2026-03-01T05:00:00Z','state':'%s',%s,'layout':'small'}]",
                   head, name, store_state(room->state->store), shows);
    (void)room_write(room, path, fields);
}

/* What the symbol of a label says that was printed in a state. */
const char *scan(struct room *room, const char *name, const char *scale, const char *state)
{
    const struct label label = {
        .name = name, .state = state, .scale = scale, .top_um = LENGTH_NONE, .bottom_um = LENGTH_NONE};
    char text[SYMBOL_TEXT_MAX];
    const char *kept = NULL;
    label_symbol(&label, text);
    room_ok(room, arena_copy(room->arena, text, strlen(text), &kept, &room->err));
    return kept;
}

static enum status note_labels(struct state *state, void *context, struct things *things, struct err *err)
{
    char *const told = context;
    for (size_t at = 0; at < things->held_count; at++) {
        struct label_now now;
        const struct held_label *held = &things->held[at];
        const size_t len = strlen(told);
        TRY(label_hold(state, things, &things->items[held->thing], held->label, &now, err));
        (void)snprintf(told + len, SCENE_TEXT_MAX - len, "%s of %s%s%s\n", held->label->name,
                       things->items[held->thing].name, now.freshness == LABEL_FRESH ? "" : ", ",
                       now.freshness == LABEL_FRESH ? ""
                       : now.why                    ? now.why
                                                    : "moved");
    }
    return STATUS_OK;
}

const char *labels_of(struct room *room, const char *typed)
{
    struct label_scope scope;
    static char told[SCENE_TEXT_MAX];
    told[0] = '\0';
    room_ok(room, label_scope_of(room->state, &everything, typed, &scope, &room->err));
    scope.is_labelled = scope.is_below = true;
    room_ok(room, label_walk(room->state, &scope, note_labels, told, &room->err));
    return told;
}
