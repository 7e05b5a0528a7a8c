/* SPDX-License-Identifier: MIT */
/* The line of a commit, made from what the act did. */
#include <assert.h>
#include <string.h>

#include "coretally/state/read.h"
#include "coretally/store/walk.h"
#include "line.h"

/* How the kind of act is said behind the thing: "core withdraw" is " withdrawn". */
static const char *what_of(const struct deed *deed, const struct touch *touch)
{
    const char *verb = strrchr(deed->form->word, ' ');
    if (touch->done == DONE_KEPT)
        return " kept as it is";
    return !verb ? "" : strcmp(verb, " amend") == 0 ? " amended" : strcmp(verb, " withdraw") == 0 ? " withdrawn" : "";
}

/* The first record that the kind is about; of several new ones the last. */
static const struct touch *find_main(const struct deed *deed, size_t *count)
{
    const struct touch *found = NULL;
    *count = 0;
    for (size_t at = 0; at < deed->count; at++) {
        const struct touch *it = &deed->touches[at];
        if (it->part != deed->form->what[0].part || !(it->done & deed->form->what[0].done))
            continue;
        *count += it->count;
        found = it;
    }
    return found;
}

typedef enum status line_of(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err);

static enum status say_expedition(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err)
{
    const struct expedition *it = touch->newer;
    (void)err;
    if (deed->form->needs_reason)
        text_addf(out, "Expedition %s amended", it->number);
    else
        text_addf(out, "Expedition %s%s%s", it->number, it->title ? ": " : "", it->title ? it->title : "");
    return STATUS_OK;
}

static enum status say_hole(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err)
{
    (void)err;
    line_add_hole(touch->newer, what_of(deed, touch), out);
    return STATUS_OK;
}

static enum status say_core(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err)
{
    (void)err;
    line_add_core(deed, touch->newer, what_of(deed, touch), out);
    return STATUS_OK;
}

/* Several sections are given to a core at once. */
static enum status say_section(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err)
{
    char what[40];
    size_t count = 0;
    (void)err;
    (void)find_main(deed, &count);
    if (count > 1 || deed->is_list) {
        (void)snprintf(what, sizeof what, " given %zu sections", count);
        line_add_core(deed, touch->file, what, out);
    } else
        line_add_section(deed, touch->file, touch->newer, what_of(deed, touch), out);
    return STATUS_OK;
}

static enum status say_sample(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err)
{
    return line_add_sample(deed, touch, what_of(deed, touch), out, err);
}

static enum status say_bag(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err)
{
    (void)err;
    line_add_bag(deed, &touch->place, touch->newer, what_of(deed, touch), out);
    return STATUS_OK;
}

/* The last of those that were added: it has the highest number, wherever it stands. */
static enum status say_numbered(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err)
{
    char what[60];
    size_t count = 0;
    const struct touch *last = touch;
    (void)err;
    (void)find_main(deed, &count);
    for (size_t at = 0; at < deed->count; at++)
        if (deed->touches[at].part == touch->part && deed->touches[at].newer &&
            item_number(touch->part, deed->touches[at].newer) > item_number(touch->part, last->newer))
            last = &deed->touches[at];
    if (count > 1)
        (void)snprintf(what, sizeof what, ", %zu records, the last", count);
    else
        (void)snprintf(what, sizeof what, "%s", touch->done == DONE_KEPT ? " (kept as it is)" : what_of(deed, touch));
    line_add_numbered(touch->part, touch->place.hole, last->newer, what, out);
    return STATUS_OK;
}

static enum status say_signature(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err)
{
    const struct signature *it = touch->newer;
    (void)deed;
    (void)err;
    if (touch->part == &signature_table)
        text_addf(out, "Correction %d of hole %s signed by %s", (int)touch->place.number, touch->place.hole, it->name);
    else
        text_addf(out, "Act %.10s signed by %s", ((const struct act_signature_set *)touch->file)->act, it->name);
    return STATUS_OK;
}

