/* SPDX-License-Identifier: MIT */
/* An act as a whole: how many records, its reason, its numbers, what it brings along, its time, its line. */
#include <stdio.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/minted.h"
#include "coretally/state/read.h"
#include "parts.h"

static enum status hold_counts(struct deed *deed, const struct kind *form, struct err *err)
{
    for (const struct allowed *allowed = form->what; allowed->part; allowed++) {
        size_t count = 0;
        for (size_t at = 0; at < deed->count; at++)
            if (touch_is(allowed, &deed->touches[at]))
                count += deed->touches[at].count;
        if (!count && allowed == form->what)
            TRY(deed_fault(deed, "", "", err, "it says that it is '%s', and changed no %s of that kind", form->word,
                           allowed->part->kind));
        if (count > 1 && !allowed->is_many)
            TRY(deed_fault(deed, "", "", err, "it changed %zu records of the kind %s; '%s' changes one", count,
                           allowed->part->kind, form->word));
    }
    return STATUS_OK;
}

/* What a reason looks like in a commit: line ends and blanks at the end of lines are not kept. */
static bool begins_alike(const char *reason, const char *start)
{
    while (*start) {
        const char *const blanks = " \t\n";
        if (strchr(blanks, *start)) {
            start += strspn(start, blanks);
            reason += strspn(reason, blanks);
        } else if (*reason++ != *start++)
            return false;
    }
    return true;
}

static enum status hold_reason(struct deed *deed, const struct kind *form, struct err *err)
{
    const char *reason = deed->said.reason ? deed->said.reason : "";
    if (form->needs_reason && !reason[strspn(reason, " \t\n")])
        return deed_fault(deed, "", "", err, "it gives no reason (Reason:), which '%s' must", form->word);
    for (size_t at = 0; at < deed->count; at++) {
        const struct touch *touch = &deed->touches[at];
        const bool is_new = touch->done == DONE_ADDED && touch->part == &correction_table;
        const char *given = !touch->newer                   ? NULL
                            : touch->done == DONE_WITHDRAWN ? touch_text(touch->part, "withdrawn", touch->newer)
                            : is_new                        ? touch_text(touch->part, "reason", touch->newer)
                                                            : NULL;
        if (given && deed->decides == NULL && !begins_alike(reason, given))
            TRY(deed_fault(deed, touch->place.path, touch->item, err,
                           "its reason is '%.200s', and that of the commit '%.200s'", given, reason));
    }
    return STATUS_OK;
}

/* A file of evidence comes with a correction that names it. */
static enum status hold_evidence(struct deed *deed, struct err *err)
{
    for (size_t at = 0; at < deed->count; at++) {
        bool is_named_by = deed->touches[at].part != &evidence_part;
        for (size_t other = 0; other < deed->count; other++) {
            const struct touch *it = &deed->touches[other];
            const struct correction *correction = it->part == &correction_table ? it->newer : NULL;
            is_named_by =
                is_named_by || (correction && correction->evidence_file &&
                                strcmp(correction->evidence_file, strrchr(deed->touches[at].place.path, '/') + 1) == 0);
        }
        if (!is_named_by)
            TRY(deed_fault(deed, deed->touches[at].place.path, "", err, "no correction of this commit names it"));
    }
    return STATUS_OK;
}

/* --- numbers that are given out one after the other --- */

static bool is_added(const struct deed *deed, const struct touch *like, const void *item)
{
    for (size_t at = 0; at < deed->count; at++)
        if (deed->touches[at].newer == item && deed->touches[at].part == like->part &&
            deed->touches[at].done == DONE_ADDED)
            return true;
    return false;
}

/* The highest number in the file before: a join that gives another number gives a larger one. */
static int32_t last_in_file(const struct deed *deed, const struct touch *touch)
{
    const struct items items = items_of(table_items(touch->place.known->table), touch->file);
    const struct field *was = field_find(touch->part, "was");
    int32_t last = 0;
    for (size_t at = 0; at < items.count; at++) {
        const void *it = items_at(&items, at);
        const int32_t number = is_added(deed, touch, it) ? 0 : item_number(touch->part, it);
        const int32_t former = was ? minted_number(touch_text(touch->part, "was", it)) : 0;
        last = number > last ? number : last;
        last = former > last ? former : last;
    }
    return last;
}

