/* SPDX-License-Identifier: MIT */
/* Lines of holes, of what is numbered in them, and of corrections; of what was open. */
#include <string.h>

#include "coretally/domain/lag_check.h"
#include "coretally/state/correction_text.h"
#include "coretally/state/open.h"
#include "line.h"

/* "Hole U0012A: seafloor 3021.4 m (tagged), returns to seafloor". */
void line_add_hole(const struct hole *hole, const char *what, struct text *out)
{
    const int64_t seafloor_um = hole_seafloor(hole);
    text_addf(out, "Hole %s%s%s", hole->site, hole->letter, what);
    if (hole->parent)
        text_addf(out, ", sidetrack of %s from %s m", hole->parent, length_text(hole->kickoff_um, UNIT_M, 3).text);
    if (seafloor_um == LENGTH_NONE)
        text_add(out, hole->parent ? ": seafloor as there" : ": seafloor not known yet");
    else
        text_addf(out, ": seafloor %s m below rig floor (%s)", length_text(seafloor_um, UNIT_M, 3).text,
                  seafloor_words[hole->seafloor_by]);
    text_addf(out, ", returns to %s", returns_words[hole->returns]);
}

static void add_drilled(const char *hole, const struct drilled *it, const char *what, struct text *out)
{
    text_addf(out, "Hole %s drilled without coring%s: %s", hole, what, length_text(it->top_um, UNIT_M, 3).text);
    text_addf(out, "-%s m below %s", length_text(it->bottom_um, UNIT_M, 3).text,
              it->datum == DATUM_SEAFLOOR ? "seafloor" : "rig floor");
}

static void add_well(const char *hole, const struct geometry *it, const char *what, struct text *out)
{
    char from[INSTANT_TEXT_MAX];
    instant_format(it->from, from);
    text_addf(out, "Well of hole %s%s from %s:", hole, what, from);
    for (size_t at = 0; at < it->bore_count; at++)
        text_addf(out, "%s %s %.1f mm from %s m", at ? "," : "", bore_words[it->bores[at].kind],
                  bore_diameter_m(&it->bores[at]) * 1000, length_text(it->bores[at].top_um, UNIT_M, 1).text);
    if (it->loss_um != LENGTH_NONE)
        text_addf(out, "; %g %% lost at %s m", it->loss_pct, length_text(it->loss_um, UNIT_M, 1).text);
}

static void add_pump(const char *hole, const struct pump *it, const char *what, struct text *out)
{
    char from[INSTANT_TEXT_MAX];
    instant_format(it->from, from);
    text_addf(out, "Pump %s of hole %s%s: %s, %.3f l a stroke into the %s, from %s", it->name, hole, what,
              pump_words[it->kind], pump_output(it) * 1000, it->line == LINE_BOOSTER ? "riser" : "string", from);
}

static void add_check(const char *hole, const struct lag_check *it, const char *what, struct text *out)
{
    char in[INSTANT_TEXT_MAX];
    char seen[INSTANT_TEXT_MAX];
    instant_format(it->in, in);
    instant_format(it->seen, seen);
    text_addf(out, "Lag check %d of hole %s%s: %s in %s, seen %s", (int)it->number, hole, what,
              it->tracer ? it->tracer : "tracer", in, seen);
}

void line_add_numbered(const struct table *part, const char *hole, const void *item, const char *what, struct text *out)
{
    if (part == &drilled_table)
        add_drilled(hole, item, what, out);
    else if (part == &geometry_table)
        add_well(hole, item, what, out);
    else if (part == &pump_table)
        add_pump(hole, item, what, out);
    else
        add_check(hole, item, what, out);
}

/* --- corrections --- */

/* Where a line names a correction; a line that is still to be made names none. */
static size_t named_at(const struct deed *deed, const struct correction *it)
{
    char name[60];
    (void)snprintf(name, sizeof name, "orrection %d of hole %s", (int)it->number, it->hole);
    const char *found = deed->said.line ? strstr(deed->said.line, name) : NULL;
    return found ? (size_t)(found - deed->said.line) : 0;
}

