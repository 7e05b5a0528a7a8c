/* SPDX-License-Identifier: MIT */
/* Loose objects read so that one whose file was cut short is refused: libgit2 1.5 reads such a file for ever, since its
 * loop waits for bytes that do not come. This backend stands before those of libgit2 and reads the same files. A loose
 * object is a zlib stream of "type size", a NUL and the contents (git's gitformat-loose). Hashes are compared behind
 * it, as for every backend. */
#include <ctype.h>
#include <git2/sys/odb_backend.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>
#include <zlib.h>

#include "coretally/base/limits.h"
#include "coretally/store/file.h"
#include "internal.h"

enum { BEFORE_ALL = 100, HEAD_MAX = 64, BORROWED_DEEP_MAX = 5 /* libgit2 goes no deeper */ };

struct guard {
    git_odb_backend parent; /* first, since libgit2 hands back a pointer to it */
    char folder[PATH_TEXT_MAX];
    struct store *store;
    bool is_own;            /* the registry's own folder, none that it borrows from */
    git_odb_backend *packs; /* asked how long a packed object is, before libgit2 unpacks it */
};

static int refuse(const char *what)
{
    git_error_set_str(GIT_ERROR_ODB, what);
    return -1;
}

/* The machine failed, not the data. */
static int refuse_machine(const char *what)
{
    git_error_set_str(GIT_ERROR_OS, what);
    return -1;
}

static int refuse_memory(void)
{
    git_error_set_oom();
    return -1;
}

/* Before it is unpacked: a gigabyte of zeros is a megabyte packed. */
static int refuse_size(size_t size)
{
    char what[100];
    (void)snprintf(what, sizeof what, "%zu bytes are more than the %d that a record or a folder may have", size,
                   RECORD_BYTES_MAX);
    return refuse(what);
}

static void file_close_at(FILE **file)
{
    if (*file)
        (void)fclose(*file);
}

/* The file's bytes, for free(). */
static int read_file(FILE *file, unsigned char **out, size_t *len)
{
    struct stat info;
    if (fstat(fileno(file), &info) != 0)
        return refuse_machine("the file of this object cannot be read");
    *len = (size_t)info.st_size;
    if (*len > RECORD_BYTES_MAX + RECORD_BYTES_MAX / 64) /* what cannot be packed grows by less */
        return refuse_size(*len);
    *out = calloc(1, *len + 1);
    if (!*out)
        return refuse_memory();
    if (fread(*out, 1, *len, file) == *len)
        return 0;
    free(*out);
    return ferror(file) ? refuse_machine("the file of this object cannot be read")
                        : refuse("the file of this object is cut short");
}

/* "blob 4711": its type, and how many bytes follow. The count is held against what is there later. */
static int read_head(const char *head, size_t have, git_object_t *type, size_t *size)
{
    char word[16];
    char *after = NULL;
    const char *end = memchr(head, '\0', have);
    const size_t len = end ? strcspn(head, " ") : 0;
    if (!len || len >= sizeof word || head[len] != ' ' || !isdigit((unsigned char)head[len + 1]))
        return refuse("this object does not begin like one");
    (void)snprintf(word, sizeof word, "%.*s", (int)len, head);
    const unsigned long long counted = strtoull(head + len + 1, &after, 10);
    *size = (size_t)counted;
    *type = git_object_string2type(word);
    return after != end || *type == GIT_OBJECT_INVALID || counted > SIZE_MAX / 2
               ? refuse("this object is of no known type")
               : (int)(end - head) + 1;
}

/* The contents behind the head, all of them and nothing after. */
static int inflate_rest(z_stream *stream, char *data, size_t have, size_t size)
{
    int state = Z_OK;
    while (state == Z_OK && have < size) {
        const size_t left = size - have;
        stream->next_out = (unsigned char *)data + have;
        stream->avail_out = left > UINT32_MAX / 2 ? UINT32_MAX / 2 : (unsigned)left;
        const unsigned asked = stream->avail_out;
        state = inflate(stream, Z_NO_FLUSH);
        have += asked - stream->avail_out;
    }
    if (state == Z_OK) { /* the check sum is still to come */
        unsigned char more[1];
        stream->next_out = more;
        stream->avail_out = sizeof more;
        state = inflate(stream, Z_FINISH);
        have += sizeof more - stream->avail_out;
    }
    if (state == Z_MEM_ERROR)
        return refuse_memory();
    return state == Z_STREAM_END && have == size ? 0 : refuse("the file of this object was cut short or spoilt");
}

