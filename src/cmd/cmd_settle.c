/* SPDX-License-Identifier: MIT */
/* One open field decided about: which value stands, and why. */
#include <string.h>

#include "coretally/act/settle.h"
#include "coretally/run/command.h"
#include "run_commit.h"

static enum status run_settle(struct run *run, struct err *err);

static const struct option settle_options[] = {
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command settle_command = {
    .words = "settle",
    .arguments = "NAME FIELD [VALUE] | HOLE WORD NUMBER FIELD [VALUE]",
    .purpose = "decide about a field that two sides set to different values; without VALUE what stands is confirmed",
    .example = "settle U0012A-12H-3 curated 1.47 --reason \"measured again by both of us\"",
    .detail =
        "What is open, with the values and the command to type: coretally open. VALUE is typed as for the command "
        "that\n"
        "amends the field, by the same rules; another value than the two will do. '' leaves the field out.\n"
        "What has no name of its own is typed as it is listed: settle U0013A pump 2 efficiency 96; so are drilled,\n"
        "well, check, correction, log (a day, no field), and settle expedition title.",
    .use = USE_MOVING,
    .on = ON_STATE,
    .needs_reason = true,
    .options = settle_options,
    .least = 2,
    .most = 5,
    .run = run_settle,
};

/* What is typed of the thing, and how many words it took. */
struct asked_thing {
    char thing[OPEN_NAME_MAX];
    char hole[HOLE_TEXT_MAX]; /* "" for the expedition */
    size_t words;
};

static bool is_numbered_word(const char *word)
{
    static const char *const words[] = {"drilled", "well", "pump", "check", "correction", "log"};
    for (size_t at = 0; at < sizeof words / sizeof words[0]; at++)
        if (strcmp(word, words[at]) == 0)
            return true;
    return false;
}

static bool has_thing(const struct open_points *points, const char *thing)
{
    for (size_t at = 0; at < points->count; at++)
        if (strcmp(points->items[at].thing, thing) == 0)
            return true;
    return false;
}

/* A name as it stands in the list; one that is open is not looked up, since its record may be withdrawn. */
static enum status name_thing(struct run *run, const struct name *name, const struct open_points *points,
                              struct asked_thing *out, struct err *err)
{
    struct target target;
    struct bag_target bag;
    struct name whole = *name;
    if (name->level == NAME_HOLE) {
        (void)snprintf(out->thing, sizeof out->thing, "%s", out->hole);
        return STATUS_OK;
    }
    (void)snprintf(whole.expedition, sizeof whole.expedition, "%s", run->state->expedition.number);
    name_format(&whole, NAME_PRINTED, out->thing);
    if (has_thing(points, out->thing))
        return STATUS_OK;
    if (name->level == NAME_BAG) {
        TRY(bag_resolve(run->state, run->args[0], &bag, err));
        (void)snprintf(out->thing, sizeof out->thing, "%s", bag.name);
        return STATUS_OK;
    }
    TRY(resolve_named(run->state, run->args[0], name, NAME_SAMPLE, &target, err));
    if (name->level == NAME_CORE)
        target_core_name(run->state, &target, out->thing);
    else if (name->level == NAME_SAMPLE)
        target_sample_name(run->state, &target, &target.samples.samples[target.sample], out->thing);
    else
        target_section_name(run->state, &target, target.name.section, out->thing);
    return STATUS_OK;
}

static enum status read_thing(struct run *run, struct open_points *points, struct asked_thing *out, struct err *err)
{
    struct name name;
    struct target target = {0};
    out->words = 1;
    if (strcmp(run->args[0], "expedition") == 0) {
        (void)snprintf(out->thing, sizeof out->thing, "expedition %s", run->state->expedition.number);
        return open_points_read(run->state, NULL, points, err);
    }
    TRY(resolve_name(run->state, run->args[0], &name, err));
    TRY(resolve_hole(run->state, &name, &target, err));
    (void)snprintf(out->hole, sizeof out->hole, "%s", target.hole_name);
    TRY(open_points_read(run->state, out->hole, points, err));
    if (name.level != NAME_HOLE || !is_numbered_word(run->args[1]))
        return name_thing(run, &name, points, out, err);
    if (run->arg_count < 3) {
        err_set(err, STATUS_USAGE, run->args[1], "the number of the %.20s is missing", run->args[1]);
        return err_hint(err, "for example: coretally settle %s %.20s 2 FIELD VALUE", out->hole, run->args[1]);
    }
    (void)snprintf(out->thing, sizeof out->thing, "%s %.20s %.40s", out->hole, run->args[1], run->args[2]);
    out->words = 3;
    return STATUS_OK;
}

/* '-' counts as '_', as in options. */
static bool is_field(const struct open_point *point, const char *typed)
{
    char name[FIELD_KEY_MAX];
    if (!point->it.field)
        return !typed;
    if (!typed)
        return false;
    (void)snprintf(name, sizeof name, "%s", typed);
    for (char *at = name; *at; at++)
        if (*at == '-')
            *at = '_';
    return strcmp(name, point->it.field) == 0;
}

/* Refused with what is open of it. */
static enum status refuse(struct run *run, const struct open_points *points, const struct asked_thing *asked,
                          const char *field, struct err *err)
{
    struct text open;
    struct bytes bytes;
    text_init(&open, run->state->arena);
    for (size_t at = 0; at < points->count; at++)
        if (strcmp(points->items[at].thing, asked->thing) == 0)
            text_addf(&open, "%s%s", open.len ? ", " : "",
                      points->items[at].it.field ? points->items[at].it.field : "all of it (type no field)");
    TRY(text_done(&open, &bytes, err));
    err_set(err, STATUS_UNKNOWN, asked->thing, "%s%.40s is not open: there is nothing to decide", field ? "its " : "it",
            field ? field : "");
    if (bytes.len)
        return err_hint(err, "open of it: %s", bytes.data);
    if (points->count)
        return err_hint(err, "nothing of it is open; coretally open%s%s lists what is", *asked->hole ? " " : "",
                        asked->hole);
    return err_hint(err, "nothing of %s is open; a value is changed by the command that amends it",
                    *asked->hole ? asked->hole : "the expedition");
}

static enum status run_settle(struct run *run, struct err *err)
{
    struct open_points points = {0};
    struct asked_thing asked = {.hole = ""};
    struct draft draft;
    struct settling settling = {.reason = run_option(run, "reason")};
    run->state->open = NULL;           /* it is what this is about */
    run->state->naming.is_sure = true; /* a name as it stands in the list has one meaning */
    TRY(read_thing(run, &points, &asked, err));
    const char *field = run->arg_count > asked.words ? run->args[asked.words] : NULL;
    if (run->arg_count > asked.words + 2) {
        err_set(err, STATUS_USAGE, run->args[asked.words + 2], "too much was typed");
        return err_hint(err, "a value of several words stands in quotes");
    }
    for (size_t at = 0; at < points.count; at++)
        if (strcmp(points.items[at].thing, asked.thing) == 0 && is_field(&points.items[at], field))
            settling.point = &points.items[at];
    if (!settling.point)
        return refuse(run, &points, &asked, field, err);
    if (run->arg_count > asked.words + 1)
        settling.value = run->args[asked.words + 1];
    TRY(settle(run->state, &settling, &draft, err));
    return run_draft(run, &draft, err);
}
