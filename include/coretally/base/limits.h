/* SPDX-License-Identifier: MIT */
/* Every limit of the program, each with its reason. A unit test meets each one. */
#ifndef CORETALLY_BASE_LIMITS_H
#define CORETALLY_BASE_LIMITS_H

#include <stdint.h>

/* Depths and lengths: the deepest ocean (11 km) and the deepest holes (12 km) together
 * stay below this; more is a slipped decimal point. */
#define LENGTH_LIMIT_UM ((int64_t)30000 * 1000000)

/* What one command may hold in memory; an import of two million rows stays below it. */
#define ARENA_LIMIT_BYTES ((size_t)6 << 30)

/* What a walk along a history keeps of the states behind it, twice: all of most histories, so that nothing is read
 * again; a thousand versions of a file with a thousand samples are let go one after the other. */
#define HISTORY_SHELF_BYTES ((size_t)32 << 20)
/* What is kept of what the names of a list lie in: a core with its samples, for the names after it. */
#define NAMES_SHELF_BYTES ((size_t)4 << 20)

enum {
    NAME_TEXT_MAX = 160,     /* longest sample name accepted or printed, bytes */
    CORE_NUMBER_MAX = 9999,  /* four digits keep the files of a hole in drilling order */
    CORE_STAYS_MAX = 16,     /* numbers that one core has had; its history is followed through all of them */
    SECTION_NUMBER_MAX = 99, /* two digits in the printed form */
    SUBSAMPLE_DEPTH_MAX = 4, /* a sample of a sample of a sample of a sample */
    SUBSAMPLE_NUMBER_MAX = 9999,
    ORDINAL_MAX = 9999,          /* samples that share one interval of one half */
    TEXT_FIELD_MAX = 2000,       /* a remark; more belongs into an attached file */
    JSON_NESTING_MAX = 8,        /* record > list > record > list > record is 5 */
    RECORD_BYTES_MAX = 64 << 20, /* one stored file; a core of 100 000 samples is 25 MB */
    LIST_ITEMS_MAX = 200000,     /* records in one file */
    FOLDER_NAMES_MAX = 100000,   /* one folder; 9999 cores have 30 000 files, a million bags 60 000 */
    FOLDER_NAME_BYTES_MAX = 255, /* one name in a folder; a file system holds no longer one, so no clone would */
    CSV_COLUMNS_MAX = 256,       /* columns of an imported table */
    CSV_CELL_MAX = 65536         /* bytes in one cell */
};

/* What git itself keeps: a name or an id is a line, the settings of a person a page; each file of them may include
 * others, some people have a dozen. Depths of includes and steps from reference to reference are libgit2's own. */
enum {
    REFERENCE_BYTES_MAX = 64 << 10,
    REFERENCE_STEPS_MAX = 6,
    SETTINGS_BYTES_MAX = 4 << 20,
    SETTINGS_FILES_MAX = 500,
    SETTINGS_DEEP_MAX = 10
};

/* A sample may end this far past the curated bottom of its section: published
 * tables do (14 of 19 286 at ODP Site 1264, by at most 1 cm). */
#define SAMPLE_PAST_END_UM ((int64_t)20000)

/* Common practice, no source: the longest advance of one coring run that is not
 * doubted, and the longest section; 9.5 m and 1.5 m typed in feet exceed both. */
#define ADVANCE_PLAIN_UM ((int64_t)20 * 1000000)
#define SECTION_PLAIN_UM ((int64_t)3 * 1000000)

/* A step of the hole's depth this large in deep water is rather the water: a depth below rig floor typed as one below
 * seafloor. Common practice, no source. */
#define DATUM_GAP_UM ((int64_t)300 * 1000000)

/* Depths read twice, rounded or converted, differ by this without a word; runs that overlap by more than the second are
 * doubted. Common practice, no source. */
#define DEPTH_SLACK_UM ((int64_t)50000)
#define OVERLAP_PLAIN_UM ((int64_t)1000000)

/* A sample thinner than this and this near the section top was rather typed in metres. Common practice, no source. */
#define SAMPLE_THIN_UM ((int64_t)2000)
#define SAMPLE_METRES_UM ((int64_t)16000)

