/* SPDX-License-Identifier: MIT */
/* Anchors in a text. */
#include "coretally/domain/anchor.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "coretally/domain/name.h"

enum { COLUMNS_LOOKED_AT = 64 };

static size_t digits_at(const char *text, size_t len)
{
    size_t count = 0;
    while (count < len && isxdigit((unsigned char)text[count]))
        count++;
    return count;
}

bool anchor_is_digits(const char *text, size_t len)
{
    return len >= ANCHOR_DIGITS_MIN && len <= ANCHOR_DIGITS_MAX && digits_at(text, len) == len;
}

static void take_digits(const char *text, size_t len, struct anchor *out)
{
    *out = (struct anchor){.kind = ANCHOR_STATE};
    for (size_t at = 0; at < len; at++)
        out->text[at] = (char)tolower((unsigned char)text[at]);
}

/* Blanks, line ends and quotes off both ends. */
static void strip(const char **text, size_t *len)
{
    while (*len && (isspace((unsigned char)**text) || **text == '"')) {
        (*text)++;
        (*len)--;
    }
    while (*len && (isspace((unsigned char)(*text)[*len - 1]) || (*text)[*len - 1] == '"'))
        (*len)--;
}

/* --- cells of a table --- */

/* The cell at reader->at; a comma between quotes is part of one. */
static bool next_cell(struct anchor_reader *reader, const char **text, size_t *len)
{
    bool is_quoted = false;
    size_t end = reader->at;
    if (reader->at > reader->len)
        return false;
    for (; end < reader->len && (is_quoted || reader->line[end] != ','); end++)
        is_quoted = is_quoted != (reader->line[end] == '"');
    *text = reader->line + reader->at;
    *len = end - reader->at;
    reader->at = end + 1;
    strip(text, len);
    return true;
}

static bool is_word(const char *text, size_t len, const char *word)
{
    return len == strlen(word) && strncasecmp(text, word, len) == 0;
}

/* The first line may name columns. */
static void read_header(struct anchor_reader *reader)
{
    const char *text = NULL;
    size_t len = 0;
    for (size_t cell = 0; cell < COLUMNS_LOOKED_AT && next_cell(reader, &text, &len); cell++)
        if (is_word(text, len, "state") || is_word(text, len, "commit") || is_word(text, len, "act"))
            reader->columns |= UINT64_C(1) << cell;
}

static bool next_in_columns(struct anchor_reader *reader, struct anchor *out)
{
    const char *text = NULL;
    size_t len = 0;
    while (reader->cell < COLUMNS_LOOKED_AT && next_cell(reader, &text, &len))
        if (reader->columns >> reader->cell++ & 1 && anchor_is_digits(text, len)) {
            take_digits(text, len, out);
            return true;
        }
    reader->cell = COLUMNS_LOOKED_AT;
    return false;
}

/* --- labels --- */

static bool is_of_name(char c)
{
    return isalnum((unsigned char)c) || (c && strchr("-:$/#,.", c));
}

static bool is_of_rest(char c)
{
    return isalnum((unsigned char)c) || (c && strchr(" ./+-", c));
}

/* Does a depth follow the check character? A star may stand in any text, and tables show names with theirs. */
static bool has_depth(const char *text)
{
    const char *depth = text + strcspn(text, "*");
    depth += *depth != '\0';
    depth += *depth != '\0';
    const size_t blank = strspn(depth, " ");
    const size_t len = strcspn(depth + blank, " ");
    return blank && len && (depth[blank] == '+' || memchr(depth + blank, '/', len));
}

/* Is it the text of a symbol? */
static bool read_label(const char *text, struct anchor *out)
{
    struct label_text label;
    struct name name;
    struct err why = {0};
    struct err unread = {0};
    char typed[SYMBOL_TEXT_MAX];
    (void)snprintf(typed, sizeof typed, "%.*s", (int)strcspn(text, "*"), text);
    for (char *at = typed; *at; at++)
        *at = (char)(*at == ':' ? ',' : *at == '$' ? '#' : *at);
    if (!has_depth(text) || name_parse(typed, &name, &unread) != STATUS_OK)
        return false;
    *out = (struct anchor){.kind = ANCHOR_LABEL};
    (void)snprintf(out->text, sizeof out->text, "%s", text);
    if (label_text_read(text, &label, &why) != STATUS_OK) {
        out->kind = ANCHOR_UNREADABLE;
        (void)snprintf(out->why, sizeof out->why, "%s", why.reason);
    }
    return true;
}

