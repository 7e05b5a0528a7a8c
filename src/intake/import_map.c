/* SPDX-License-Identifier: MIT */
/* Which column is which field, in which unit and on which scale: from a mapping file, from --set, from the names. */
#include "coretally/intake/mapping.h"

#include <string.h>
#include <strings.h>

#include "coretally/domain/name.h"

static const char *const naming[] = {"expedition", "site", "hole", "core", "type", "catcher", NULL};
const char *const import_words[] = {"cores", "sections", "samples", "bags", NULL};

const struct table *import_table(enum import_kind kind)
{
    return kind == IMPORT_CORES      ? &core_table
           : kind == IMPORT_SECTIONS ? &section_table
           : kind == IMPORT_BAGS     ? &bag_table
                                     : &sample_table;
}

enum status import_kind_find(const char *word, enum import_kind *out, struct err *err)
{
    for (int at = 0; import_words[at]; at++)
        if (strcmp(import_words[at], word) == 0) {
            *out = (enum import_kind)at;
            return STATUS_OK;
        }
    err_set(err, STATUS_INPUT, word, "there is no such table");
    return err_hint(err, "tables are cores, sections, samples and bags; of corrections tide, composite, splice, "
                         "growth, wireline, survey");
}

/* Fields that a table may carry: all but what names the core, and what only the program writes. */
static bool is_importable(enum import_kind kind, const struct field *field)
{
    static const char *const own[] = {"version", "withdrawn", "was", "doubt", "ordinal", NULL};
    for (int at = 0; own[at]; at++)
        if (strcmp(field->name, own[at]) == 0)
            return false;
    if (kind == IMPORT_CORES && (strcmp(field->name, "hole") == 0 || strcmp(field->name, "number") == 0 ||
                                 strcmp(field->name, "type") == 0 || field->type == FIELD_LIST))
        return false;
    return !(kind == IMPORT_SAMPLES && strcmp(field->name, "number") == 0);
}

static const char *find_naming(const char *word)
{
    for (int at = 0; naming[at]; at++)
        if (strcasecmp(naming[at], word) == 0)
            return naming[at];
    return NULL;
}

enum status import_template(const char *word, struct text *out, struct err *err)
{
    enum import_kind kind = IMPORT_CORES;
    char column[FIELD_KEY_MAX];
    TRY(import_kind_find(word, &kind, err));
    text_add(out, kind == IMPORT_BAGS ? "expedition,site,hole,type" : "expedition,site,hole,core,type");
    for (size_t at = 0; at < import_table(kind)->count; at++) {
        const struct field *field = &import_table(kind)->fields[at];
        if (!is_importable(kind, field))
            continue;
        field_column(field, column);
        text_addf(out, ",%s", column);
    }
    text_add(out, "\n");
    return STATUS_OK;
}

static enum status find_column(const struct table_text *table, const char *name, size_t *out, struct err *err)
{
    for (size_t at = 0; at < table->columns; at++)
        if (strcmp(table->cells[at], name) == 0) {
            *out = at;
            return STATUS_OK;
        }
    err_set(err, STATUS_INPUT, name, "the table has no column of this name");
    int best = 4;
    for (size_t at = 0; at < table->columns; at++)
        if (name_distance(name, table->cells[at]) < best) {
            best = name_distance(name, table->cells[at]);
            err_hint(err, "did you mean %s?", table->cells[at]);
        }
    return err->status;
}

static bool is_mapped(const struct mapping *mapping, const char *field)
{
    for (size_t at = 0; at < mapping->source_count; at++)
        if (strcmp(mapping->sources[at].field, field) == 0)
            return true;
    return false;
}

static enum status add_source(struct mapping *mapping, const struct source *source, struct err *err)
{
    if (is_mapped(mapping, source->field))
        return err_set(err, STATUS_INPUT, source->field, "this field is mapped twice");
    if (mapping->source_count == SOURCES_MAX)
        return err_set(err, STATUS_INPUT, source->field, "more than %d fields are mapped", SOURCES_MAX);
    mapping->sources[mapping->source_count++] = *source;
    return STATUS_OK;
}

