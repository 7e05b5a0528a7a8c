/* SPDX-License-Identifier: MIT */
/* The parser of printed names: one pass over the characters, complaints with the position. */
#include "coretally/domain/name.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "coretally/base/limits.h"
#include "coretally/base/marks.h"
#include "coretally/base/quantity.h"
#include "name_slip.h"

struct reader {
    const char *string;
    const char *at;
};

/* Complain about the character at the reader. */
static enum status unexpected(const struct reader *reader, const char *expected, struct err *err)
{
    struct mark mark;
    int position = 1;
    for (const char *at = reader->string; at < reader->at; at++)
        position += ((unsigned char)*at & 0xC0) != 0x80;
    if (!*reader->at)
        err_set(err, STATUS_INPUT, reader->string, "it ends at character %d where %s was expected", position, expected);
    else if (mark_at(reader->at, &mark)) {
        char plain[NAME_TEXT_MAX];
        marks_plain(reader->string, plain, sizeof plain);
        err_set(err, STATUS_INPUT, reader->string, "'%s' at character %d is %s", mark.as_typed, position, mark.kind);
        return err_hint(err, "type %s", plain);
    } else {
        int len = 1;
        while (((unsigned char)reader->at[len] & 0xC0) == 0x80)
            len++;
        err_set(err, STATUS_INPUT, reader->string, "'%.*s' at character %d: expected %s", len, reader->at, position,
                expected);
    }
    return err_hint(err, "a full name reads 901-U0012A-12H-3W, 45-47 cm");
}

static void skip_spaces(struct reader *reader)
{
    while (*reader->at == ' ' || *reader->at == '\t')
        reader->at++;
}

/* A hyphen, en dash (U+2013), non-breaking hyphen (U+2011) or minus sign (U+2212), with spaces around it. */
static bool take_dash(struct reader *reader)
{
    static const char *const dashes[] = {"-", "\xE2\x80\x93", "\xE2\x80\x91", "\xE2\x88\x92"};
    const char *before = reader->at;
    skip_spaces(reader);
    for (size_t at = 0; at < sizeof dashes / sizeof dashes[0]; at++) {
        const size_t len = strlen(dashes[at]);
        if (strncmp(reader->at, dashes[at], len) == 0) {
            reader->at += len;
            skip_spaces(reader);
            return true;
        }
    }
    reader->at = before;
    return false;
}

static bool take_char(struct reader *reader, char wanted)
{
    const char *before = reader->at;
    skip_spaces(reader);
    if (*reader->at == wanted) {
        reader->at++;
        skip_spaces(reader);
        return true;
    }
    reader->at = before;
    return false;
}

/* Up to most digits; their count. */
static size_t digits_at(const char *at)
{
    size_t len = 0;
    while (isdigit((unsigned char)at[len]))
        len++;
    return len;
}

static enum status take_number(struct reader *reader, int32_t most, const char *expected, int32_t *out, struct err *err)
{
    const size_t len = digits_at(reader->at);
    int64_t value = 0;
    for (size_t at = 0; at < len && value <= most; at++)
        value = value * 10 + (reader->at[at] - '0');
    if (len == 0 || value > most)
        return unexpected(reader, expected, err);
    reader->at += len;
    *out = (int32_t)value;
    return STATUS_OK;
}

/* A number as typed in an interval, with its unit where it has one. */
struct typed {
    const char *at;
    size_t len;
    bool has_unit;
    enum length_unit unit;
};

static const char *const offset_wanted = "centimetres from the section top, at most 4 decimals";

/* "45,5-47,5": with points it reads 45.5-47.5; or the comma stands for the dash of an interval. */
static enum status refuse_decimal_comma(const struct reader *reader, const char *comma, struct err *err)
{
    char meant[NAME_TEXT_MAX];
    const size_t first = (size_t)(comma - reader->string);
    (void)snprintf(meant, sizeof meant, "%s", reader->string);
    for (size_t at = first; at < strlen(meant); at++)
        if (meant[at] == ',' && isdigit((unsigned char)meant[at + 1]))
            meant[at] = '.';
    err_set(err, STATUS_INPUT, reader->string, "decimals are written with a point, not a comma");
    return err_hint(err, "type %s; a dash separates the two ends of an interval", meant);
}

