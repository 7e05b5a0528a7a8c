/* SPDX-License-Identifier: MIT */
/* Labels in the hand against those that are recorded as printed. */
#include <stdlib.h>
#include <string.h>

#include "anchor.h"
#include "parts.h"

/* The labels of one file, by name. */
struct label_file {
    char path[REGISTRY_PATH_MAX]; /* "": none is read */
    struct state state;           /* what is read of it ends with it */
    const struct label **labels;
    size_t count;
};

/* A label in the hand. */
struct in_hand {
    struct anchor_item *item;
    struct label_text text;
    struct name name;
    char compact[NAME_TEXT_MAX]; /* as a label has it */
    char where[ANCHOR_WHERE_MAX];
};

void anchor_where(const struct anchor_item *item, char out[ANCHOR_WHERE_MAX])
{
    *out = '\0';
    if (item->line)
        (void)snprintf(out, ANCHOR_WHERE_MAX, "line %zu: ", item->line);
}

/* --- the file --- */

static int by_name(const void *a, const void *b)
{
    return strcmp((*(const struct label *const *)a)->name, (*(const struct label *const *)b)->name);
}

static void close_file(struct label_file *file)
{
    if (*file->path)
        state_leave(&file->state);
    *file->path = '\0';
    file->count = 0;
}