static int inflate_object(git_odb_backend *backend, z_stream *stream, void **data, size_t *len, git_object_t *type)
{
    char head[HEAD_MAX];
    size_t size = 0;
    stream->next_out = (unsigned char *)head;
    stream->avail_out = sizeof head;
    const int state = inflate(stream, Z_NO_FLUSH);
    const size_t have = sizeof head - stream->avail_out;
    if (state == Z_MEM_ERROR)
        return refuse_memory();
    const int used = state == Z_OK || state == Z_STREAM_END ? read_head(head, have, type, &size)
                                                            : refuse("the file of this object is spoilt");
    if (used < 0)
        return used;
    if (size > RECORD_BYTES_MAX)
        return refuse_size(size);
    const size_t begun = have - (size_t)used;
    if (begun > size || (state == Z_STREAM_END && begun != size))
        return refuse("this object is not as long as it says");
    if (size / 1100 > stream->total_in + (size_t)stream->avail_in) /* zlib packs to a thousandth at best */
        return refuse("this object is not as long as it says");
    char *whole = git_odb_backend_data_alloc(backend, size + 1);
    if (!whole)
        return -1;
    memcpy(whole, head + used, begun);
    if (state != Z_STREAM_END && inflate_rest(stream, whole, begun, size) != 0) {
        git_odb_backend_data_free(backend, whole);
        return -1;
    }
    whole[size] = '\0';
    *data = whole;
    *len = size;
    return 0;
}

/* A packed object is libgit2's to read, unless it is too long. */
static int check_packed(const struct guard *guard, const git_oid *id)
{
    size_t size = 0;
    git_object_t type = GIT_OBJECT_INVALID;
    if (guard->packs->read_header(&size, &type, guard->packs, id) == 0 && size > RECORD_BYTES_MAX)
        return refuse_size(size);
    git_error_clear();
    return GIT_PASSTHROUGH; /* packed, elsewhere, or nowhere: libgit2 looks */
}

static int guard_read(void **data, size_t *len, git_object_t *type, git_odb_backend *backend, const git_oid *id)
{
    const struct guard *guard = (const struct guard *)backend;
    char path[PATH_TEXT_MAX];
    char hex[COMMIT_ID_MAX];
    unsigned char *file_data = NULL;
    size_t file_len = 0;
    z_stream stream = {0};
    (void)git_oid_tostr(hex, sizeof hex, id);
    (void)snprintf(path, sizeof path, "%.4000s/%.2s/%s", guard->folder, hex, hex + 2);
    CLEANUP(file_close_at) FILE *file = NULL;
    struct err why = {0};
    const enum status opened = file_open_read(path, &file, &why);
    if (opened == STATUS_UNKNOWN)
        return check_packed(guard, id);
    if (opened != STATUS_OK)
        return opened == STATUS_INPUT ? refuse(why.reason) : refuse_machine(why.reason);
    if (read_file(file, &file_data, &file_len) != 0)
        return -1;
    int failed = file_len > UINT32_MAX          ? refuse("this object cannot be unpacked")
                 : inflateInit(&stream) == Z_OK ? 0
                                                : refuse_memory();
    if (!failed) {
        stream.next_in = file_data;
        stream.avail_in = (unsigned)file_len;
        failed = inflate_object(backend, &stream, data, len, type);
        (void)inflateEnd(&stream);
    }
    free(file_data);
    return failed;
}

/* What the file of an object is worth; not known where the machine failed. */
enum worth { WHOLE, TORN, NOT_KNOWN };

