/* SPDX-License-Identifier: MIT */
/* Preloaded into the program: each object that libgit2 fetches is a line in the file that READS_FILE names, "blob ID"
 * (or tree, commit, tag; "packed" where its bytes come from a pack, since of which kind it is is not known here).
 *
 * libgit2 asks the backends of a store in turn, and those of the program come first: src/store/guard.c and, in front of
 * it, where an act is tried out in memory, libgit2's mempack. Both are handed over by git_odb_add_backend, which is
 * replaced here: a read of ours goes before theirs. So it does not matter which function of libgit2 is called, or calls
 * another: what is counted is bytes fetched and unpacked. What libgit2 answers from its caches is not; it keeps trees
 * and commits, and no blobs. */
#define _GNU_SOURCE /* RTLD_NEXT */
#include <dlfcn.h>
#include <fcntl.h>
#include <git2.h>
#include <git2/sys/odb_backend.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

typedef int read_function(void **data, size_t *len, git_object_t *type, git_odb_backend *backend, const git_oid *id);
typedef void free_function(git_odb_backend *backend);
typedef int add_function(git_odb *odb, git_odb_backend *backend, int priority);

enum { STORES_MAX = 256 };

/* What stood in a backend before. */
static struct known {
    git_odb_backend *backend; /* NULL: not in use */
    read_function *read;
    free_function *free;
} known[STORES_MAX];

static struct known *find(const git_odb_backend *backend)
{
    for (size_t at = 0; at < STORES_MAX; at++)
        if (known[at].backend == backend)
            return &known[at];
    (void)fputs("readtrace: more stores are open at once than it has room for\n", stderr);
    abort();
}

/* One write a line: a child that draws labels has the same file. */
static void tell(const char *kind, const git_oid *id)
{
    char line[GIT_OID_HEXSZ + 16];
    char hex[GIT_OID_HEXSZ + 1];
    const char *path = getenv("READS_FILE");
    const int file = path ? open(path, O_WRONLY | O_APPEND | O_CREAT | O_CLOEXEC, 0600) : -1;
    const int len = snprintf(line, sizeof line, "%s %s\n", kind, git_oid_tostr(hex, sizeof hex, id));
    if (file < 0 || write(file, line, (size_t)len) != len || close(file) != 0) {
        (void)fputs("readtrace: cannot write to the file that READS_FILE names\n", stderr);
        abort();
    }
}

static int read_traced(void **data, size_t *len, git_object_t *type, git_odb_backend *backend, const git_oid *id)
{
    const int done = find(backend)->read(data, len, type, backend, id);
    if (done == 0)
        tell(git_object_type2string(*type), id);
    else if (done == GIT_PASSTHROUGH)
        tell("packed", id);
    return done;
}

static void free_traced(git_odb_backend *backend)
{
    struct known *before = find(backend);
    free_function *next = before->free;
    *before = (struct known){0};
    next(backend);
}

int git_odb_add_backend(git_odb *odb, git_odb_backend *backend, int priority)
{
    void *const found = dlsym(RTLD_NEXT, "git_odb_add_backend");
    add_function *next = NULL;
    memcpy(&next, &found, sizeof next);
    *find(NULL) = (struct known){.backend = backend, .read = backend->read, .free = backend->free};
    backend->read = read_traced;
    backend->free = free_traced;
    return next(odb, backend, priority);
}