/* The next one to tell: in the order of a line that is there, else in that of the act. */
static const struct correction *next_added(const struct deed *deed, const struct correction *last)
{
    const struct correction *found = NULL;
    bool is_behind = !last;
    for (size_t at = 0; at < deed->count; at++) {
        const struct touch *touch = &deed->touches[at];
        const struct correction *it = touch->part == &correction_table ? touch->newer : NULL;
        if (!it || it == last) {
            is_behind = is_behind || it == last;
            continue;
        }
        const size_t own = named_at(deed, it);
        const size_t before = last ? named_at(deed, last) : 0;
        const bool follows = last && deed->said.line ? own > before : is_behind;
        if (follows && (!found || own < named_at(deed, found)))
            found = it;
    }
    return found;
}

static void add_added(const struct deed *deed, struct text *out)
{
    size_t told = 0;
    for (const struct correction *it = next_added(deed, NULL); it; it = next_added(deed, it)) {
        text_addf(out, told ? "; correction %d of hole %s: " : "Correction %d of hole %s, ", (int)it->number, it->hole);
        if (!told++)
            text_addf(out, "%s: ", correction_words[it->kind]);
        correction_add_amount(it, out);
        text_add(out, ", ");
        correction_add_range(it, out);
        if (it->supersedes)
            text_addf(out, ", in place of %s", it->supersedes);
    }
}

enum status line_add_correction(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err)
{
    const struct correction *it = touch->newer;
    (void)err;
    if (touch->done == DONE_ADDED)
        add_added(deed, out);
    else {
        text_addf(out, "Correction %d of hole %s withdrawn, %s: ", (int)it->number, it->hole,
                  correction_words[it->kind]);
        correction_add_amount(it, out);
    }
    return STATUS_OK;
}

/* --- what was open --- */

/* The record as it shall be; where the act left it alone, as it is. */
static const void *decided_record(const struct deed *deed, const struct open_point *point)
{
    const bool is_renamed = point->at.part == &core_table && deed->count > 2;
    for (size_t at = 0; at < deed->count; at++) {
        const struct touch *it = &deed->touches[at];
        char item[SAMPLE_KEY_MAX] = "";
        if (it->part != point->at.part || !it->newer)
            continue;
        if (it->older && point->it.item)
            open_item_text(it->part, it->older, item);
        if (is_renamed ||
            (strcmp(it->place.path, point->it.path) == 0 && (!point->it.item || strcmp(item, point->it.item) == 0)))
            return it->newer;
    }
    return point->record;
}

static const struct open_point *find_point(const struct open_points *points, const char *path)
{
    for (size_t at = 0; at < points->count; at++)
        if (strcmp(points->items[at].path, path) == 0)
            return &points->items[at];
    return NULL;
}

enum status line_add_settled(const struct deed *deed, const struct touch *touch, struct text *out, struct err *err)
{
    struct open_points points;
    struct text value;
    struct bytes bytes;
    TRY(open_points_read(deed->state, *touch->place.hole ? touch->place.hole : NULL, &points, err));
    const struct open_point *point = find_point(&points, touch->place.path);
    if (!point)
        return STATUS_OK;
    const struct table *part = point->at.part;
    if (part == &core_table || part == &section_table || part == &sample_table || part == &hole_table ||
        part == &bag_table)
        text_addf(out, "%c%s ", part->kind[0] - 'a' + 'A', part->kind + 1);
    text_addf(out, "%s settled: %s", point->thing, point->it.field ? point->it.field : "as it stands");
    const void *record = decided_record(deed, point);
    if (!point->at.field || !record)
        return STATUS_OK;
    text_init(&value, deed->state->arena);
    field_format(point->at.field, record, &value);
    TRY(text_done(&value, &bytes, err));
    text_add(out, " ");
    open_add_value(point, bytes.len ? bytes.data : NULL, out);
    return STATUS_OK;
}