/* Around the star at reader->at. A comma before the name may be that of a table. */
static bool take_label(struct anchor_reader *reader, struct anchor *out)
{
    size_t from = reader->at;
    size_t end = reader->at + 1;
    char text[SYMBOL_TEXT_MAX];
    while (from > 0 && is_of_name(reader->line[from - 1]))
        from--;
    while (end < reader->len && is_of_rest(reader->line[end]))
        end++;
    while (end > reader->at + 1 && reader->line[end - 1] == ' ')
        end--;
    for (; from < reader->at; from++) {
        if (end - from < sizeof text) {
            (void)snprintf(text, sizeof text, "%.*s", (int)(end - from), reader->line + from);
            if (read_label(text, out)) {
                reader->at = end;
                return true;
            }
        }
        while (from < reader->at && reader->line[from] != ',')
            from++;
    }
    return false;
}

/* --- digits behind a word --- */

/* Marks that stand between a word and what it says in JSON, HTML and plain text. */
static size_t skip_marks(const struct anchor_reader *reader, size_t at)
{
    while (at < reader->len && reader->line[at] && strchr(" \t\"':=<", reader->line[at])) {
        const char *close = reader->line[at] == '<' ? memchr(reader->line + at, '>', reader->len - at) : NULL;
        if (reader->line[at] == '<' && !close)
            break;
        at = close ? (size_t)(close + 1 - reader->line) : at + 1;
    }
    return at;
}

static bool has_decimal(const char *text, size_t len)
{
    for (size_t at = 0; at < len; at++)
        if (isdigit((unsigned char)text[at]))
            return true;
    return false;
}

/* "state" or "commit" at reader->at, and digits after it. */
static bool take_said(struct anchor_reader *reader, struct anchor *out)
{
    static const char *const words[] = {"state", "commit"};
    for (size_t word = 0; word < sizeof words / sizeof words[0]; word++) {
        const size_t end = reader->at + strlen(words[word]);
        if (end >= reader->len || strncasecmp(reader->line + reader->at, words[word], strlen(words[word])) != 0)
            continue;
        const size_t from = skip_marks(reader, end);
        const char *digits = reader->line + from;
        const size_t len = digits_at(digits, reader->len - from);
        const bool is_whole = from + len == reader->len || !isalnum((unsigned char)digits[len]);
        /* seven or eight letters may be a word: "state effaced" */
        if (from == end || !is_whole || !anchor_is_digits(digits, len) ||
            (len < LABEL_STATE_DIGITS && !has_decimal(digits, len)))
            continue;
        take_digits(digits, len, out);
        reader->at = from + len;
        return true;
    }
    return false;
}

/* --- line by line --- */

void anchor_line(struct anchor_reader *reader, const char *line, size_t len)
{
    const bool is_first = reader->number++ == 0;
    reader->line = line;
    reader->len = len;
    reader->at = 0;
    reader->cell = 0;
    reader->is_begun = false;
    if (is_first)
        read_header(reader);
    reader->at = 0;
    if (is_first || !reader->columns)
        reader->cell = COLUMNS_LOOKED_AT;
}

static bool take_whole(const struct anchor_reader *reader, struct anchor *out)
{
    const char *text = reader->line;
    size_t len = reader->len;
    strip(&text, &len);
    if (!anchor_is_digits(text, len))
        return false;
    take_digits(text, len, out);
    return true;
}

bool anchor_next(struct anchor_reader *reader, struct anchor *out)
{
    if (!reader->is_begun && reader->cell == COLUMNS_LOOKED_AT) {
        reader->is_begun = true;
        if (take_whole(reader, out)) {
            reader->at = reader->len;
            return true;
        }
    }
    if (!reader->is_begun && next_in_columns(reader, out))
        return true;
    if (!reader->is_begun) {
        reader->is_begun = true;
        reader->at = 0;
    }
    for (; reader->at < reader->len; reader->at++) {
        const char c = reader->line[reader->at];
        const bool begins = reader->at == 0 || !isalnum((unsigned char)reader->line[reader->at - 1]);
        if (c == '*' && take_label(reader, out))
            return true;
        if (begins && (c == 's' || c == 'S' || c == 'c' || c == 'C') && take_said(reader, out))
            return true;
    }
    return false;
}
