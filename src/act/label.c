/* SPDX-License-Identifier: MIT */
/* The files of labels as a printing leaves them. */
#include "coretally/act/label.h"

#include <string.h>

#include "coretally/base/limits.h"

enum { BULK_FILES = 20 }; /* more than these are written as a pack: store_append */

void printing_init(struct printing *printing, struct state *state, const char *layout)
{
    *printing = (struct printing){.state = state, .layout = layout};
    draft_init(&printing->draft);
}

/* The file as this act has left it so far: another name may have added to it. NULL: not at all. */
static struct writing *find_writing(const struct printing *printing, const char *path)
{
    for (size_t at = 0; at < printing->draft.writing_count; at++)
        if (strcmp(printing->draft.writings[at].path, path) == 0)
            return &printing->draft.writings[at];
    return NULL;
}

enum status printing_open(struct state *state, const struct printing *printing, const char *path,
                          const struct label_set *recorded, size_t more, struct printed_file *out, struct err *err)
{
    struct printed_file file = {.path = path, .set = *recorded, .recorded = recorded->label_count};
    const struct writing *writing = find_writing(printing, path);
    struct label *labels = NULL;
    if (writing)
        TRY(record_decode(&label_set_table, writing->bytes, state->arena, &file.set, err));
    TRY(arena_take(state->arena, file.set.label_count + more, sizeof *labels, &labels, err));
    if (file.set.label_count)
        memcpy(labels, file.set.labels, file.set.label_count * sizeof *labels);
    file.set.labels = labels;
    file.before = printing->count;
    *out = file;
    return STATUS_OK;
}

bool printing_has(const struct printed_file *file, const char *name, const char *scale)
{
    for (size_t at = file->recorded; at < file->set.label_count; at++)
        if (strcmp(file->set.labels[at].name, name) == 0 && strcmp(file->set.labels[at].scale, scale) == 0)
            return true;
    return false;
}

/* 0: the first. */
static int32_t next_copy(const struct label_set *set, const char *name)
{
    int32_t copy = 0;
    for (size_t at = 0; at < set->label_count; at++)
        if (strcmp(set->labels[at].name, name) == 0 && label_copy(&set->labels[at]) > copy)
            copy = (int32_t)label_copy(&set->labels[at]);
    return copy ? copy + 1 : 0;
}

enum status printing_add(struct printing *printing, struct printed_file *file, struct label *label, struct err *err)
{
    label->copy = next_copy(&file->set, label->name);
    label->printed = printing->state->now;
    label->state = store_state(printing->state->store);
    label->layout = printing->layout;
    if (label->copy > INT16_MAX)
        return err_set(err, STATUS_RULE, label->name, "it has %d labels already, more than anybody can keep apart",
                       INT16_MAX);
    file->set.labels[file->set.label_count++] = *label;
    printing->count++;
    return STATUS_OK;
}

enum status printing_close(struct printing *printing, const struct printed_file *file, struct err *err)
{
    struct writing *writing = find_writing(printing, file->path);
    struct bytes bytes;
    if (printing->count == file->before)
        return STATUS_OK;
    if (file->set.label_count > LIST_ITEMS_MAX)
        return err_set(err, STATUS_RULE, file->path, "more than %d labels of one core", LIST_ITEMS_MAX);
    TRY(record_validate(&label_set_table, &file->set, file->path, err));
    TRY(record_encode(&label_set_table, &file->set, printing->state->arena, &bytes, err));
    if (!writing)
        return draft_write_bytes(printing->state, &printing->draft, file->path, bytes, err);
    writing->bytes = bytes;
    return STATUS_OK;
}

enum status printing_draft(struct printing *printing, const char *name, struct draft *out, struct err *err)
{
    struct text text;
    struct bytes line;
    text_init(&text, printing->state->arena);
    text_addf(&text, "Labels: %zu printed as %s%s%s", printing->count, printing->layout, name ? ", " : "",
              name ? name : "");
    TRY(text_done(&text, &line, err));
    *out = printing->draft;
    out->line = line.data;
    out->is_bulk = out->writing_count > BULK_FILES;
    return STATUS_OK;
}
