/* SPDX-License-Identifier: MIT */
/* A scene for the store's tests: an own folder with a registry in it, an own
 * HOME and author, and the real git client to judge by. */
#ifndef CORETALLY_TESTS_STORE_SCENE_H
#define CORETALLY_TESTS_STORE_SCENE_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

#include <cmocka.h>

#include "coretally/store/store.h"

enum { SCENE_TEXT_MAX = 8192 };

struct scene {
    char folder[512];
    char registry[600]; /* a bare repository that holds expedition.json */
    struct arena arena;
    struct err err;
};

/* cmocka set-up and tear-down: *state is a struct scene. */
int scene_open(void **state);
int scene_close(void **state);

struct act scene_act(const char *line);

/* Asserts STATUS_OK and shows the refusal otherwise. */
void scene_ok(struct scene *scene, enum status status);

/* One file recorded through the library; the registry is opened and closed. */
void scene_record(struct scene *scene, const char *registry, const char *path, const char *text, const char *line);

/* One append on an open store. */
enum status scene_append(struct scene *scene, struct store *store, const char *path, const char *text, const char *line,
                         char id[COMMIT_ID_MAX], bool *made);

/* Runs a shell command in the scene's folder; returns its exit code and all that it said, in out. */
int scene_run(struct scene *scene, char out[SCENE_TEXT_MAX], const char *format, ...) PRINTF_LIKE(3, 4);

/* The same, asserting exit code 0. */
void scene_must(struct scene *scene, char out[SCENE_TEXT_MAX], const char *format, ...) PRINTF_LIKE(3, 4);

/* A git client clones the registry, changes one file and pushes. */
void scene_client_push(struct scene *scene, const char *path, const char *text, const char *line);

/* git fsck --strict finds nothing to say. */
void scene_fsck(struct scene *scene, const char *git_folder);

/* The text of a file at a store's state; NULL when absent. */
const char *scene_read(struct scene *scene, struct store *store, const char *path);

#endif
