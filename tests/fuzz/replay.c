/* SPDX-License-Identifier: MIT */
/* A plain main for a fuzz target: replays every file of the folders on the command line. A crash is the failure. */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>

#include "target.h"

enum { INPUT_MAX = 1 << 20 };

static int replay_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    uint8_t *data = malloc(INPUT_MAX);
    if (!file || !data) {
        (void)fprintf(stderr, "%s: could not be read\n", path);
        free(data);
        if (file)
            (void)fclose(file);
        return 1;
    }
    const size_t size = fread(data, 1, INPUT_MAX, file);
    (void)fclose(file);
    /* Exactly as long as the input, so that the sanitizer sees a read past it. */
    uint8_t *exact = malloc(size ? size : 1);
    for (size_t at = 0; exact && at < size; at++)
        exact[at] = data[at];
    free(data);
    if (exact)
        (void)LLVMFuzzerTestOneInput(exact, size);
    free(exact);
    return exact ? 0 : 1;
}

int main(int count, char **paths)
{
    int files = 0;
    for (int at = 1; at < count; at++) {
        DIR *folder = opendir(paths[at]);
        if (!folder) {
            (void)fprintf(stderr, "%s: could not be opened\n", paths[at]);
            return 1;
        }
        for (const struct dirent *entry = readdir(folder); entry; entry = readdir(folder)) {
            char path[4096];
            if (entry->d_name[0] == '.')
                continue;
            (void)snprintf(path, sizeof path, "%s/%s", paths[at], entry->d_name);
            (void)fprintf(stderr, "%s\n", path); /* the last line before a crash names the input */
            if (replay_file(path))
                return 1;
            files++;
        }
        (void)closedir(folder);
    }
    (void)printf("%d inputs replayed\n", files);
    return files ? 0 : 1;
}
