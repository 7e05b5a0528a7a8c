/* SPDX-License-Identifier: MIT */
/* The nearest registry from a folder upward. What looks like a registry and cannot be followed is refused: looking
 * further up would find another one, and record into it. */
#include <assert.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "coretally/store/file.h"
#include "internal.h"

/* Is there a registry here: does its branch hold expedition.json? Then it stays open for reading. One that was ours to
 * all appearance but cannot be read is refused. */
static enum status look_at(const char *path, bool looks_ours, struct store **out, struct err *err)
{
    struct err own = {0};
    struct store *store = NULL;
    if (store_open(path, STORE_READ, NULL, &store, &own) != STATUS_OK || !store) {
        if (looks_ours)
            *err = own;
        return looks_ours ? own.status : STATUS_OK;
    }
    if (git_tree_entry_byname(store->tree, "expedition.json")) {
        *out = store;
        return STATUS_OK;
    }
    const bool damaged = git_tree_entry_byname(store->tree, "holes") != NULL || looks_ours;
    store_close(store);
    if (!damaged)
        return STATUS_OK;
    err_set(err, STATUS_DAMAGED, path, "the newest commit of this registry has no expedition.json");
    return err_hint(err, "its history has it: git log -- expedition.json");
}

/* Named or put like a registry, and none: a link to a disk that is not there, a git folder that lost its HEAD. */
static enum status refuse_hollow(const char *path, struct err *err)
{
    err_set(err, STATUS_DAMAGED, path, "a registry belongs here, and git finds none");
    return err_hint(err, "is its disk mounted? Or name the registry that you mean with --registry");
}

/* The registry that a folder is or holds; out is its path, *found NULL without one. */
static enum status find_in(const char *folder, bool named, char out[PATH_TEXT_MAX], struct store **found,
                           struct err *err)
{
    char common[PATH_TEXT_MAX];
    char sign[PATH_TEXT_MAX];
    struct spot spot;
    bool is_git = false;
    *found = NULL;
    (void)snprintf(out, PATH_TEXT_MAX, "%.4000s", folder);
    if (is_git_folder(out, common))
        TRY(look_at(out, named || strstr(out, "registry.git") != NULL, found, err));
    if (*found)
        return STATUS_OK;
    (void)snprintf(out, PATH_TEXT_MAX, "%.4000s/registry.git", folder);
    if (is_there(out))
        TRY(is_git_folder(out, common) ? look_at(out, true, found, err) : refuse_hollow(out, err));
    if (*found)
        return STATUS_OK;
    (void)snprintf(out, PATH_TEXT_MAX, "%.4000s/.git", folder);
    if (!is_there(out))
        return STATUS_OK;
    (void)snprintf(sign, sizeof sign, "%.4000s/expedition.json", folder);
    const bool looks_ours = named || access(sign, F_OK) == 0;
    TRY(spot_find(out, &spot, &is_git, err));
    if (is_git)
        return look_at(out, looks_ours, found, err);
    return looks_ours ? refuse_hollow(out, err) : STATUS_OK;
}

static enum status find(const char *named, const char *folder, char found[PATH_TEXT_MAX], struct store **out,
                        struct err *err)
{
    char at[PATH_TEXT_MAX];
    struct store *store = NULL;
    char whole[PATH_MAX]; /* absolute, so that there is an above */
    (void)snprintf(at, sizeof at, "%.4000s", realpath(named ? named : folder, whole) ? whole : named ? named : folder);
    if (named)
        TRY(find_in(at, true, found, &store, err));
    else
        for (size_t len = strlen(at); !store && len > 0; at[len] = '\0') {
            TRY(find_in(at, false, found, &store, err));
            while (len > 0 && at[--len] != '/')
                ;
        }
    if (!store) {
        err_set(err, STATUS_UNKNOWN, named ? named : folder,
                named ? "there is no registry here" : "no registry here or above");
        return err_hint(err, "start one with: coretally start 901 --title \"...\"; or name one with --registry");
    }
    *out = store;
    return STATUS_OK;
}

enum status store_find(const char *named, const char *folder, char out[PATH_TEXT_MAX], struct err *err)
{
    char found[PATH_TEXT_MAX];
    struct store *store = NULL;
    TRY(find(named, folder, found, &store, err));
    store_close(store);
    (void)snprintf(out, PATH_TEXT_MAX, "%s", found);
    return STATUS_OK;
}

enum status store_open_found(const char *named, const char *folder, enum store_mode mode, FILE *talk,
                             char path[PATH_TEXT_MAX], struct store **out, struct err *err)
{
    struct store *store = NULL;
    TRY(find(named, folder, path, &store, err));
    assert(store);
    store->talk = talk;
    const enum status status = mode == STORE_WRITE ? store_take_lock(store, err) : STATUS_OK;
    if (status != STATUS_OK) {
        store_close(store);
        return status;
    }
    *out = store;
    return STATUS_OK;
}
