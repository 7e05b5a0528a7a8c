/* SPDX-License-Identifier: MIT */
/* Text in HTML. */
#include <string.h>

#include "coretally/base/shown.h"
#include "coretally/view/page.h"

static void add_plain(struct text *text, const char *string, size_t len)
{
    for (const char *at = string; at < string + len; at++)
        switch (*at) {
        case '&':
            text_add(text, "&amp;");
            break;
        case '<':
            text_add(text, "&lt;");
            break;
        case '>':
            text_add(text, "&gt;");
            break;
        case '"':
            text_add(text, "&quot;");
            break;
        case '\'':
            text_add(text, "&#39;");
            break;
        default:
            text_add_bytes(text, at, 1);
        }
}

void text_add_html(struct text *text, const char *string)
{
    text_add_html_bytes(text, string, strlen(string));
}

void text_add_html_bytes(struct text *text, const char *string, size_t len)
{
    struct text_flaw flaw;
    while (text_find_flaw(string, len, true, &flaw)) {
        char form[SHOWN_MAX];
        text_flaw_format(&flaw, SHOWN_PEOPLE, form);
        add_plain(text, string, flaw.at);
        add_plain(text, form, strlen(form));
        string += flaw.at + flaw.len;
        len -= flaw.at + flaw.len;
    }
    add_plain(text, string, len);
}
