/* SPDX-License-Identifier: MIT */
/* Stored days of a pump log, and those that were read last. */
#include "coretally/state/log.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/state/open.h"
#include "coretally/store/walk.h"

int64_t log_day_of(int64_t utc_us)
{
    const int64_t day = utc_us / DAY_US;
    return day - (utc_us % DAY_US < 0);
}

enum status log_day_open(struct bytes bytes, const char *hole, int64_t day, struct arena *arena, struct log_day *out,
                         struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct err inner = {0};
    log_day_path(hole, day, path);
    if (log_day_decode(bytes, arena, out, &inner) != STATUS_OK) {
        char subject[ERR_SUBJECT_MAX];
        (void)snprintf(subject, sizeof subject, "%s, %.100s", path, inner.subject);
        err_set(err, inner.status, subject, "%s", inner.reason);
        return err_hint(err, "the registry's history holds every earlier version: git log -- %s", path);
    }
    if (strcmp(out->hole, hole) != 0 || out->day != day)
        return err_set(err, STATUS_DAMAGED, path, "the log here belongs to another hole or day");
    return STATUS_OK;
}

/* A day at hand. */
struct shelved {
    char id[HASH_TEXT_MAX]; /* of its bytes; "": free */
    struct arena arena;
    struct bytes bytes;
    bool is_decoded;
    struct log_day day;
    uint64_t turn; /* when it was asked for last */
};

struct day_shelf {
    struct shelved items[DAYS_SHELVED_MAX];
    uint64_t turn;
};

void day_shelf_clear(struct state_shared *shared)
{
    for (size_t at = 0; shared->days && at < DAYS_SHELVED_MAX; at++)
        arena_clear(&shared->days->items[at].arena);
    shared->days = NULL; /* it stood in the arena of the invocation */
}

static void forget(struct shelved *it)
{
    arena_clear(&it->arena);
    *it = (struct shelved){.turn = 0};
}

/* The day of this id, or a free place for it: the one asked for longest ago is given up. */
static struct shelved *find_place(struct day_shelf *shelf, const char *id)
{
    struct shelved *place = &shelf->items[0];
    for (size_t at = 0; at < DAYS_SHELVED_MAX; at++) {
        if (strcmp(shelf->items[at].id, id) == 0)
            return &shelf->items[at];
        if (shelf->items[at].turn < place->turn)
            place = &shelf->items[at];
    }
    if (*place->id)
        forget(place);
    return place;
}

/* Old days go while all of them together have more than their share of memory. */
static void make_room(struct day_shelf *shelf, const struct shelved *kept)
{
    for (;;) {
        struct shelved *oldest = NULL;
        size_t used = 0;
        for (size_t at = 0; at < DAYS_SHELVED_MAX; at++) {
            struct shelved *it = &shelf->items[at];
            used += it->arena.used;
            if (*it->id && it != kept && (!oldest || it->turn < oldest->turn))
                oldest = it;
        }
        if (used <= DAYS_SHELVED_BYTES || !oldest)
            return;
        forget(oldest);
    }
}

/* The bytes of an id, from the shelf or onto it. */
static enum status shelve(struct state *state, const char *id, const char *path, struct shelved **out, struct err *err)
{
    struct state_shared *shared = state->shared;
    if (!shared->days)
        TRY(arena_take(shared->arena, 1, sizeof *shared->days, &shared->days, err));
    struct shelved *it = find_place(shared->days, id);
    it->turn = ++shared->days->turn;
    *out = it;
    if (*it->id)
        return STATUS_OK;
    arena_init(&it->arena, ARENA_LIMIT_BYTES);
    const enum status status = store_bytes(state->store, id, path, &it->arena, &it->bytes, err);
    if (status != STATUS_OK) {
        forget(it);
        return status;
    }
    (void)snprintf(it->id, sizeof it->id, "%s", id);
    make_room(shared->days, it);
    return STATUS_OK;
}

/* That of the present version; NULL where there is none. */
static enum status shelve_day(struct state *state, const char *hole, int64_t day, struct shelved **out, struct err *err)
{
    char id[HASH_TEXT_MAX];
    char path[REGISTRY_PATH_MAX];
    log_day_path(hole, day, path);
    *out = NULL;
    TRY(store_look(state->store, path, id, err));
    return *id ? shelve(state, id, path, out, err) : STATUS_OK;
}

static enum status tell_open(struct state *state, const char *hole, int64_t day, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    log_day_path(hole, day, path);
    return open_tell(state, path, err);
}

enum status state_log_day(struct state *state, const char *hole, int64_t day, const struct log_day **out,
                          struct err *err)
{
    struct shelved *it = NULL;
    *out = NULL;
    TRY(shelve_day(state, hole, day, &it, err));
    if (!it)
        return STATUS_OK;
    TRY(tell_open(state, hole, day, err));
    if (!it->is_decoded)
        TRY(log_day_open(it->bytes, hole, day, &it->arena, &it->day, err));
    it->is_decoded = true;
    make_room(state->shared->days, it);
    *out = &it->day;
    return STATUS_OK;
}

enum status state_log_bytes(struct state *state, const char *hole, int64_t day, struct bytes *out, struct err *err)
{
    struct shelved *it = NULL;
    TRY(shelve_day(state, hole, day, &it, err));
    *out = it ? it->bytes : (struct bytes){0};
    return STATUS_OK;
}
