/* SPDX-License-Identifier: MIT */
/* A day of the pump log that both sides changed. Rows that one side has beyond those of the other are taken, and
 * hours of which each side has others; else the later act stands, and the day is open. */
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

/* The rows that a side has beyond those of the common state, block by block. */
static enum status find_tail(struct joining *joining, const struct log_day *whole, const struct log_day *base,
                             struct log_day *out, struct err *err)
{
    const size_t first = base->block_count ? base->block_count - 1 : 0;
    *out = (struct log_day){.hole = whole->hole, .day = whole->day};
    TRY(arena_take(joining->arena, whole->block_count - first, sizeof *out->blocks, &out->blocks, err));
    for (size_t at = first; at < whole->block_count; at++) {
        struct log_block block = whole->blocks[at];
        const size_t known = at < base->block_count ? base->blocks[at].row_count : 0;
        block.cells += known * (1 + block.channel_count);
        block.row_count -= known;
        if (block.row_count)
            out->blocks[out->block_count++] = block;
    }
    return STATUS_OK;
}

/* The first and the last time of its rows. */
static void find_span(const struct log_day *tail, int64_t *first_us, int64_t *last_us)
{
    *first_us = INT64_MAX;
    *last_us = INT64_MIN;
    for (size_t at = 0; at < tail->block_count; at++)
        for (size_t row = 0; row < tail->blocks[at].row_count; row++) {
            const int64_t us = tail->blocks[at].cells[row * (1 + tail->blocks[at].channel_count)];
            *first_us = us < *first_us ? us : *first_us;
            *last_us = us > *last_us ? us : *last_us;
        }
}

static enum status append_block(struct joining *joining, struct log_day *day, const struct log_block *block,
                                struct err *err)
{
    struct log_block *last = day->block_count ? &day->blocks[day->block_count - 1] : NULL;
    if (!last || !log_head_is_same(last, block)) {
        day->blocks[day->block_count++] = *block;
        return STATUS_OK;
    }
    const size_t width = 1 + block->channel_count;
    int64_t *cells = NULL;
    TRY(arena_take(joining->arena, (last->row_count + block->row_count) * width, sizeof *cells, &cells, err));
    memcpy(cells, last->cells, last->row_count * width * sizeof *cells);
    memcpy(cells + last->row_count * width, block->cells, block->row_count * width * sizeof *cells);
    last->cells = cells;
    last->row_count += block->row_count;
    return STATUS_OK;
}

/* Each side took in other hours of the day: those of both, in the order of time. */
static enum status join_hours(struct joining *joining, struct changed_file *file, const struct log_day days[SIDES_MAX],
                              bool *done, struct err *err)
{
    struct log_day base = {.hole = NULL};
    struct log_day tails[SIDES_MAX];
    struct log_day out;
    int64_t spans[SIDES_MAX][2];
    char id[COMMIT_ID_MAX];
    struct bytes bytes;
    *done = false;
    if (*file->base)
        TRY(read_day(joining, file->base, file->path, &base, err));
    for (int side = 0; side < SIDES_MAX; side++) {
        if (!*file->sides[side] || !begins_with(&days[side], &base))
            return STATUS_OK;
        TRY(find_tail(joining, &days[side], &base, &tails[side], err));
        find_span(&tails[side], &spans[side][0], &spans[side][1]);
    }
    const int first = spans[1][1] < spans[0][0];
    if (spans[first][1] >= spans[!first][0])
        return STATUS_OK;
    out = days[first];
    TRY(arena_take(joining->arena, days[0].block_count + days[1].block_count, sizeof *out.blocks, &out.blocks, err));
    memcpy(out.blocks, days[first].blocks, days[first].block_count * sizeof *out.blocks);
    for (size_t at = 0; at < tails[!first].block_count; at++)
        TRY(append_block(joining, &out, &tails[!first].blocks[at], err));
    TRY(log_day_encode(&out, joining->arena, &bytes, err));
    TRY(store_put(joining->store, bytes, id, err));
    *done = true;
    return joining_place(joining, file->path, id, err);
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
    bool is_done = false;
    TRY(join_hours(joining, file, days, &is_done, err));
    if (is_done)
        return STATUS_OK;
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(side_last(joining, side, file->path, &acts[side], err));
    const int standing = act_is_before(&acts[0], &acts[1]);
    TRY(joining_place(joining, file->path, file->sides[standing], err));
    return write_open(joining, file, acts, rows, standing, err);
}
