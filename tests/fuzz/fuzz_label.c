/* SPDX-License-Identifier: MIT */
/* What a scanner gives: whatever is read as the text of a symbol prints as a symbol that reads the same again. */
#include "target.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/domain/label.h"

static void print_again(const struct label_text *text, char out[SYMBOL_TEXT_MAX])
{
    char state[41] = "00000000000000000000000000000000000000ff";
    memcpy(state, text->state, LABEL_STATE_DIGITS);
    const struct label label = {.name = text->name,
                                .copy = text->copy > 1 ? text->copy : 0,
                                .state = state,
                                .scale = text->scale,
                                .top_um = text->top_um,
                                .bottom_um = text->bottom_um};
    label_symbol(&label, out);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *typed = calloc(1, size + 1);
    if (!typed)
        return 0;
    if (size)
        memcpy(typed, data, size);
    struct label_text text;
    struct err err = {0};
    if (label_text_read(typed, &text, &err) != STATUS_OK)
        PROMISE(err.status == STATUS_INPUT && err.reason[0]);
    else if (text.is_symbol) {
        struct label_text again;
        char first[SYMBOL_TEXT_MAX];
        char second[SYMBOL_TEXT_MAX];
        print_again(&text, first);
        PROMISE(label_text_read(first, &again, &err) == STATUS_OK && again.is_symbol);
        PROMISE(label_text_fits(&again, again.name) && again.copy == text.copy);
        print_again(&again, second);
        PROMISE(strcmp(first, second) == 0);
    }
    free(typed);
    return 0;
}
