/* SPDX-License-Identifier: MIT */
/* Answers. A question is asked of one state of a registry, or of two: what a correction moves (reach.h), what an act
 * moves (touched.h, moves.h), what differs between two states (compare.h), what moved one thing and when (past.h,
 * past_walk.h), what is known of a name (trace.h), whether labels still show what they should (label_things.h,
 * label_trace.h), where a depth lies on another scale (convert.h, on_scales.h), how a depth came about (explain.h,
 * explain_bag.h), what corrections are and who stands by them (correction_facts.h, signed.h), what an audit tells
 * (audit.h), recovery (recovery.h), lists with depths (list.h), what is kept against doubt (kept.h). What the question
 * wants to know beyond the state comes in a small struct; the answer comes back as values, with lengths in micrometres
 * and words of the trade, in the arena of the state. Nothing here prints, knows options, or changes a registry; how an
 * answer looks, in which unit and columns, is made in cmd. It does not know act: what an act would move is asked of the
 * changes that it hands out.
 */
#ifndef CORETALLY_ASK_ASK_H
#define CORETALLY_ASK_ASK_H

#include "coretally/state/resolve.h"

#endif
