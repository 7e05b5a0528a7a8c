/* SPDX-License-Identifier: MIT */
/* What a push would move, looked at before it moves. */
#include <string.h>

#include "parts.h"

/* A line of git's: the branch would go from older to newer. */
struct push {
    char older[COMMIT_ID_MAX]; /* zeros: it is new */
    char newer[COMMIT_ID_MAX]; /* zeros: it is to be removed */
    char name[PATH_TEXT_MAX];
};

static bool is_zeros(const char *id)
{
    return strspn(id, "0") == strlen(id);
}

static enum status read_push(const char *line, struct push *out, struct err *err)
{
    char rest[2];
    if (sscanf(line, "%40[0-9a-f] %40[0-9a-f] %4095s%1s", out->older, out->newer, out->name, rest) != 3 ||
        strlen(out->older) != 40 || strlen(out->newer) != 40) {
        err_set(err, STATUS_INPUT, "standard input", "a line of git's hook reads OLD NEW REF, this one '%.80s'", line);
        return err_hint(err, "git runs this as hooks/pre-receive of the registry; by hand: coretally verify OLD..NEW");
    }
    return STATUS_OK;
}

static enum status look_at_push(struct verify *verify, const struct push *push, struct err *err)
{
    bool follows = false;
    struct err why = {0};
    TRY(store_descends(verify->store, push->older, &follows, &why) == STATUS_OK
            ? STATUS_OK
            : flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &why, err));
    if (!is_zeros(push->older) && !follows) {
        flaw_add(verify, FLAW_HISTORY_REWRITTEN, "", push->name,
                 "%.10s, where the branch stands, is not in the history of %.10s", push->older, push->newer);
        return STATUS_OK;
    }
    return verify_range(verify, is_zeros(push->older) ? "" : push->older, err);
}

/* A tag names a state for good, and never looks like a commit. */
static void hold_tag(struct verify *verify, const struct push *push)
{
    const size_t prefix = strlen("refs/tags/");
    const char *name = push->name + prefix;
    if (strncmp(push->name, "refs/tags/", prefix) != 0)
        flaw_add(verify, FLAW_REF_REFUSED, "", push->name, "%s is neither a branch nor a tag", push->name);
    else if (!is_zeros(push->older))
        flaw_add(verify, FLAW_REF_REFUSED, "", push->name, "the tag '%s' names %.10s, and must keep doing so", name,
                 push->older);
    else if (strlen(name) >= 4 && strspn(name, "0123456789abcdefABCDEF") == strlen(name))
        flaw_add(verify, FLAW_REF_REFUSED, "", push->name, "a tag named '%s' could be taken for a commit", name);
}

static enum status take_push(struct verify *verify, const struct push *push, struct err *err)
{
    if (strncmp(push->name, "refs/heads/", strlen("refs/heads/")) != 0) {
        hold_tag(verify, push);
        return STATUS_OK; /* a tag names a state, and adds nothing to one */
    }
    if (is_zeros(push->newer)) {
        flaw_add(verify, FLAW_BRANCH_REMOVED, "", push->name, "the push removes %s", push->name);
        return STATUS_OK;
    }
    struct err why = {0};
    if (store_open_at(verify->path, push->newer, verify->objects, &verify->store, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &why, err);
    const enum status status = look_at_push(verify, push, err);
    store_close(verify->store);
    store_close(verify->past);
    verify->store = verify->past = NULL;
    verify->has_lineage = false;
    verify->evidence_count = 0;
    return status;
}

enum status verify_push(struct verify *verify, const char *line, struct err *err)
{
    struct push push = {.older = ""};
    TRY(read_push(line, &push, err));
    return take_push(verify, &push, err);
}
