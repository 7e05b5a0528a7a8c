/* SPDX-License-Identifier: MIT */
/* What an act says that it kept against doubt. */
#ifndef CORETALLY_ASK_KEPT_WORDS_H
#define CORETALLY_ASK_KEPT_WORDS_H

#include "coretally/store/store.h"

enum { KEPT_WORD_MAX = 40 };

/* The words of the rules that the act was kept against, as it has them at the end of its reason; NULL: none. */
const char *kept_list(const struct commit *commit);
/* The next word of a list that is separated by blanks or commas, numbers in brackets passed over; false at its end. */
bool kept_next_word(const char **list, char out[KEPT_WORD_MAX]);
/* Did the act keep something against this doubt? */
bool kept_by_act(const struct commit *commit, const char *word);
/* What the person gave as the reason, before the words of what was kept; NULL: nothing. */
MUST_CHECK enum status kept_reason(const struct commit *commit, struct arena *arena, const char **out, struct err *err);

#endif
