/* SPDX-License-Identifier: MIT */
/* What the files of verify share about anchors. */
#ifndef CORETALLY_VERIFY_ANCHOR_PARTS_H
#define CORETALLY_VERIFY_ANCHOR_PARTS_H

#include "coretally/verify/anchor.h"

/* "line 3: ", or "" */
enum { ANCHOR_WHERE_MAX = 32 };
void anchor_where(const struct anchor_item *item, char out[ANCHOR_WHERE_MAX]);

/* Labels, sorted by their texts, against what is recorded as printed. */
MUST_CHECK enum status verify_anchor_labels(struct verify *verify, struct anchors *anchors, struct err *err);

#endif
