/* SPDX-License-Identifier: MIT */
/* Former numbers, with the commit that recorded what had them. */
#include "coretally/domain/minted.h"

#include <stdlib.h>
#include <string.h>

enum { COMMIT_DIGITS = MINTED_COMMIT_MAX - 1 };

bool minted_former(const char *was, const char **name, size_t *len, char commit[MINTED_COMMIT_MAX])
{
    for (const char *word = was; word && *word; word += strcspn(word, " "), word += *word == ' ') {
        const size_t end = strcspn(word, " ");
        const size_t before = strcspn(word, "@ ");
        if (before == 0 || before == end || end - before - 1 != COMMIT_DIGITS ||
            strspn(word + before + 1, "0123456789abcdef") != COMMIT_DIGITS)
            continue;
        *name = word;
        *len = before;
        memcpy(commit, word + before + 1, COMMIT_DIGITS);
        commit[COMMIT_DIGITS] = '\0';
        return true;
    }
    return false;
}

int32_t minted_number(const char *was)
{
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    if (!minted_former(was, &name, &len, commit) || len > 6 || strspn(name, "0123456789") != len)
        return 0;
    return (int32_t)strtol(name, NULL, 10);
}

bool minted_is_same(const char *was, const char *other)
{
    const char *names[2] = {NULL, NULL};
    size_t lens[2] = {0, 0};
    char commit[MINTED_COMMIT_MAX];
    return minted_former(was, &names[0], &lens[0], commit) && minted_former(other, &names[1], &lens[1], commit) &&
           lens[0] == lens[1] && strncmp(names[0], names[1], lens[0] + MINTED_COMMIT_MAX) == 0;
}

bool minted_is_number(const char *was)
{
    return minted_number(was) > 0 && *was != '0' && strchr(was, ' ') == NULL;
}
