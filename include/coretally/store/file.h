/* SPDX-License-Identifier: MIT */
/* Opening a file by a path that somebody typed, or that lies in a registry's folder. Anything may stand there: a pipe
 * makes open(2) wait for its other end for ever, a device may act on being opened, and a symbolic link leads where it
 * pleases. What is opened here is a regular file or nothing, and nothing here waits.
 *
 *     Reading what lies in a folder, links allowed:
 *         TRY(file_open_regular(path, O_RDONLY, 0, &fd, err));
 *     Writing a file of our own, which nobody may have put there before, as a link least of all:
 *         TRY(file_open_regular(path, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW, 0666, &fd, err));
 *     Writing into one that may be there:
 *         TRY(file_open_regular(path, O_RDWR | O_CREAT | O_NOFOLLOW, 0666, &fd, err));
 *
 * A file that people are to have is made so that nothing which is there is lost, and nothing is said to be there that
 * the disk does not have yet:
 *
 *         TRY(file_check_free(path, false, err));
 *         TRY(file_write_beside(path, bytes, beside, err));      written and synced
 *         ... what must come between, such as the act that says so
 *         TRY(file_settle(beside, path, false, err));            in its place, the folder synced
 */
#ifndef CORETALLY_STORE_FILE_H
#define CORETALLY_STORE_FILE_H

#include <stdbool.h>
#include <stdio.h>
#include <sys/types.h>

#include "coretally/base/text.h"

/* open(2) with its flags and mode, O_CLOEXEC added. Close *out with close(2). err->subject is the path:
 *     STATUS_UNKNOWN   there is none (ENOENT, ENOTDIR)
 *     STATUS_EXISTS    O_EXCL, and something is there
 *     STATUS_INPUT     what is there is a folder, a pipe, a device, a socket, or with O_NOFOLLOW a symbolic link
 *     STATUS_SYSTEM    it could not be opened
 * A file of the registry's own folder that is refused as STATUS_INPUT is none of the user's input: callers there set
 * err->status to what it is for them. O_TRUNC empties the file after it was looked at, not before. */
MUST_CHECK enum status file_open_regular(const char *path, int flags, mode_t mode, int *out, struct err *err);

/* The same for reading, as a stream; fclose(3) it. */
MUST_CHECK enum status file_open_read(const char *path, FILE **out, struct err *err);

/* A text that was typed as an argument: a regular file, or what this process was handed open already, as a shell does
 * in "coretally trace --file <(command)" and for /dev/stdin: a pipe without a name, or a terminal. A pipe with a name
 * is refused: nobody may be at its other end. */
MUST_CHECK enum status file_open_typed(const char *path, FILE **out, struct err *err);

enum { FILE_PATH_MAX = 4096 + 64 };

/* STATUS_EXISTS where something stands at path; with replace a regular file, but nothing else, may stand there. */
MUST_CHECK enum status file_check_free(const char *path, bool replace, struct err *err);

/* The bytes as a new file beside path, named PATH.part-PROCESS (and a number where that is taken), synced; so is its
 * folder. Nothing is left where it fails. */
MUST_CHECK enum status file_write_beside(const char *path, struct bytes bytes, char beside[FILE_PATH_MAX],
                                         struct err *err);

/* The same for who writes by other means: into fd, which file_close_beside closes in every case. is_written false: that
 * failed, as err says; the file is taken away. */
MUST_CHECK enum status file_open_beside(const char *path, char beside[FILE_PATH_MAX], int *fd, struct err *err);
MUST_CHECK enum status file_close_beside(const char *path, const char *beside, int fd, bool is_written,
                                         struct err *err);

/* That file into its place, and the folder synced. What has come there meanwhile is judged as by file_check_free. Where
 * it fails the file stays where it is, unless the place has it. */
MUST_CHECK enum status file_settle(const char *beside, const char *path, bool replace, struct err *err);

/* The folder that holds path: the names in it are on disk. */
MUST_CHECK enum status file_sync_folder(const char *path, struct err *err);

#endif
