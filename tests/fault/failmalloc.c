/* SPDX-License-Identifier: MIT */
/* Preloaded into the program: allocation number FAIL_AT (counted from 1) and none else fails, or number FAIL_FROM and
 * all behind it. FAIL_COUNT names a file to which the number of allocations made is written at the end.
 *
 * The program has a malloc of its own, which all its libraries call and which calls __libc_malloc: that one is replaced
 * here. malloc itself is replaced, too, for programs that have none of their own. */
#define _GNU_SOURCE /* RTLD_NEXT */
#include <dlfcn.h>
#include <errno.h>
#include <stdatomic.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void *malloc(size_t size);
void *calloc(size_t count, size_t size);
void *realloc(void *old, size_t size);
void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *old, size_t size);

static atomic_long made;
static long fail_at = -1;
static long fail_from;

static int fails(void)
{
    const long number = atomic_fetch_add(&made, 1) + 1;
    if (fail_at < 0) {
        const char *wanted = getenv("FAIL_AT");
        const char *first = getenv("FAIL_FROM");
        fail_at = wanted ? strtol(wanted, NULL, 10) : 0;
        fail_from = first ? strtol(first, NULL, 10) : 0;
    }
    if (number != fail_at && !(fail_from > 0 && number >= fail_from))
        return 0;
    errno = ENOMEM;
    return 1;
}

/* The function of this name in the C library, behind this one. */
static void find(const char *name, void *out)
{
    void *const found = dlsym(RTLD_NEXT, name);
    memcpy(out, &found, sizeof found);
}

void *__libc_malloc(size_t size)
{
    static void *(*next)(size_t size);
    if (!next)
        find("__libc_malloc", &next);
    return fails() ? NULL : next(size);
}

void *__libc_calloc(size_t count, size_t size)
{
    static void *(*next)(size_t count, size_t size);
    if (!next)
        find("__libc_calloc", &next);
    return fails() ? NULL : next(count, size);
}

void *__libc_realloc(void *old, size_t size)
{
    static void *(*next)(void *old, size_t size);
    if (!next)
        find("__libc_realloc", &next);
    return fails() ? NULL : next(old, size);
}

void *malloc(size_t size)
{
    return __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    return __libc_calloc(count, size);
}

void *realloc(void *old, size_t size)
{
    return __libc_realloc(old, size);
}

__attribute__((destructor)) static void report(void)
{
    const char *path = getenv("FAIL_COUNT");
    FILE *file = path ? fopen(path, "w") : NULL;
    if (file) {
        (void)fprintf(file, "%ld\n", atomic_load(&made));
        (void)fclose(file);
    }
}
