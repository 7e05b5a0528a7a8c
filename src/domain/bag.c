/* SPDX-License-Identifier: MIT */
/* Words and numbers of what is taken at the shaker. */
#include "coretally/domain/bag.h"

#include <string.h>

const char *const bag_words[] = {"", "bag", "gas", "mud", NULL};

enum bag_kind bag_kind_find(const char *word)
{
    for (enum bag_kind kind = BAG_CUTTINGS; kind <= BAG_MUD; kind++)
        if (strcmp(word, bag_words[kind]) == 0)
            return kind;
    return BAG_NONE;
}

int32_t bag_hundred(int32_t number)
{
    return number / BAGS_A_FILE + 1;
}
