/* file.h - a file as a whole, in and out. Threads  no shared state. */
#ifndef STANCH_CORE_FILE_H
#define STANCH_CORE_FILE_H

#include "core/fault.h"

#define FILE_INPUT_LIMIT ((size_t)256 * 1024 * 1024)

/* The whole of a file ("-": standard input), NUL-terminated, at most FILE_INPUT_LIMIT bytes. *out is the
 * caller's (mem_free). E_IO names the path and the reason, E_INPUT a file too large. */
status file_read(const char *path, char **out, size_t *length, fault *why);

/* The same of a name that somebody else gave: a plain file only. E_IO for a link, a pipe or a device, which could lead elsewhere
 * or never end. */
status file_read_plain(const char *path, char **out, size_t *length, fault *why);

/* A folder that is there, or is made (not those above it). E_IO names it and the reason. */
status file_make_folder(const char *folder, fault *why);

/* Write through a temporary file beside `path`, synced and renamed: all or nothing. */
status file_write(const char *path, const void *bytes, size_t length, fault *why);

#endif
