/* SPDX-License-Identifier: MIT */
/* Cores and their sections as plain values, and what follows from them by
 * adding: advance, curated and recovered length, where a section starts. */
#ifndef CORETALLY_DOMAIN_CORE_H
#define CORETALLY_DOMAIN_CORE_H

#include "coretally/domain/hole.h"

/* The core catcher's place: after every numbered section. */
enum { SECTION_CATCHER = 1000 };

struct gap {        /* a void in a section */
    int64_t top_um; /* from the section top */
    int64_t bottom_um;
    bool closed; /* pushed shut: no longer inside the curated length */
};

struct whole_round { /* taken before splitting; the gap that it leaves counts */
    int64_t top_um;
    int64_t bottom_um;
    const char *purpose;
    const char *requester;
};

struct piece { /* hard rock, from the section top down */
    int32_t number;
    int64_t length_um;
    int64_t spacer_um; /* below the piece; LENGTH_NONE for none */
};

struct section {
    int32_t number; /* 0.., or SECTION_CATCHER */
    int64_t liner_um;
    int64_t curated_um; /* as archived; see section_curated */
    struct gap *gaps;
    size_t gap_count;
    struct whole_round *rounds;
    size_t round_count;
    struct piece *pieces;
    size_t piece_count;
    const char *remark;
    const char *withdrawn;
    int32_t version;
};

/* How the bottom of the run is known. */
enum advance_by { ADVANCE_PIPE, ADVANCE_RECOVERY, ADVANCE_UNKNOWN };
extern const char *const advance_words[];

struct core {
    const char *hole;
    int32_t number;
    char type;         /* letter from an open list */
    int64_t top_um;    /* drilled top */
    int64_t bottom_um; /* drilled bottom; LENGTH_NONE unless read from the pipe */
    enum datum datum;
    enum advance_by advance_by;
    struct instant on_deck;
    int64_t recovered_um; /* as measured on deck */
    int64_t liner_um;
    int64_t curated_um;     /* stated for the whole core; the sections fill it, maybe one by one */
    const char *order_note; /* why its top lies above that of an earlier core */
    const char *hazard;     /* what to beware of, as on the label */
    const char *remark;
    const char *was; /* names that it had before, "12H", the oldest first, separated by ' ' */
    const char *withdrawn;
    int32_t version;
    struct section *sections; /* by number, the catcher last */
    size_t section_count;
};

/* Type letters of published ocean drilling; an open list, unknown letters are accepted and told. */
struct core_type {
    char letter;
    const char *meaning;
    bool wide; /* its material may come from anywhere in its interval: not counted in advance */
};
/* NULL for a letter that is not in the list. */
const struct core_type *core_type_find(char letter);
bool core_is_wide(const struct core *core);

/* Curated length: as stated; else pieces and spacers; else liner less the voids pushed shut; else LENGTH_NONE. */
int64_t section_curated(const struct section *section);
int64_t section_recovered(const struct section *section);

/* "3" or "CC". */
enum { SECTION_TEXT_MAX = 12 };
void section_format(int32_t number, char out[SECTION_TEXT_MAX]);
bool section_parse(const char *string, int32_t *out);

/* The standing section with this number; NULL when there is none. */
const struct section *core_section(const struct core *core, int32_t number);
size_t core_standing_sections(const struct core *core);

/* Where a section starts below the core's top: the curated lengths above it, withdrawn ones left out.
 * LENGTH_NONE when a length above is not recorded (then *missing is that section). */
int64_t core_section_start(const struct core *core, int32_t number, int32_t *missing);

/* Sum over the sections that stand; LENGTH_NONE with none, or with one of unknown length. */
int64_t core_curated(const struct core *core);
/* Of the stated curated length what the sections do not hold: those are still to come. 0 where nothing is stated, or a
 * length is not known. */
int64_t core_unsectioned(const struct core *core);
/* Curated length of the whole core: the sections and what of the stated length is still to come. LENGTH_NONE as for
 * core_curated. */
int64_t core_length(const struct core *core);
/* Recovered as measured; else pieces, else curated, with what is still to come. LENGTH_NONE when nothing is known. */
int64_t core_recovered(const struct core *core);
/* Bottom of the run: as read, or top + recovered when the advance is taken from recovery; else LENGTH_NONE. */
int64_t core_bottom(const struct core *core);
int64_t core_advance(const struct core *core);

#endif
