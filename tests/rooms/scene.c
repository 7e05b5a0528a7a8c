/* SPDX-License-Identifier: MIT */
/* The scene of the rooms' tests: records written as text, one state on top of them. */
#include "scene.h"

#include "coretally/join/join.h"
#include "coretally/state/read.h"

static void take_note(void *context, const char *text)
{
    struct room *const room = context;
    const size_t len = strlen(room->told);
    (void)snprintf(room->told + len, sizeof room->told - len, "%s", text);
}

/* The state at the tip; nothing is kept of the one before. */
static void open_state(struct room *room)
{
    bool there = false;
    state_clear(room->state);
    state_init(room->state, &room->shared, room->arena, &room->sink);
    room->state->now = (struct instant){.utc_us = INT64_C(1772400000) * 1000000, .known = true};
    room_ok(room, store_open(room->scene->registry, STORE_READ, NULL, &room->state->store, &room->err));
    room_ok(room,
            state_read(room->state, EXPEDITION_PATH, &expedition_table, &room->state->expedition, &there, &room->err));
}

int room_open(void **state)
{
    struct room *const room = calloc(1, sizeof *room);
    void *scene = NULL;
    assert_non_null(room);
    if (scene_open(&scene))
        return 1;
    room->scene = scene;
    room->sink = (struct sink){take_note, room};
    room->arena = &room->memory;
    room->state = &room->opened;
    arena_init(room->arena, (size_t)256 << 20);
    state_init(room->state, &room->shared, room->arena, &room->sink);
    (void)room_write(room, EXPEDITION_PATH, "'number':'901','title':'Slope fans'");
    *state = room;
    return 0;
}

int room_close(void **state)
{
    struct room *const room = *state;
    void *scene = room->scene;
    state_clear(room->state);
    arena_clear(room->arena);
    const int failed = scene_close(&scene);
    free(room);
    return failed;
}

/* The stored form of the fields, as record_encode writes it. */
static char *make_text(const char *path, const char *fields)
{
    struct place_known place;
    assert_true(registry_place(path, &place));
    const size_t room = strlen(fields) + 100;
    char *const text = malloc(room);
    assert_non_null(text);
    (void)snprintf(text, room, "{\n\"format\":%d,\n\"kind\":\"%s\",\n%s\n}\n", RECORD_FORMAT, place.known->table->kind,
                   fields);
    for (char *at = text; *at; at++)
        *at = *at == '\'' ? '"' : *at;
    return text;
}

const char *room_write(struct room *room, const char *path, const char *fields)
{
    struct store *store = NULL;
    struct act act = scene_act("written down");
    char *const text = fields ? make_text(path, fields) : NULL;
    const struct change change = {.path = path, .bytes = {text, text ? strlen(text) : 0}};
    char id[COMMIT_ID_MAX];
    const char *kept = NULL;
    bool made = false;
    if (room->author)
        act.actor.name = room->author;
    act.actor.when.utc_us += room->minutes++ * 60 * INT64_C(1000000);
    room_ok(room, store_open(room->scene->registry, STORE_WRITE, NULL, &store, &room->err));
    room_ok(room, store_append(store, &act, &change, 1, false, id, &made, &room->err));
    store_close(store);
    free(text);
    assert_true(made);
    room_ok(room, arena_copy(room->arena, id, strlen(id), &kept, &room->err));
    open_state(room);
    return kept;
}

void room_go(struct room *room, const char *commit)
{
    char out[SCENE_TEXT_MAX];
    scene_must(room->scene, out, "git -C registry.git update-ref refs/heads/main %s", commit);
    open_state(room);
}

const char *room_join(struct room *room, const char *one, const char *other)
{
    struct store *store = NULL;
    struct joined joined = {.id = ""};
    const char *kept = NULL;
    room_go(room, one);
    room_ok(room, store_open(room->scene->registry, STORE_WRITE, NULL, &store, &room->err));
    room_ok(room, join_make(store, other, room->arena, &joined, &room->err));
    store_close(store);
    room_go(room, joined.id);
    room_ok(room, arena_copy(room->arena, joined.id, strlen(joined.id), &kept, &room->err));
    return kept;
}

void room_fill(struct room *room)
{
    (void)room_write(room, "holes/U0012A/hole.json",
                     "'site':'U0012','letter':'A','seafloor_m':3021.4,'seafloor_by':'tagged','returns':'seafloor'");
    (void)room_write(room, "holes/U0013A/hole.json",
                     "'site':'U0013','letter':'A','seafloor_m':3000,'seafloor_by':'tagged','returns':'ship'");
    (void)room_write(room, "holes/U0012A/cores/0001.json",
                     "'hole':'U0012A','number':1,'type':'H','top_m':3021.4,'bottom_m':3030.9,'datum':'rig-floor',"
                     "'recovered_m':3,'sections':[{'section':'1','curated_m':1.5},{'section':'2','curated_m':1.5}]");
    (void)room_write(room, "holes/U0012A/cores/0002.json",
                     "'hole':'U0012A','number':2,'type':'H','top_m':3030.9,'bottom_m':3040.4,'datum':'rig-floor',"
                     "'recovered_m':9.5,'sections':[{'section':'1','curated_m':5},{'section':'2','curated_m':5}]");
    (void)room_write(room, "holes/U0012A/cores/0001.samples.json",
                     "'hole':'U0012A','core':1,'samples':["
                     "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47,'purpose':'isotopes'},"
                     "{'section':'2','half':'W','top_m':0.1,'bottom_m':0.2,'purpose':'tests'}]");
}

void room_ok(struct room *room, enum status status)
{
    if (status != STATUS_OK)
        fail_msg("%s: %s: %s (%s)", status_word(status), room->err.subject, room->err.reason, room->err.hint);
}

void room_refused(struct room *room, enum status status, enum status wanted, const char *reason)
{
    assert_string_equal(status_word(status), status_word(wanted));
    if (!strstr(room->err.reason, reason))
        fail_msg("'%s' is refused, not '%s'", room->err.reason, reason);
    room->err = (struct err){0};
}

void room_told(struct room *room, const char *text)
{
    if (text ? !strstr(room->told, text) : *room->told)
        fail_msg("'%s' was told, not '%s'", room->told, text ? text : "");
    room->told[0] = '\0';
}
