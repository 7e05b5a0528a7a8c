/* SPDX-License-Identifier: MIT */
/* What was meant by a name that does not read. */
#include "name_slip.h"

#include <stdio.h>
#include <string.h>

/* The letters that look like a digit, all of them or one, as that digit: does the name read then? */
static bool reads_with_digits(const char *string, size_t place, char out[NAME_TEXT_MAX])
{
    struct name name;
    struct err err;
    (void)snprintf(out, NAME_TEXT_MAX, "%s", string);
    for (size_t at = 0; out[at]; at++)
        if (place == SIZE_MAX || at == place)
            out[at] = (char)(strchr("Oo", out[at]) ? '0' : strchr("Iil", out[at]) ? '1' : out[at]);
    return name_read(out, &name, &err) == STATUS_OK;
}

/* "U0O12A": a letter stands where its look-alike, a digit, belongs. */
static enum status refuse_look_alike(const char *string, struct err *err)
{
    char meant[NAME_TEXT_MAX];
    if (strlen(string) >= sizeof meant || !strpbrk(string, "OoIil"))
        return err->status;
    bool found = false;
    for (size_t at = 0; string[at] && !found; at++)
        found = strchr("OoIil", string[at]) && reads_with_digits(string, at, meant);
    if (!found && !reads_with_digits(string, SIZE_MAX, meant))
        return err->status;
    size_t place = 0;
    int position = 1;
    for (; string[place] == meant[place]; place++)
        position += ((unsigned char)string[place] & 0xC0) != 0x80;
    err_set(err, STATUS_INPUT, string, "'%c' at character %d is a letter where a digit belongs", string[place],
            position);
    return err_hint(err, "type %s", meant);
}

enum status name_parse(const char *string, struct name *out, struct err *err)
{
    return name_read(string, out, err) == STATUS_OK ? STATUS_OK : refuse_look_alike(string, err);
}