static const struct {
    const struct table *part;
    line_of *say;
} sayings[] = {
    {&expedition_table, say_expedition},
    {&hole_table, say_hole},
    {&core_table, say_core},
    {&section_table, say_section},
    {&sample_table, say_sample},
    {&bag_table, say_bag},
    {&drilled_table, say_numbered},
    {&geometry_table, say_numbered},
    {&pump_table, say_numbered},
    {&lag_check_table, say_numbered},
    {&correction_table, line_add_correction},
    {&signature_table, say_signature},
    {&act_signature_table, say_signature},
    {&renaming_table, line_add_renaming},
    {&contradiction_table, line_add_settled},
};

/* The lines of these the act alone knows: a file's name, what was asked for. */
static bool is_said_by_act(const struct deed *deed)
{
    return deed->kind->is_bulk;
}

enum status deed_line(const struct deed *deed, const char **out, struct err *err)
{
    size_t count = 0;
    struct text text;
    struct bytes bytes;
    *out = NULL;
    assert(deed->form);
    const struct touch *touch = find_main(deed, &count);
    if (is_said_by_act(deed) || !touch)
        return STATUS_OK;
    text_init(&text, deed->state->arena);
    for (size_t at = 0; at < sizeof sayings / sizeof sayings[0]; at++)
        if (sayings[at].part == touch->part)
            TRY(sayings[at].say(deed, touch, &text, err));
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

/* Of a line that the act alone knows: what the change tells. */
static enum status holds_counted(const struct deed *deed, const char *line, char wanted[LINE_WANTED_MAX], bool *out,
                                 struct err *err)
{
    size_t count = 0;
    const struct touch *touch = find_main(deed, &count);
    *out = false;
    if (touch && touch->part == &label_table)
        return line_tells_labels(deed, touch, count, line, wanted, out, err);
    if (touch && touch->part == &log_day_part)
        *out = touch->done == DONE_REMOVED ? line_tells_withdrawn(touch, count, line, wanted)
                                           : line_tells_rows(deed, touch, line, wanted);
    else if (touch)
        *out = line_tells_import(touch, count, line, wanted);
    return STATUS_OK;
}

/* The core that the act is about, as it is named in the state before; number 0: there is none. */
static enum status find_core(const struct deed *deed, struct core *out, struct err *err)
{
    size_t count = 0;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    const struct touch *touch = find_main(deed, &count);
    *out = (struct core){.number = 0};
    if (!touch || !place_is_of_core(&touch->place) || !deed->state->store)
        return STATUS_OK;
    core_path(touch->place.hole, touch->place.number, path);
    return state_read(deed->state, path, &core_table, out, &there, err);
}

/* Git sets acts on top of a renaming that those who did them had not seen; they name the core as it was called then. */
static enum status holds_by_former(struct deed *deed, const char *line, bool *out, struct err *err)
{
    struct core core;
    const char *own = NULL;
    TRY(find_core(deed, &core, err));
    const bool is_gone = deed->form->what[0].part == &sample_table && !core.hole; /* its letter is not known */
    *out = is_gone;
    for (const char *was = core.hole ? core.was : NULL; was && *was && !*out;) {
        const size_t len = strcspn(was, " ");
        if (!core_id_parse(was, len, &deed->called))
            break;
        was += len + strspn(was + len, " ");
        TRY(deed_line(deed, &own, err));
        if (own)
            TRY(store_line_told(own, deed->state->arena, &own, err));
        *out = own && strcmp(own, line) == 0;
    }
    deed->called = (struct core_id){0, '\0'};
    return STATUS_OK;
}

enum status deed_line_holds(struct deed *deed, const char *line, bool *out, const char **wanted, struct err *err)
{
    const char *own = NULL;
    if (is_said_by_act(deed)) {
        char text[LINE_WANTED_MAX] = "";
        TRY(holds_counted(deed, line, text, out, err));
        return arena_copy(deed->state->arena, text, strlen(text), wanted, err);
    }
    TRY(deed_line(deed, &own, err));
    if (own)
        TRY(store_line_told(own, deed->state->arena, &own, err));
    *wanted = own;
    *out = own && strcmp(own, line) == 0;
    return *out ? STATUS_OK : holds_by_former(deed, line, out, err);
}
