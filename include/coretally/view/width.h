/* SPDX-License-Identifier: MIT */
/* Columns that a text takes on a terminal: none for marks that combine with the letter before them and for characters
 * that are not seen, two for wide and fullwidth ones, else one. Which those are is Unicode's East Asian Width (UAX #11,
 * EastAsianWidth.txt) and general category, by the tables of libunistring; ambiguous characters (the en dash, the
 * degree sign) count one, as UAX #11 section 5 has it outside of East Asian character sets. A terminal may draw a
 * picture made of several characters narrower than their sum. */
#ifndef CORETALLY_VIEW_WIDTH_H
#define CORETALLY_VIEW_WIDTH_H

#include <stddef.h>

/* data: len bytes of UTF-8. A byte that is none counts one column, a control character none: show flaws first
 * (base/shown.h). */
size_t display_width(const char *data, size_t len);

#endif
