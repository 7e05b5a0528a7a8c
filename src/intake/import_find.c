/* SPDX-License-Identifier: MIT */
/* What a row of an import is of: its core, or its hole, looked up once for all rows that name it. */
#include <stdio.h>
#include <string.h>

#include "coretally/state/read.h"
#include "import_row.h"

static bool is_of_hole(const struct import_core *core, const struct name *name)
{
    return strcmp(core->target.name.site, name->site) == 0 && strcmp(core->target.name.letter, name->letter) == 0;
}

/* Known from now on. One that cannot be taken is remembered, too: its other rows are refused for the same reason. */
static enum status remember(struct import *import, struct import_core *core, const struct err *why, struct err *err)
{
    struct arena *arena = import->state->arena;
    if (why) {
        struct text text;
        struct bytes bytes;
        text_init(&text, arena);
        text_addf(&text, "%s: %s", why->subject, why->reason);
        TRY(text_done(&text, &bytes, err));
        core->refused = bytes.data;
    }
    TRY(arena_grow(arena, &import->cores, import->core_count, &import->core_room, sizeof(struct import_core *), err));
    import->cores[import->core_count++] = core;
    return STATUS_OK;
}

/* A new one; why: the status with which it was looked up. */
static enum status take_new(struct import *import, size_t row, struct import_core *core, const struct err *why,
                            struct import_core **out, struct err *err)
{
    if (status_is_failure(why->status)) {
        *err = *why;
        return why->status;
    }
    TRY(remember(import, core, why->status == STATUS_OK ? NULL : why, err));
    if (core->refused)
        row_refuse(import, row, "%s", core->refused);
    else
        *out = core;
    return STATUS_OK;
}

/* --- cores --- */

/* Rows of a core stand together: the last ones first. */
static struct import_core *known_core(const struct import *import, const struct name *name)
{
    for (size_t back = import->core_count; back > 0; back--) {
        struct import_core *known = import->cores[back - 1];
        if (known->target.name.core == name->core && is_of_hole(known, name))
            return known;
    }
    return NULL;
}

/* Its samples, which the rows add to. */
static enum status read_samples(struct state *state, struct import_core *core, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    samples_path(core->target.hole_name, core->target.name.core, path);
    TRY(state_read(state, path, &sample_set_table, &core->set, &there, err));
    core->old_samples = core->set.sample_count;
    core->set_room = core->set.sample_count;
    core->set.hole = core->target.hole_name;
    core->set.core = core->target.name.core;
    return arena_take(state->arena, core->old_samples, sizeof *core->matched, &core->matched, err);
}

/* What the registry has of the core that the row calls text; a table of cores may bring new ones. */
static enum status read_core(struct import *import, const struct name *name, const char *text, struct import_core *core,
                             struct err *err)
{
    struct state *state = import->state;
    struct target *target = &core->target;
    TRY(resolve_hole(state, name, target, err));
    if (target->hole.withdrawn)
        return err_set(err, STATUS_RULE, target->hole_name, "the hole is withdrawn: %s", target->hole.withdrawn);
    if (import->asked.kind == IMPORT_CORES) {
        char path[REGISTRY_PATH_MAX];
        core_path(target->hole_name, name->core, path);
        TRY(state_read(state, path, &core_table, &target->core, &core->there, err));
    } else {
        TRY(resolve_core(state, target, err));
        core->before = target->core;
    }
    if (target->core.withdrawn)
        return err_set(err, STATUS_RULE, text, "this core is withdrawn: %s", target->core.withdrawn);
    return import->asked.kind == IMPORT_SAMPLES ? read_samples(state, core, err) : STATUS_OK;
}

enum status row_find_core(struct import *import, size_t row, struct import_core **out, struct err *err)
{
    char text[NAME_TEXT_MAX];
    struct name name;
    struct err own = {0};
    const char *expedition = row_named_cell(import, row, "expedition");
    (void)snprintf(text, sizeof text, "%.10s%s%.20s%.10s-%.10s%.10s", expedition, *expedition ? "-" : "",
                   row_named_cell(import, row, "site"), row_named_cell(import, row, "hole"),
                   row_named_cell(import, row, "core"), row_named_cell(import, row, "type"));
    *out = NULL;
    if (name_parse(text, &name, &own) != STATUS_OK || name.level != NAME_CORE) {
        row_refuse(import, row, "'%s' does not name a core: %s", text, own.reason);
        return STATUS_OK;
    }
    struct import_core *core = known_core(import, &name);
    if (!core) {
        TRY(arena_take(import->state->arena, 1, sizeof *core, &core, err));
        own.status = read_core(import, &name, text, core, &own);
        return take_new(import, row, core, &own, out, err);
    }
    if (core->refused)
        row_refuse(import, row, "%s", core->refused);
    else if (core->target.name.type != name.type)
        row_refuse(import, row, "core %d is %d%c elsewhere in the file", (int)name.core, (int)name.core,
                   core->target.name.type);
    else
        *out = core;
    return STATUS_OK;
}

/* --- holes --- */

static struct import_core *known_hole(const struct import *import, const struct name *name)
{
    for (size_t at = 0; at < import->core_count; at++)
        if (is_of_hole(import->cores[at], name))
            return import->cores[at];
    return NULL;
}

/* Where cuttings come on board. */
static enum status read_hole(struct state *state, const struct name *name, const char *text, struct target *target,
                             struct err *err)
{
    TRY(resolve_hole(state, name, target, err));
    if (target->hole.withdrawn)
        return err_set(err, STATUS_RULE, text, "the hole is withdrawn: %s", target->hole.withdrawn);
    if (target->hole.returns != RETURNS_SHIP)
        return err_set(err, STATUS_RULE, text, "it is drilled riserless: no cuttings come on board");
    return STATUS_OK;
}

enum status row_find_hole(struct import *import, size_t row, struct import_core **out, struct err *err)
{
    char text[NAME_TEXT_MAX];
    struct name name;
    struct err own = {0};
    const char *expedition = row_named_cell(import, row, "expedition");
    (void)snprintf(text, sizeof text, "%.10s%s%.20s%.10s", expedition, *expedition ? "-" : "",
                   row_named_cell(import, row, "site"), row_named_cell(import, row, "hole"));
    *out = NULL;
    if (name_parse(text, &name, &own) != STATUS_OK || name.level != NAME_HOLE) {
        row_refuse(import, row, "'%s' does not name a hole: %s", text, own.reason);
        return STATUS_OK;
    }
    struct import_core *hole = known_hole(import, &name);
    if (!hole) {
        TRY(arena_take(import->state->arena, 1, sizeof *hole, &hole, err));
        own.status = read_hole(import->state, &name, text, &hole->target, &own);
        return take_new(import, row, hole, &own, out, err);
    }
    if (hole->refused)
        row_refuse(import, row, "%s", hole->refused);
    else
        *out = hole;
    return STATUS_OK;
}
