/* SPDX-License-Identifier: MIT */
/* A join under way. Inside the join room only. The two sides stand in the order of their ids, so that nothing depends
 * on which of them is here and which came. */
#ifndef CORETALLY_JOIN_JOINING_H
#define CORETALLY_JOIN_JOINING_H

#include <string.h>

#include "coretally/join/join.h"
#include "coretally/record/items.h"
#include "coretally/store/merge.h"
#include "coretally/store/registry.h"

/* An act of one side that the other does not have. */
struct side_act {
    char id[COMMIT_ID_MAX];
    int64_t time_us; /* it was done */
    char parent[COMMIT_ID_MAX];
    struct differences changed; /* against the parent; read when it is asked for */
    bool is_read;
};

struct side {
    char tip[COMMIT_ID_MAX];
    struct store *store;   /* stands there */
    struct side_act *acts; /* parents before children; read when the first is asked for */
    size_t act_count;
    bool has_acts;
    bool has_joins; /* it joined others on the way */
};

/* A file that at least one side changed; an id is "" where there is none. */
struct changed_file {
    const char *path;
    char base[COMMIT_ID_MAX];
    char sides[SIDES_MAX][COMMIT_ID_MAX];
    struct place_known place;
    bool is_joined; /* what it holds went into a joined file */
    bool is_placed; /* placed stands there in the join, "": nothing; else what the first side has */
    char placed[COMMIT_ID_MAX];
};

struct commit_names {
    const char **items;
    size_t count;
    size_t room;
};

struct joining {
    struct store *store; /* that writes the objects */
    struct arena *arena;
    struct store *base; /* stands at the last common state */
    char base_id[COMMIT_ID_MAX];
    struct side sides[SIDES_MAX];
    struct changed_file *files; /* by path */
    size_t file_count;
    struct placed *placed; /* at paths that neither side changed */
    size_t placed_count;
    size_t placed_room;
    struct joined *out;
    struct commit_names contested; /* paths of records: joining_is_contested */
    const char *open_hole;         /* asked for last: has any version a contradiction in it? */
    bool is_open_asked;
    bool has_open;
    size_t contradiction_room;
    size_t renumbered_room;
};

/* Which version of a file: one of the sides, or the common one. */
enum version { VERSION_FIRST, VERSION_SECOND, VERSION_BASE, VERSION_COUNT };

static inline bool changed_by(const struct changed_file *file, int side)
{
    return strcmp(file->base, file->sides[side]) != 0;
}

/* --- joining.c --- */

/* By path; for qsort. */
int changed_file_order(const void *a, const void *b);
/* The file of a path among those that changed; NULL. */
struct changed_file *joining_find(struct joining *joining, const char *path);
/* Is something open about the record at the path on which both sides worked, although not both changed the record? */
bool joining_is_contested(const struct joining *joining, const char *path);
bool joining_is_placed(struct joining *joining, const char *path);
/* The bytes of this id, or none, go to the path. */
MUST_CHECK enum status joining_place(struct joining *joining, const char *path, const char *id, struct err *err);
/* All that is placed, for the tree of the first side. */
MUST_CHECK enum status joining_gather(struct joining *joining, struct placed **out, size_t *count, struct err *err);
/* An encoded record goes to its own path. */
MUST_CHECK enum status joining_write(struct joining *joining, const struct table *table, const void *record,
                                     struct err *err);
/* A record as a version has it at a path. */
MUST_CHECK enum status joining_read(struct joining *joining, enum version version, const char *path,
                                    const struct table *table, void *record, bool *there, struct err *err);
MUST_CHECK enum status joining_decode(struct joining *joining, const char *id, const char *path,
                                      const struct table *table, void *record, struct err *err);

/* --- side.c: which act --- */

/* A record in a version of its file, or the file as a record. */
struct spot_at {
    char path[REGISTRY_PATH_MAX];
    const struct table *table;
    const struct field *list; /* NULL: the file is the record */
    int32_t number;           /* of an item that has a number */
    const char *key;          /* of a sample; NULL */
};
/* The item in a version of the file; NULL. */
const void *spot_pick(const struct spot_at *spot, const void *file);

struct act_at {
    char id[COMMIT_ID_MAX];
    int64_t time_us;
};
/* Is a the earlier act? */
bool act_is_before(const struct act_at *a, const struct act_at *b);
/* When an act was done; of a commit that is not there, which a damaged record may name: before all others. */
MUST_CHECK enum status act_find(struct joining *joining, const char *id, struct act_at *out, struct err *err);

