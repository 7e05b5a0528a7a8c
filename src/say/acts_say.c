/* SPDX-License-Identifier: MIT */
/* Acts as rows, and counted by station. */
#include "coretally/say/acts_say.h"

#include "coretally/ask/act_signed.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static const struct column columns[] = {
    {"when", NULL, false}, {"commit", NULL, false}, {"station", NULL, false},
    {"by", NULL, false},   {"what", NULL, false},   {"signed", NULL, false},
};

void acts_init(const struct run *run, struct acts *out)
{
    *out = (struct acts){.is_for_people = run->format == SHEET_PEOPLE};
    /* for people who signed stands behind what was done: mostly nobody did */
    sheet_init(&out->rows, run->state->arena, columns, sizeof columns / sizeof columns[0] - out->is_for_people);
}

static bool has_part(const char *name, const char *part)
{
    const size_t len = strlen(part);
    for (; *name; name++)
        if (strncasecmp(name, part, len) == 0)
            return true;
    return !len;
}

static bool is_chosen(const struct commit *commit, const struct acts_chosen *chosen)
{
    const char *station = commit->station ? commit->station : "";
    return !chosen || ((!chosen->station || strcasecmp(chosen->station, station) == 0) &&
                       (!chosen->by || has_part(commit->author, chosen->by)));
}

/* A registry has a handful of stations. */
static enum status find_station(struct acts *acts, const char *name, struct station_acts **out, struct err *err)
{
    struct arena *arena = acts->rows.arena;
    for (size_t at = 0; at < acts->station_count; at++)
        if (strcmp(acts->stations[at].name, name) == 0) {
            *out = &acts->stations[at];
            return STATUS_OK;
        }
    TRY(arena_grow(arena, &acts->stations, acts->station_count, &acts->station_room, sizeof *acts->stations, err));
    *out = &acts->stations[acts->station_count];
    **out = (struct station_acts){.count = 0};
    TRY(arena_copy(arena, name, strlen(name), &(*out)->name, err));
    acts->station_count++;
    return STATUS_OK;
}

/* For people: what is told of an act behind what it did. */
static enum status mark(const struct acts *acts, const char *by, bool is_brought, const char **line, struct err *err)
{
    struct text text;
    struct bytes bytes;
    if (!acts->is_for_people || (!by && !is_brought))
        return STATUS_OK;
    text_init(&text, acts->rows.arena);
    text_add(&text, *line);
    if (by)
        text_addf(&text, " (signed by %s)", by);
    if (is_brought)
        text_add(&text, " (by a join since)");
    TRY(text_done(&text, &bytes, err));
    *line = bytes.data;
    return STATUS_OK;
}

static enum status add_act(struct acts *acts, struct store *store, const struct act_told *told,
                           const struct acts_chosen *chosen, struct err *err)
{
    const struct commit *commit = &told->commit;
    struct station_acts *station = NULL;
    bool is_there = true;
    if (told->parent_count > 1) {
        acts->join_count++;
        return STATUS_OK;
    }
    TRY(find_station(acts, commit->station ? commit->station : "", &station, err));
    if (!is_chosen(commit, chosen))
        return STATUS_OK;
    if (chosen && chosen->path)
        TRY(store_touches(store, commit->id, chosen->path, &is_there, err));
    if (!is_there)
        return STATUS_OK;
    station->count++;
    acts->count++;
    const char *line = commit->line;
    const char *by = NULL;
    const bool is_brought = chosen && chosen->after && !lineage_has(chosen->after, commit->id);
    acts->brought_count += is_brought;
    if (chosen && chosen->signed_in)
        TRY(act_signed_by(chosen->signed_in, commit->id, &by, err));
    TRY(mark(acts, by, is_brought, &line, err));
    const struct cell cells[] = {cell_instant(commit->when),
                                 cell_commit_whole(commit->id),
                                 cell_text(commit->station),
                                 cell_text(commit->author),
                                 cell_text(line),
                                 cell_text(by)};
    return sheet_add_row(&acts->rows, cells, err);
}

enum status acts_add(struct acts *acts, struct store *store, const struct commits *commits,
                     const struct acts_chosen *chosen, struct err *err)
{
    enum status status = STATUS_OK;
    for (size_t at = 0; status == STATUS_OK && at < commits->count; at++) {
        struct arena arena; /* of one commit: a history is long */
        struct act_told told = {.kind = NULL};
        arena_init(&arena, acts->rows.arena->limit);
        status = store_act(store, commits->ids[at], &arena, &told, err);
        if (status == STATUS_OK)
            status = add_act(acts, store, &told, chosen, err);
        arena_clear(&arena);
    }
    return status;
}

enum status acts_print(struct run *run, const struct acts *acts, struct err *err)
{
    return run_print_sheet(run, &acts->rows, err);
}

static int compare_stations(const void *a, const void *b)
{
    const struct station_acts *left = a;
    const struct station_acts *right = b;
    if (left->count != right->count)
        return left->count > right->count ? -1 : 1;
    return strcmp(left->name, right->name);
}

enum status acts_count_text(const struct run *run, const struct acts *acts, struct bytes *out, struct err *err)
{
    struct station_acts *sorted = NULL;
    struct text text;
    text_init(&text, run->state->arena);
    TRY(arena_take(run->state->arena, acts->station_count, sizeof *sorted, &sorted, err));
    if (acts->station_count)
        memcpy(sorted, acts->stations, acts->station_count * sizeof *sorted);
    qsort(sorted, acts->station_count, sizeof *sorted, compare_stations);
    if (acts->count)
        text_addf(&text, "%zu act%s", acts->count, acts->count == 1 ? "" : "s");
    else
        text_add(&text, "no act");
    for (size_t at = 0; at < acts->station_count && sorted[at].count; at++)
        text_addf(&text, "%s%s %zu", at ? ", " : ": ", *sorted[at].name ? sorted[at].name : NO_STATION,
                  sorted[at].count);
    return text_done(&text, out, err);
}
