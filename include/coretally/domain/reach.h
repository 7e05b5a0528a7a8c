/* SPDX-License-Identifier: MIT */
/* What a change of corrections moves, added up item by item; and the joints of a splice. */
#ifndef CORETALLY_DOMAIN_REACH_H
#define CORETALLY_DOMAIN_REACH_H

#include "coretally/domain/depth.h"
#include "coretally/domain/rule.h"

enum reach_item { REACH_CORES, REACH_SECTIONS, REACH_SAMPLES, REACH_BAGS, REACH_ITEM_COUNT };
extern const char *const reach_words[];

struct reach_count {
    size_t moved;
    size_t lost;  /* has no depth any more */
    size_t found; /* has one now */
    int64_t least_um;
    int64_t greatest_um;
    double sum_m;
};

enum { REACH_UPSETS_MAX = 20 };

struct reach {
    enum scale scale;
    struct reach_count counts[REACH_ITEM_COUNT];
    struct reach_count runs; /* cores without sections, by the tops of their runs on DSF: on other scales they have no
                              * depth */
    size_t evened;           /* cores that stay where they are, since their seafloor moves as far */
    int32_t upsets[REACH_UPSETS_MAX]; /* cores that would lie above the core before them, and did not */
    size_t upset_count;
    size_t above_count;  /* cores that would lie above the seafloor, and did not */
    int32_t above;       /* the first of them */
    size_t labels_stale; /* labels that show the depth of today, and would not */
    size_t labels_fresh; /* that do not, and would */
    size_t labels_gone;  /* whose thing stands, and would not under this name */
    const char *why;     /* why an item lost its depth; NULL */
    bool has_cores;      /* cores, sections and samples are looked at */
    bool has_bags;       /* bags are */
};

/* The scale on which corrections of a kind are seen first, and what they can move; NONE: bags alone, as a lag check. */
struct reach reach_of_kind(enum correction_kind kind);

/* One item before and after, or times of them that move alike. */
void reach_add(struct reach *reach, enum reach_item item, const struct depth *before, const struct depth *after,
               size_t times);
void reach_add_run(struct reach *reach, const struct depth *before, const struct depth *after);

/* The word for the scale on which an item is looked at: bags have MRF, MSF and TVD. */
const char *reach_scale_word(const struct reach *reach, enum reach_item item);

bool reach_is_empty(const struct reach *reach);

/* Mean shift of what moved, to the micrometre; LENGTH_NONE for nothing. */
int64_t reach_mean(const struct reach_count *count);

/* Orders upset, depths lost, nothing moved: told or doubted. hole is its name. */
void reach_check(const struct reach *reach, const char *hole, struct findings *findings);

/* So many ties no longer meet, the first of them in words. */
void ties_apart_check(size_t apart, const char *first, struct findings *findings);

/* An interval of a splice on CCSF. */
struct splice_joint {
    int32_t order;
    char name[NAME_TEXT_MAX]; /* where it begins */
    int64_t top_um;
    int64_t bottom_um;
};

/* Gaps and overlaps of more than this between joints in order are told and doubted; depths are given to 1 cm or 1 mm.
 */
#define SPLICE_SLACK_UM INT64_C(1000)
void splice_joints_check(const struct splice_joint *joints, size_t count, struct findings *findings);

#endif