/* "m", "DSF" after the bars. */
static enum status take_qualifiers(struct source *source, char *unit, char *scale, struct err *err)
{
    const bool length = source->as && source->as->type == FIELD_LENGTH;
    if (length && (!unit || !length_unit_find(text_trim(unit), &source->unit))) {
        err_set(err, STATUS_INPUT, source->field, "the unit of its column is not stated");
        return err_hint(err, "for example: %s = column | m   (m, cm, mm, ft or in)", source->field);
    }
    if (!scale)
        return STATUS_OK;
    if (!source->as || (strcmp(source->field, "top") != 0 && strcmp(source->field, "bottom") != 0) ||
        source->as->unit != UNIT_M)
        return err_set(err, STATUS_INPUT, source->field, "only drilled top and bottom are on a depth scale");
    scale = text_trim(scale);
    if (strcasecmp(scale, "DSF") == 0)
        source->datum = DATUM_SEAFLOOR;
    else if (strcasecmp(scale, "DRF") == 0)
        source->datum = DATUM_RIG_FLOOR;
    else {
        err_set(err, STATUS_INPUT, scale, "a drilled depth is on DRF (below rig floor) or DSF (below seafloor)");
        return err_hint(err, "for example: %s = column | m | DSF", source->field);
    }
    return STATUS_OK;
}

/* What the lines of a mapping are read with. */
struct mapper {
    enum import_kind kind;
    const struct table_text *table;
    struct mapping *mapping; /* filled */
};

static enum status take_comparison(const struct mapper *mapper, const char *what, const char *column, char *unit,
                                   struct err *err)
{
    struct mapping *mapping = mapper->mapping;
    static const char *const words[] = {"recovery", "dsf", "csf-a", "csf-b", "ccsf"};
    struct comparison comparison = {.unit = UNIT_M};
    size_t at = 0;
    size_t len = 0;
    for (; at < COMPARE_COUNT; at++) {
        len = strlen(words[at]);
        if (strncasecmp(what, words[at], len) == 0)
            break;
    }
    const char *end = at < COMPARE_COUNT ? what + len : "";
    comparison.what = (enum compared)at;
    comparison.at_bottom = strcmp(end, "-bottom") == 0;
    if (at == COMPARE_COUNT || (at == 0 ? *end : strcmp(end, "-top") != 0 && !comparison.at_bottom)) {
        err_set(err, STATUS_INPUT, what, "this cannot be compared");
        return err_hint(err, "what can: recovery, dsf-top, dsf-bottom, csf-a-top, csf-a-bottom, csf-b-top, "
                             "csf-b-bottom, ccsf-top, ccsf-bottom");
    }
    if (at > 0 && (!unit || !length_unit_find(text_trim(unit), &comparison.unit)))
        return err_set(err, STATUS_INPUT, what, "the unit of its column is not stated, as in: %s = column | m", what);
    if (mapping->comparison_count == COMPARISONS_MAX)
        return err_set(err, STATUS_INPUT, what, "more than %d comparisons", COMPARISONS_MAX);
    TRY(find_column(mapper->table, column, &comparison.column, err));
    mapping->comparisons[mapping->comparison_count++] = comparison;
    return STATUS_OK;
}

/* "column | unit | scale" or a constant in quotes, for a field. */
static enum status take_source(const struct mapper *mapper, const char *field, char *parts[3], struct err *err)
{
    const enum import_kind kind = mapper->kind;
    char *column = parts[0];
    struct source source = {.field = find_naming(field), .column = SIZE_MAX};
    if (!source.field) {
        source.as = field_find(import_table(kind), field);
        if (!source.as || !is_importable(kind, source.as)) {
            err_set(err, STATUS_INPUT, field, "%s have no such field", import_words[kind]);
            return err_hint(err, "fields are the columns of: coretally template %s", import_words[kind]);
        }
        source.field = source.as->name;
    }
    const size_t len = strlen(column);
    if (len >= 2 && column[0] == '"' && column[len - 1] == '"') {
        column[len - 1] = '\0';
        source.constant = column + 1;
        source.unit = source.as ? source.as->unit : UNIT_M;
        if (parts[1])
            TRY(take_qualifiers(&source, parts[1], parts[2], err));
    } else {
        TRY(find_column(mapper->table, column, &source.column, err));
        TRY(take_qualifiers(&source, parts[1], parts[2], err));
    }
    return add_source(mapper->mapping, &source, err);
}

/* One line: "field = column | unit | scale", "field = "constant"", "compare what = column | unit", "doubtful = keep".
 */
