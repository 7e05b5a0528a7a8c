/* SPDX-License-Identifier: MIT */
/* What an act did, held against what its kind may do and what its commit says. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/minted.h"
#include "coretally/state/doubt.h"
#include "coretally/state/open.h"
#include "coretally/state/read.h"
#include "parts.h"

static const struct allowed *find_allowed(const struct kind *kind, const struct touch *touch)
{
    for (const struct allowed *allowed = kind->what; allowed->part; allowed++)
        if (touch_is(allowed, touch))
            return allowed;
    return NULL;
}

/* The form of the kind that the act has: by what it is about. */
static const struct kind *find_form(const struct deed *deed)
{
    for (const struct kind *kind = deed->kind; kind->word; kind++)
        for (size_t at = 0; strcmp(kind->word, deed->kind->word) == 0 && at < deed->count; at++)
            if (touch_is(&kind->what[0], &deed->touches[at]))
                return kind;
    return deed->kind;
}

/* Fields that the program sets by itself when it amends others. */
static bool is_derived(const struct touch *touch, const char *name)
{
    static const char *const of_samples[] = {"was", "ordinal", "doubt", NULL};
    static const char *const of_bags[] = {"doubt", NULL};
    if (strcmp(name, "withdrawn") == 0)
        return touch->done == DONE_WITHDRAWN || touch->done == DONE_RESTORED;
    return (touch->part == &sample_table &&
            names_have(touch->done == DONE_FOLLOWED ? sample_fields_following : of_samples, name)) ||
           (touch->part == &bag_table && names_have(of_bags, name));
}

static enum status hold_fields(struct deed *deed, const struct touch *touch, const char *const *fields, struct err *err)
{
    for (size_t at = 0; at < touch->part->count; at++) {
        const struct field *field = &touch->part->fields[at];
        if (touch_amends(touch, field) && !names_have(fields, field->name) && !is_derived(touch, field->name))
            TRY(deed_fault(deed, touch->place.path, touch->item, err, "its %s changed, which '%s' does not do to %s%s",
                           field->name, deed->kind->word, touch->done == DONE_WITHDRAWN ? "what it withdraws" : "a ",
                           touch->done == DONE_WITHDRAWN ? "" : touch->part->kind));
    }
    return STATUS_OK;
}

/* The form of "core amend" that gives a core another name. */
static const struct kind *renaming_form(void)
{
    const struct kind *kind = kind_find("core amend");
    while (kind->what[0].part != &renaming_table)
        kind++;
    return kind;
}

/* settle: what its contradiction is about. A name that was open is settled by a renaming. */
static enum status hold_settled(struct deed *deed, const struct touch *touch, struct err *err)
{
    const struct contradiction *it = deed->decides;
    const char *const fields[] = {it && it->field ? it->field : "", NULL};
    const unsigned done = DONE_AMENDED | DONE_WITHDRAWN | DONE_RESTORED | DONE_FOLLOWED;
    const bool is_name = strcmp(fields[0], "type") == 0 || strcmp(fields[0], "number") == 0;
    if (is_name && deed_renames(deed) && find_allowed(renaming_form(), touch) && it->hole &&
        strcmp(it->hole, touch->place.hole) == 0)
        return STATUS_OK;
    if (!(touch->done & done) || !it || strcmp(it->path, touch->place.path) != 0)
        return deed_fault(deed, touch->place.path, touch->item, err,
                          "a %s was %s; 'settle' changes what is open, and nothing else", touch->part->kind,
                          touch_word(touch->done));
    return hold_fields(deed, touch, fields, err);
}

