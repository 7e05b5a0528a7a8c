/* SPDX-License-Identifier: MIT */
/* Rows that are bags: of which hole and kind, whether the registry has them, and the sets that grow by them. */
#include <string.h>

#include "coretally/act/bag.h"
#include "coretally/state/read.h"
#include "import_row.h"

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

static enum status find_shelf(struct bag_rows *rows, struct import_core *hole, enum bag_kind kind, int32_t number,
                              struct bag_shelf **out, struct err *err)
{
    struct state *state = rows->import->state;
    bool there = false;
    for (size_t back = rows->count; back > 0; back--) { /* rows of a hundred stand together: the last ones first */
        struct bag_shelf *shelf = rows->shelves[back - 1];
        if (shelf->hole == hole && shelf->set.kind == kind && shelf->set.hundred == bag_hundred(number)) {
            *out = shelf;
            return STATUS_OK;
        }
    }
    struct bag_shelf *shelf = NULL;
    TRY(arena_take(state->arena, 1, sizeof *shelf, &shelf, err));
    bags_path(hole->target.hole_name, kind, bag_hundred(number), shelf->path);
    TRY(state_read(state, shelf->path, &bag_set_table, &shelf->set, &there, err));
    shelf->hole = hole;
    shelf->set.hole = hole->target.hole_name;
    shelf->set.kind = kind;
    shelf->set.hundred = bag_hundred(number);
    shelf->room = shelf->set.bag_count;
    TRY(arena_grow(state->arena, &rows->shelves, rows->count, &rows->room, sizeof(struct bag_shelf *), err));
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
        if (bag_is_same(typed, present))
            import->tally.present++;
        else
            row_refuse_other(import, row, &bag_table, present, typed);
        return STATUS_OK;
    }
    bag_check(typed, set->bags, set->bag_count, import->state->now.utc_us, &findings);
    TRY(row_judge(import, row, &findings, &typed->doubt, &fine, err));
    if (!fine)
        return STATUS_OK;
    TRY(bag_insert(import->state, set, &shelf->room, typed, err));
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
    TRY(row_find_hole(rows->import, row, &hole, err));
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

enum status import_bags(struct import *import, struct err *err)
{
    struct bag_rows rows = {.import = import};
    int64_t next_ms = 0;
    for (size_t row = 1; row < import->table.rows; row++) {
        state_progress(import->state, "checked", row, import->table.rows - 1, &next_ms);
        TRY(take_row(&rows, row, err));
    }
    for (size_t at = 0; at < rows.count; at++)
        if (rows.shelves[at]->changed)
            TRY(draft_write(import->state, &import->draft, rows.shelves[at]->path, &bag_set_table,
                            &rows.shelves[at]->set, err));
    return STATUS_OK;
}
