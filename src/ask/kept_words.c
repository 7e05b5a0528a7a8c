/* SPDX-License-Identifier: MIT */
/* What an act says that it kept against doubt. */
#include "kept_words.h"

#include <stdio.h>
#include <string.h>

#include "coretally/state/doubt.h"

/* The next word of a list that is separated by blanks or commas, numbers in brackets passed over; false at its end. */
bool kept_next_word(const char **list, char out[40])
{
    for (;;) {
        *list += strspn(*list, " ,");
        const size_t len = strcspn(*list, " ,");
        if (!len)
            return false;
        (void)snprintf(out, 40, "%.*s", len < 39 ? (int)len : 39, *list);
        *list += len;
        if (*out != '(')
            return true;
    }
}

const char *kept_list(const struct commit *commit)
{
    const char *at = commit->reason ? strstr(commit->reason, KEPT_AGAINST) : NULL;
    return at ? at + strlen(KEPT_AGAINST) : NULL;
}

bool kept_by_act(const struct commit *commit, const char *word)
{
    const char *list = kept_list(commit);
    char found[40];
    while (list && kept_next_word(&list, found))
        if (strcmp(found, word) == 0)
            return true;
    return false;
}
