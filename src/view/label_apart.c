/* SPDX-License-Identifier: MIT */
/* Draws in a process of its own and takes the pages over a pipe. The libraries that draw end the process that they are
 * in where memory or threads run out; ours goes on and says so. The child has nothing of what its parent holds open,
 * and least of all the lock of a registry, which would outlive a parent that is killed. */
#define _GNU_SOURCE /* close_range */
#include "label_apart.h"

#include <errno.h>
#include <limits.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

enum { PIPE = 3 }; /* the number that the pipe has in the child */

struct head {
    enum status status;
    struct err err;
    size_t count;
};

struct page_head {
    size_t page;
    size_t len;
};

static bool send_all(const void *data, size_t len)
{
    for (size_t at = 0; at < len;) {
        const ssize_t sent = write(PIPE, (const char *)data + at, len - at);
        if (sent < 0 && errno != EINTR)
            return false;
        at += sent > 0 ? (size_t)sent : 0;
    }
    return true;
}

static bool take_all(int fd, void *data, size_t len)
{
    for (size_t at = 0; at < len;) {
        const ssize_t taken = read(fd, (char *)data + at, len - at);
        if (taken == 0 || (taken < 0 && errno != EINTR))
            return false;
        at += taken > 0 ? (size_t)taken : 0;
    }
    return true;
}

/* The child's whole life. */
static _Noreturn void draw_and_send(int out, pages_drawer *draw, const struct label_job *job, struct arena *arena)
{
    const struct rlimit no_core = {0, 0};
    struct head head = {.status = STATUS_SYSTEM};
    struct page_file *pages = NULL;
    (void)setrlimit(RLIMIT_CORE, &no_core);
    if (out != PIPE && dup2(out, PIPE) != PIPE)
        _exit(1);
    (void)close_range(PIPE + 1, UINT_MAX, 0);
    head.status = draw(job, arena, &pages, &head.count, &head.err);
    bool sent = send_all(&head, sizeof head);
    for (size_t at = 0; sent && head.status == STATUS_OK && at < head.count; at++) {
        const struct page_head page = {pages[at].page, pages[at].bytes.len};
        sent = send_all(&page, sizeof page) && send_all(pages[at].bytes.data, page.len);
    }
    _exit(sent ? 0 : 1); /* nothing of the parent's is flushed twice */
}

static enum status take_pages(int in, struct arena *arena, struct page_file **out, size_t *count, bool *whole,
                              struct err *err)
{
    struct head head;
    struct page_file *pages = NULL;
    *whole = take_all(in, &head, sizeof head);
    if (!*whole)
        return STATUS_OK;
    if (head.status != STATUS_OK) {
        *err = head.err;
        return head.status;
    }
    TRY(arena_take(arena, head.count, sizeof *pages, &pages, err));
    for (size_t at = 0; at < head.count; at++) {
        struct page_head page;
        char *data = NULL;
        *whole = take_all(in, &page, sizeof page);
        if (*whole)
            TRY(arena_take(arena, page.len + 1, 1, &data, err));
        *whole = *whole && take_all(in, data, page.len);
        if (!*whole)
            return STATUS_OK;
        pages[at] = (struct page_file){.page = page.page, .bytes = {data, page.len}};
    }
    *out = pages;
    *count = head.count;
    return STATUS_OK;
}

static enum status refuse_end(int ended, struct err *err)
{
    if (WIFSIGNALED(ended))
        err_set(err, STATUS_SYSTEM, "labels",
                "drawing stopped by signal %d (%s), as it does when memory or threads run out", WTERMSIG(ended),
                strsignal(WTERMSIG(ended)));
    else
        err_set(err, STATUS_SYSTEM, "labels", "drawing stopped before its end, as it does when memory runs out");
    return err_hint(err, "end other programs, or print fewer labels at once");
}

enum status draw_apart(pages_drawer *draw, const struct label_job *job, struct arena *arena, struct page_file **out,
                       size_t *count, struct err *err)
{
    int ends[2];
    bool whole = false;
    if (pipe(ends) != 0)
        return err_set(err, STATUS_SYSTEM, "labels", "could not begin to draw: %s", strerror(errno));
    const pid_t child = fork();
    if (child == 0)
        draw_and_send(ends[1], draw, job, arena);
    const int reason = errno;
    (void)close(ends[1]);
    enum status status = child > 0 ? take_pages(ends[0], arena, out, count, &whole, err)
                                   : err_set(err, STATUS_SYSTEM, "labels",
                                             "could not begin to draw, memory or processes "
                                             "ran out: %s",
                                             strerror(reason));
    (void)close(ends[0]);
    if (child < 0)
        return status;
    int ended = 0;
    while (waitpid(child, &ended, 0) < 0 && errno == EINTR)
        ;
    return status == STATUS_OK && !whole ? refuse_end(ended, err) : status;
}
