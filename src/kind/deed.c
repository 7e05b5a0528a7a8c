/* SPDX-License-Identifier: MIT */
/* What an act did, record by record. */
#include "coretally/kind/deed.h"

#include <string.h>

#include "coretally/kind/pair.h"
#include "coretally/record/log_day.h"
#include "parts.h"

void deed_begin(struct deed *deed, struct state *before, const struct deed_said *said)
{
    *deed = (struct deed){.state = before, .said = *said, .kind = kind_find(said->kind)};
    /* as earlier versions said it of a list of one */
    deed->is_list = said->line && strstr(said->line, " given 1 sections");
}

/* Of a kind that is bulk, what was done alike to records of one table is one touch. */
static struct touch *find_alike(const struct deed *deed, const struct touch *added)
{
    for (size_t at = 0; deed->kind && deed->kind->is_bulk && at < deed->count; at++)
        if (deed->touches[at].part == added->part && deed->touches[at].done == added->done)
            return &deed->touches[at];
    return NULL;
}

static enum status add_touch(struct deed *deed, const struct touch *added, struct err *err)
{
    struct touch *alike = find_alike(deed, added);
    if (deed->kind && deed->kind->is_bulk) /* it may be gone when the act is judged as a whole */
        TRY(deed_hold_new(deed, added, err));
    const void *item = added->newer ? added->newer : added->older;
    if (alike) {
        alike->count += added->count;
        return STATUS_OK;
    }
    TRY(arena_grow(deed->state->arena, &deed->touches, deed->count, &deed->room, sizeof *added, err));
    struct touch *touch = &deed->touches[deed->count++];
    *touch = *added;
    if (item && !added->part->is_file)
        item_text(added->part, item, touch->item);
    if (deed->kind && deed->kind->is_bulk)
        touch->older = touch->newer = touch->file = NULL;
    return STATUS_OK;
}

/* Do they differ in these fields at most? */
static bool differ_only(const struct touch *touch, const char *const *names)
{
    for (size_t at = 0; at < touch->part->count; at++)
        if (touch_amends(touch, &touch->part->fields[at]) && !names_have(names, touch->part->fields[at].name))
            return false;
    return true;
}

/* What became of a record that both versions have; 0: nothing. */
static unsigned judge_pair(const struct touch *touch)
{
    static const char *const none[] = {NULL};
    static const char *const doubt[] = {"doubt", NULL};
    const struct table *part = touch->part;
    const bool was_withdrawn = item_is_withdrawn(part, touch->older);
    const bool is_withdrawn = item_is_withdrawn(part, touch->newer);
    const bool is_counted = item_version(part, touch->older) != item_version(part, touch->newer);
    if (was_withdrawn != is_withdrawn)
        return is_withdrawn ? DONE_WITHDRAWN : DONE_RESTORED;
    if (!is_counted && differ_only(touch, none))
        return 0;
    if (is_counted && differ_only(touch, doubt))
        return DONE_KEPT;
    if (!is_counted && part == &sample_table && ((const struct sample *)touch->older)->of &&
        differ_only(touch, sample_fields_following) && touch_amends(touch, field_find(part, "of")))
        return DONE_FOLLOWED;
    return DONE_AMENDED;
}

static enum status add_pair(struct deed *deed, struct touch touch, struct err *err)
{
    const unsigned done = judge_pair(&touch);
    touch.done = (enum done)done;
    touch.count = 1;
    return done ? add_touch(deed, &touch, err) : STATUS_OK;
}

/* --- the items of a list --- */

struct sides {
    struct items before;
    struct items after;
    size_t first; /* items that are equal at the beginning */
    size_t last;  /* and at the end */
};

static struct sides sides_of(const struct field *list, const void *older, const void *newer)
{
    struct sides it = {.before = {list->of, NULL, 0}, .after = items_of(list, newer)};
    if (older)
        it.before = items_of(list, older);
    const size_t least = it.before.count < it.after.count ? it.before.count : it.after.count;
    while (it.first < least && record_is_equal(list->of, items_at(&it.before, it.first), items_at(&it.after, it.first)))
        it.first++;
    while (it.last < least - it.first && record_is_equal(list->of, items_at(&it.before, it.before.count - 1 - it.last),
                                                         items_at(&it.after, it.after.count - 1 - it.last)))
        it.last++;
    return it;
}

static enum status add_appended(struct deed *deed, const struct touch *like, const struct sides *it, struct err *err)
{
    for (size_t at = it->first; at < it->before.count || at < it->after.count; at++) {
        struct touch touch = *like;
        touch.older = at < it->before.count ? items_at(&it->before, at) : NULL;
        touch.newer = at < it->after.count ? items_at(&it->after, at) : NULL;
        touch.done = !touch.older ? DONE_APPENDED : touch.newer ? DONE_AMENDED : DONE_REMOVED;
        touch.count = 1;
        deed_hold_printed(deed, &touch);
        TRY(add_touch(deed, &touch, err));
    }
    return STATUS_OK;
}

