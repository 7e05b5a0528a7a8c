/* SPDX-License-Identifier: MIT */
/* Check characters and the text of symbols. */
#include "coretally/domain/label.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/quantity.h"

int label_copy(const struct label *label)
{
    return label->copy ? (int)label->copy : 1;
}

/* ISO/IEC 7064 MOD 37,36, hybrid recursion: p = 36; for each character p = (p + value) mod 36, 36 for 0, then p = 2p
 * mod 37; the check character makes (p + check) mod 36 = 1. Check rows with their source are in test_label.c. */
char label_check_char(const char *compact)
{
    static const char values[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    int product = 36;
    for (const char *at = compact; *at; at++) {
        const int upper = toupper((unsigned char)*at);
        const char *found = isalnum((unsigned char)*at) ? strchr(values, upper) : strchr(values, 'Z');
        int sum = (product + (int)(found - values)) % 36;
        sum = sum ? sum : 36;
        product = sum * 2 % 37;
    }
    return values[(36 + 1 - product % 36) % 36];
}

void label_id(const char *compact, char out[LABEL_ID_MAX])
{
    (void)snprintf(out, LABEL_ID_MAX, "%.*s*%c", NAME_TEXT_MAX - 1, compact, label_check_char(compact));
}

int label_decimals(const char *scale)
{
    return strcmp(scale, "MRF") == 0 || strcmp(scale, "MSF") == 0 ? 2 : 3;
}

int64_t label_rounded(int64_t um, int decimals)
{
    int64_t step = 1000000;
    if (um == LENGTH_NONE)
        return um;
    while (decimals-- > 0)
        step /= 10;
    return (um + (um < 0 ? -step : step) / 2) / step * step;
}

/* One mark for another, all over. */
static void swap_marks(char *text, char from, char to)
{
    for (char *at = text; *at; at++)
        if (*at == from)
            *at = to;
}

void label_symbol(const struct label *label, char out[SYMBOL_TEXT_MAX])
{
    char id[LABEL_ID_MAX];
    char copy[16] = "";
    char depth[2 * LENGTH_TEXT_MAX + 2] = "+";
    const int decimals = label_decimals(label->scale);
    label_id(label->name, id);
    swap_marks(id, ',', ':');
    swap_marks(id, '#', '$');
    if (label->top_um != LENGTH_NONE && label->bottom_um != LENGTH_NONE)
        (void)snprintf(depth, sizeof depth, "%s/%s", length_text(label->top_um, UNIT_M, decimals).text,
                       length_text(label->bottom_um, UNIT_M, decimals).text);
    if (label->copy > 1)
        (void)snprintf(copy, sizeof copy, " %d", (int)label->copy);
    (void)snprintf(out, SYMBOL_TEXT_MAX, "%s %s %s %.*s%s", id, depth, label->scale, LABEL_STATE_DIGITS, label->state,
                   copy);
    for (char *at = out; *at; at++)
        *at = (char)toupper((unsigned char)*at);
}

/* "104.450/104.470" or "+" */
static enum status read_depth(const char *typed, const char *field, struct label_text *out, struct err *err)
{
    const char *slash = strchr(field, '/');
    out->top_um = out->bottom_um = LENGTH_NONE;
    if (strcmp(field, "+") == 0)
        return STATUS_OK;
    if (!slash || !decimal_parse_micro(field, (size_t)(slash - field), false, &out->top_um) ||
        !decimal_parse_micro(slash + 1, strlen(slash + 1), false, &out->bottom_um))
        return err_set(err, STATUS_INPUT, typed, "'%.40s' should be the depth, such as 104.450/104.470", field);
    return STATUS_OK;
}

static enum status read_state(const char *typed, const char *field, struct label_text *out, struct err *err)
{
    const size_t len = strlen(field);
    for (size_t at = 0; at < len && at < LABEL_STATE_DIGITS; at++)
        out->state[at] = (char)tolower((unsigned char)field[at]);
    if (len != LABEL_STATE_DIGITS || strspn(out->state, "0123456789abcdef") != len)
        return err_set(err, STATUS_INPUT, typed, "'%.40s' should be the ten digits of the state", field);
    return STATUS_OK;
}

static enum status read_copy(const char *typed, const char *field, struct label_text *out, struct err *err)
{
    char *end = NULL;
    const long copy = strtol(field, &end, 10);
    if (!isdigit((unsigned char)*field) || *end || copy < 2 || copy > INT16_MAX)
        return err_set(err, STATUS_INPUT, typed, "'%.40s' should be the number of the copy, 2 or more", field);
    out->copy = (int32_t)copy;
    return STATUS_OK;
}

enum status label_text_read(const char *typed, struct label_text *out, struct err *err)
{
    enum { FIELDS = 5 };
    char text[SYMBOL_TEXT_MAX];
    struct label_text it = {.top_um = LENGTH_NONE, .bottom_um = LENGTH_NONE, .copy = 1};
    const size_t len = strlen(typed);
    const char *star = strrchr(typed, '*');
    if (len >= sizeof text || (size_t)(star ? star - typed : (long)len) >= sizeof it.name)
        return err_set(err, STATUS_INPUT, "name",
                       "it is longer than any name or label, which have at most %d characters", NAME_TEXT_MAX - 1);
    if (!star) {
        (void)snprintf(it.name, sizeof it.name, "%s", typed);
        swap_marks(it.name, ':', ',');
        swap_marks(it.name, '$', '#');
        *out = it;
        return STATUS_OK;
    }
    (void)snprintf(it.name, sizeof it.name, "%.*s", (int)(star - typed), typed);
    swap_marks(it.name, ':', ',');
    swap_marks(it.name, '$', '#');
    it.check = (char)toupper((unsigned char)star[1]);
    if (!isalnum((unsigned char)it.check) || (star[2] && !isspace((unsigned char)star[2])))
        return err_set(err, STATUS_INPUT, typed, "'*' is followed by one check character, a letter or a digit");
    char *fields[FIELDS] = {NULL};
    size_t count = 0;
    char *rest = NULL;
    (void)snprintf(text, sizeof text, "%s", star + 2);
    for (char *field = strtok_r(text, " \t\r\n", &rest); field; field = strtok_r(NULL, " \t\r\n", &rest)) {
        if (count == FIELDS - 1)
            return err_set(err, STATUS_INPUT, typed, "there is more after the check character than a label has");
        fields[count++] = field;
    }
    if (count == 0) {
        *out = it;
        return STATUS_OK;
    }
    if (count < 3)
        return err_set(err, STATUS_INPUT, typed, "the text of a symbol has depth, scale and state after its name");
    it.is_symbol = true;
    TRY(read_depth(typed, fields[0], &it, err));
    if (strlen(fields[1]) >= sizeof it.scale)
        return err_set(err, STATUS_INPUT, typed, "'%.40s' should be a depth scale", fields[1]);
    for (size_t at = 0; fields[1][at]; at++)
        it.scale[at] = (char)toupper((unsigned char)fields[1][at]);
    TRY(read_state(typed, fields[2], &it, err));
    if (count > 3)
        TRY(read_copy(typed, fields[3], &it, err));
    *out = it;
    return STATUS_OK;
}

/* The letters I and O and the digits 1 and 0 look alike in print. */
static char look_alike(char c)
{
    return (char)(c == 'I' ? '1' : c == 'O' ? '0' : c);
}

bool label_text_fits(const struct label_text *text, const char *compact)
{
    const char right = label_check_char(compact);
    if (!text->check || text->check == right)
        return true;
    return !text->is_symbol && look_alike(text->check) == look_alike(right);
}
