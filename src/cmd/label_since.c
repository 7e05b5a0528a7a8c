/* SPDX-License-Identifier: MIT */
/* What moved a thing since a state: corrections in force now and not then, or then and no more, and readings amended.
 */
#include "label_since.h"

#include <stdlib.h>
#include <string.h>

#include "bag_act.h"
#include "correction_text.h"
#include "span.h"

/* Where an end of a thing lies in one state of the registry, and the chain that leads there. */
struct standing {
    struct run *run;
    bool is_bottom;
    struct depth_links links;
    int64_t um;
};

static enum status read_bag(struct standing *at, const struct name *name, enum scale scale, struct err *err)
{
    struct target target = {.name = *name};
    struct bag_target bag = {0};
    struct lag_hole hole;
    struct lag_depth depth;
    TRY(resolve_hole(at->run, name, &target, err));
    TRY(bag_read(at->run, &target, name->bag, name->bag_number, &bag, err));
    if (!bag.bag)
        return err_set(err, STATUS_UNKNOWN, bag.name, "it is not recorded");
    TRY(lag_hole_try(at->run, &bag.target, &hole, err));
    const enum status status = bag_depth(at->run, &hole, bag.set.kind, bag.bag, &depth, err);
    lag_hole_close(&hole);
    TRY(status);
    const struct lag_passage *end = at->is_bottom ? &depth.last : &depth.first;
    const struct instant cut = {.utc_us = end->cut_us, .known = true};
    struct hole *kept = NULL; /* the links point to it */
    TRY(arena_take(at->run->arena, 1, sizeof *kept, &kept, err));
    *kept = bag.target.hole;
    if (!depth.why)
        at->um = drilled_depth(kept, end->hole_um, DATUM_RIG_FLOOR, cut, scale, &at->links).um;
    return STATUS_OK;
}

static enum status read_standing(struct standing *at, const char *typed, enum scale scale, struct err *err)
{
    struct name name;
    struct span *span = NULL;
    at->um = LENGTH_NONE;
    at->links.count = at->links.dropped = 0;
    TRY(resolve_name(at->run, typed, &name, err));
    if (name.level == NAME_BAG)
        return read_bag(at, &name, scale, err);
    TRY(arena_take(at->run->arena, 1, sizeof *span, &span, err));
    TRY(span_read(at->run, typed, span, err));
    at->um = span->in_core ? place_depth(at->is_bottom ? &span->bottom : &span->top, scale, &at->links).um
                           : core_top_depth(&span->target.hole, &span->target.core, scale, &at->links).um;
    return STATUS_OK;
}

/* How far one correction moves the thing, all its links added; *is_there: it has one. */
static int64_t moved_by(const struct depth_links *links, const struct depth_link *wanted, bool *is_there)
{
    int64_t sum_um = 0;
    char hole[HOLE_TEXT_MAX];
    char other[HOLE_TEXT_MAX];
    hole_text(wanted->hole, hole);
    *is_there = false;
    for (size_t at = 0; at < links->count; at++) {
        const struct depth_link *link = &links->items[at];
        if (!link->correction || link->correction->number != wanted->correction->number)
            continue;
        hole_text(link->hole, other);
        if (strcmp(hole, other) != 0)
            continue;
        *is_there = true;
        sum_um += link->amount_um == LENGTH_NONE ? 0 : link->amount_um;
    }
    return sum_um;
}

static bool is_first(const struct depth_links *links, size_t at)
{
    for (size_t before = 0; before < at; before++)
        if (links->items[before].correction == links->items[at].correction)
            return false;
    return links->items[at].correction != NULL;
}

static enum status add_row(struct run *run, const char *what, int64_t moved_um, const struct commit *commit,
                           const char *why, struct sheet *sheet, struct err *err)
{
    char when[INSTANT_TEXT_MAX] = "";
    char id[16] = "";
    if (commit->author) {
        instant_format(commit->when, when);
        (void)snprintf(id, sizeof id, "%.10s", commit->id);
    }
    const struct length_text moved = run_length(run, moved_um, 3);
    const char *cells[] = {what, moved_um ? moved.text : NULL, id, commit->author, when, why};
    return sheet_add(sheet, cells, err);
}

/* The record of a correction as it is now, whether it stands or not, and the commit that put it there. */
static enum status find_record(struct run *run, const struct depth_link *link, struct correction *out,
                               struct commit *commit, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char hole[HOLE_TEXT_MAX];
    bool there = false;
    hole_text(link->hole, hole);
    correction_path(hole, link->correction->number, path);
    TRY(registry_read(run->store, path, &correction_table, run->arena, out, &there, err));
    return there
               ? origin_find(run, path, &correction_table, pick_whole, NULL, &correction_table, NULL, out, commit, err)
               : STATUS_OK;
}

static enum status add_correction(struct run *run, const struct depth_link *link, int64_t moved_um, const char *did,
                                  struct sheet *sheet, struct err *err)
{
    struct correction record = {.number = 0};
    struct commit commit = {0};
    struct text text;
    struct bytes why = {0};
    char hole[HOLE_TEXT_MAX];
    char what[80];
    TRY(find_record(run, link, &record, &commit, err));
    hole_text(link->hole, hole);
    (void)snprintf(what, sizeof what, "%s %d of %s %s", correction_words[link->correction->kind],
                   (int)link->correction->number, hole, record.withdrawn ? "withdrawn" : did);
    text_init(&text, run->arena);
    if (record.withdrawn)
        text_add(&text, record.withdrawn);
    else
        correction_add_why(link->correction, &text);
    TRY(text_done(&text, &why, err));
    return add_row(run, what, moved_um, &commit, why.data, sheet, err);
}

