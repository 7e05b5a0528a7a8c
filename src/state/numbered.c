/* SPDX-License-Identifier: MIT */
/* Numbered records of a hole, read as one shape. */
#include "coretally/state/numbered.h"

const struct numbered_form drilled_form = {"drilled interval", &drilled_set_table, &drilled_table, drilled_path};
const struct numbered_form well_form = {"well state", &geometry_set_table, &geometry_table, well_path};
const struct numbered_form pumps_form = {"pump record", &pump_set_table, &pump_table, pumps_path};
const struct numbered_form lag_check_form = {"lag check", &lag_check_set_table, &lag_check_table, lag_checks_path};

enum status numbered_set_read(struct state *state, const struct numbered_form *form, const char *hole,
                              struct numbered_set *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    form->path(hole, path);
    TRY(state_read(state, path, form->set, out, &there, err));
    out->hole = hole;
    return STATUS_OK;
}

const void *numbered_item(const struct numbered_form *form, const struct numbered_set *set, size_t at)
{
    return (const char *)set->items + at * form->item->size;
}

const void *numbered_find(const struct numbered_form *form, const struct numbered_set *set, int32_t number)
{
    for (size_t at = 0; at < set->count; at++)
        if (numbered_number(numbered_item(form, set, at)) == number)
            return numbered_item(form, set, at);
    return NULL;
}

int32_t numbered_number(const void *item)
{
    return *(const int32_t *)item;
}

const char **numbered_was(const struct numbered_form *form, void *item)
{
    return (const char **)((char *)item + field_find(form->item, "was")->offset);
}

const char **numbered_withdrawn(const struct numbered_form *form, void *item)
{
    return (const char **)((char *)item + field_find(form->item, "withdrawn")->offset);
}

int32_t *numbered_version(const struct numbered_form *form, void *item)
{
    return (int32_t *)((char *)item + field_find(form->item, "version")->offset);
}