static enum status add_items(struct deed *deed, const struct touch *like, const struct sides *it, struct err *err)
{
    const size_t ends[2] = {it->before.count - it->last, it->after.count - it->last};
    bool *is_paired = NULL; /* of those after */
    size_t hint = it->first;
    TRY(arena_take(deed->state->arena, it->after.count, sizeof *is_paired, &is_paired, err));
    memset(is_paired, 0, it->after.count * sizeof *is_paired);
    for (size_t at = it->first; at < ends[0]; at++) {
        struct touch touch = *like;
        touch.older = items_at(&it->before, at);
        touch.newer = it->after.count ? pair_find(&it->after, touch.older, hint) : NULL;
        touch.done = DONE_REMOVED;
        touch.count = 1;
        if (touch.newer) {
            hint = (size_t)((const char *)touch.newer - it->after.first) / it->after.table->size;
            is_paired[hint++] = true;
        }
        TRY(touch.newer ? add_pair(deed, touch, err) : add_touch(deed, &touch, err));
    }
    for (size_t at = it->first; at < ends[1]; at++) {
        struct touch touch = *like;
        touch.newer = items_at(&it->after, at);
        touch.older = NULL;
        touch.done = DONE_ADDED;
        touch.count = 1;
        if (!is_paired[at])
            TRY(add_touch(deed, &touch, err));
    }
    return STATUS_OK;
}

static enum status add_list(struct deed *deed, const struct touch *like, const struct field *list, const void *older,
                            struct err *err)
{
    const struct sides sides = sides_of(list, older, like->file);
    struct touch touch = *like;
    touch.part = list->of;
    return list_is_appended(list) ? add_appended(deed, &touch, &sides, err) : add_items(deed, &touch, &sides, err);
}

/* --- files --- */

/* The list of a file that has nothing of its own but what its path says; NULL: the file is a record. */
static const struct field *list_of(const struct table *file)
{
    for (size_t at = 0; at < file->count; at++)
        if (list_has_items(&file->fields[at]) && file != &core_table)
            return &file->fields[at];
    return NULL;
}

static enum status add_record(struct deed *deed, const struct touch *like, struct err *err)
{
    const struct table *table = like->part;
    struct touch touch = *like;
    touch.done = touch.newer ? DONE_ADDED : DONE_REMOVED;
    touch.count = 1;
    if (!touch.older || !touch.newer)
        return list_of(table) && touch.newer ? STATUS_OK : add_touch(deed, &touch, err);
    return add_pair(deed, touch, err);
}

static size_t rows_of(const struct log_day *day)
{
    size_t rows = 0;
    for (size_t at = 0; day && at < day->block_count; at++)
        rows += day->blocks[at].row_count;
    return rows;
}

/* The time of the latest row behind the first so many. */
static int64_t latest_row(const struct log_day *day, size_t skipped)
{
    int64_t latest_us = INT64_MIN;
    for (size_t at = 0; at < day->block_count; at++) {
        const struct log_block *block = &day->blocks[at];
        for (size_t row = 0; row < block->row_count; row++) {
            const int64_t time_us = block->cells[row * (1 + block->channel_count)];
            if (skipped)
                skipped--;
            else if (time_us > latest_us)
                latest_us = time_us;
        }
    }
    return latest_us;
}

static enum status add_day(struct deed *deed, struct touch touch, struct err *err)
{
    touch.part = &log_day_part;
    touch.done = !touch.older ? DONE_ADDED : touch.newer ? DONE_APPENDED : DONE_REMOVED;
    touch.count = 1;
    if (touch.newer) {
        const size_t before = rows_of(touch.older);
        const size_t rows = rows_of(touch.newer);
        const int64_t latest_us = latest_row(touch.newer, before);
        const bool is_first = !deed->log_rows;
        deed->log_rows += rows > before ? rows - before : 0;
        if (is_first || (deed->log_last_us != INT64_MIN && latest_us > deed->log_last_us))
            deed->log_last_us = latest_us;
    }
    return add_touch(deed, &touch, err);
}

enum status deed_add(struct deed *deed, const struct place_known *place, const void *older, const void *newer,
                     struct err *err)
{
    const struct table *table = place->known->table;
    struct touch touch = {.place = *place,
                          .part = table,
                          .older = older,
                          .newer = newer,
                          .file = newer ? newer : older,
                          .done = DONE_ADDED,
                          .count = 1};
    if (place->known->kind == KNOWN_LOG_DAY)
        return add_day(deed, touch, err);
    if (place->known->kind == KNOWN_EVIDENCE) {
        touch.part = &evidence_part;
        touch.done = !older ? DONE_ADDED : newer ? DONE_AMENDED : DONE_REMOVED;
        touch.older = touch.newer = touch.file = NULL;
        return add_touch(deed, &touch, err);
    }
    TRY(add_record(deed, &touch, err));
    const bool is_new_core = table == &core_table && !older; /* its sections came with it */
    for (size_t at = 0; newer && !is_new_core && at < table->count; at++)
        if (list_has_items(&table->fields[at]))
            TRY(add_list(deed, &touch, &table->fields[at], older, err));
    return STATUS_OK;
}

enum status deed_add_counted(struct deed *deed, const struct place_known *place, size_t count, struct err *err)
{
    const struct table *table = place->known->table;
    const struct field *list = table ? list_of(table) : NULL;
    struct touch touch = {.place = *place, .part = list ? list->of : table, .done = DONE_ADDED, .count = count};
    if (place->known->kind == KNOWN_LOG_DAY) {
        touch.part = &log_day_part;
        touch.count = 1;
        deed->log_rows += count;
        deed->log_last_us = INT64_MIN;
    } else if (list && list_is_appended(list))
        touch.done = DONE_APPENDED;
    else if (!list)
        touch.count = 1;
    return touch.count ? add_touch(deed, &touch, err) : STATUS_OK;
}
