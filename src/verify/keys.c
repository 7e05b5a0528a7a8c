/* SPDX-License-Identifier: MIT */
/* Acts signed by keys: each signature is good, and the author's own; and an author who signs goes on signing. What is
 * not signed costs a look at its commit, and nothing else. */
#include <string.h>
#include <strings.h>

#include "coretally/base/limits.h"
#include "parts.h"

/* Git starts ssh-keygen or gpg for each: how far it has come is told between slices (state_progress counts in them). */
enum { SLICE = 256 };

/* Who has signed by a key so far, and what came without one since. */
struct verify_author {
    const char *name;
    const char *mail;
    const char *first; /* of those without; NULL: none */
    size_t count;
};

static struct verify_author *find_author(const struct verify_keys *keys, const char *mail)
{
    for (size_t at = 0; at < keys->author_count; at++)
        if (strcasecmp(keys->authors[at].mail, mail) == 0)
            return &keys->authors[at];
    return NULL;
}

static enum status add_author(struct verify *verify, const struct commit *commit, struct err *err)
{
    struct verify_keys *keys = &verify->keys;
    struct arena *arena = verify->state->arena;
    struct verify_author author = {.count = 0};
    TRY(arena_copy(arena, commit->author, strlen(commit->author), &author.name, err));
    TRY(arena_copy(arena, commit->mail, strlen(commit->mail), &author.mail, err));
    TRY(arena_grow(arena, &keys->authors, keys->author_count, &keys->author_room, sizeof *keys->authors, err));
    keys->authors[keys->author_count++] = author;
    return STATUS_OK;
}

enum status verify_note_key(struct verify *verify, const struct act_told *act, struct err *err)
{
    struct verify_keys *keys = &verify->keys;
    struct arena *arena = verify->state->arena;
    const char *id = NULL;
    struct verify_author *author = keys->author_count ? find_author(keys, act->commit.mail) : NULL;
    if (!act->is_signed && act->parent_count > 1) /* a join is nobody's */
        return STATUS_OK;
    keys->counts[KEY_NONE] += !act->is_signed;
    if (!act->is_signed && (!author || author->count++))
        return STATUS_OK;
    TRY(arena_copy(arena, act->commit.id, strlen(act->commit.id), &id, err));
    if (!act->is_signed) {
        author->first = id;
        return STATUS_OK;
    }
    TRY(arena_grow(arena, &keys->commits, keys->commit_count, &keys->commit_room, sizeof *keys->commits, err));
    keys->commits[keys->commit_count++] = id;
    return author ? STATUS_OK : add_author(verify, &act->commit, err);
}

static void hold(struct verify *verify, const struct key_told *told)
{
    verify->commit = told->commit;
    if (told->state == KEY_BAD)
        flaw_add(verify, FLAW_KEY_FALSE, "", told->author,
                 "its signature by key is bad: it is of other contents, or the key was revoked");
    if (told->state == KEY_OTHER)
        flaw_add(verify, FLAW_KEY_FALSE, "", told->author, "it is by %s <%s>, and signed with the key of %s",
                 told->author, told->mail, told->signer);
    if (told->state == KEY_REVOKED)
        flaw_add(verify, FLAW_KEY_REVOKED, "", told->author, "it is signed with a key of %s that was revoked",
                 told->signer);
    verify->commit = "";
}

static void hold_author(struct verify *verify, const struct verify_author *author)
{
    if (!author->count)
        return;
    verify->commit = author->first;
    flaw_add(verify, FLAW_KEY_MISSING, "", author->name,
             "%zu act%s by %s <%s> %s not signed by a key, this one first; an earlier one is", author->count,
             author->count == 1 ? "" : "s", author->name, author->mail, author->count == 1 ? "is" : "are");
    verify->commit = "";
}

static enum status hold_slice(struct verify *verify, const char *const *commits, size_t count, struct err *err)
{
    struct arena arena;
    struct key_told *told = NULL;
    struct err why = {0};
    arena_init(&arena, ARENA_LIMIT_BYTES);
    enum status status = arena_take(&arena, count, sizeof *told, &told, err);
    if (status == STATUS_OK &&
        store_keys(verify->store, verify->objects, commits, count, &arena, told, &why) != STATUS_OK)
        status = flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &why, err);
    else
        for (size_t at = 0; status == STATUS_OK && at < count; at++) {
            verify->keys.counts[told[at].state]++;
            hold(verify, &told[at]);
        }
    arena_clear(&arena);
    return status;
}

enum status verify_hold_keys(struct verify *verify, struct err *err)
{
    struct verify_keys *keys = &verify->keys;
    int64_t next_ms = 0;
    for (size_t at = 0; at < keys->commit_count; at += SLICE) {
        const size_t left = keys->commit_count - at;
        state_progress(verify->state, "signatures by keys looked at", at, keys->commit_count, &next_ms);
        TRY(hold_slice(verify, keys->commits + at, left < SLICE ? left : SLICE, err));
    }
    for (size_t at = 0; at < keys->author_count; at++)
        hold_author(verify, &keys->authors[at]);
    keys->commit_count = 0; /* the next range of a push has its own */
    keys->author_count = 0;
    return STATUS_OK;
}
