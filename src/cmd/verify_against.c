/* SPDX-License-Identifier: MIT */
/* What is typed after --against: a file with anchors in it, standard input, digits, the text of a label, a tag. */
#include "verify_against.h"

#include <string.h>
#include <strings.h>
#include <unistd.h>

#include "coretally/intake/lines.h"
#include "coretally/say/anchor_say.h"

/* Every anchor of the lines. */
static enum status read_lines(struct run *run, struct lines *lines, struct anchors *out, struct err *err)
{
    struct anchor_reader reader = {.number = 0};
    struct anchor anchor;
    char *line = NULL;
    size_t len = 0;
    for (;;) {
        TRY(lines_next(lines, &line, &len, err));
        if (!line)
            return STATUS_OK;
        anchor_line(&reader, line, len);
        while (anchor_next(&reader, &anchor))
            TRY(anchors_add(run->state->arena, out, &anchor, lines->number, err));
    }
}

/* Pages of labels are pictures. */
static bool is_picture(const char *path)
{
    static const char *const endings[] = {".pdf", ".png", ".svg"};
    const size_t len = strlen(path);
    for (size_t at = 0; at < sizeof endings / sizeof endings[0]; at++)
        if (len > 4 && strcasecmp(path + len - 4, endings[at]) == 0)
            return true;
    return false;
}

static enum status refuse_empty(const char *path, size_t lines, struct err *err)
{
    err_set(err, STATUS_INPUT, path, "%s", lines ? "it holds no state of a registry and no label" : "it is empty");
    if (is_picture(path))
        return err_hint(err, "a page of labels is a picture: scan a label of it, or type the ten digits of its state");
    return err_hint(err, "give a report of coretally, labels as the scanner types them, or ids of commits, one a line; "
                         "of a page on paper type the digits of its state");
}

static enum status read_file(struct run *run, const char *path, struct anchors *out, size_t *count, struct err *err)
{
    struct lines lines;
    TRY(lines_open(run->in, path, &lines, err));
    const enum status status = read_lines(run, &lines, out, err);
    *count = lines.number;
    lines_close(&lines);
    if (status == STATUS_OK && !out->count)
        return refuse_empty(strcmp(path, "-") == 0 ? "standard input" : path, *count, err);
    return status;
}

/* A tag, or a branch as it is here or was fetched: the commit that it leads to. */
static enum status read_named(struct run *run, struct verify *verify, const char *typed, struct anchors *out,
                              struct err *err)
{
    struct anchor anchor = {.kind = ANCHOR_STATE};
    struct commits heads = {.count = 0};
    struct late_acts late;
    struct err why = {0};
    enum state_kind kind = STATE_TIME;
    const enum status status = store_state_kind(verify->store, typed, &kind, &why);
    if (status_is_failure(status)) {
        *err = why;
        return status;
    }
    if (status != STATUS_OK || kind == STATE_TIME) {
        err_set(err, STATUS_UNKNOWN, typed, "there is no file and no tag of this name, and it is no commit or label");
        return err_hint(err,
                        "type the path of a report or a list, - for standard input, a tag, the digits of a commit, "
                        "or the text of a label");
    }
    TRY(store_heads(verify->store, typed, run->state->arena, &heads, &late, err));
    (void)snprintf(anchor.text, sizeof anchor.text, "%s", heads.ids[0]);
    return anchors_add(run->state->arena, out, &anchor, 0, err);
}

/* Digits or the text of a label, by themselves. */
static enum status read_typed(struct run *run, const char *typed, struct anchors *out, struct err *err)
{
    struct anchor_reader reader = {.number = 0};
    struct anchor anchor;
    if (!anchor_is_digits(typed, strlen(typed)) && !strchr(typed, '*'))
        return STATUS_OK;
    anchor_line(&reader, typed, strlen(typed));
    while (anchor_next(&reader, &anchor))
        TRY(anchors_add(run->state->arena, out, &anchor, 0, err));
    return STATUS_OK;
}

enum status verify_against(struct run *run, struct verify *verify, const char *typed, struct err *err)
{
    struct anchors anchors = {0};
    size_t lines = 0;
    TRY(read_typed(run, typed, &anchors, err));
    if (!anchors.count && (strcmp(typed, "-") == 0 || access(typed, F_OK) == 0))
        TRY(read_file(run, typed, &anchors, &lines, err));
    if (!anchors.count)
        TRY(read_named(run, verify, typed, &anchors, err));
    TRY(verify_anchors(verify, &anchors, err));
    return anchor_say(run, verify, &anchors, strcmp(typed, "-") == 0 ? "standard input" : typed, lines, err);
}
