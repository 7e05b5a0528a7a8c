/* SPDX-License-Identifier: MIT */
/* What an act says that it kept against doubt. Inside the ask room only. */
#ifndef CORETALLY_ASK_KEPT_WORDS_H
#define CORETALLY_ASK_KEPT_WORDS_H

#include "coretally/store/store.h"

/* The words of the rules that the act was kept against, as it has them at the end of its reason; NULL: none. */
const char *kept_list(const struct commit *commit);
/* The next word of a list that is separated by blanks or commas, numbers in brackets passed over; false at its end. */
bool kept_next_word(const char **list, char out[40]);
/* Did the act keep something against this doubt? */
bool kept_by_act(const struct commit *commit, const char *word);

#endif