/* More than a stand off bottom: what is pumped there does not lift what lies at the bottom. The first metres drilled
 * after cementing bring cement. Common practice, no source. */
#define OFF_BOTTOM_UM ((int64_t)40 * 1000000)
#define AFTER_CEMENT_UM ((int64_t)10 * 1000000)

/* No bore or pipe is narrower, and 12.25 typed for inches is; no bore is wider. Common practice, no source. */
#define NARROWEST_BORE_UM ((int64_t)50000)
#define NARROWEST_PIPE_UM ((int64_t)20000)
#define WIDEST_BORE_UM ((int64_t)2000000)

/* A tally slip of more than this is no joint or stand but a slipped digit, and a seafloor that moves by more another
 * place; a core shifted by more lies in another run. Common practice, no source. */
#define CORRECTION_PLAIN_UM ((int64_t)50 * 1000000)

/* A first core that began at the seafloor lies above it by as much as a seafloor found deeper; by more than this
 * something is wrong. Common practice, no source. */
#define ABOVE_PLAIN_UM ((int64_t)3 * 1000000)

/* 3000 m of drill pipe under its own weight, a pull and heat are longer by some metres; more is a unit mixed up. Common
 * practice, no source. */
#define STRETCH_LENGTH_UM ((int64_t)3000 * 1000000)
#define STRETCH_PLAIN_UM ((int64_t)9 * 1000000)

/* Times that may be typed, 1900-01-01 to the end of 2105: no core older than that has its time, and the times of
 * commits, which git keeps in 32 bits through the library that we use, end on 7 February 2106. Acts lie within what git
 * keeps. */
#define TIME_LEAST_US ((int64_t)-25567 * 86400 * 1000000)
#define TIME_MOST_US ((int64_t)49673 * 86400 * 1000000 - 1)
#define ACT_TIME_MOST_US ((int64_t)UINT32_MAX * 1000000)

/* The clocks of two stations differ by less than this; a pump log's clock from the ship's by less than the second.
 * Common practice, no source. */
#define CLOCK_SLACK_US ((int64_t)15 * 60 * 1000000)
#define LOG_CLOCK_SLACK_US ((int64_t)3600 * 1000000)

/* From when a well, a pump or a correction holds may be typed this long ahead, for what is planned. Common practice, no
 * source. */
#define AHEAD_US ((int64_t)24 * 3600 * 1000000)

/* Two cores that follow one another in a hole come on deck within this, unless the hole was left and entered again;
 * a month typed wrongly is more. A time this long ago gets a note where nothing is recorded to compare it with: it is a
 * year typed wrongly, or an archive. A bag is not collected for longer than the third. Common practice, no source. */
#define DECK_FAR_US ((int64_t)25 * 86400 * 1000000)
#define DECK_OLD_US ((int64_t)60 * 86400 * 1000000)
#define BAG_LONG_US ((int64_t)12 * 3600 * 1000000)

/* Holes that follow a layer go up by some degrees; a survey that points up more steeply has rather its columns swapped.
 * Common practice, no source. */
#define INCLINATION_PLAIN_DEG 120.0

/* A sidetrack of a sidetrack, and so on; a circle that was put in by hand ends here. */
enum { PARENTS_MAX = 8 };

/* Days of the pump log that stay at hand once they were read: a day of one-second rows takes about 6 MB decoded, so a
 * fortnight of such days, or two months of ten-second ones. */
enum { DAYS_SHELVED_MAX = 64, DAYS_SHELVED_BYTES = 96 << 20 };

/* A file attached as evidence: a scan or a table, not a film. */
enum { EVIDENCE_BYTES_MAX = 16 << 20 };

/* Recovered and summed curated length may differ by this before there is a note:
 * tables round to 1 cm. */
#define SUM_SLACK_UM ((int64_t)10000)

/* Sections that hold more than was recovered by this are doubted: a length typed twice. Common practice, no source. */
#define SUM_EXCESS_UM ((int64_t)500000)

#endif