/* The at-th act of a side, parents before children, and what it changed at the path; NULL: there are no more, nothing.
 */
MUST_CHECK enum status side_change(struct joining *joining, int side, size_t at, const char *path,
                                   struct side_act **act, const struct difference **change, struct err *err);

/* The act of a side that gave the field its present value; field NULL: that recorded the item, of which *created is
 * what it was then (NULL: not found). Acts named in not_these are passed over. Where no act can be told, the tip of the
 * side stands for it. */
struct blamed {
    struct act_at act;
    const void *created;
    bool is_found;
};
MUST_CHECK enum status side_blame(struct joining *joining, int side, const struct spot_at *spot,
                                  const struct field *field, const struct commit_names *not_these, struct blamed *out,
                                  struct err *err);

/* The newest act of a side that touched the file. */
MUST_CHECK enum status side_last(struct joining *joining, int side, const char *path, struct act_at *out,
                                 struct err *err);

/* Did the side do a before b? */
bool side_is_before(const struct joining *joining, int side, const struct act_at *a, const struct act_at *b);

/* The acts of a side that touched one of the files, and were followed by no other such act: one on each line. */
struct act_list {
    struct act_at *items;
    size_t count;
    size_t room;
};
MUST_CHECK enum status side_heads(struct joining *joining, int side, const char *const *paths, size_t count,
                                  struct act_list *out, struct err *err);

/* All acts of a side that touched the file, the oldest first, with the id that it had after each. */
struct touch {
    struct act_at act;
    char newer[COMMIT_ID_MAX];
};
MUST_CHECK enum status side_touches(struct joining *joining, int side, const char *path, struct touch **out,
                                    size_t *count, struct err *err);

/* --- fields.c: one record --- */

struct three {
    const void *base; /* NULL: not there */
    const void *sides[SIDES_MAX];
};
struct subject {
    const char *hole;                 /* NULL: the expedition */
    const char *path;                 /* where the joined record will be */
    const char *item;                 /* how a contradiction names it; NULL: the file is the record */
    const char *items[VERSION_COUNT]; /* how one of a version names it; NULL: the same */
    const char *base_path;            /* of its file in the common state; NULL: as the first side has it */
    const struct table *table;
    struct spot_at spots[SIDES_MAX]; /* where each side has it */
    bool is_named;                   /* its name is joined already: what identifies it is left as it is in out */
    /* Composed of both sides it would be no record, or not what either meant: one side stands in all that differs, by
     * the later of these acts; the rest is open. NULL: composed. */
    const struct act_at *forced;
    const struct act_at *acts; /* that set the field on either side, where it is not found in one file; NULL */
    int standing;              /* the value of side 0 (1) or 1 (2) stands, whichever act was later; 0: by the acts */
};
/* The fields of a record that both sides have. out: room for it; lists whose items have versions are left to the
 * caller, as the first side has them. */
MUST_CHECK enum status join_fields(struct joining *joining, const struct subject *subject, const struct three *three,
                                   void *out, struct err *err);
/* The same where the fields of both sides do not go together: those of the later act, the rest is open. */
MUST_CHECK enum status join_as_one(struct joining *joining, const struct subject *subject, const struct three *three,
                                   void *out, struct err *err);
/* Equal in all but version and former numbers? */
bool is_same_thing(const struct table *table, const void *a, const void *b);
/* One list of words, a space between, from two and what both began with; NULL: none. */
MUST_CHECK enum status join_words(struct joining *joining, const char *base, const char *const sides[SIDES_MAX],
                                  const char **out, struct err *err);

/* --- claims.c: one field --- */

/* Both changed the field, or there is a contradiction about it already: which value stands, and the file of what is
 * open. *standing: the side that has it. */
MUST_CHECK enum status join_claims(struct joining *joining, const struct subject *subject, const struct field *field,
                                   const struct three *three, int *standing, struct err *err);
/* The side whose value will stand; nothing is written. */
MUST_CHECK enum status claims_standing(struct joining *joining, const struct subject *subject,
                                       const struct field *field, const struct three *three, int *standing,
                                       struct err *err);