/* "45", "3.5", "45mm", "1.2 m": the digits, and the unit behind them. */
static enum status take_typed(struct reader *reader, struct typed *out, struct err *err)
{
    struct typed it = {.at = reader->at, .len = digits_at(reader->at), .unit = UNIT_CM};
    if (it.len && it.at[it.len] == '.')
        it.len += 1 + digits_at(it.at + it.len + 1);
    if (it.len == 0)
        return unexpected(reader, offset_wanted, err);
    if (it.at[it.len] == ',' && isdigit((unsigned char)it.at[it.len + 1]))
        return refuse_decimal_comma(reader, it.at + it.len, err);
    struct reader after = {.string = reader->string, .at = it.at + it.len};
    skip_spaces(&after);
    char word[4] = "";
    size_t len = 0;
    for (; isalpha((unsigned char)after.at[len]); len++)
        if (len + 1 < sizeof word)
            word[len] = (char)tolower((unsigned char)after.at[len]);
    if (len) {
        if (len + 1 >= sizeof word || !length_unit_find(word, &it.unit)) {
            err_set(err, STATUS_INPUT, reader->string, "'%.*s' is not a unit of length", (int)(len < 40 ? len : 40),
                    after.at);
            return err_hint(err, "units are m, cm, mm, ft and in; a bare number is centimetres from the section top");
        }
        it.has_unit = true;
        after.at += len;
    } else
        after.at = it.at + it.len;
    *reader = after;
    *out = it;
    return STATUS_OK;
}

static enum status typed_um(const struct reader *reader, const struct typed *typed, int64_t *out_um, struct err *err)
{
    const struct reader there = {.string = reader->string, .at = typed->at};
    int64_t millionths = 0;
    if (!decimal_parse_micro(typed->at, typed->len, false, &millionths) || millionths % 100 != 0)
        return unexpected(&there, offset_wanted, err);
    if (typed->unit == UNIT_CM) {
        *out_um = millionths / 100;
        return STATUS_OK;
    }
    char number[48];
    int64_t um = 0;
    (void)snprintf(number, sizeof number, "%.*s", (int)(typed->len < 40 ? typed->len : 40), typed->at);
    TRY(length_parse(number, typed->unit, &um, err));
    if (um > LENGTH_LIMIT_UM / 100) /* as many centimetres as may be typed: it is printed in them */
        return unexpected(&there, offset_wanted, err);
    *out_um = um;
    return STATUS_OK;
}

/* "45", "45-47", "1.20-1.22m": a unit that is typed once holds for both ends. Is there a second one? */
static enum status take_ends(struct reader *reader, int64_t *top_um, int64_t *bottom_um, bool *is_interval,
                             struct err *err)
{
    struct typed top = {.at = reader->at};
    struct typed bottom = {.at = reader->at};
    TRY(take_typed(reader, &top, err));
    *is_interval = take_dash(reader);
    if (!*is_interval) {
        TRY(typed_um(reader, &top, top_um, err));
        *bottom_um = *top_um;
        return STATUS_OK;
    }
    TRY(take_typed(reader, &bottom, err));
    if (top.has_unit && !bottom.has_unit)
        bottom.unit = top.unit;
    else if (bottom.has_unit && !top.has_unit)
        top.unit = bottom.unit;
    TRY(typed_um(reader, &top, top_um, err));
    return typed_um(reader, &bottom, bottom_um, err);
}

