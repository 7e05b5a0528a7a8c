/* SPDX-License-Identifier: MIT */
/* What libgit2 says, in our words; what it gives out, given back. */
#include "internal.h"

enum status git_refused(struct err *err, const char *subject, const char *what)
{
    const git_error *last = git_error_last(); /* can be NULL in 1.5 */
    return err_set(err, STATUS_SYSTEM, subject, "%s%s%s", what, last && last->message ? ": " : "",
                   last && last->message ? last->message : "");
}

enum status git_unreadable(struct err *err, const char *subject, const char *what)
{
    const git_error *last = git_error_last();
    const bool machine = !last || last->klass == GIT_ERROR_OS || last->klass == GIT_ERROR_NOMEMORY;
    (void)git_refused(err, subject, what);
    err->status = machine ? STATUS_SYSTEM : STATUS_DAMAGED;
    return err->status;
}

void tree_free_at(git_tree **tree)
{
    git_tree_free(*tree);
}

void commit_free_at(git_commit **commit)
{
    git_commit_free(*commit);
}

void blob_free_at(git_blob **blob)
{
    git_blob_free(*blob);
}

void reference_free_at(git_reference **reference)
{
    git_reference_free(*reference);
}

void tree_entry_free_at(git_tree_entry **entry)
{
    git_tree_entry_free(*entry);
}

void object_free_at(git_object **object)
{
    git_object_free(*object);
}
