/* SPDX-License-Identifier: MIT */
/* Words and numbers of what is taken at the shaker. */
#include "coretally/domain/cuttings.h"

const char *const bag_words[] = {"", "bag", "gas", "mud", NULL};

int32_t bag_hundred(int32_t number)
{
    return number / BAGS_A_FILE + 1;
}