/* Expedition and hole: "901-U0012A" or "U0012A". */
static enum status take_hole(struct reader *reader, struct name *name, struct err *err)
{
    const size_t exp_len = digits_at(reader->at);
    if (exp_len) { /* digits up to a dash are the expedition, up to a letter an older site */
        struct reader after = {.string = reader->string, .at = reader->at + exp_len};
        if (take_dash(&after)) {
            if (exp_len > 6)
                return unexpected(reader, "an expedition number of at most 6 digits", err);
            memcpy(name->expedition, reader->at, exp_len);
            *reader = after;
        }
    }
    size_t len = 0;
    if (isalpha((unsigned char)*reader->at)) {
        name->site[len++] = (char)toupper((unsigned char)*reader->at);
        reader->at++;
    }
    const size_t digits = digits_at(reader->at);
    if (digits == 0 || digits > 5)
        return unexpected(reader, "a site such as U0012 or 1264 (1 to 5 digits)", err);
    memcpy(name->site + len, reader->at, digits);
    reader->at += digits;
    for (len = 0; len < 3 && isalpha((unsigned char)*reader->at); reader->at++)
        name->letter[len++] = (char)toupper((unsigned char)*reader->at);
    if (len == 0)
        return unexpected(reader, "the letter of the hole, as in U0012A", err);
    name->level = NAME_HOLE;
    return STATUS_OK;
}

static enum status take_core(struct reader *reader, struct name *name, struct err *err)
{
    TRY(take_number(reader, CORE_NUMBER_MAX, "a core number up to 9999 and a type, such as 12H", &name->core, err));
    if (!isalpha((unsigned char)*reader->at))
        return unexpected(reader, "a core's type letter, such as the H of 12H,", err);
    name->type = (char)toupper((unsigned char)*reader->at++);
    name->level = NAME_CORE;
    return STATUS_OK;
}

static enum status take_section(struct reader *reader, struct name *name, struct err *err)
{
    if (toupper((unsigned char)reader->at[0]) == 'C' && toupper((unsigned char)reader->at[1]) == 'C') {
        name->section = SECTION_CATCHER;
        reader->at += 2;
    } else
        TRY(take_number(reader, SECTION_NUMBER_MAX, "a section: 0 to 99 or CC", &name->section, err));
    const struct reader before = *reader;
    if (name->section == SECTION_CATCHER)
        (void)take_dash(reader); /* CC-W is seen, too */
    const char half = (char)toupper((unsigned char)*reader->at);
    if (half == 'W' && toupper((unsigned char)reader->at[1]) == 'R')
        name->half = HALF_WHOLE;
    else if (half == 'W')
        name->half = HALF_WORKING;
    else if (half == 'A')
        name->half = HALF_ARCHIVE;
    else
        *reader = before;
    reader->at += name->half == HALF_NONE ? 0 : name->half == HALF_WHOLE ? 2 : 1;
    name->level = NAME_SECTION;
    return STATUS_OK;
}

/* What follows the comma, and the marks after it. */
static enum status take_interval(struct reader *reader, struct name *name, struct err *err)
{
    bool is_interval = false;
    TRY(take_ends(reader, &name->top_um, &name->bottom_um, &is_interval, err));
    name->level = is_interval ? NAME_SAMPLE : NAME_POINT;
    if (!is_interval)
        return STATUS_OK;
    if (take_char(reader, '#')) {
        TRY(take_number(reader, ORDINAL_MAX, "which of the samples of this interval, as in #2", &name->ordinal, err));
        if (name->ordinal == 0)
            return err_set(err, STATUS_INPUT, reader->string, "the samples of an interval are counted from #1");
    }
    while (take_char(reader, '/')) {
        if (name->sub_count == SUBSAMPLE_DEPTH_MAX)
            return unexpected(reader, "no more than four levels of sub-samples", err);
        TRY(take_number(reader, SUBSAMPLE_NUMBER_MAX, "the number of a sub-sample, as in /1",
                        &name->subs[name->sub_count], err));
        name->sub_count++;
    }
    return STATUS_OK;
}

