/* SPDX-License-Identifier: MIT */
/* Who is who among those that sign. */
#include "coretally/domain/signature.h"

#include <string.h>
#include <strings.h>

/* Equal but for case and the blanks around; two empty ones are nobody's. */
static bool is_same_word(const char *a, const char *b)
{
    size_t len[2];
    const char *words[] = {a, b};
    for (size_t at = 0; at < 2; at++) {
        words[at] += strspn(words[at], " \t");
        len[at] = strlen(words[at]);
        while (len[at] > 0 && strchr(" \t", words[at][len[at] - 1]))
            len[at]--;
    }
    return len[0] > 0 && len[0] == len[1] && strncasecmp(words[0], words[1], len[0]) == 0;
}

bool signature_is_person(const char *name, const char *mail, const char *other_name, const char *other_mail)
{
    return is_same_word(name, other_name) || is_same_word(mail, other_mail);
}
