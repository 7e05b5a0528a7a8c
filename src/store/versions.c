/* SPDX-License-Identifier: MIT */
/* The versions of one file that led to the present one. */
#include "internal.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"

struct history {
    struct trail *trail;
};

enum status history_open(struct store *store, const char *path, struct history **out, struct err *err)
{
    struct history *history = calloc(1, sizeof *history);
    if (!history)
        return err_set(err, STATUS_SYSTEM, "memory", "could not walk the history");
    const enum status status = trail_open(store, &path, 1, &history->trail, err);
    if (status != STATUS_OK) {
        free(history);
        return status;
    }
    *out = history;
    return STATUS_OK;
}

enum status history_next(struct history *history, struct arena *arena, struct commit *commit, char id[HASH_TEXT_MAX],
                         bool *more, struct err *err)
{
    struct trail_act act = {.line_count = 0};
    do
        TRY(trail_next(history->trail, arena, &act, more, err));
    while (*more && trail_pass(history->trail, &act));
    if (!*more)
        return STATUS_OK;
    *commit = act.commit;
    memcpy(id, act.id, HASH_TEXT_MAX);
    return STATUS_OK;
}

enum status history_bytes(struct store *store, const char *id, const char *path, struct arena *arena, struct bytes *out,
                          struct err *err)
{
    CLEANUP(blob_free_at) git_blob *blob = NULL;
    TRY(blob_find(store, id, path, "could not read an earlier version", &blob, err));
    if (git_blob_rawsize(blob) > RECORD_BYTES_MAX)
        return err_set(err, STATUS_DAMAGED, path,
                       "an earlier version is longer than the %d bytes that a record may have", RECORD_BYTES_MAX);
    return blob_copy(blob, arena, out, err);
}

void history_close(struct history *history)
{
    if (!history)
        return;
    trail_close(history->trail);
    free(history);
}
