/* SPDX-License-Identifier: MIT */
/* What commits say, written and read back. */
#include "internal.h"

#include "coretally/store/walk.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/shown.h"

/* len bytes as one line without control characters or outer spaces: true when something is left. */
static bool add_line(struct text *out, const char *before, const char *string, size_t len)
{
    while (len && (unsigned char)*string <= ' ') {
        string++;
        len--;
    }
    while (len && (unsigned char)string[len - 1] <= ' ')
        len--;
    if (len)
        text_add(out, before);
    for (size_t at = 0; at < len; at++)
        text_add_bytes(out, (unsigned char)string[at] < 0x20 || string[at] == 0x7f ? " " : string + at, 1);
    return len > 0;
}

/* Lines after the first start with a space, as git folds a trailer; blank ones would end the trailers. */
static void add_reason(struct text *out, const char *reason)
{
    const char *before = "\nReason: ";
    while (*reason) {
        const size_t len = strcspn(reason, "\n");
        if (add_line(out, before, reason, len))
            before = "\n ";
        reason += len + (reason[len] == '\n');
    }
}

/* The line of an act as its commit has it. */
static enum status write_line(const char *string, struct arena *arena, struct text *out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, arena);
    string += strspn(string, "- "); /* "---" would cut the message for git's trailer reader */
    if (!add_line(&text, "", string, strlen(string)))
        return err_set(err, STATUS_INPUT, "act", "an act needs a line that says what was done");
    TRY(text_done(&text, &bytes, err));
    /* What is typed was looked at when it was taken. A record of an earlier version may have marks that hide. */
    text_init(out, arena);
    text_add_shown(out, bytes.data, bytes.len, false);
    return STATUS_OK;
}

enum status write_message(const struct act *act, struct arena *arena, const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    TRY(write_line(act->line, arena, &text, err));
    text_add(&text, "\n");
    (void)add_line(&text, "\nAct: ", act->kind, strlen(act->kind));
    (void)add_line(&text, "\nStation: ", act->actor.station, strlen(act->actor.station));
    if (act->reason)
        add_reason(&text, act->reason);
    text_add(&text, "\n");
    TRY(text_done(&text, &bytes, err));
    if (!utf8_is_valid(bytes.data, bytes.len, &(size_t){0}))
        return err_set(err, STATUS_INPUT, act->kind, "the words of this act are not UTF-8 text");
    *out = bytes.data;
    return STATUS_OK;
}

/* libgit2 writes the time of a commit as 32 bits without a sign (1.5, git_signature__writebuf): any other time would
 * come out as another one. */
static enum status check_clock(struct instant when, struct err *err)
{
    char text[INSTANT_TEXT_MAX];
    if (when.utc_us >= 0 && when.utc_us <= ACT_TIME_MOST_US)
        return STATUS_OK;
    instant_format(when, text);
    err_set(err, STATUS_SYSTEM, text, "this is what the clock says; acts are recorded from 1970 to 7 February 2106");
    return err_hint(err, "set the clock of this machine, or CORETALLY_CLOCK; nothing was recorded");
}

/* Line ends and angle brackets in a name would break the commit object. */
enum status check_signer(const struct actor *actor, struct err *err)
{
    const char *const parts[] = {actor->name, actor->mail};
    TRY(check_clock(actor->when, err));
    TRY(text_check("the name in GIT_AUTHOR_NAME or git's user.name", actor->name, err));
    TRY(text_check("the mail in GIT_AUTHOR_EMAIL or git's user.email", actor->mail, err));
    TRY(text_check("the station in --station, CORETALLY_STATION or git's coretally.station", actor->station, err));
    for (size_t part = 0; part < sizeof parts / sizeof parts[0]; part++) {
        bool plain = parts[part][strspn(parts[part], " ")] != '\0';
        for (const char *at = parts[part]; *at; at++)
            plain = plain && (unsigned char)*at >= 0x20 && !strchr("<>\x7f", *at);
        if (!plain) {
            err_set(err, STATUS_INPUT, part ? "mail" : "name",
                    "an act is signed with a name and a mail without < > or control characters, and neither is empty");
            return err_hint(err,
                            "git config --global user.name \"Your Name\"; git config --global user.email you@ship");
        }
    }
    return STATUS_OK;
}

/* The value of a trailer, in the last paragraph of the message; NULL when it has none. Folded lines, which start
 * with a space, are joined by line ends as they were given. */
