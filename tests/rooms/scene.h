/* SPDX-License-Identifier: MIT */
/* A registry for the tests of the rooms above the store, and a state opened on it. Records are written as they are
 * stored, by the path that they have; each is a commit, a minute after the one before. */
#ifndef CORETALLY_TESTS_ROOMS_SCENE_H
#define CORETALLY_TESTS_ROOMS_SCENE_H

#include "../store/scene.h"
#include "coretally/state/state.h"

enum { ROOM_TOLD_MAX = 4096 };

struct room {
    struct scene *scene; /* folder, environment, git client (tests/store/scene.h) */
    struct state *state; /* of the registry as it stands; its sink is told */
    struct arena *arena; /* of the state */
    char told[ROOM_TOLD_MAX];
    struct err err;
    /* Its own: */
    struct arena memory;
    struct state opened;
    struct state_shared shared;
    struct sink sink;
    int64_t minutes;
    const char *author; /* of what is written; NULL: that of scene_act */
};

/* cmocka set-up and tear-down: *state is a struct room with expedition 901. */
int room_open(void **state);
int room_close(void **state);

/* A record written down: its fields as JSON with ' for ", without the braces, format and kind. NULL takes the file
 * away. Returns the commit. The state stands at it. */
const char *room_write(struct room *room, const char *path, const char *fields);

/* The branch back to a commit, so that what is written next stands on it. */
void room_go(struct room *room, const char *commit);

/* Two commits joined as registries are; the state stands there. Returns the commit. */
const char *room_join(struct room *room, const char *one, const char *other);

/* Two holes: U0012A with two cores, sections and samples, and U0013A. */
void room_fill(struct room *room);

/* Asserts STATUS_OK, and shows the refusal otherwise. */
void room_ok(struct room *room, enum status status);

/* Asserts a refusal whose reason holds this text, and clears it. */
void room_refused(struct room *room, enum status status, enum status wanted, const char *reason);

/* What was told since it was asked last holds this text; NULL: nothing was told. */
void room_told(struct room *room, const char *text);

#endif
