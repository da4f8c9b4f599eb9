#include "core/file.h"

#include "core/mem.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PART_SIZE = 4096, PARTS_MOST = 100 };

static status read_all(FILE *from, const char *path, char **out, size_t *length, fault *why) {
    size_t size = (size_t)64 * 1024, used = 0;
    char *bytes = mem_get(size, 1);
    if (!bytes) return fault_memory(why);
    for (;;) {
        used += fread(bytes + used, 1, size - used - 1, from);
        if (used < size - 1) break;
        if (size > FILE_INPUT_LIMIT) {
            mem_free(bytes);
            return fault_set(why, E_INPUT, "%s: larger than %zu MiB, the limit for one input file", path,
                             FILE_INPUT_LIMIT >> 20);
        }
        char *more = mem_grow(bytes, size * 2, 1);
        if (!more) {
            mem_free(bytes);
            return fault_memory(why);
        }
        bytes = more;
        size *= 2;
    }
    if (ferror(from)) {
        mem_free(bytes);
        return fault_set(why, E_IO, "%s: cannot be read: %s", path, strerror(errno));
    }
    bytes[used] = '\0';
    *out = bytes;
    *length = used;
    return OK;
}

status file_read(const char *path, char **out, size_t *length, fault *why) {
    if (strcmp(path, "-") == 0) return read_all(stdin, "standard input", out, length, why);
    FILE *from = fopen(path, "rb");
    if (!from) return fault_set(why, E_IO, "%s: cannot be opened: %s", path, strerror(errno));
    struct stat about;
    status code;
    if (fstat(fileno(from), &about) == 0 && S_ISDIR(about.st_mode))
        code = fault_set(why, E_IO, "%s: is a folder, not a file", path);
    else
        code = read_all(from, path, out, length, why);
    fclose(from);
    return code;
}

status file_read_plain(const char *path, char **out, size_t *length, fault *why) {
    struct stat about;
    int at =
        open(path, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC); /* a pipe without a writer would wait */
    if (at < 0)
        return fault_set(why, E_IO, "%s: cannot be opened: %s", path,
                         errno == ELOOP ? "it is a link" : strerror(errno));
    FILE *from = fstat(at, &about) == 0 && S_ISREG(about.st_mode) ? fdopen(at, "rb") : NULL;
    if (!from) {
        close(at);
        return fault_set(why, E_IO, "%s: is no plain file", path);
    }
    status code = read_all(from, path, out, length, why);
    fclose(from);
    return code;
}

/* A file of our own beside `path`, as "path.part" or, when another writer has that one, "path.part1" ...: two who write one
 * path never write into each other's. */
static FILE *open_part(const char *path, char part[PART_SIZE]) {
    for (int i = 0; i < PARTS_MOST; i++) {
        char digits[16] = "";
        if (i > 0) snprintf(digits, sizeof digits, "%d", i);
        snprintf(part, PART_SIZE, "%s.part%s", path, digits);
        int file = open(part, O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, 0666);
        if (file < 0 && errno == EEXIST) continue;
        FILE *to = file < 0 ? NULL : fdopen(file, "wb");
        if (file >= 0 && !to) close(file);
        return to;
    }
    return fopen(part, "wb"); /* left behind, all of them */
}

status file_write(const char *path, const void *bytes, size_t length, fault *why) {
    char part[PART_SIZE];
    if (strlen(path) + sizeof ".part99" > sizeof part)
        return fault_set(why, E_IO, "%.200s...: the path is too long", path);
    FILE *to = open_part(path, part);
    if (!to) return fault_set(why, E_IO, "%s: cannot be written: %s", path, strerror(errno));
    bool good = fwrite(bytes, 1, length, to) == length && fflush(to) == 0 && fsync(fileno(to)) == 0;
    int reason = errno;
    if (fclose(to) != 0 && good) {
        good = false;
        reason = errno;
    }
    if (good && rename(part, path) != 0) {
        good = false;
        reason = errno;
    }
    if (good) return OK;
    remove(part);
    return fault_set(why, E_IO, "%s: cannot be written: %s", path, strerror(reason));
}

status file_make_folder(const char *folder, fault *why) {
    struct stat about;
    if (mkdir(folder, 0777) == 0) return OK;
    if (errno == EEXIST && stat(folder, &about) == 0 && S_ISDIR(about.st_mode)) return OK;
    return fault_set(why, E_IO, "%s: the folder cannot be made: %s", folder, strerror(errno));
}
