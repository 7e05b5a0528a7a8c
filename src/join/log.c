/* SPDX-License-Identifier: MIT */
/* A day of the pump log that both sides changed. Rows that one side has beyond those of the other are taken; else the
 * later act stands, and the day is open. */
#include <stdio.h>
#include <string.h>

#include "coretally/record/log_day.h"
#include "joining.h"

static enum status read_day(struct joining *joining, const char *id, const char *path, struct log_day *out,
                            struct err *err)
{
    struct bytes bytes;
    TRY(store_bytes(joining->store, id, path, joining->arena, &bytes, err));
    return log_day_decode(bytes, joining->arena, out, err);
}

static bool begins_with(const struct log_day *whole, const struct log_day *part)
{
    if (part->block_count > whole->block_count)
        return false;
    for (size_t at = 0; at < part->block_count; at++) {
        const struct log_block *a = &part->blocks[at];
        const struct log_block *b = &whole->blocks[at];
        const bool is_last = at + 1 == part->block_count;
        if (!log_head_is_same(a, b) || (is_last ? a->row_count > b->row_count : a->row_count != b->row_count) ||
            memcmp(a->cells, b->cells, a->row_count * (1 + a->channel_count) * sizeof *a->cells) != 0)
            return false;
    }
    return true;
}

static size_t count_rows(const struct log_day *day)
{
    size_t rows = 0;
    for (size_t at = 0; at < day->block_count; at++)
        rows += day->blocks[at].row_count;
    return rows;
}

/* The claims that stand beside the file: those that were open, and what each side has. */
static enum status write_open(struct joining *joining, const struct changed_file *file, const struct act_at *acts,
                              const size_t *rows, int first, struct err *err)
{
    struct contradiction open = {.hole = file->place.hole, .path = file->path};
    struct claim claims[SIDES_MAX];
    char text[SIDES_MAX][32];
    for (int at = 0; at < SIDES_MAX; at++) {
        const int side = at ? !first : first;
        (void)snprintf(text[at], sizeof text[at], "%zu rows", rows[side]);
        claims[at] = (struct claim){*file->sides[side] ? text[at] : NULL, acts[side].id};
    }
    open.claims = claims;
    open.claim_count = SIDES_MAX;
    TRY(joining_write(joining, &contradiction_table, &open, err));
    TRY(arena_take(joining->arena, SIDES_MAX, sizeof *open.claims, &open.claims, err));
    for (int at = 0; at < SIDES_MAX; at++) {
        if (claims[at].value)
            TRY(arena_copy(joining->arena, claims[at].value, strlen(claims[at].value), &open.claims[at].value, err));
        TRY(arena_copy(joining->arena, claims[at].commit, COMMIT_ID_MAX - 1, &open.claims[at].commit, err));
    }
    return tell_contradiction(joining, &open, err);
}

enum status join_log_day(struct joining *joining, struct changed_file *file, struct err *err)
{
    struct log_day days[SIDES_MAX] = {{.hole = NULL}};
    struct act_at acts[SIDES_MAX];
    size_t rows[SIDES_MAX] = {0};
    file->is_joined = true;
    for (int side = 0; side < SIDES_MAX; side++) {
        if (*file->sides[side])
            TRY(read_day(joining, file->sides[side], file->path, &days[side], err));
        rows[side] = count_rows(&days[side]);
    }
    for (int side = 0; side < SIDES_MAX; side++)
        if (*file->sides[0] && *file->sides[1] && begins_with(&days[side], &days[!side]))
            return joining_place(joining, file->path, file->sides[side], err);
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(side_last(joining, side, file->path, &acts[side], err));
    const int standing = act_is_before(&acts[0], &acts[1]);
    TRY(joining_place(joining, file->path, file->sides[standing], err));
    return write_open(joining, file, acts, rows, standing, err);
}
