/* SPDX-License-Identifier: MIT */
/* A record before and after a commit. An act amends, and counts the version up by one; or withdraws, or brings back,
 * which counts, too; or adds. It never removes, and some things it never changes: what a label said, what a correction
 * corrects, rows of a log. Driven by the field tables, so a new kind of record needs nothing here. */
#include <string.h>

#include "coretally/kind/kind.h"
#include "coretally/kind/pair.h"
#include "coretally/state/doubt.h"
#include "parts.h"

/* Two versions under comparison. */
struct change_view {
    struct verify *verify;
    const char *path;
    bool keeps; /* the act kept something against doubt */
};

/* Equal but for its version, its items and the fields left out. */
static bool is_same(const struct table *table, const void *older, const void *newer, const char *const *left_out)
{
    for (size_t at = 0; at < table->count; at++) {
        const struct field *field = &table->fields[at];
        if (strcmp(field->name, "version") == 0 || list_has_items(field) || names_have(left_out, field->name))
            continue;
        if (!field_is_equal(field, older, newer))
            return false;
    }
    return true;
}

static void hold_version(const struct change_view *view, const struct table *table, const char *item, const void *older,
                         const void *newer, bool has_changed)
{
    const int32_t before = item_version(table, older);
    const int32_t after = item_version(table, newer);
    const int32_t expected = before + has_changed;
    if (after == expected || (view->keeps && !has_changed && after == before + 1)) /* kept as it is by who is sure */
        return;
    if (item_is_withdrawn(table, older) && !item_is_withdrawn(table, newer) && after <= before)
        flaw_add(view->verify, FLAW_WITHDRAWN_UNDONE, view->path, item,
                 "it was withdrawn, and stands again in version %d", (int)after);
    else
        flaw_add(view->verify, FLAW_VERSION_COUNT, view->path, item, "it %s, and its version went from %d to %d",
                 has_changed ? "changed" : "did not change", (int)before, (int)after);
}

static void hold_pair(const struct change_view *view, const struct table *table, const char *item, const void *older,
                      const void *newer)
{
    static const char *const none[] = {NULL};
    static const char *const mended[] = {"withdrawn", "remark", NULL};
    const bool same = is_same(table, older, newer, none);
    if (table == &contradiction_table && !same) {
        flaw_add(view->verify, FLAW_RECORD_CHANGED, view->path, item,
                 "what two sides claim stays as a join found it, until an act decides and takes it away");
        return;
    }
    if (table == &correction_table && !is_same(table, older, newer, mended)) {
        flaw_add(view->verify, FLAW_RECORD_CHANGED, view->path, item,
                 "a correction stays as it was recorded; another one takes its place");
        return;
    }
    static const char *const named[] = {"type", "was", NULL};
    for (const char *const *name = named; table == &core_table && *name; name++)
        if (!field_is_equal(field_find(table, *name), older, newer))
            flaw_add(view->verify, FLAW_RECORD_CHANGED, view->path, item,
                     "its name or former names (%s) changed, and the list of renamings does not say so", *name);
    verify_formers_kept(view->verify, view->path, item, table, older, newer);
    if (!field_find(table, "version"))
        return;
    /* A sub-sample follows its parent to another interval without an amendment of its own. */
    if (table == &sample_table && ((const struct sample *)older)->of &&
        is_same(table, older, newer, sample_fields_following) &&
        item_version(table, older) == item_version(table, newer))
        return;
    hold_version(view, table, item, older, newer, !same);
}

static void hold_new_items(const struct change_view *view, const struct items *older, const struct items *newer)
{
    char item[ITEM_TEXT_MAX];
    for (size_t at = 0; at < newer->count; at++) {
        const void *it = items_at(newer, at);
        const bool is_renamed = newer->table == &sample_table && ((const struct sample *)it)->was;
        item_text(newer->table, it, item);
        verify_formers_new(view->verify, view->path, item, it, older);
        if (item_version(newer->table, it) == 1 || is_renamed || (older->count && pair_find(older, it, at)))
            continue;
        flaw_add(view->verify, FLAW_VERSION_COUNT, view->path, item, "it is new, and begins with version %d",
                 (int)item_version(newer->table, it));
    }
}

static void hold_items(const struct change_view *view, const struct field *list, const void *older, const void *newer)
{
    const struct items before = items_of(list, older);
    const struct items after = items_of(list, newer);
    char item[ITEM_TEXT_MAX];
    for (size_t at = 0; at < before.count; at++) {
        const void *it = items_at(&before, at);
        const void *other = after.count ? pair_find(&after, it, at) : NULL;
        item_text(before.table, it, item);
        if (other)
            hold_pair(view, list->of, item, it, other);
        else
            flaw_add(view->verify, FLAW_RECORD_REMOVED, view->path, item, "it was recorded, and is gone");
    }
    hold_new_items(view, &before, &after);
}

