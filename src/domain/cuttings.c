/* SPDX-License-Identifier: MIT */
/* Words of what is taken at the shaker. */
#include "coretally/domain/cuttings.h"

const char *const bag_words[] = {"", "bag", "gas", "mud", NULL};
