/* SPDX-License-Identifier: MIT */
/* The text of a line of a label: its pattern with the fields filled in. */
#include <string.h>

#include "coretally/view/layout.h"

/* The field that a brace at `at` names; read_pattern of layout.c has made sure that there is one. */
static size_t field_at(const char *at, size_t len)
{
    size_t field = 0;
    while (field < LABEL_FIELD_COUNT &&
           (strlen(label_field_words[field]) != len || strncmp(label_field_words[field], at, len) != 0))
        field++;
    return field;
}

/* Blanks one at a time, none at the start. */
static void add_plain(struct text *out, const char *data, size_t len, size_t start)
{
    for (size_t at = 0; at < len; at++) {
        const bool is_blank = (unsigned char)data[at] <= ' ' || data[at] == 0x7F;
        if (!is_blank)
            text_add_bytes(out, data + at, 1);
        else if (out->len > start && out->data[out->len - 1] != ' ')
            text_add(out, " ");
    }
}

bool layout_line_fill(const struct layout_line *line, const char *const values[LABEL_FIELD_COUNT], struct text *out)
{
    bool has_any = line->fields == 0;
    for (int field = 0; field < LABEL_FIELD_COUNT; field++)
        has_any = has_any || ((line->fields >> field & 1) && values[field] && *values[field]);
    if (!has_any)
        return false;
    const size_t start = out->len;
    for (const char *at = line->pattern; *at;) {
        const size_t plain = strcspn(at, "{");
        add_plain(out, at, plain, start);
        at += plain;
        if (*at != '{')
            break;
        const size_t len = strcspn(at + 1, "}");
        const size_t field = field_at(at + 1, len);
        const char *value = field < LABEL_FIELD_COUNT ? values[field] : NULL;
        if (value)
            add_plain(out, value, strlen(value), start);
        at += len + 2;
    }
    while (out->len > start && out->data[out->len - 1] == ' ')
        out->data[--out->len] = '\0';
    return true;
}
