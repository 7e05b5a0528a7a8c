/* SPDX-License-Identifier: MIT */
/* Draws labels with names as hard as they come, and says what stands where, for read_labels.py.
 *
 *     draw_labels LAYOUT FORMAT DPI FOLDER COUNT [proof]
 *
 * writes FOLDER/N.FORMAT for each file and FOLDER/labels.tsv: page, label x y width height, kind and x y width of the
 * symbol (mm), text in the symbol, name, check character, depth, scale, hazard, and x y width height of its bar (mm).
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/quantity.h"
#include "coretally/domain/label.h"
#include "coretally/domain/name.h"
#include "coretally/view/label_page.h"

struct thing {
    const char *name;
    const char *what;
    int64_t top_um;
    int64_t bottom_um;
    const char *scale;
    int32_t copy;
    const char *hazard;
};

static const struct thing things[] = {
    {"901-U0012A-12H-3W,45-47", "sample", 104450000, 104470000, "CSF-A", INT_NONE, NULL},
    {"901-U0012A-1234H-99WR,1140-1145.5#12", "sample", INT64_C(11234567000), INT64_C(11234622000), "CCSF-D", 12,
     "H2S, gas under pressure"},
    {"901-U0012A-3H-CCW,5-10#2", "sample", -250000, -200000, "CSF-A", 2, NULL},
    {"901-U0012A-2H-3W,45-47/1/2/3", "sample", LENGTH_NONE, LENGTH_NONE, "CSF-B", INT_NONE, "formalin"},
    {"1-M12345BC-9999X-12A,120.5-121.25#2/1", "sample", INT64_C(9999999000), INT64_C(10000000000), "WMSF", 32767, NULL},
    {"901-U0012A-12H-CC", "section", 110020000, 110250000, "CSF-A", INT_NONE, "H2S"},
    {"901-U0012A-12H-3A", "section", 104000000, 105500000, "CCSF", 3, NULL},
    {"901-U0012A-1234H", "core", LENGTH_NONE, LENGTH_NONE, "CSF-A", INT_NONE, NULL},
    {"901-U0013A-BAG12", "bag", INT64_C(3010250000), INT64_C(3014000000), "MRF", INT_NONE, "gas"},
    {"901-U0013A-GAS9999", "bag", INT64_C(3010250000), INT64_C(3014000000), "MSF", 2, "flammable gas under pressure"},
};

enum { THINGS = sizeof things / sizeof *things, COLUMN = 200 };

/* The texts of one label. */
struct texts {
    char name[NAME_TEXT_MAX];
    char check[2];
    char depth[COLUMN];
    char copy[32];
    char symbol[SYMBOL_TEXT_MAX];
};

static bool make_face(const struct thing *thing, struct texts *texts, struct label_face *face)
{
    const struct label label = {.name = thing->name,
                                .copy = thing->copy,
                                .state = "0f3a9c21bd00112233445566778899aabbccddee",
                                .scale = thing->scale,
                                .top_um = thing->top_um,
                                .bottom_um = thing->bottom_um};
    const int decimals = label_decimals(thing->scale);
    struct name name;
    struct err err = {0};
    if (name_parse(thing->name, &name, &err) != STATUS_OK) {
        (void)fprintf(stderr, "%s: %s\n", err.subject, err.reason);
        return false;
    }
    name_format(&name, NAME_PRINTED, texts->name);
    texts->check[0] = label_check_char(thing->name);
    label_symbol(&label, texts->symbol);
    (void)snprintf(texts->depth, sizeof texts->depth, "depth not known");
    if (thing->top_um != LENGTH_NONE)
        (void)snprintf(texts->depth, sizeof texts->depth, "%s-%s m", length_text(thing->top_um, UNIT_M, decimals).text,
                       length_text(thing->bottom_um, UNIT_M, decimals).text);
    if (thing->copy != INT_NONE)
        (void)snprintf(texts->copy, sizeof texts->copy, "copy %d", (int)thing->copy);
    *face = (struct label_face){
        .values = {[LABEL_NAME] = texts->name,
                   [LABEL_CHECK] = texts->check,
                   [LABEL_DEPTH] = texts->depth,
                   [LABEL_SCALE] = thing->scale,
                   [LABEL_WHAT] = thing->what,
                   [LABEL_HOLE] = "U0012A",
                   [LABEL_EXPEDITION] = "901",
                   [LABEL_TITLE] = "Slope fans",
                   [LABEL_TAKEN] = "2026-03-01 09:42 +05:30",
                   [LABEL_HAZARD] = thing->hazard,
                   [LABEL_COPY] = texts->copy,
                   [LABEL_PRINTED] = "2026-03-01 10:02 +05:30",
                   [LABEL_STATE] = "0f3a9c21bd",
                   [LABEL_PURPOSE] = "isotopes <b>&amp; \xc3\xb8kologie \xce\xb4\xc2\xb9\xc2\xb3\x43",
                   [LABEL_REQUESTER] = "Tamm"},
        .symbol = texts->symbol,
        .has_top = strcmp(thing->what, "section") == 0};
    return true;
}

