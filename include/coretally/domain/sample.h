/* SPDX-License-Identifier: MIT */
/* Samples as plain values, and how one is told from another inside its core. */
#ifndef CORETALLY_DOMAIN_SAMPLE_H
#define CORETALLY_DOMAIN_SAMPLE_H

#include "coretally/domain/core.h"
#include "coretally/base/limits.h"

/* Archive and working half, whole round (taken before splitting). */
enum half { HALF_NONE, HALF_WORKING, HALF_ARCHIVE, HALF_WHOLE };
extern const char *const half_words[];

struct sample {
    int32_t section;
    enum half half;
    int64_t top_um; /* from the section top, as typed */
    int64_t bottom_um;
    int32_t ordinal;   /* 0, or 2.. for further samples of the very same interval and half */
    const char *of;    /* a sub-sample: key of its parent, "3W,45-47" */
    int32_t number;    /* a sub-sample: 1.. under its parent; 0 otherwise */
    double volume_cm3; /* NAN: not recorded */
    double mass_g;
    const char *purpose;
    const char *requester;
    struct instant taken;
    bool used_up;       /* nothing is left of the interval in this half */
    const char *hazard; /* what to beware of, as on the label */
    const char *lab_id;
    const char *was;   /* keys it had before, separated by ' '; that before a join has a commit (minted.h) */
    const char *doubt; /* rules it was kept against, separated by ' ' */
    const char *remark;
    const char *withdrawn;
    int32_t version;
};

/* The samples of one core, in the order of sample_order. */
struct sample_set {
    const char *hole;
    int32_t core;
    struct sample *samples;
    size_t sample_count;
};

/* A key names a sample inside its core: "3W,45-47", "CC,5-7#2", "3W,45-47/1/2". */
enum { SAMPLE_KEY_MAX = 120 };
void sample_key(const struct sample *sample, char out[SAMPLE_KEY_MAX]);

/* Section, top, bottom, half, ordinal; the sub-samples after the samples of their section. Total over the keys of a
 * core. */
int sample_order(const void *a, const void *b);

/* The sample with this key among count sorted samples, whether it stands or not; NULL when there is none. */
const struct sample *sample_find(const struct sample *samples, size_t count, const char *key);

/* Had it this key before it was amended, or before registries were joined? */
bool sample_was(const struct sample *sample, const char *key);

/* The first one that had this key; NULL when there is none. */
const struct sample *sample_find_former(const struct sample *samples, size_t count, const char *key);

/* The same sample in two states of its core: by its key or, where it was renamed, by a key that it had before. One side
 * is NULL where it is not there. pairs: room for both counts together; in the order of the second state, what it does
 * not have last. Returns how many. Both lists are in the order of sample_order. */
struct sample_pair {
    const struct sample *before;
    const struct sample *after;
};
size_t sample_pairs_find(const struct sample *before, size_t before_count, const struct sample *after,
                         size_t after_count, struct sample_pair *pairs);

/* One more than the highest number among the samples like this one, withdrawn ones and names from before an amendment
 * counted, since labels carry them: its ordinal, or its number under its parent. */
int32_t sample_next_number(const struct sample *samples, size_t count, const struct sample *like);

/* Is word one of the words of list (was, doubt), which are separated by one space? */
bool sample_list_has(const char *list, const char *word);

#endif