/* Labels come sorted by name, so a file is mostly that of the label before. */
static enum status open_file(struct verify *verify, const char *path, struct label_file *file, struct err *err)
{
    struct label_set set = {0};
    struct err why = {0};
    bool there = false;
    if (strcmp(file->path, path) == 0)
        return STATUS_OK;
    close_file(file);
    (void)snprintf(file->path, sizeof file->path, "%s", path);
    state_nest(verify->state, &file->state);
    if (state_read(&file->state, path, &label_set_table, &set, &there, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_RECORD_UNREADABLE, path, &why, err);
    TRY(arena_take(file->state.arena, set.label_count, sizeof(void *), &file->labels, err));
    for (size_t at = 0; at < set.label_count; at++)
        file->labels[file->count++] = &set.labels[at];
    if (file->count)
        qsort(file->labels, file->count, sizeof(void *), by_name);
    return STATUS_OK;
}

/* The first label of this name; count where there is none. */
static size_t first_of(const struct label_file *file, const char *name)
{
    size_t low = 0;
    size_t high = file->count;
    while (low < high) {
        const size_t middle = (low + high) / 2;
        if (strcmp(file->labels[middle]->name, name) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low < file->count && strcmp(file->labels[low]->name, name) == 0 ? low : file->count;
}

/* --- one label --- */

static bool is_as_printed(const struct in_hand *hand, const struct label *label)
{
    const struct label_text *text = &hand->text;
    return strncmp(text->state, label->state, LABEL_STATE_DIGITS) == 0 && text->top_um == label->top_um &&
           text->bottom_um == label->bottom_um && strcmp(text->scale, label->scale) == 0 &&
           (hand->item->is != ANCHOR_HELD || strcmp(hand->item->id, label->state) == 0);
}

/* Its own file, and the copy as it is recorded: *other is one that shows something else. */
static enum status look_in(struct verify *verify, struct in_hand *hand, const char *path, struct label_file *file,
                           const struct label **other, struct err *err)
{
    TRY(open_file(verify, path, file, err));
    for (size_t at = first_of(file, hand->compact);
         at < file->count && strcmp(file->labels[at]->name, hand->compact) == 0; at++) {
        const struct label *label = file->labels[at];
        if (label_copy(label) != hand->text.copy)
            continue;
        if (is_as_printed(hand, label))
            hand->item->is_recorded = true;
        else if (!*other)
            *other = label;
    }
    return STATUS_OK;
}

/* Under the number that its core got since: labels move with their core. */
static enum status look_on(struct verify *verify, struct in_hand *hand, const char *hole, struct label_file *file,
                           const struct label **other, struct err *err)
{
    struct renaming_set renamed = {0};
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    renamed_path(hole, path);
    TRY(state_read(verify->state, path, &renaming_set_table, &renamed, &there, err));
    for (size_t first = 0; first < renamed.renaming_count && !hand->item->is_recorded && !*other; first++) {
        const char *from = renamed.renamings[first].from;
        struct core_id id;
        if (!core_id_parse(from, strlen(from), &id) || id.number != hand->name.core || id.type != hand->name.type)
            continue;
        const char *now = renamed.renamings[first].to;
        for (size_t at = first + 1; at < renamed.renaming_count; at++)
            if (strcmp(renamed.renamings[at].from, now) == 0)
                now = renamed.renamings[at].to;
        if (!core_id_parse(now, strlen(now), &id))
            continue;
        core_labels_path(hole, id.number, path);
        TRY(look_in(verify, hand, path, file, other, err));
    }
    return STATUS_OK;
}

static void tell_depth(const struct label *label, char *out, size_t room)
{
    const int decimals = label_decimals(label->scale);
    if (label->top_um == LENGTH_NONE || label->bottom_um == LENGTH_NONE)
        (void)snprintf(out, room, "no depth on %s", label->scale);
    else
        (void)snprintf(out, room, "%s to %s m %s", length_text(label->top_um, UNIT_M, decimals).text,
                       length_text(label->bottom_um, UNIT_M, decimals).text, label->scale);
}

static void tell_other(struct verify *verify, const struct in_hand *hand, const char *path, const struct label *other)
{
    char shown[2 * LENGTH_TEXT_MAX + 40];
    tell_depth(other, shown, sizeof shown);
    flaw_add(
        verify, FLAW_LABEL_DIFFERS, path, hand->item->text,
        "%scopy %d of this label is recorded with %s, state %.10s: it was written anew after the label was printed",
        hand->where, (int)hand->text.copy, shown, other->state);
}

static enum status hold_label(struct verify *verify, struct in_hand *hand, struct label_file *file, struct err *err)
{
    char hole[HOLE_TEXT_MAX];
    char path[REGISTRY_PATH_MAX];
    const struct label *other = NULL;
    name_hole(&hand->name, hole);
    if (hand->name.level == NAME_BAG)
        bag_labels_path(hole, hand->name.bag, bag_hundred(hand->name.bag_number), path);
    else
        core_labels_path(hole, hand->name.core, path);
    TRY(look_in(verify, hand, path, file, &other, err));
    if (!hand->item->is_recorded && !other && hand->name.level != NAME_BAG)
        TRY(look_on(verify, hand, hole, file, &other, err));
    if (hand->item->is_recorded)
        return STATUS_OK;
    if (other)
        tell_other(verify, hand, file->path, other);
    else
        flaw_add(verify, FLAW_LABEL_UNRECORDED, path, hand->item->text,
                 "%scopy %d of this label is not recorded as printed: its act was taken away, or was never joined here",
                 hand->where, (int)hand->text.copy);
    return STATUS_OK;
}

/* Its name in full. *is_ours false: told, and not looked for. */
static enum status read_name(struct verify *verify, const struct expedition *expedition, struct in_hand *hand,
                             bool *is_ours, struct err *err)
{
    TRY(label_text_read(hand->item->text, &hand->text, err));
    TRY(name_parse(hand->text.name, &hand->name, err));
    if (!*hand->name.expedition)
        (void)snprintf(hand->name.expedition, sizeof hand->name.expedition, "%s", expedition->number);
    name_format(&hand->name, NAME_COMPACT, hand->compact);
    *is_ours = false;
    if (!label_text_fits(&hand->text, hand->compact)) {
        hand->item->kind = ANCHOR_UNREADABLE;
        hand->item->why = "its check character does not belong to its name: scan the label again";
    } else if (strcmp(hand->name.expedition, expedition->number) != 0)
        flaw_add(verify, FLAW_LABEL_UNRECORDED, "", hand->item->text,
                 "%sit is of expedition %s, and this is the registry of expedition %s", hand->where,
                 hand->name.expedition, expedition->number);
    else if (hand->name.level == NAME_HOLE)
        flaw_add(verify, FLAW_LABEL_UNRECORDED, "", hand->item->text, "%sa hole has no label", hand->where);
    else
        *is_ours = true;
    return STATUS_OK;
}

static enum status hold_labels(struct verify *verify, const struct expedition *expedition, struct anchors *anchors,
                               struct label_file *file, struct err *err)
{
    for (size_t at = 0; at < anchors->count; at++) {
        struct in_hand hand = {.item = &anchors->items[at]};
        bool is_ours = false;
        if (hand.item->kind != ANCHOR_LABEL)
            continue;
        anchor_where(hand.item, hand.where);
        TRY(read_name(verify, expedition, &hand, &is_ours, err));
        if (is_ours)
            TRY(hold_label(verify, &hand, file, err));
        state_progress(verify->state, "anchors held", at, anchors->count, &verify->next_ms);
    }
    return STATUS_OK;
}

enum status verify_anchor_labels(struct verify *verify, struct anchors *anchors, struct err *err)
{
    struct expedition expedition;
    struct label_file file = {.path = ""};
    bool there = false;
    TRY(state_read(verify->state, EXPEDITION_PATH, &expedition_table, &expedition, &there, err));
    if (!there)
        return STATUS_OK; /* which is told by itself */
    const enum status status = hold_labels(verify, &expedition, anchors, &file, err);
    close_file(&file);
    return status;
}
