/* SPDX-License-Identifier: MIT */
/* Rows that are bags: of which hole and kind, whether the registry has them, and the sets that grow by them. */
#include <stdlib.h>
#include <string.h>

#include "coretally/state/bag.h"
#include "import.h"

/* A hole of the file, and the sets of bags of it that the rows touch. */
struct bag_shelf {
    struct import_core *hole;
    struct bag_set set;
    size_t room;
    bool changed;
    char path[REGISTRY_PATH_MAX];
};

struct bag_rows {
    struct import *import;
    struct bag_shelf **shelves;
    size_t count;
    size_t room;
};

/* The hole of a row; NULL (and the row refused) where there is none. */
static enum status find_hole(struct bag_rows *rows, size_t row, struct import_core **out, struct err *err)
{
    struct import *import = rows->import;
    struct run *run = import->run;
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
    for (size_t at = 0; at < import->core_count; at++) {
        struct import_core *known = import->cores[at];
        if (strcmp(known->target.name.site, name.site) != 0 || strcmp(known->target.name.letter, name.letter) != 0)
            continue;
        if (known->refused)
            row_refuse(import, row, "%s", known->refused);
        else
            *out = known;
        return STATUS_OK;
    }
    struct import_core *hole = NULL;
    TRY(arena_take(run->state->arena, 1, sizeof *hole, &hole, err));
    enum status status = resolve_hole(run->state, &name, &hole->target, &own);
    if (status == STATUS_OK && hole->target.hole.withdrawn)
        status = err_set(&own, STATUS_RULE, text, "the hole is withdrawn: %s", hole->target.hole.withdrawn);
    if (status == STATUS_OK && hole->target.hole.returns != RETURNS_SHIP)
        status = err_set(&own, STATUS_RULE, text, "it is drilled riserless: no cuttings come on board");
    if (status == STATUS_DAMAGED || status == STATUS_SYSTEM) {
        *err = own;
        return status;
    }
    if (status != STATUS_OK) {
        struct text why;
        struct bytes bytes;
        text_init(&why, run->state->arena);
        text_addf(&why, "%s: %s", own.subject, own.reason);
        TRY(text_done(&why, &bytes, err));
        hole->refused = bytes.data;
        hole->target.name = name;
        row_refuse(import, row, "%s", hole->refused);
    } else
        *out = hole;
    TRY(arena_grow(run->state->arena, &import->cores, import->core_count, &import->core_room,
                   sizeof(struct import_core *), err));
    import->cores[import->core_count++] = hole;
    return STATUS_OK;
}

static enum status find_shelf(struct bag_rows *rows, struct import_core *hole, enum bag_kind kind, int32_t number,
                              struct bag_shelf **out, struct err *err)
{
    struct run *run = rows->import->run;
    bool there = false;
    for (size_t back = rows->count; back > 0; back--) { /* rows of a hundred stand together: the last ones first */
        struct bag_shelf *shelf = rows->shelves[back - 1];
        if (shelf->hole == hole && shelf->set.kind == kind && shelf->set.hundred == bag_hundred(number)) {
            *out = shelf;
            return STATUS_OK;
        }
    }
    struct bag_shelf *shelf = NULL;
    TRY(arena_take(run->state->arena, 1, sizeof *shelf, &shelf, err));
    bags_path(hole->target.hole_name, kind, bag_hundred(number), shelf->path);
    TRY(state_read(run->state, shelf->path, &bag_set_table, &shelf->set, &there, err));
    shelf->hole = hole;
    shelf->set.hole = hole->target.hole_name;
    shelf->set.kind = kind;
    shelf->set.hundred = bag_hundred(number);
    shelf->room = shelf->set.bag_count;
    TRY(arena_grow(run->state->arena, &rows->shelves, rows->count, &rows->room, sizeof(struct bag_shelf *), err));
    rows->shelves[rows->count++] = shelf;
    *out = shelf;
    return STATUS_OK;
}

/* "bag", "gas", "mud" in the column of the type; empty: a bag of cuttings. */
static enum bag_kind kind_of(struct bag_rows *rows, size_t row)
{
    const char *cell = row_named_cell(rows->import, row, "type");
    const enum bag_kind kind = *cell ? bag_kind_find(cell) : BAG_CUTTINGS;
    if (kind == BAG_NONE)
        row_refuse(rows->import, row, "type '%.40s': what is taken at the surface is one of bag, gas, mud", cell);
    return kind;
}

static enum status place_bag(struct bag_rows *rows, size_t row, struct bag_shelf *shelf, struct bag *typed,
                             struct err *err)
{
    struct import *import = rows->import;
    struct findings findings = {0};
    bool fine = false;
    struct bag_set *set = &shelf->set;
    for (size_t at = 0; at < set->bag_count; at++) {
        const struct bag *present = &set->bags[at];
        if (present->number != typed->number)
            continue;
        typed->doubt = present->doubt;
        typed->version = present->version;
        if (record_is_equal(&bag_table, present, typed))
            import->tally.present++;
        else
            row_refuse_other(import, row, &bag_table, present, typed);
        return STATUS_OK;
    }
    bag_check(typed, set->bags, set->bag_count, import->run->state->now.utc_us, &findings);
    TRY(row_judge(import, row, &findings, &typed->doubt, &fine, err));
    if (!fine)
        return STATUS_OK;
    TRY(arena_grow(import->run->state->arena, &set->bags, set->bag_count, &shelf->room, sizeof *typed, err));
    size_t place = set->bag_count++;
    for (; place > 0 && set->bags[place - 1].number > typed->number; place--)
        set->bags[place] = set->bags[place - 1];
    set->bags[place] = *typed;
    shelf->changed = true;
    import->tally.added++;
    return STATUS_OK;
}

static enum status take_row(struct bag_rows *rows, size_t row, struct err *err)
{
    struct import_core *hole = NULL;
    struct bag_shelf *shelf = NULL;
    struct bag typed;
    bool fine = false;
    TRY(find_hole(rows, row, &hole, err));
    const enum bag_kind kind = hole ? kind_of(rows, row) : BAG_NONE;
    if (!hole || kind == BAG_NONE)
        return STATUS_OK;
    record_init(&bag_table, &typed);
    TRY(row_take_fields(rows->import, row, hole, &typed, &fine, err));
    if (!fine || !row_is_complete(rows->import, row, &typed))
        return STATUS_OK;
    TRY(find_shelf(rows, hole, kind, typed.number, &shelf, err));
    return place_bag(rows, row, shelf, &typed, err);
}

enum status import_bags(struct import *import, struct writing **out, size_t *count, struct err *err)
{
    struct bag_rows rows = {.import = import};
    int64_t next_ms = 0;
    TRY(arena_take(import->run->state->arena, import->table.rows, sizeof(struct import_core *), &import->row_cores,
                   err));
    for (size_t row = 1; row < import->table.rows; row++) {
        state_progress(import->run->state, "checked", row, import->table.rows - 1, &next_ms);
        TRY(take_row(&rows, row, err));
    }
    TRY(arena_take(import->run->state->arena, rows.count, sizeof **out, out, err));
    *count = 0;
    for (size_t at = 0; at < rows.count; at++)
        if (rows.shelves[at]->changed)
            (*out)[(*count)++] = (struct writing){
                .path = rows.shelves[at]->path, .table = &bag_set_table, .record = &rows.shelves[at]->set};
    return STATUS_OK;
}
