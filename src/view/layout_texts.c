/* SPDX-License-Identifier: MIT */
/* The layouts that come with the program: to print with, and to copy and change. Labels of one a page and the strip
 * have round sizes of ours. The sheets are cut into equal parts, by arithmetic alone: A4 (ISO 216, 210 x 297 mm) into 3
 * x 8, so 210 / 3 = 70 by 297 / 8 = 37.125 mm; 8.5 x 11 in into 2 x 5, so 8.5 / 2 = 4.25 by 11 / 5 = 2.2 in. What is
 * printed keeps 4 mm from the edges of a label, where sheets are cut and printers do not reach. */
#include "coretally/view/layout.h"

#include <string.h>

const struct layout_text layout_texts[] = {
    {"small", "one label of 50 x 25 mm a page, for a label printer",
     "# one label a page, for a label printer; lengths in mm\n"
     "label = 50 x 25\n"
     "symbol = qr | 0.5 x 0.5 | 20\n"
     "text = {name} | 20.5 x 0.8 x 29 x 7.8 | 9 bold\n"
     "text = {depth} | 20.5 x 8.7 x 29 | 8.5 bold\n"
     "text = {scale} | 20.5 x 12.4 x 14 | 8 bold\n"
     "text = check {check} | 34.5 x 12.4 x 15 | 7 bold right\n"
     "text = {what} {half} {copy} | 20.5 x 15.9 x 29 | 5\n"
     "text = {taken} | 20.5 x 18.1 x 29 | 5\n"
     "text = {hazard} | 0.5 x 20.6 x 49 | 9 bold centre\n"},
    {"large", "one label of 100 x 50 mm a page, for a label printer",
     "# one label a page, for a label printer; lengths in mm\n"
     "label = 100 x 50\n"
     "symbol = qr | 1 x 1 | 32\n"
     "text = {name} | 34 x 2 x 64 x 13 | 18 bold\n"
     "text = {depth} | 34 x 16 x 64 | 15 bold\n"
     "text = {scale} | 34 x 23 x 30 | 13 bold\n"
     "text = check {check} {copy} | 66 x 23 x 32 | 11 bold right\n"
     "text = {what} {half} {interval} | 34 x 29 x 64 | 8\n"
     "text = {purpose} {requester} | 2 x 33.2 x 96 | 8 cut\n"
     "text = {taken} | 2 x 37.2 x 48 | 7\n"
     "text = state {state}, printed {printed} | 51 x 37.2 x 47 | 7 right\n"
     "text = {hazard} | 1 x 41 x 98 x 8.5 | 16 bold centre\n"},
    {"strip", "a strip of 180 x 25 mm for the half of a section, with an arrow to its top",
     "# a strip along the half of a section, its left end at the top; lengths in mm\n"
     "label = 180 x 25\n"
     "top = 1 x 2 | 21 | left\n"
     "symbol = qr | 24 x 0.5 | 24\n"
     "text = {name} | 50 x 1.5 x 88 | 22 bold\n"
     "text = {depth} {scale} | 50 x 11.2 x 88 | 15 bold\n"
     "text = {what} {half} {copy} | 50 x 18.2 x 50 | 9\n"
     "text = check {check} | 101 x 18.2 x 37 | 9 bold right\n"
     "text = {hazard} | 140 x 1.5 x 38 x 13 | 13 bold centre\n"
     "text = {taken} | 140 x 15.5 x 38 | 7 right\n"
     "text = state {state} | 140 x 19 x 38 | 7 right\n"},
    {"a4", "24 labels of 70 x 37.125 mm on a sheet of A4",
     "# 24 labels on a sheet of A4; lengths in mm\n"
     "label = 70 x 37.125  # 210 / 3 by 297 / 8\n"
     "sheet = 210 x 297\n"
     "grid = 3 x 8          # columns x rows\n"
     "first = 0 x 0         # top left corner of the first label\n"
     "step = 70 x 37.125\n"
     "symbol = qr | 4 x 4.6 | 22\n"
     "text = {name} | 26.5 x 4.6 x 39.5 x 9 | 10.5 bold\n"
     "text = {depth} | 26.5 x 13.8 x 39.5 | 9 bold\n"
     "text = {scale} | 26.5 x 17.8 x 20 | 9 bold\n"
     "text = check {check} | 47 x 17.8 x 19 | 8 bold right\n"
     "text = {what} {half} {copy} | 26.5 x 21.8 x 39.5 | 6\n"
     "text = {taken} | 26.5 x 24.5 x 39.5 | 6\n"
     "text = {hazard} | 4 x 27.4 x 62 | 12 bold centre\n"},
    {"letter", "10 labels of 4.25 x 2.2 in on a sheet of Letter size",
     "# 10 labels on a sheet of 8.5 x 11 in\n"
     "label = 4.25in x 2.2in # 8.5 / 2 by 11 / 5\n"
     "sheet = 8.5in x 11in\n"
     "grid = 2 x 5          # columns x rows\n"
     "first = 0 x 0         # top left corner of the first label\n"
     "step = 4.25in x 2.2in\n"
     "symbol = qr | 7 x 6.5 | 30\n"
     "text = {name} | 38 x 6.5 x 62 x 13 | 17 bold\n"
     "text = {depth} | 38 x 20.5 x 62 | 14 bold\n"
     "text = {scale} | 38 x 27 x 30 | 12 bold\n"
     "text = check {check} {copy} | 69 x 27 x 31 | 10 bold right\n"
     "text = {what} {half} {interval} | 38 x 32.5 x 62 | 8\n"
     "text = {purpose} {requester} | 7 x 36.7 x 93 | 8 cut\n"
     "text = {taken} | 7 x 40.7 x 93 | 7\n"
     "text = {hazard} | 7 x 43.7 x 93 | 14 bold centre\n"},
    {"bag", "a tag of 80 x 50 mm for a wet bag, with room for a tie",
     "# a tag tied to a wet bag; the first 12 mm are left for the hole of the tie; lengths in mm\n"
     "label = 80 x 50\n"
     "symbol = qr | 11 x 1 | 26\n"
     "text = {name} | 37 x 2 x 41 x 11 | 14 bold\n"
     "text = {depth} | 37 x 13.5 x 41 | 12 bold\n"
     "text = {scale} | 37 x 18.8 x 20 | 12 bold\n"
     "text = check {check} | 58 x 18.8 x 20 | 10 bold right\n"
     "text = {what} {copy} | 37 x 24 x 41 | 7\n"
     "text = {taken} | 12 x 27.5 x 66 | 9 bold\n"
     "text = {expedition} {title} | 12 x 32.5 x 66 | 7 cut\n"
     "text = {hazard} | 12 x 37 x 66 x 11 | 18 bold centre\n"},
    {"vial", "a label of 40 x 18 mm for a vial, with a Data Matrix, which is smaller",
     "# one small label a page, for a label printer; lengths in mm\n"
     "label = 40 x 18\n"
     "symbol = matrix | 0.3 x 0.3 | 14.4\n"
     "text = {name} | 15 x 0.3 x 24.7 x 5.5 | 6.5 bold\n"
     "text = {depth} | 15 x 5.9 x 24.7 | 6 bold\n"
     "text = {scale} | 15 x 8.5 x 10 | 6 bold\n"
     "text = check {check} {copy} | 25 x 8.5 x 14.7 | 6 right\n"
     "text = {what} {half} | 15 x 11.2 x 24.7 | 5\n"
     "text = {hazard} | 0.5 x 14.8 x 39 | 7 bold centre\n"},
    {NULL, NULL, NULL}};

const struct layout_text *layout_text_find(const char *name)
{
    for (const struct layout_text *it = layout_texts; it->name; it++)
        if (strcmp(it->name, name) == 0)
            return it;
    return NULL;
}