/* Files that the depth of a name rests on, and whose bytes are others than they were. */
static enum status add_amended(struct run *now, struct run *then, const struct name *name, int64_t moved_um,
                               struct sheet *sheet, struct err *err)
{
    static const char *const words[] = {
        "hole amended",       "core or its sections amended",       "samples amended", "well amended", "pumps amended",
        "lag checks amended", "bag, or one of its hundred, amended"};
    char hole[HOLE_TEXT_MAX];
    char paths[7][REGISTRY_PATH_MAX];
    bool is_any = false;
    name_hole(name, hole);
    hole_path(hole, paths[0]);
    core_path(hole, name->core, paths[1]);
    samples_path(hole, name->core, paths[2]);
    well_path(hole, paths[3]);
    pumps_path(hole, paths[4]);
    lag_checks_path(hole, paths[5]);
    bags_path(hole, name->bag, bag_hundred(name->bag_number), paths[6]);
    for (size_t at = 0; at < sizeof words / sizeof words[0]; at++) {
        struct bytes bytes[2] = {{0}, {0}};
        struct commit commit = {0};
        struct history *history = NULL;
        bool more = false;
        if (at > 0 && (at < 3) == (name->level == NAME_BAG))
            continue;
        TRY(store_read(now->store, paths[at], now->arena, &bytes[0], err));
        TRY(store_read(then->store, paths[at], now->arena, &bytes[1], err));
        if (bytes[0].len == bytes[1].len && (!bytes[0].len || memcmp(bytes[0].data, bytes[1].data, bytes[0].len) == 0))
            continue;
        TRY(history_open(now->store, paths[at], &history, err));
        const enum status status = history_next(history, now->arena, &commit, &bytes[0], &more, err);
        history_close(history);
        TRY(status);
        TRY(add_row(now, words[at], is_any ? 0 : moved_um, &commit, commit.reason ? commit.reason : commit.line, sheet,
                    err));
        is_any = true;
    }
    return is_any ? STATUS_OK
                  : add_row(now, "pump log, or another hole", moved_um, &(struct commit){0}, NULL, sheet, err);
}

static enum status compare(struct standing *now, struct standing *then, const char *typed, struct sheet *out,
                           struct err *err)
{
    struct name name;
    int64_t left_um = now->um != LENGTH_NONE && then->um != LENGTH_NONE ? now->um - then->um : 0; /* not told yet */
    size_t told = 0;
    TRY(resolve_name(now->run, typed, &name, err));
    for (size_t at = 0; at < now->links.count; at++) {
        const struct depth_link *link = &now->links.items[at];
        bool was = false;
        bool is = false;
        if (!is_first(&now->links, at))
            continue;
        const int64_t moved_um = moved_by(&now->links, link, &is) - moved_by(&then->links, link, &was);
        if (was && moved_um == 0)
            continue;
        left_um -= moved_um;
        told++;
        TRY(add_correction(now->run, link, moved_um, was ? "acts otherwise" : "recorded", out, err));
    }
    for (size_t at = 0; at < then->links.count; at++) {
        const struct depth_link *link = &then->links.items[at];
        bool is = false;
        bool was = false;
        if (!is_first(&then->links, at))
            continue;
        const int64_t was_um = moved_by(&then->links, link, &was);
        (void)moved_by(&now->links, link, &is);
        if (is)
            continue;
        left_um += was_um;
        told++;
        TRY(add_correction(now->run, link, -was_um, "superseded", out, err));
    }
    if (left_um >= -1000 && left_um <= 1000 && told) /* what compression made of the rest is below what is printed */
        return STATUS_OK;
    return add_amended(now->run, then->run, &name, left_um, out, err);
}

enum status label_since(struct run *run, const char *state, const char *name, enum scale scale, struct sheet *out,
                        struct err *err)
{
    struct run then_run;
    struct standing *both = NULL;
    struct err gone = {0};
    TRY(arena_take(run->arena, 2, sizeof *both, &both, err));
    both[0].run = run;
    both[1].run = &then_run;
    enum status status = run_stand_at(run, state, &then_run, &gone);
    if (status != STATUS_OK) {
        (void)fprintf(run->talk, "note: state %.10s of the label is not in this registry: %s\n", state, gone.reason);
        return status == STATUS_UNKNOWN || status == STATUS_INPUT ? STATUS_OK : (*err = gone, status);
    }
    for (int end = 0; status == STATUS_OK && end < 2; end++) {
        both[0].is_bottom = both[1].is_bottom = end == 1;
        status = read_standing(&both[0], name, scale, err);
        if (status == STATUS_OK && read_standing(&both[1], name, scale, &gone) != STATUS_OK) {
            (void)fprintf(run->talk, "note: in state %.10s: %s\n", state, gone.reason);
            break;
        }
        if (status != STATUS_OK || (end == 0 && both[0].um == both[1].um)) /* the lower end alone moved */
            continue;
        status = compare(&both[0], &both[1], name, out, err);
        break;
    }
    run_leave(&then_run);
    return status;
}
