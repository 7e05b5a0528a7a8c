/* SPDX-License-Identifier: MIT */
/* Which fields a depth, a name or a warning rests on. The others are listed, so that a new field counts until somebody
 * says that it does not. */
#include <string.h>

#include "coretally/record/field.h"
#include "member.h"

/* Told beside the readings, or bounds alone. */
static const char *const aside[] = {
    "remark", "version", "evidence", "tracer",    "order_note", "seafloor_note", "rig_floor", "zone",     "tolerance",
    "heave",  "tide",    "plan",     "volume",    "mass",       "purpose",       "requester", "taken",    "used_up",
    "lab_id", "was",     "doubt",    "lithology", "fraction",   "contaminants",  "washed",    "bypassed", NULL,
};

static bool is_aside(const struct field *field)
{
    for (const char *const *name = aside; *name; name++)
        if (strcmp(field->name, *name) == 0)
            return true;
    return false;
}

static bool field_is_alike(const struct field *field, const void *a, const void *b)
{
    if (field->type != FIELD_LIST)
        return field_is_equal(field, a, b);
    if (*member_count(field, a) != *member_count(field, b))
        return false;
    for (size_t at = 0; at < *member_count(field, a); at++)
        if (!record_is_alike(field->of, member_item(field, a, at), member_item(field, b, at)))
            return false;
    return true;
}

bool record_is_alike(const struct table *table, const void *a, const void *b)
{
    for (size_t at = 0; at < table->count; at++)
        if (!is_aside(&table->fields[at]) && !field_is_alike(&table->fields[at], a, b))
            return false;
    return true;
}
