/* SPDX-License-Identifier: MIT */
/* Preloaded into the program: allocation number FAIL_AT (counted from 1) and none else fails. FAIL_COUNT names a file
 * to which the number of allocations made is written at the end. */
#include <dlfcn.h>
#include <errno.h>
#include <stdatomic.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>

void *malloc(size_t size);
void *calloc(size_t count, size_t size);
void *realloc(void *old, size_t size);
extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *old, size_t size);

static atomic_long made;
static long fail_at = -1;

static int fails(void)
{
    const long number = atomic_fetch_add(&made, 1) + 1;
    if (fail_at < 0) {
        const char *wanted = getenv("FAIL_AT");
        fail_at = wanted ? strtol(wanted, NULL, 10) : 0;
    }
    if (number != fail_at)
        return 0;
    errno = ENOMEM;
    return 1;
}

void *malloc(size_t size)
{
    return fails() ? NULL : __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    return fails() ? NULL : __libc_calloc(count, size);
}

void *realloc(void *old, size_t size)
{
    return fails() ? NULL : __libc_realloc(old, size);
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
