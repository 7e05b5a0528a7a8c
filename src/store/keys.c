/* SPDX-License-Identifier: MIT */
/* Signatures of keys, checked by git: one client for many commits. */
#include "coretally/store/keys.h"

#include <stdio.h>
#include <string.h>

#include "client.h"
#include "coretally/domain/signature.h"

const char *const key_state_words[KEY_STATE_COUNT] = {
    [KEY_NONE] = "typed, not proven",
    [KEY_PROVEN] = "proven by a key",
    [KEY_EXPIRED] = "proven by a key that has expired since",
    [KEY_UNKNOWN] = "not proven: the key is not known here",
    [KEY_REVOKED] = "not proven: the key was revoked",
    [KEY_OTHER] = "false: the key is somebody else's",
    [KEY_BAD] = "false: the signature is bad",
};

enum { BATCH = 1000 }; /* their ids are less than a pipe holds */

static void buf_free_at(git_buf *buf)
{
    git_buf_dispose(buf);
}

/* Git ends at a signature of no form that it knows, and the other commits would not be told. */
static bool is_of_known_form(const char *signature)
{
    static const char *const begins[] = {"-----BEGIN SSH SIGNATURE-----", "-----BEGIN PGP SIGNATURE-----",
                                         "-----BEGIN PGP MESSAGE-----", "-----BEGIN SIGNED MESSAGE-----"};
    for (size_t at = 0; at < sizeof begins / sizeof *begins; at++)
        if (strncmp(signature, begins[at], strlen(begins[at])) == 0)
            return true;
    return false;
}

/* What stands in the commit itself. */
static enum status look(struct store *store, const char *id, struct arena *arena, struct key_told *out, struct err *err)
{
    git_oid oid;
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    CLEANUP(buf_free_at) git_buf signature = {NULL, 0, 0};
    struct commit told = {.line = NULL};
    *out = (struct key_told){.signer = "", .key = ""};
    (void)snprintf(out->commit, sizeof out->commit, "%s", id);
    if (git_oid_fromstr(&oid, id) != 0 || git_commit_lookup(&commit, store->repo, &oid) != 0)
        return git_unreadable(err, id, "could not read this commit");
    TRY(commit_tell(commit, arena, &told, err));
    out->author = told.author;
    out->mail = told.mail;
    if (!commit_is_signed(commit))
        return STATUS_OK;
    const bool is_read = git_commit_header_field(&signature, commit, "gpgsig") == 0 && signature.ptr;
    out->state = is_read && is_of_known_form(signature.ptr) ? KEY_UNKNOWN : KEY_BAD;
    return STATUS_OK;
}

/* Is it a key of the author? gpg names a person and a mail, ssh a mail. */
static bool is_author(const struct key_told *told)
{
    const char *open = strchr(told->signer, '<');
    char name[256];
    char mail[256];
    (void)snprintf(name, sizeof name, "%.*s", open ? (int)(open - told->signer) : 200, told->signer);
    (void)snprintf(mail, sizeof mail, "%.*s", open ? (int)strcspn(open + 1, ">") : 200, open ? open + 1 : told->signer);
    return signature_is_person(name, mail, told->author, told->mail);
}

/* The letter that git has for it (git log, %G?). A key whose owner git does not name proves nothing; nor does one of
 * which nobody here has said that it is theirs (U), or one that is listed for a whole ship ("*@ship.example"). */
static enum key_state state_of(const struct key_told *told, char letter)
{
    const bool is_named = *told->signer && !strpbrk(told->signer, "*?");
    switch (letter) {
    case 'B':
        return KEY_BAD;
    case 'R':
        return KEY_REVOKED;
    case 'G':
    case 'X':
    case 'Y':
        return !is_named ? KEY_UNKNOWN : !is_author(told) ? KEY_OTHER : letter == 'G' ? KEY_PROVEN : KEY_EXPIRED;
    default:
        return KEY_UNKNOWN;
    }
}

/* A line of git: id, letter, signer, fingerprint, a unit separator between. */
static enum status take_line(const char *line, size_t len, struct arena *arena, struct key_told *items, size_t count,
                             struct err *err)
{
    const char *parts[4] = {line};
    size_t found = 1;
    for (size_t at = 0; at < len && found < 4; at++)
        if (line[at] == '\x1f')
            parts[found++] = line + at + 1;
    if (found < 4 || parts[1] - line != COMMIT_ID_MAX)
        return STATUS_OK;
    for (size_t at = 0; at < count; at++) {
        struct key_told *it = &items[at];
        if (strncmp(it->commit, line, COMMIT_ID_MAX - 1) != 0 || it->state != KEY_UNKNOWN)
            continue;
        TRY(arena_copy(arena, parts[2], (size_t)(parts[3] - parts[2] - 1), &it->signer, err));
        TRY(arena_copy(arena, parts[3], len - (size_t)(parts[3] - line), &it->key, err));
        it->state = state_of(it, *parts[1]);
        break;
    }
    return STATUS_OK;
}

/* Git tells them in the order in which they are asked, so what was told is passed over at once. */
static enum status take(struct bytes said, struct arena *arena, struct key_told *items, size_t count, struct err *err)
{
    size_t from = 0;
    for (const char *line = said.data; line && *line;) {
        const size_t len = strcspn(line, "\n");
        while (from < count && (items[from].state != KEY_UNKNOWN || *items[from].key))
            from++;
        TRY(take_line(line, len, arena, items + from, count - from, err));
        line += len + (line[len] == '\n');
    }
    return STATUS_OK;
}

static enum status ask(struct store *store, const char *objects, struct arena *arena, struct key_told *items,
                       size_t count, struct err *err)
{
    static const char *const words[] = {
        "-c",      "log.showSignature=false",          "log", "--no-walk=unsorted", "--no-color",
        "--stdin", "--format=%H%x1f%G?%x1f%GS%x1f%GF", NULL};
    const char *const set[] = {"GIT_NO_REPLACE_OBJECTS", "1", "GIT_ALTERNATE_OBJECT_DIRECTORIES",
                               objects ? objects : "", NULL};
    struct client_end end = {.is_there = false};
    struct text text;
    struct bytes ids;
    text_init(&text, arena);
    for (size_t at = 0; at < count; at++)
        if (items[at].state == KEY_UNKNOWN)
            text_addf(&text, "%s\n", items[at].commit);
    TRY(text_done(&text, &ids, err));
    if (!ids.len)
        return STATUS_OK;
    const struct client_call call = {
        .store = store, .words = words, .other = "git", .out = -1, .in = ids.data, .set = set};
    TRY(client_run(&call, arena, &end, err));
    return end.is_there ? take(end.said, arena, items, count, err) : STATUS_OK;
}

enum status store_keys(struct store *store, const char *objects, const char *const *commits, size_t count,
                       struct arena *arena, struct key_told *out, struct err *err)
{
    for (size_t at = 0; at < count; at++)
        TRY(look(store, commits[at], arena, &out[at], err));
    for (size_t at = 0; at < count; at += BATCH)
        TRY(ask(store, objects, arena, out + at, count - at < BATCH ? count - at : BATCH, err));
    return STATUS_OK;
}
