/* SPDX-License-Identifier: MIT */
/* The other registry found, its acts brought, joined and said. */
#include "coretally/say/join_say.h"
#include "exchange.h"
#include "run_commit.h"

#include <stdio.h>
#include <string.h>

#include "coretally/say/acts_say.h"
#include "coretally/state/read.h"

enum { ROWS_MAX = 30, TRIES_MAX = 20 };

void size_text(int64_t bytes, char out[SIZE_TEXT_MAX])
{
    static const char *const units[] = {"kB", "MB", "GB", "TB"};
    double amount = (double)bytes / 1000;
    size_t unit = 0;
    if (bytes < 1000) {
        (void)snprintf(out, SIZE_TEXT_MAX, "%lld bytes", (long long)bytes);
        return;
    }
    for (; amount >= 999.95 && unit + 1 < sizeof units / sizeof *units; unit++)
        amount /= 1000;
    (void)snprintf(out, SIZE_TEXT_MAX, "%.1f %s", amount, units[unit]);
}

static enum status read_number(struct run *run, struct store *store, const char **out, struct err *err)
{
    struct state there;
    struct expedition expedition = {.number = NULL};
    bool is_there = false;
    state_at(run->state, store, &there);
    TRY(state_read(&there, EXPEDITION_PATH, &expedition_table, &expedition, &is_there, err));
    *out = is_there ? expedition.number : NULL;
    return STATUS_OK;
}

static enum status refuse_stranger(const struct run *run, const struct other *other, const char *number,
                                   struct err *err)
{
    const char *ours = run->state->expedition.number;
    if (!number)
        err_set(err, STATUS_RULE, other->typed, "this is no registry of coretally: it has no %s", EXPEDITION_PATH);
    else if (strcmp(number, ours) != 0)
        err_set(err, STATUS_RULE, other->typed, "this is the registry of expedition %s, and here is expedition %s",
                number, ours);
    else
        err_set(err, STATUS_RULE, other->typed,
                "it has no act in common with this registry, although both are of expedition %s: each was started by "
                "itself",
                ours);
    return err_hint(err, "only registries that began as one can be joined: start the other side with git clone, or by "
                         "coretally send into an empty one");
}

/* All that it has can be had from it. */
static enum status hold_clone(const struct other *other, const struct store *store, struct err *err)
{
    if (store_is_detached(store)) {
        err_set(err, STATUS_SYSTEM, other->typed, "this clone stands on a single commit, not on a branch");
        return err_hint(err, "type there: git switch main; then type the same again");
    }
    if (!store_is_shallow(store))
        return STATUS_OK;
    err_set(err, STATUS_RULE, other->typed, "that clone has only the newest part of the history");
    return err_hint(err, "type there: git fetch --unshallow; then type the same again");
}

/* A folder is looked at before anything is copied from it. */
static enum status hold_expedition(struct run *run, const struct other *other, struct err *err)
{
    struct store *store = NULL;
    struct err why = {0};
    const char *number = NULL;
    const enum status opened = store_open(other->folder, STORE_READ, NULL, &store, &why);
    if (opened == STATUS_UNKNOWN) /* nothing is recorded there yet */
        return STATUS_OK;
    if (opened != STATUS_OK) {
        *err = why;
        return opened;
    }
    enum status status = hold_clone(other, store, err);
    if (status == STATUS_OK)
        status = read_number(run, store, &number, err);
    if (status == STATUS_OK && (!number || strcmp(number, run->state->expedition.number) != 0))
        status = refuse_stranger(run, other, number, err);
    store_close(store);
    return status;
}

enum status exchange_open(struct run *run, const char *typed, struct other *out, struct err *err)
{
    struct other other = {.typed = typed};
    TRY(run_open(run, STORE_READ, err));
    if (store_is_shallow(run->state->store)) {
        err_set(err, STATUS_RULE, "registry",
                "this clone has only the newest part of the history, so it cannot be joined");
        return err_hint(err, "git fetch --unshallow brings the rest");
    }
    TRY(other_find(run->state->store, run->folder, typed, run->state->arena, &other, err));
    if (other.kind == OTHER_PLACE)
        TRY(hold_expedition(run, &other, err));
    *out = other;
    return STATUS_OK;
}