/* The words of what a record is marked with, each said by the reason of whoever kept it. */
static enum status hold_doubt(struct deed *deed, const struct touch *touch, struct err *err)
{
    const struct field *field = field_find(touch->part, "doubt");
    const char *kept = deed->said.reason ? strstr(deed->said.reason, KEPT_AGAINST) : NULL;
    const char *before = touch->older ? touch_text(touch->part, "doubt", touch->older) : NULL;
    const char *after = touch->newer && field ? touch_text(touch->part, "doubt", touch->newer) : NULL;
    for (const char *at = after; at && *at;) {
        char word[60];
        const size_t len = strcspn(at, " ");
        (void)snprintf(word, sizeof word, "%.*s", (int)(len < sizeof word ? len : 0), at);
        at += len + strspn(at + len, " ");
        if (!sample_list_has(before, word) && !(kept && strstr(kept, word)))
            return deed_fault(deed, touch->place.path, touch->item, err,
                              "it is marked as kept against '%s', and the reason does not say so", word);
    }
    return STATUS_OK;
}

/* A sample keeps the key that it had, and gets no other former one. */
static enum status hold_was(struct deed *deed, const struct touch *touch, struct err *err)
{
    const struct sample *older = touch->older;
    const struct sample *newer = touch->newer;
    char keys[2][SAMPLE_KEY_MAX];
    char wanted[TEXT_FIELD_MAX + SAMPLE_KEY_MAX];
    if (touch->part != &sample_table || !older || !newer)
        return STATUS_OK;
    sample_key(older, keys[0]);
    sample_key(newer, keys[1]);
    const char *was = older->was ? older->was : "";
    const bool is_put = strcmp(keys[0], keys[1]) != 0 && !sample_list_has(older->was, keys[0]);
    (void)snprintf(wanted, sizeof wanted, "%s%s%s", was, is_put && *was ? " " : "", is_put ? keys[0] : "");
    if (strcmp(newer->was ? newer->was : "", wanted) == 0)
        return STATUS_OK;
    return deed_fault(deed, touch->place.path, touch->item, err, "its former names should be '%.200s'", wanted);
}

/* A sub-sample goes where its parent went: to a key that the act gave, in the same section and half. */
static enum status hold_follower(struct deed *deed, const struct touch *touch, struct err *err)
{
    const struct sample *it = touch->newer;
    for (size_t at = 0; touch->done == DONE_FOLLOWED && at < deed->count; at++) {
        const struct sample *parent = deed->touches[at].newer;
        char key[SAMPLE_KEY_MAX];
        if (deed->touches[at].part != &sample_table || deed->touches[at].done == DONE_FOLLOWED || !parent)
            continue;
        sample_key(parent, key);
        const size_t len = strlen(key);
        if (it->of && strncmp(it->of, key, len) == 0 && (!it->of[len] || it->of[len] == '/') &&
            it->section == parent->section && it->half == parent->half)
            return STATUS_OK;
    }
    return touch->done != DONE_FOLLOWED
               ? STATUS_OK
               : deed_fault(deed, touch->place.path, touch->item, err, "it moved, and its sample did not go there");
}

static enum status hold_touch(struct deed *deed, const struct kind *form, const struct touch *touch, struct err *err)
{
    const struct allowed *allowed = find_allowed(form, touch);
    if (touch->part == &contradiction_table)
        return deed_hold_open(deed, touch, err);
    if (form->what[0].part == &contradiction_table)
        return hold_settled(deed, touch, err);
    if (!allowed)
        return deed_fault(deed, touch->place.path, touch->item, err, "a %s was %s, which '%s' does not do",
                          touch->part->kind, touch_word(touch->done), form->word);
    if (form->what[0].part != &renaming_table)
        TRY(deed_hold_new(deed, touch, err));
    TRY(hold_doubt(deed, touch, err));
    TRY(hold_was(deed, touch, err));
    TRY(hold_follower(deed, touch, err));
    return hold_fields(deed, touch, allowed->fields, err);
}

enum status deed_judge(struct deed *deed, struct err *err)
{
    deed->form = find_form(deed);
    for (size_t at = 0; at < deed->count; at++)
        TRY(hold_touch(deed, deed->form, &deed->touches[at], err));
    return STATUS_OK;
}