/* What is open about a thing that one side alone has goes where the thing goes when it gets another name. */
struct moved {
    const char *hole;
    const struct table *table;
    int side;
    const char *from; /* the file, as the side has it */
    const char *to;
    const char *older; /* the item */
    const char *newer;
};
MUST_CHECK enum status move_claims(struct joining *joining, const struct moved *moved, struct err *err);
/* Is anything open about the field on either side, or was? */
MUST_CHECK enum status has_claims(struct joining *joining, const struct subject *subject, const struct field *field,
                                  bool *out, struct err *err);

/* A contradiction of this join, told once. */
MUST_CHECK enum status tell_contradiction(struct joining *joining, const struct contradiction *told, struct err *err);

/* --- minted.c: numbers that both gave out --- */

struct minted {
    int32_t claimed; /* the number that it was recorded under */
    bool is_fixed;   /* known to both: it keeps its number */
    struct act_at act;
    int32_t number; /* out */
};
/* Earlier acts keep what they claimed; the others get the smallest numbers above that nobody claimed. is_taken (may be
 * NULL): numbers that are in use besides. */
typedef bool minted_taken(const void *context, int32_t number);
MUST_CHECK enum status minted_assign(struct joining *joining, struct minted *items, size_t count,
                                     minted_taken *is_taken, const void *context, struct err *err);

/* --- numbered.c: things that are called by a number --- */

struct numbered_in {
    const struct table *table;
    const char *hole;
    struct items base;
    struct items sides[SIDES_MAX];
    minted_taken *is_taken; /* numbers in use that are not among them; NULL */
    const void *context;
    /* Where an item stands in the files of a version, by its number there. */
    void (*spot)(const struct numbered_in *in, int32_t number, struct spot_at *out);
    const void *files; /* for spot */
};
struct numbered_out {
    char *items; /* in no order */
    size_t count;
    int32_t *numbers[VERSION_COUNT]; /* of each item, what each version has it under; 0: it does not have it */
};
MUST_CHECK enum status join_numbered(struct joining *joining, const struct numbered_in *in, struct numbered_out *out,
                                     struct err *err);
/* former.c: the former numbers of a side that history does not bear out are taken from its items. */
MUST_CHECK enum status formers_believed(struct joining *joining, struct numbered_in *in, int side, struct err *err);
/* A renaming told: joined.renumbered. */
MUST_CHECK enum status tell_renumbered(struct joining *joining, const struct renumbered *told, struct err *err);
/* was: "OLD@COMMIT". */
MUST_CHECK enum status minted_word(struct joining *joining, const char *before, const char *old, const char *commit,
                                   const char **out, struct err *err);

/* --- samples.c, labels.c, log.c, corrections.c, bags.c, cores.c, hole.c --- */

struct core_files {
    const char *hole;
    int32_t numbers[VERSION_COUNT]; /* that each version has it under; 0: not there */
    int32_t number;                 /* in the join */
};
MUST_CHECK enum status join_samples(struct joining *joining, const struct core_files *core, struct err *err);
MUST_CHECK enum status join_labels(struct joining *joining, const char *path, const char *const paths[VERSION_COUNT],
                                   struct err *err);
MUST_CHECK enum status join_signatures(struct joining *joining, const char *path,
                                       const char *const paths[VERSION_COUNT], struct err *err);
/* Both sides signed the act. */
MUST_CHECK enum status join_act_signatures(struct joining *joining, const char *path, struct err *err);
MUST_CHECK enum status join_log_day(struct joining *joining, struct changed_file *file, struct err *err);

/* The files of a hole that changed. */
struct hole_files {
    const char *hole;
    struct changed_file *files;
    size_t count;
};
struct named_cores; /* names.h: found once for a hole */
MUST_CHECK enum status join_corrections(struct joining *joining, const struct hole_files *files,
                                        const struct named_cores *cores, struct err *err);
MUST_CHECK enum status join_bags(struct joining *joining, const struct hole_files *files, struct err *err);
MUST_CHECK enum status join_cores(struct joining *joining, const struct named_cores *cores, struct err *err);
MUST_CHECK enum status join_hole(struct joining *joining, const struct hole_files *files, struct err *err);
/* A file that is one record, or a set of numbered ones. */
MUST_CHECK enum status join_whole(struct joining *joining, const char *hole, struct changed_file *file,
                                  struct err *err);

/* Both left out, or the same words. */
bool is_same_text(const char *a, const char *b);
/* A text of an item that its table may have. */
const char **text_of(const struct table *table, const char *field, const void *item); /* NULL: no such field */

#endif
