/* SPDX-License-Identifier: MIT */
/* What cJSON is too lenient about, looked at before it parses: encoding, numbers, escapes, control characters,
 * nesting, text after the end. */
#include "scan.h"

#include <ctype.h>
#include <string.h>

#include "coretally/base/limits.h"

struct scanner {
    const char *at;
    const char *end;
};

static bool is_digit_at(const struct scanner *scan)
{
    return scan->at < scan->end && isdigit((unsigned char)*scan->at);
}

static void skip_digits(struct scanner *scan)
{
    while (is_digit_at(scan))
        scan->at++;
}

/* RFC 8259 section 6: no leading zero, digits on both sides of the point. */
static const char *scan_number(struct scanner *scan)
{
    if (*scan->at == '-')
        scan->at++;
    if (!is_digit_at(scan))
        return "a number without digits";
    if (*scan->at == '0') {
        scan->at++;
        if (is_digit_at(scan))
            return "a number with a leading zero";
    }
    skip_digits(scan);
    if (scan->at < scan->end && *scan->at == '.') {
        scan->at++;
        if (!is_digit_at(scan))
            return "a number that ends in a point";
        skip_digits(scan);
    }
    if (scan->at < scan->end && (*scan->at == 'e' || *scan->at == 'E')) {
        scan->at++;
        if (scan->at < scan->end && (*scan->at == '+' || *scan->at == '-'))
            scan->at++;
        if (!is_digit_at(scan))
            return "a number with an empty exponent";
        skip_digits(scan);
    }
    return NULL;
}

/* RFC 8259 section 7; \u0000 would cut a C string. */
static const char *scan_string(struct scanner *scan)
{
    for (scan->at++; scan->at < scan->end; scan->at++) {
        if (*scan->at == '"') {
            scan->at++;
            return NULL;
        }
        if ((unsigned char)*scan->at < 0x20)
            return "a control character in a string";
        if (*scan->at != '\\')
            continue;
        if (++scan->at == scan->end)
            break;
        if (*scan->at == 'u') {
            if (scan->end - scan->at < 5)
                break;
            for (int digit = 1; digit <= 4; digit++)
                if (!isxdigit((unsigned char)scan->at[digit]))
                    return "a broken \\u escape";
            if (strncmp(scan->at + 1, "0000", 4) == 0)
                return "an escaped NUL";
            scan->at += 4;
        } else if (!strchr("\"\\/bfnrt", *scan->at))
            return "an unknown escape";
    }
    return "a string without an end";
}

enum status json_scan(struct bytes text, const char *subject, struct err *err)
{
    size_t bad = 0;
    if (!utf8_is_valid(text.data, text.len, &bad))
        return err_set(err, STATUS_DAMAGED, subject, "byte %zu is not UTF-8 text", bad + 1);
    struct scanner scan = {.at = text.data, .end = text.data + text.len};
    int nesting = 0;
    bool ended = false;
    while (scan.at < scan.end) {
        const char *start = scan.at;
        const char *wrong = NULL;
        if (strchr(" \t\r\n", *scan.at)) {
            scan.at++;
            continue;
        }
        if (ended)
            wrong = "text after the end";
        else if (*scan.at == '"')
            wrong = scan_string(&scan);
        else if (*scan.at == '-' || isdigit((unsigned char)*scan.at))
            wrong = scan_number(&scan);
        else if (!strchr("{}[],:", *scan.at) && !islower((unsigned char)*scan.at))
            wrong = "a character that JSON does not have outside strings"; /* cJSON skips those up to 0x20, and a BOM */
        else {
            nesting += *scan.at == '{' || *scan.at == '[';
            nesting -= *scan.at == '}' || *scan.at == ']';
            ended = nesting == 0 && (*scan.at == '}' || *scan.at == ']');
            if (nesting > JSON_NESTING_MAX)
                wrong = "nesting that no record has";
            scan.at++;
        }
        if (wrong)
            return err_set(err, STATUS_DAMAGED, subject, "byte %td: %s", start - text.data + 1, wrong);
    }
    return STATUS_OK;
}
