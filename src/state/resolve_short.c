/* SPDX-License-Identifier: MIT */
/* Names typed without a hole: "12H-3W" is read below the hole that is said or the only one; with several, which? */
#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "coretally/state/resolve.h"
#include "resolve_short.h"

enum { HOLES_SHOWN = 4 };

/* "12H", "12H-...": digits as few as core numbers have, one letter, and a dash or the end. "BAG12" likewise. */
static bool reads_like_short(const char *typed)
{
    typed += strspn(typed, " \t");
    for (enum bag_kind kind = BAG_CUTTINGS; kind <= BAG_MUD; kind++)
        if (strncasecmp(typed, bag_words[kind], strlen(bag_words[kind])) == 0)
            return isdigit((unsigned char)typed[strlen(bag_words[kind])]);
    const size_t digits = strspn(typed, "0123456789");
    if (digits == 0 || digits > 3 || !isalpha((unsigned char)typed[digits]))
        return false;
    const char *rest = typed + digits + 1;
    rest += strspn(rest, " \t");
    return !*rest || !(isalnum((unsigned char)*rest) || *rest == ','); /* "3W,45" is a section with a place */
}

/* Is the hole that the typed name begins with one letter or digit away from a recorded one? */
static bool is_near_hole(const struct name *typed, const struct names *holes)
{
    char named[HOLE_TEXT_MAX];
    name_hole(typed, named);
    for (size_t at = 0; at < holes->count; at++)
        if (name_distance(named, holes->items[at]) <= 1)
            return true;
    return false;
}

static enum status put_hole_before(struct state *state, const char *hole, const char *typed, const char **out,
                                   struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, state->arena);
    text_addf(&text, "%s-%s", hole, typed + strspn(typed, " \t"));
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

/* "the registry has U0012A, U0012B and U0013A" */
static enum status ask_which(struct state *state, const char *typed, const char *whole, const struct names *holes,
                             struct err *err)
{
    struct text text;
    struct bytes known;
    text_init(&text, state->arena);
    const size_t shown = holes->count > HOLES_SHOWN ? HOLES_SHOWN - 1 : holes->count;
    for (size_t at = 0; at < shown; at++)
        text_addf(&text, "%s%s", at == 0 ? "" : at + 1 == holes->count ? " and " : ", ", holes->items[at]);
    if (shown < holes->count)
        text_addf(&text, " and %zu more", holes->count - shown);
    TRY(text_done(&text, &known, err));
    err_set(err, STATUS_INPUT, typed, "which hole? the registry has %s", known.data);
    if (state->naming.takes_option)
        return err_hint(err, "type %s, or add --hole %s", whole, holes->items[0]);
    return err_hint(err, "type %s; CORETALLY_HOLE holds for every command", whole);
}

enum status resolve_short(struct state *state, const char *typed, enum status parsed, const struct err *as_typed,
                          struct name *out, struct err *err)
{
    const char *said = NULL;
    const char *whole = NULL;
    struct names holes = {0};
    struct name shorter;
    struct err unread = {0};
    bool exists = false;
    TRY(resolve_default_hole(state, &said, err));
    TRY(state_holes(state, &holes, err));
    if (said || holes.count)
        TRY(put_hole_before(state, said ? said : holes.items[0], typed, &whole, err));
    const bool fits = whole && name_parse(whole, &shorter, &unread) == STATUS_OK;
    if (said && fits) { /* "12H-3W" reads like hole 12H, core 3W: below a hole it may name what is meant */
        TRY(hole_exists(state, &shorter, &exists, err));
        if (exists) {
            *out = shorter;
            return STATUS_OK;
        }
    }
    const bool is_short = reads_like_short(typed) && (fits || parsed != STATUS_OK || !is_near_hole(out, &holes));
    if (is_short && !holes.count) {
        err_set(err, STATUS_UNKNOWN, typed, "no hole is recorded yet");
        return err_hint(err, "for example: coretally hole add U0012A --returns seafloor");
    }
    if (is_short && !said)
        return ask_which(state, typed, whole, &holes, err);
    if (is_short)
        return name_parse(whole, out, err); /* the hole that was said is refused later; else: what was meant */
    if (parsed != STATUS_OK)
        *err = *as_typed;
    return parsed;
}

enum status resolve_default_hole(struct state *state, const char **out, struct err *err)
{
    const char *hole = state->naming.option ? state->naming.option : state->naming.hole;
    *out = hole && *hole ? hole : NULL;
    if (*out)
        return STATUS_OK;
    struct names holes = {0};
    TRY(state_holes(state, &holes, err));
    *out = holes.count == 1 ? holes.items[0] : NULL;
    return STATUS_OK;
}

enum status hole_exists(struct state *state, const struct name *name, bool *exists, struct err *err)
{
    char hole[HOLE_TEXT_MAX];
    char path[REGISTRY_PATH_MAX];
    struct bytes bytes = {0};
    name_hole(name, hole);
    hole_path(hole, path);
    TRY(state_bytes(state, path, &bytes, err));
    *exists = bytes.data != NULL;
    return STATUS_OK;
}