static void write_box(FILE *list, const struct layout_box *box)
{
    (void)fprintf(list, "%.4f\t%.4f\t%.4f\t%.4f\t", (double)box->x_um / 1000, (double)box->y_um / 1000,
                  (double)box->width_um / 1000, (double)box->height_um / 1000);
}

static void write_row(FILE *list, const struct label_job *job, size_t at)
{
    static const char *const kinds[] = {[SYMBOL_QR] = "qr", [SYMBOL_MATRIX] = "matrix"};
    const struct layout *layout = job->layout;
    const size_t place = (job->start - 1 + at) % layout_places(layout);
    const size_t row = place / (size_t)layout->columns;
    const size_t column = place % (size_t)layout->columns;
    const char *const *values = job->faces[at].values;
    const struct layout_box label = {.x_um = layout->first_x_um + (int64_t)column * layout->step_x_um,
                                     .y_um = layout->first_y_um + (int64_t)row * layout->step_y_um,
                                     .width_um = layout->width_um,
                                     .height_um = layout->height_um};
    size_t bar = 0;
    while (!(layout->lines[bar].fields >> LABEL_HAZARD & 1))
        bar++;
    (void)fprintf(list, "%zu\t", (job->start - 1 + at) / layout_places(layout) + 1);
    write_box(list, &label);
    (void)fprintf(list, "%s\t", kinds[layout->symbols[0].kind]);
    write_box(list, &layout->symbols[0].box);
    (void)fprintf(list, "%s\t%s\t%s\t%s\t%s\t%s\t", job->faces[at].symbol, values[LABEL_NAME], values[LABEL_CHECK],
                  values[LABEL_DEPTH], values[LABEL_SCALE], values[LABEL_HAZARD] ? values[LABEL_HAZARD] : "");
    write_box(list, &layout->lines[bar].box);
    (void)fprintf(list, "\n");
}

static bool write_list(const struct label_job *job, const char *folder)
{
    char path[4096];
    (void)snprintf(path, sizeof path, "%s/labels.tsv", folder);
    FILE *list = fopen(path, "w");
    for (size_t at = 0; list && at < job->count; at++)
        write_row(list, job, at);
    return list && fclose(list) == 0;
}

static bool write_files(const struct page_file *files, size_t count, const char *folder, const char *format)
{
    bool is_fine = true;
    for (size_t at = 0; at < count; at++) {
        char path[4096];
        (void)snprintf(path, sizeof path, "%s/%zu.%s", folder, files[at].page, format);
        FILE *file = fopen(path, "wb");
        is_fine = file && fwrite(files[at].bytes.data, 1, files[at].bytes.len, file) == files[at].bytes.len && is_fine;
        is_fine = file && fclose(file) == 0 && is_fine;
    }
    return is_fine;
}

static enum status draw(struct arena *arena, char **words, bool is_proof, struct err *err)
{
    static const char *const formats[] = {[PAGE_PDF] = "pdf", [PAGE_SVG] = "svg", [PAGE_PNG] = "png"};
    const struct layout_text *own = layout_text_find(words[1]);
    struct layout layout;
    struct label_face *faces = NULL;
    struct texts *texts = NULL;
    struct page_file *files = NULL;
    size_t file_count = 0;
    struct label_job job = {.layout = &layout,
                            .count = strtoul(words[5], NULL, 10),
                            .start = 1,
                            .dpi = strtod(words[3], NULL),
                            .is_proof = is_proof,
                            .created = {.utc_us = INT64_C(1772338320000000), .known = true}};
    while (job.format < PAGE_PNG && strcmp(formats[job.format], words[2]) != 0)
        job.format++;
    if (!own)
        return err_set(err, STATUS_UNKNOWN, words[1], "there is no such layout");
    TRY(layout_parse(own->name, (struct bytes){own->text, strlen(own->text)}, arena, &layout, err));
    job.count = job.count ? job.count : THINGS;
    job.start = layout_places(&layout) > 3 ? 3 : 1;
    TRY(arena_take(arena, job.count, sizeof *faces, &faces, err));
    TRY(arena_take(arena, job.count, sizeof *texts, &texts, err));
    for (size_t at = 0; at < job.count; at++)
        if (!make_face(&things[at % THINGS], &texts[at], &faces[at]))
            return err_set(err, STATUS_INPUT, things[at % THINGS].name, "no name");
    job.faces = faces;
    TRY(label_pages_draw(&job, arena, &files, &file_count, err));
    if (!write_list(&job, words[4]) || !write_files(files, file_count, words[4], words[2]))
        return err_set(err, STATUS_SYSTEM, words[4], "could not write there");
    return STATUS_OK;
}

int main(int count, char **words)
{
    struct arena arena;
    struct err err = {0};
    if (count < 6)
        return 2;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    const enum status status = draw(&arena, words, count > 6 && strcmp(words[6], "proof") == 0, &err);
    if (status != STATUS_OK)
        (void)fprintf(stderr, "%s: %s\n  %s\n", err.subject, err.reason, err.hint);
    arena_clear(&arena);
    return status_exit_code(status);
}
