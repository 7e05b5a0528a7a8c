/* SPDX-License-Identifier: MIT */
/* Histories of two lines, joined by the room that joins them, and labels printed on either. */
#ifndef CORETALLY_TESTS_ASK_TWO_LINES_H
#define CORETALLY_TESTS_ASK_TWO_LINES_H

#include "rooms/scene.h"

/* A registry in which two sides did something of their own, the ship first. */
struct lines {
    const char *fork;
    const char *ship; /* the last act of each */
    const char *shore;
    const char *joined;
};

/* The branch back to a commit, as a station has it that has not seen what came after. */
void stand_back(struct room *room, const char *commit);

/* The branch with both, then an act, so that the state stands behind the join. Returns the join. */
const char *join_lines(struct room *room, const char *ship, const char *shore);

/* The commit of now; it lasts. */
const char *state_now(struct room *room);

/* The one label of a file, printed in the state of now. shows: its scale, and its depth where it has one. */
void print_label(struct room *room, const char *path, const char *head, const char *name, const char *shows);

/* The symbol of a label without a depth that was printed in a state. */
const char *scan(struct room *room, const char *name, const char *scale, const char *state);

/* "LABEL of THING, why it is stale", a line each; typed NULL: all. */
const char *labels_of(struct room *room, const char *typed);

#endif