static enum worth look_whole(git_odb_backend *backend, const git_oid *id)
{
    void *data = NULL;
    size_t len = 0;
    git_object_t type = GIT_OBJECT_INVALID;
    git_oid now;
    if (guard_read(&data, &len, &type, backend, id) != 0) {
        const git_error *last = git_error_last();
        return last && last->klass == GIT_ERROR_ODB ? TORN : NOT_KNOWN;
    }
    const bool hashed = git_odb_hash(&now, data, len, type) == 0;
    git_odb_backend_data_free(backend, data);
    return !hashed ? NOT_KNOWN : git_oid_equal(&now, id) ? WHOLE : TORN;
}

/* Asked before an object is written: is it there already? libgit2 then leaves it as it is. Whoever wrote it may have
 * been killed before it was on disk, and a power cut leaves a name without bytes; our commit rests on it now. One that
 * is not whole is taken away and written anew. The answer is left to the next backend. */
static int guard_freshen(git_odb_backend *backend, const git_oid *id)
{
    const struct guard *guard = (const struct guard *)backend;
    char path[PATH_TEXT_MAX];
    char hex[COMMIT_ID_MAX];
    (void)git_oid_tostr(hex, sizeof hex, id);
    (void)snprintf(path, sizeof path, "%.4000s/%.2s/%s", guard->folder, hex, hex + 2);
    if (access(path, F_OK) != 0)
        return GIT_ENOTFOUND;
    if (!guard->store->may_mend)
        return 0; /* a reader that works something out in memory: it is there, and is not even touched */
    const enum worth worth = look_whole(backend, id);
    if (worth == NOT_KNOWN || (worth == WHOLE && !sync_file(path)) ||
        (worth == TORN && (!guard->is_own || unlink(path) != 0)))
        guard->store->is_unsynced = true;
    return GIT_ENOTFOUND;
}

static void guard_free(git_odb_backend *backend)
{
    struct guard *guard = (struct guard *)backend;
    if (guard->packs)
        guard->packs->free(guard->packs);
    free(guard);
}

static enum status add_one(git_odb *odb, const char *folder, struct store *store, struct err *err)
{
    const size_t len = strlen(store->common);
    struct guard *guard = calloc(1, sizeof *guard);
    if (!guard)
        return err_set(err, STATUS_SYSTEM, "memory", "could not open the objects of the registry");
    (void)snprintf(guard->folder, sizeof guard->folder, "%.4000s", folder);
    bool added = git_odb_init_backend(&guard->parent, GIT_ODB_BACKEND_VERSION) == 0 &&
                 git_odb_backend_pack(&guard->packs, folder) == 0;
    guard->store = store;
    guard->is_own = strncmp(folder, store->common, len) == 0 && strcmp(folder + len, "/objects") == 0;
    guard->parent.read = guard_read;
    guard->parent.freshen = guard_freshen;
    guard->parent.free = guard_free;
    added = added && git_odb_add_backend(odb, &guard->parent, BEFORE_ALL) == 0;
    if (added)
        return STATUS_OK;
    guard_free(&guard->parent);
    return git_refused(err, folder, "could not open the objects of the registry");
}

/* Folders whose objects this one borrows, as "git clone --shared" has it, and those that they borrow from. */
static enum status add_borrowed(git_odb *odb, const char *folder, struct store *store, int deep, struct err *err)
{
    char path[PATH_TEXT_MAX * 2];
    char line[PATH_TEXT_MAX];
    CLEANUP(file_close_at) FILE *file = NULL;
    struct err ignored;
    TRY(add_one(odb, folder, store, err));
    (void)snprintf(path, sizeof path, "%.4000s/info/alternates", folder);
    if (deep == BORROWED_DEEP_MAX || file_open_read(path, &file, &ignored) != STATUS_OK)
        return STATUS_OK;
    while (fgets(line, sizeof line, file)) {
        line[strcspn(line, "\r\n")] = '\0';
        if (!*line || *line == '#')
            continue;
        (void)snprintf(path, sizeof path, "%.4000s%s%s", *line == '/' ? "" : folder, *line == '/' ? "" : "/", line);
        TRY(add_borrowed(odb, path, store, deep + 1, err));
    }
    return STATUS_OK;
}

enum status guard_add(git_odb *odb, const char *folder, struct store *store, struct err *err)
{
    return add_borrowed(odb, folder, store, 0, err);
}