static enum status take_line(void *context, char *line, struct err *err)
{
    const struct mapper *mapper = context;
    char *equals = strchr(line, '=');
    if (!equals) {
        err_set(err, STATUS_INPUT, line, "a mapping line reads field = column | unit | scale");
        return err_hint(err, "for example: top = top_mbsf | m | DSF");
    }
    *equals = '\0';
    char *field = text_trim(line);
    char *parts[3] = {equals + 1, NULL, NULL}; /* between the bars */
    for (size_t at = 1; at < 3 && (parts[at] = strchr(parts[at - 1], '|')); at++)
        *parts[at]++ = '\0';
    parts[0] = text_trim(parts[0]);
    if (strcmp(field, "doubtful") == 0) {
        const bool keep = strcmp(parts[0], "keep") == 0;
        mapper->mapping->keep_doubtful = keep;
        return keep || strcmp(parts[0], "refuse") == 0
                   ? STATUS_OK
                   : err_set(err, STATUS_INPUT, parts[0], "doubtful rows are either 'refuse' or 'keep'");
    }
    if (strncmp(field, "compare ", 8) == 0)
        return take_comparison(mapper, text_trim(field + 8), parts[0], parts[1], err);
    return take_source(mapper, field, parts, err);
}

/* Columns named like our fields: top_m, top_cm, recovered_m, half, core, ... */
static enum status take_by_name(enum import_kind kind, const struct table_text *table, struct mapping *mapping,
                                struct err *err)
{
    for (size_t column = 0; column < table->columns; column++) {
        const char *name = table->cells[column];
        struct source source = {.field = find_naming(name), .column = column};
        bool used = false;
        for (size_t at = 0; at < mapping->source_count; at++)
            used = used || mapping->sources[at].column == column;
        if (used)
            continue;
        for (size_t at = 0; !source.field && at < import_table(kind)->count; at++) {
            const struct field *field = &import_table(kind)->fields[at];
            const size_t len = strlen(field->name);
            char own[FIELD_KEY_MAX];
            field_column(field, own);
            const bool length = field->type == FIELD_LENGTH;
            if (!is_importable(kind, field) || strncasecmp(name, field->name, len) != 0)
                continue;
            if (length ? name[len] == '_' && length_unit_find(name + len + 1, &source.unit)
                       : strcasecmp(name, own) == 0) {
                source.as = field;
                source.field = field->name;
            }
        }
        for (size_t other = 0; source.field && other < column; other++)
            if (strcasecmp(name, table->cells[other]) == 0)
                return err_set(err, STATUS_INPUT, name, "two columns have this name; map the one that is meant");
        if (source.field && !is_mapped(mapping, source.field))
            TRY(add_source(mapping, &source, err));
    }
    return STATUS_OK;
}

static enum status demand(enum import_kind kind, const struct mapping *mapping, struct err *err)
{
    static const char *const cores[] = {"hole", "core", "type", "top", NULL};
    static const char *const sections[] = {"hole", "core", "type", "section", NULL};
    static const char *const samples[] = {"hole", "core", "type", "section", "top", "bottom", NULL};
    static const char *const bags[] = {"hole", "number", "from", NULL};
    const char *const *needed = kind == IMPORT_CORES      ? cores
                                : kind == IMPORT_SECTIONS ? sections
                                : kind == IMPORT_BAGS     ? bags
                                                          : samples;
    for (; *needed; needed++)
        if (!is_mapped(mapping, *needed)) {
            err_set(err, STATUS_INPUT, *needed, "no column is mapped to this field, and the rows need it");
            return err_hint(err,
                            "add a line to the mapping, or --set '%s = column%s'; a column named as in 'coretally "
                            "template %s' maps itself",
                            *needed, kind == IMPORT_CORES && strcmp(*needed, "top") == 0 ? " | m | DSF" : "",
                            import_words[kind]);
        }
    bool scaled = kind != IMPORT_CORES || is_mapped(mapping, "datum");
    enum datum datum = DATUM_NONE;
    for (size_t at = 0; at < mapping->source_count; at++) {
        const enum datum own = mapping->sources[at].datum;
        scaled = scaled || own != DATUM_NONE;
        if (own != DATUM_NONE && datum != DATUM_NONE && own != datum)
            return err_set(err, STATUS_INPUT, "bottom", "top and bottom of a run count from one datum");
        datum = own != DATUM_NONE ? own : datum;
    }
    if (scaled)
        return STATUS_OK;
    err_set(err, STATUS_INPUT, "top", "the scale of the drilled depths is not stated");
    return err_hint(err, "add it to the mapping: top = column | m | DSF (below seafloor), or | DRF (below rig floor)");
}

enum status mapping_read(struct arena *arena, const struct mapping_asked *asked, enum import_kind kind,
                         const struct table_text *table, struct mapping *out, struct err *err)
{
    struct mapping mapping = {0};
    struct mapper mapper = {kind, table, &mapping};
    TRY(mapping_each_line(arena, asked, take_line, &mapper, err));
    TRY(take_by_name(kind, table, &mapping, err));
    TRY(demand(kind, &mapping, err));
    *out = mapping;
    return STATUS_OK;
}