/* The same of corrections, which are a file each. */
static enum status last_correction(const struct deed *deed, const struct touch *touch, int32_t *out, struct err *err)
{
    char folder[REGISTRY_PATH_MAX];
    struct known_files files = {.count = 0};
    (void)snprintf(folder, sizeof folder, "holes/%s/corrections", touch->place.hole);
    *out = 0;
    TRY(state_list(deed->state, folder, &files, err));
    for (size_t at = 0; at < files.count; at++)
        *out = files.items[at].number > *out ? files.items[at].number : *out;
    return STATUS_OK;
}

/* Several that are added at once follow one another. */
static enum status hold_number(struct deed *deed, const struct touch *touch, struct err *err)
{
    size_t added = 0;
    int32_t last = 0;
    if (touch->part == &correction_table)
        TRY(last_correction(deed, touch, &last, err));
    else
        last = last_in_file(deed, touch);
    for (size_t at = 0; at < deed->count; at++)
        added += deed->touches[at].part == touch->part && deed->touches[at].done == DONE_ADDED &&
                 strcmp(deed->touches[at].place.hole, touch->place.hole) == 0;
    const int32_t number = item_number(touch->part, touch->newer);
    if (number > last && (size_t)(number - last) <= added)
        return STATUS_OK;
    return deed_fault(deed, touch->place.path, touch->item, err, "it is new, and has the number %d; the next one is %d",
                      (int)number, (int)last + 1);
}

static enum status hold_numbers(struct deed *deed, struct err *err)
{
    for (size_t at = 0; at < deed->count; at++) {
        const struct touch *touch = &deed->touches[at];
        const bool is_given = touch->part == &drilled_table || touch->part == &geometry_table ||
                              touch->part == &pump_table || touch->part == &lag_check_table ||
                              touch->part == &correction_table;
        if (is_given && touch->done == DONE_ADDED && touch->newer &&
            (deed->state->store || touch->part != &correction_table))
            TRY(hold_number(deed, touch, err));
    }
    return STATUS_OK;
}

/* A core that gets another number takes along what it has. */
static enum status hold_taken_along(struct deed *deed, struct err *err)
{
    static const struct {
        const struct table *table;
        void (*path)(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX]);
    } files[] = {{&sample_set_table, samples_path}, {&label_set_table, core_labels_path}};
    const struct touch *moved = NULL;
    for (size_t at = 0; at < deed->count; at++)
        if (deed->touches[at].part == &core_table && deed->touches[at].done == DONE_REMOVED)
            moved = &deed->touches[at];
    for (size_t at = 0; moved && deed->state->store && at < sizeof files / sizeof files[0]; at++) {
        char path[REGISTRY_PATH_MAX];
        struct bytes bytes = {0};
        bool went = false;
        files[at].path(moved->place.hole, moved->place.number, path);
        TRY(state_bytes(deed->state, path, &bytes, err));
        for (size_t other = 0; other < deed->count; other++)
            went = went || strcmp(deed->touches[other].place.path, path) == 0;
        if (bytes.data && !went)
            TRY(deed_fault(deed, path, "", err, "its core got another number, and it stayed behind"));
    }
    return STATUS_OK;
}

static enum status hold_line(struct deed *deed, struct err *err)
{
    const char *wanted = NULL;
    bool holds = true;
    if (!deed->said.line || deed->fault_count)
        return STATUS_OK;
    TRY(deed_line_holds(deed, deed->said.line, &holds, &wanted, err));
    if (holds)
        return STATUS_OK;
    TRY(deed_fault(deed, "", "", err, "it says \"%.200s\"; what it did is \"%.200s\"", deed->said.line,
                   wanted ? wanted : "something else"));
    deed->faults[deed->fault_count - 1].is_line = true;
    return STATUS_OK;
}

enum status deed_end(struct deed *deed, struct err *err)
{
    if (!deed->kind)
        return STATUS_OK;
    if (!deed->count)
        return deed_fault(deed, "", "", err, "it changed nothing, so it is no act of the kind '%s'", deed->kind->word);
    deed->decides = deed_decides(deed);
    TRY(deed_judge(deed, err));
    TRY(hold_counts(deed, deed->form, err));
    TRY(hold_reason(deed, deed->form, err));
    TRY(hold_evidence(deed, err));
    TRY(hold_numbers(deed, err));
    TRY(hold_taken_along(deed, err));
    if (deed->printed_wrong && !deed_renames(deed)) /* which takes labels along */
        TRY(deed_fault(deed, deed->printed_at.path, "", err, "%s", deed->printed_wrong));
    return hold_line(deed, err);
}
