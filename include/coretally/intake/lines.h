/* SPDX-License-Identifier: MIT */
/* Text files line by line.
 *
 * The room intake turns text files into records: tables of cores, sections, samples and bags, pump logs as CSV or LAS,
 * wells, tables of corrections, and the mappings that say which column is which field. A file is read in bounded
 * memory (lines.h, csv.h), its columns are mapped (mapping.h), and what a row says becomes a record; a bad row is
 * refused with its line. What of the options a reader needs comes in a struct of what was asked; standard input comes
 * as an open file. Intake knows neither commands nor answers, and prints nothing.
 */
#ifndef CORETALLY_INTAKE_LINES_H
#define CORETALLY_INTAKE_LINES_H

#include <stdbool.h>
#include <stdio.h>

#include "coretally/base/err.h"
#include "coretally/base/text.h"

/* A text file, or standard input, line by line in bounded memory. */
struct lines {
    FILE *file;
    const char *path;
    bool is_own;
    bool is_growing; /* a last line without its end is left for later */
    bool is_ended;   /* nothing more comes from the file */
    char *data;
    size_t start; /* what is held and was not given out yet */
    size_t end;
    size_t room;
    size_t number; /* of the line given out last */
};

/* As many columns as there may be, each as long as a cell may be, every byte of it a doubled quote. */
enum { LINE_BYTES_MAX = 32 << 20 };

/* "-" is in, standard input, which stays open when the lines are closed. */
MUST_CHECK enum status lines_open(FILE *in, const char *path, struct lines *out, struct err *err);
void lines_close(struct lines *lines);
/* What comes next, some hundred thousand bytes at most, and still comes. */
MUST_CHECK enum status lines_peek(struct lines *lines, struct bytes *out, struct err *err);
/* The next line with its line end, good until the next call and free to be written over; NULL at the end of the file.
 * The byte behind the last line may be written, too. */
MUST_CHECK enum status lines_next(struct lines *lines, char **line, size_t *len, struct err *err);

#endif
