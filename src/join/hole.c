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

/* A contradiction that both sides worked on belongs to a record that is joined; the rest is taken as it is. */
static enum status take_open(struct joining *joining, struct changed_file *file, struct err *err)
{
    const int side = changed_by(file, 1) && !changed_by(file, 0);
    file->is_joined = true;
    return joining_place(joining, file->path, file->sides[side], err);
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
        if (is_both || joining_is_contested(joining, file->path))
            TRY(join_file(joining, files, file, err));
        else
            TRY(joining_place(joining, file->path, file->sides[changed_by(file, 1)], err));
    }
    for (size_t at = 0; at < files->count; at++)
        if (!files->files[at].is_joined && files->files[at].place.known->table == &contradiction_table)
            TRY(take_open(joining, &files->files[at], err));
    return STATUS_OK;
}