enum status trailer_read(const char *message, const char *key, struct arena *arena, const char **out, struct err *err)
{
    const size_t len = strlen(key);
    *out = NULL;
    const char *line = NULL;
    for (const char *at = message; (at = strstr(at, "\n\n")) != NULL; at++)
        if (at[2] && at[2] != '\n')
            line = at + 2;
    while (line && (strncmp(line, key, len) != 0 || line[len] != ':' || line[len + 1] != ' ')) {
        line = strchr(line, '\n');
        line = line ? line + 1 : NULL;
    }
    if (!line)
        return STATUS_OK;
    struct text text;
    struct bytes bytes;
    text_init(&text, arena);
    line += len + 2;
    text_add_bytes(&text, line, strcspn(line, "\n"));
    while ((line = strchr(line, '\n')) != NULL && line[1] == ' ') {
        line += 2;
        text_add(&text, "\n");
        text_add_bytes(&text, line, strcspn(line, "\n"));
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static void make_plain(const char *text)
{
    for (char *to = (char *)(uintptr_t)text; to && *to; to++) /* copies of our own */
        if (((unsigned char)*to < 0x20 && *to != '\n') || *to == 0x7F)
            *to = '?';
}

/* Commits by plain git may hold anything; what is told of them goes to terminals and tables. */
static void make_printable(struct commit *told)
{
    const char *const texts[] = {told->line,           told->author,  told->mail,  told->committer,
                                 told->committer_mail, told->station, told->reason};
    for (size_t at = 0; at < sizeof texts / sizeof texts[0]; at++)
        make_plain(texts[at]);
}

enum status store_line_told(const char *line, struct arena *arena, const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    TRY(write_line(line, arena, &text, err));
    TRY(text_done(&text, &bytes, err));
    make_plain(bytes.data);
    *out = bytes.data;
    return STATUS_OK;
}

enum status commit_tell(git_commit *commit, struct arena *arena, struct commit *out, struct err *err)
{
    struct commit told = {0};
    const char *message = git_commit_message(commit);
    const git_signature *who = git_commit_author(commit);
    const git_signature *committer = git_commit_committer(commit);
    const git_time *here = &committer->when;
    (void)git_oid_tostr(told.id, sizeof told.id, git_commit_id(commit));
    TRY(arena_copy(arena, message, strcspn(message, "\n"), &told.line, err));
    TRY(arena_copy(arena, who->name, strlen(who->name), &told.author, err));
    TRY(arena_copy(arena, who->email, strlen(who->email), &told.mail, err));
    TRY(arena_copy(arena, committer->name, strlen(committer->name), &told.committer, err));
    TRY(arena_copy(arena, committer->email, strlen(committer->email), &told.committer_mail, err));
    TRY(trailer_read(message, "Station", arena, &told.station, err));
    TRY(trailer_read(message, "Reason", arena, &told.reason, err));
    make_printable(&told); /* whoever made this commit */
    told.when = instant_from_seconds(who->when.time, who->when.offset);
    told.here = instant_from_seconds(here->time, here->offset);
    *out = told;
    return STATUS_OK;
}

enum status store_commit(struct store *store, const char *id, struct arena *arena, struct commit *out, struct err *err)
{
    git_object *object = NULL;
    git_oid prefix;
    const size_t len = strlen(id); /* an id alone: not HEAD~1, which would say something else tomorrow */
    if (len < GIT_OID_MINPREFIXLEN || len > GIT_OID_HEXSZ || strspn(id, "0123456789abcdefABCDEF") != len) {
        err_set(err, STATUS_INPUT, id, "this is not the id of a commit: %d to %d hexadecimal digits",
                GIT_OID_MINPREFIXLEN, GIT_OID_HEXSZ);
        return STATUS_INPUT;
    }
    /* By its digits: git_revparse_single would take a branch of this name first. */
    const int found = git_oid_fromstrn(&prefix, id, len) == 0
                          ? git_object_lookup_prefix(&object, store->repo, &prefix, len, GIT_OBJECT_ANY)
                          : GIT_ENOTFOUND;
    if (found != 0 && found != GIT_ENOTFOUND && found != GIT_EAMBIGUOUS)
        return git_unreadable(err, id, "could not read this commit");
    if (found != 0 || git_object_type(object) != GIT_OBJECT_COMMIT) {
        git_object_free(object);
        return err_set(err, STATUS_UNKNOWN, id, "the registry has no such commit");
    }
    const enum status status = commit_tell((git_commit *)object, arena, out, err);
    git_object_free(object);
    return status;
}
