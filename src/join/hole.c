/* SPDX-License-Identifier: MIT */
/* The files of one hole. What one side alone changed is taken as it is. */
#include <string.h>

#include "names.h"

static enum status join_file(struct joining *joining, const struct hole_files *files, struct changed_file *file,
                             struct err *err)
{
    const char *const paths[VERSION_COUNT] = {file->path, file->path, file->path};
    const struct table *table = file->place.known->table;
    file->is_joined = true;
    if (file->place.known->kind == KNOWN_LOG_DAY)
        return join_log_day(joining, file, err);
    if (table == &label_set_table)
        return join_labels(joining, file->path, paths, err);
    return join_whole(joining, files->hole, file, err);
}

/* The rows of a day may be as they were, and who claims others is not. */
static enum status join_day_at(struct joining *joining, const char *path, bool *done, struct err *err)
{
    struct changed_file day = {.path = path};
    *done = registry_place(path, &day.place) && day.place.known->kind == KNOWN_LOG_DAY;
    if (!*done)
        return STATUS_OK;
    TRY(store_look(joining->base, path, day.base, err));
    return join_log_day(joining, &day, err);
}

/* A contradiction that both sides worked on belongs to a record that is joined; the rest is taken as it is. */
static enum status take_open(struct joining *joining, struct changed_file *file, struct err *err)
{
    const int side = changed_by(file, 1) && !changed_by(file, 0);
    const char *id = *file->sides[0] ? file->sides[0] : file->sides[1];
    struct contradiction open;
    bool is_done = false;
    file->is_joined = true;
    if (changed_by(file, 0) && changed_by(file, 1) && *id) {
        TRY(joining_decode(joining, id, file->path, &contradiction_table, &open, err));
        TRY(join_day_at(joining, open.path, &is_done, err));
    }
    return is_done ? STATUS_OK : joining_place(joining, file->path, file->sides[side], err);
}

/* Did one side change a day of the pump log, and the other one what is open of it? */
static bool is_day_of_both(struct joining *joining, const struct changed_file *file)
{
    const struct contradiction of = {.hole = file->place.hole, .path = file->path};
    char path[REGISTRY_PATH_MAX];
    if (file->place.known->kind != KNOWN_LOG_DAY)
        return false;
    contradiction_path(&of, path);
    const struct changed_file *open = joining_find(joining, path);
    return open && ((changed_by(file, 0) && changed_by(open, 1)) || (changed_by(file, 1) && changed_by(open, 0)));
}

enum status join_hole(struct joining *joining, const struct hole_files *files, struct err *err)
{
    struct named_cores cores;
    TRY(find_cores(joining, files, &cores, err));
    TRY(join_corrections(joining, files, &cores, err));
    TRY(join_bags(joining, files, err));
    TRY(join_cores(joining, &cores, err));
    for (size_t at = 0; at < files->count; at++) {
        struct changed_file *file = &files->files[at];
        const bool is_both = changed_by(file, 0) && changed_by(file, 1);
        if (file->is_joined || file->place.known->table == &contradiction_table)
            continue;
        if (is_both || joining_is_contested(joining, file->path) || is_day_of_both(joining, file))
            TRY(join_file(joining, files, file, err));
        else
            TRY(joining_place(joining, file->path, file->sides[changed_by(file, 1)], err));
    }
    for (size_t at = 0; at < files->count; at++)
        if (!files->files[at].is_joined && files->files[at].place.known->table == &contradiction_table)
            TRY(take_open(joining, &files->files[at], err));
    return STATUS_OK;
}