void exchange_say_waiting(struct run *run, const struct other *other)
{
    if (other->kind != OTHER_FAR)
        return;
    (void)fprintf(run->talk, "waiting for %s; Ctrl-C ends it, and nothing is lost\n", other->typed);
    (void)fflush(run->talk);
}

enum status exchange_check(struct run *run, const struct other *other, const char *tip, struct err *err)
{
    struct store *there = NULL;
    struct commits bases = {0};
    const char *number = NULL;
    TRY(store_bases(run->state->store, store_state(run->state->store), tip, run->state->arena, &bases, err));
    if (bases.count)
        return STATUS_OK;
    TRY(store_open_beside(run->state->store, tip, &there, err));
    enum status status = read_number(run, there, &number, err);
    if (status == STATUS_OK)
        status = refuse_stranger(run, other, number, err);
    store_close(there);
    return status;
}

enum status exchange_say_acts(struct run *run, const struct commits *commits, const char *head, int64_t bytes,
                              struct err *err)
{
    struct acts all;
    struct acts shown;
    struct bytes count = {0};
    char size[SIZE_TEXT_MAX];
    const size_t most = run_option(run, "each") || commits->count <= ROWS_MAX ? commits->count : ROWS_MAX;
    const struct commits last = {.ids = commits->count ? commits->ids + (commits->count - most) : NULL, .count = most};
    acts_init(run, &all);
    acts_init(run, &shown);
    TRY(acts_add(&all, run->state->store, commits, NULL, err));
    TRY(acts_add(&shown, run->state->store, &last, NULL, err));
    TRY(acts_count_text(run, &all, &count, err));
    size_text(bytes, size);
    (void)fprintf(run->out, "%s: %s%s%s%s%s\n", head, count.data, all.join_count ? ", and what joined them" : "",
                  bytes ? " (" : "", bytes ? size : "", bytes ? ")" : "");
    if (most < commits->count)
        (void)fprintf(run->out, "the last %zu of them; --each lists all:\n", shown.count);
    return shown.count ? acts_print(run, &shown, err) : STATUS_OK;
}

enum status exchange_count(struct run *run, const struct commits *commits, size_t *out, struct err *err)
{
    struct acts acts;
    acts_init(run, &acts);
    TRY(acts_add(&acts, run->state->store, commits, NULL, err));
    *out = acts.count;
    return STATUS_OK;
}

/* What one try to join comes to. */
struct meeting {
    struct commits theirs; /* acts that are not here */
    struct commits ours;   /* that are not there */
    struct joined joined;
    char before[COMMIT_ID_MAX]; /* where this registry stood */
};

static enum status meet(struct run *run, const struct other *other, const char *tip, struct meeting *out,
                        struct err *err)
{
    struct store *store = run->state->store;
    struct arena *arena = run->state->arena;
    TRY(exchange_check(run, other, tip, err));
    (void)snprintf(out->before, sizeof out->before, "%s", store_state(store));
    TRY(store_range(store, tip, store_state(store), arena, &out->theirs, err));
    TRY(store_range(store, store_state(store), tip, arena, &out->ours, err));
    return join_make(store, tip, arena, &out->joined, err);
}

/* Under the lock; again where a git client, which does not know it, moved the branch meanwhile. */
static enum status join_locked(struct run *run, const struct other *other, const char *tip, struct meeting *out,
                               struct err *err)
{
    struct store *store = run->state->store;
    enum status status = STATUS_CONFLICT;
    for (int tried = 0; status == STATUS_CONFLICT && tried < TRIES_MAX; tried++) {
        TRY(store_lock(store, err));
        TRY(meet(run, other, tip, out, err));
        status = store_advance(store, out->joined.id, JOIN_KIND, err);
    }
    store_unlock(store); /* what is said, and sent behind it, takes its time */
    if (status == STATUS_OK)
        memcpy(run->recorded, out->joined.id, sizeof run->recorded);
    return status;
}