static bool is_moved(const struct sample *older, const struct sample *newer)
{
    return !older || older->withdrawn || older->section != newer->section || older->half != newer->half ||
           older->top_um != newer->top_um || older->bottom_um != newer->bottom_um;
}

/* A sample that is new, or lies elsewhere, against those that were there before it: what they took was gone. */
static void hold_taken(const struct change_view *view, const struct sample_set *older, const struct sample_set *newer)
{
    const struct items before = {&sample_table, (const char *)older->samples, older->sample_count};
    for (size_t at = 0; older->sample_count && at < newer->sample_count; at++) {
        const struct sample *sample = &newer->samples[at];
        struct findings findings = {0};
        char item[SAMPLE_KEY_MAX];
        const struct sample *self = pair_find(&before, sample, 0);
        if (sample->withdrawn || sample->of || !is_moved(self, sample))
            continue;
        for (size_t other = 0; other < older->sample_count; other++) {
            const struct sample *it = &older->samples[other];
            if (it != self && it->section == sample->section && !it->of && !it->withdrawn)
                sample_check_other(sample, it, &findings);
        }
        sample_key(sample, item);
        verify_rules(view->verify, view->path, item, &findings, sample->doubt);
    }
}

static void hold_appended(const struct change_view *view, const struct field *list, const void *older,
                          const void *newer)
{
    const struct items before = items_of(list, older);
    const struct items after = items_of(list, newer);
    if (after.count < before.count)
        flaw_add(view->verify, FLAW_RECORD_REMOVED, view->path, "", "of %zu %s %zu are left", before.count, list->name,
                 after.count);
    for (size_t at = 0; at < before.count && at < after.count; at++)
        if (!record_is_equal(list->of, items_at(&before, at), items_at(&after, at))) {
            const char *name = list->of == &label_table      ? ((const struct label *)items_at(&before, at))->name
                               : list->of != &renaming_table ? ((const struct signature *)items_at(&before, at))->name
                                                             : ((const struct renaming *)items_at(&before, at))->from;
            flaw_add(view->verify, FLAW_RECORD_CHANGED, view->path, name,
                     "number %zu of the %s was changed; what was printed, signed or renamed stays", at + 1, list->name);
            return;
        }
}

void verify_change(struct verify *verify, const struct place_known *place, const struct commit *commit,
                   const void *older, const void *newer)
{
    const bool keeps = commit->reason && strstr(commit->reason, KEPT_AGAINST);
    const struct change_view view = {verify, place->path, keeps};
    const struct table *table = place->known->table;
    const struct items before = {table, older, 1};
    hold_pair(&view, table, "", older, newer);
    verify_formers_new(verify, place->path, "", newer, &before);
    for (size_t at = 0; at < table->count; at++)
        if (list_is_appended(&table->fields[at]))
            hold_appended(&view, &table->fields[at], older, newer);
        else if (list_has_items(&table->fields[at]) && !list_is_appended(&table->fields[at]))
            hold_items(&view, &table->fields[at], older, newer);
    if (table == &sample_set_table)
        hold_taken(&view, older, newer);
}

void verify_new(struct verify *verify, const struct place_known *place, const void *record)
{
    const struct change_view view = {verify, place->path, false};
    const struct table *table = place->known->table;
    verify_formers_new(verify, place->path, "", record, &(struct items){table, NULL, 0});
    if (field_find(table, "version") && item_version(table, record) != 1)
        flaw_add(verify, FLAW_VERSION_COUNT, place->path, "", "it is new, and begins with version %d",
                 (int)item_version(table, record));
    for (size_t at = 0; at < table->count; at++) {
        const struct items none = {table->fields[at].of, NULL, 0};
        const struct field *list = &table->fields[at];
        if (!list_has_items(list) || list_is_appended(list))
            continue;
        const struct items items = items_of(list, record);
        hold_new_items(&view, &none, &items);
    }
}

void verify_log_change(struct verify *verify, const struct place_known *place, const struct log_day *older,
                       const struct log_day *newer)
{
    for (size_t at = 0; at < older->block_count; at++) {
        const struct log_block *a = &older->blocks[at];
        const struct log_block *b = at < newer->block_count ? &newer->blocks[at] : NULL;
        const bool is_last = at + 1 == older->block_count;
        const size_t width = 1 + a->channel_count;
        if (b && log_head_is_same(a, b) && (is_last ? a->row_count <= b->row_count : a->row_count == b->row_count) &&
            memcmp(a->cells, b->cells, a->row_count * width * sizeof *a->cells) == 0)
            continue;
        flaw_add(verify, FLAW_RECORD_CHANGED, place->path, "",
                 "rows that were recorded changed; a log is withdrawn and taken in anew");
        return;
    }
}