/* "BAG12", "GAS3", "MUD4" */
static enum status take_bag(struct reader *reader, struct name *name, struct err *err)
{
    for (enum bag_kind kind = BAG_CUTTINGS; kind <= BAG_MUD; kind++)
        if (strncasecmp(reader->at, bag_words[kind], strlen(bag_words[kind])) == 0)
            name->bag = kind;
    if (name->bag == BAG_NONE)
        return unexpected(reader, "a core such as 12H, or BAG, GAS or MUD with a number", err);
    reader->at += strlen(bag_words[name->bag]);
    TRY(take_number(reader, BAG_NUMBER_MAX, "the number of the bag, 1 to 999999, as in BAG12", &name->bag_number, err));
    if (name->bag_number == 0)
        return err_set(err, STATUS_INPUT, reader->string, "bags are counted from 1");
    name->level = NAME_BAG;
    return STATUS_OK;
}

enum status name_read(const char *string, struct name *out, struct err *err)
{
    struct reader reader = {.string = string, .at = string};
    struct name name = {.ordinal = 1};
    const char *expected = "the end of the name";
    skip_spaces(&reader);
    TRY(take_hole(&reader, &name, err));
    const bool dash = take_dash(&reader);
    if (dash && isalpha((unsigned char)*reader.at))
        TRY(take_bag(&reader, &name, err));
    else if (dash) {
        TRY(take_core(&reader, &name, err));
        expected = "'-' and a section";
        if (take_dash(&reader)) {
            TRY(take_section(&reader, &name, err));
            expected =
                name.half == HALF_NONE ? "W, A or WR for the half, or a comma" : "a comma, or the end of the name";
            if (take_char(&reader, ',')) {
                TRY(take_interval(&reader, &name, err));
                expected = name.level == NAME_POINT ? "'-' and the lower end in cm" : "the end of the name";
            }
        }
    } else
        expected = "'-' and a core";
    skip_spaces(&reader);
    if (*reader.at)
        return unexpected(&reader, expected, err);
    *out = name;
    return STATUS_OK;
}

/* Exact centimetres, as names have them. */
static struct length_text offset_text(int64_t um)
{
    struct length_text out;
    length_format_exact(um, UNIT_CM, out.text);
    return out;
}

static enum status refuse_upside_down(const char *typed, int64_t top_um, int64_t bottom_um, struct err *err)
{
    err_set(err, STATUS_INPUT, typed, "the interval %s-%s cm is upside down: it ends above its beginning",
            offset_text(top_um).text, offset_text(bottom_um).text);
    return err_hint(err, "the end nearer to the top of the section comes first: %s-%s", offset_text(bottom_um).text,
                    offset_text(top_um).text);
}

enum status name_check_order(const struct name *name, const char *typed, struct err *err)
{
    if (name->level != NAME_SAMPLE || name->bottom_um >= name->top_um)
        return STATUS_OK;
    return refuse_upside_down(typed, name->top_um, name->bottom_um, err);
}

enum status interval_parse(const char *string, int64_t *top_um, int64_t *bottom_um, struct err *err)
{
    struct reader reader = {.string = string, .at = string};
    bool is_interval = false;
    int64_t ends_um[2] = {0};
    const char *example = "an interval reads 46-47, centimetres from the section top; or 460-470mm";
    skip_spaces(&reader);
    if (take_ends(&reader, &ends_um[0], &ends_um[1], &is_interval, err) != STATUS_OK)
        return err_hint(err, "%s", example);
    skip_spaces(&reader);
    if (*reader.at || !is_interval) {
        err_set(err, STATUS_INPUT, string, "an interval has two ends with a dash between them");
        return err_hint(err, "%s", example);
    }
    if (ends_um[1] < ends_um[0])
        return refuse_upside_down(string, ends_um[0], ends_um[1], err);
    *top_um = ends_um[0];
    *bottom_um = ends_um[1];
    return STATUS_OK;
}