/* How the other side gets what it lacks. */
static void say_owed(struct run *run, const struct other *other, const struct meeting *meeting, const char *tip)
{
    const size_t count = meeting->ours.count + meeting->joined.is_new;
    if (!count)
        return;
    if (other->kind == OTHER_FILE)
        (void)fprintf(run->out, "for the other side, in a file: coretally send --file FILE --since %.10s\n", tip);
    else if (other->kind == OTHER_HERE)
        (void)fprintf(run->out, "for the other side: coretally send\n");
    else
        (void)fprintf(run->out, "for the other side: coretally send %s\n", other->typed);
}

static enum status say_result(struct run *run, const struct other *other, const struct meeting *meeting,
                              const struct brought *brought, struct err *err)
{
    const struct joined *joined = &meeting->joined;
    const bool dry = run_option(run, "dry-run") != NULL;
    size_t ours = 0;
    if (!meeting->theirs.count && !meeting->ours.count) {
        (void)fprintf(run->out, "nothing to join: both sides have the same (commit %.10s)\n", joined->id);
        return STATUS_OK;
    }
    if (meeting->theirs.count) {
        char head[PATH_TEXT_MAX];
        (void)snprintf(head, sizeof head, "from %.4000s", other->typed);
        TRY(exchange_say_acts(run, &meeting->theirs, head, brought->bytes, err));
    } else
        (void)fprintf(run->out, "nothing to join: %s has no act that is not here\n", other->typed);
    TRY(exchange_count(run, &meeting->ours, &ours, err));
    if (ours)
        (void)fprintf(run->out, "here: %zu act%s that the other side does not have\n", ours, ours == 1 ? "" : "s");
    if (joined->is_new) {
        struct store *there = NULL;
        (void)fprintf(run->out, "%s: one history of both (commit %.10s)\n", dry ? "would join" : "joined", joined->id);
        TRY(store_open_beside(run->state->store, joined->id, &there, err));
        const enum status status = join_say(run, &(struct join_told){there, meeting->before, joined}, err);
        store_close(there);
        TRY(status);
    } else if (meeting->theirs.count)
        (void)fprintf(run->out, "%s: this registry %s where the other side does (commit %.10s)\n",
                      dry ? "would join" : "joined", dry ? "would stand" : "now stands", joined->id);
    if (meeting->theirs.count && !dry)
        (void)fprintf(run->out,
                      "what that moved here: coretally compare %.10s; what waits for a decision: coretally open\n",
                      meeting->before);
    say_owed(run, other, meeting, brought->tip);
    return STATUS_OK;
}

static enum status join_brought(struct run *run, const struct other *other, const struct brought *brought,
                                struct err *err)
{
    struct meeting meeting = {.theirs = {.count = 0}};
    run_outlive_readers();
    if (run_option(run, "dry-run")) {
        TRY(store_keep_in_memory(run->state->store, err));
        TRY(meet(run, other, brought->tip, &meeting, err));
    } else
        TRY(join_locked(run, other, brought->tip, &meeting, err));
    TRY(say_result(run, other, &meeting, brought, err));
    if (run_option(run, "dry-run"))
        (void)fprintf(run->talk, "dry run: nothing was joined\n");
    return STATUS_OK;
}

enum status exchange_join(struct run *run, const struct other *other, struct err *err)
{
    struct brought brought = {.bytes = 0};
    if (store_is_merging(run->state->store)) {
        err_set(err, STATUS_RULE, "registry", "a git merge in this clone is not finished");
        return err_hint(err, "git merge --abort; then type the same again: it makes one history of both");
    }
    exchange_say_waiting(run, other);
    enum status status = other_bring(run->state->store, other, run->state->arena, &brought, err);
    if (status == STATUS_OK)
        status = join_brought(run, other, &brought, err);
    other_let_go(run->state->store);
    return status;
}
