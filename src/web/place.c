#include "web/place.h"

#include "web/server.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define ENDING ".stanch"
enum { JOB_NAME = 100 };

static status no_place(const char *path, fault *why) {
    return fault_set(why, E_IO, "%.300s cannot be served: %.100s", path, strerror(errno));
}

static status split(const char *path, place *out, fault *why) {
    const char *slash = strrchr(path, '/');
    out->file = mem_copy_text(slash ? slash + 1 : path);
    out->folder = mem_copy_text(slash == path ? "/" : slash ? path : ".");
    if (!out->file || !out->folder) return fault_memory(why);
    if (slash && slash != path) out->folder[slash - path] = '\0';
    return OK;
}

status place_open(const char *path, place *out, fault *why) {
    struct stat is;
    *out = (place){0};
    if (stat(path, &is) != 0) return no_place(path, why);
    if (!S_ISDIR(is.st_mode) && !S_ISREG(is.st_mode))
        return fault_set(why, E_IO, "%.300s cannot be served: it is neither a job file nor a folder", path);
    if (access(path, R_OK | (S_ISDIR(is.st_mode) ? X_OK : 0)) != 0) return no_place(path, why);
    status code = OK;
    if (S_ISREG(is.st_mode))
        code = split(path, out, why);
    else if (!(out->folder = mem_copy_text(path)))
        code = fault_memory(why);
    if (code != OK) place_close(out);
    return code;
}

void place_close(place *p) {
    mem_free(p->folder);
    mem_free(p->file);
    *p = (place){0};
}

/* Length of the job's name in a file's name; 0 when the file is no job of ours. */
static size_t job_length(const place *p, const char *file) {
    size_t n = strlen(file), ending = strlen(ENDING);
    bool ends = n > ending && strcmp(file + n - ending, ENDING) == 0;
    if (p->file) return strcmp(file, p->file) != 0 ? 0 : ends ? n - ending : n;
    return ends && file[0] != '.' && text_is_utf8(file, n) ? n - ending : 0;
}

/* The next job of the listing: its file's name, *length bytes of which are the job's. NULL at the end. */
static const char *next_job(DIR *list, const place *p, size_t *length) {
    for (struct dirent *entry; (entry = readdir(list)) != NULL;) {
        struct stat is;
        *length = job_length(p, entry->d_name);
        if (*length > 0 && fstatat(dirfd(list), entry->d_name, &is, 0) == 0 && S_ISREG(is.st_mode))
            return entry->d_name;
    }
    return NULL;
}

status web_job_path(const web_request *r, web_response *out, const char **path, fault *why) {
    const place *p = web_server_place(r->server);
    const char *wanted = r->variables[0];
    size_t n = strlen(wanted), length;
    DIR *list = opendir(p->folder);
    if (!list) return no_place(p->folder, why);
    *path = NULL;
    for (const char *file; !*path && (file = next_job(list, p, &length)) != NULL;)
        if (length == n && memcmp(file, wanted, n) == 0) {
            *path = arena_print(r->memory, "%s/%s", p->folder, file);
            if (!*path) break;
        }
    closedir(list);
    return *path ? OK : web_missing(out, why, "there is no job %.100s here", wanted);
}

static int by_name(const void *a, const void *b) {
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

status web_jobs(const web_request *r, const char ***names, size_t *n, fault *why) {
    const place *p = web_server_place(r->server);
    status code = OK;
    size_t length;
    DIR *list = opendir(p->folder);
    *names = NULL;
    *n = 0;
    if (!list) return no_place(p->folder, why);
    for (const char *file; code == OK && (file = next_job(list, p, &length)) != NULL;) {
        const char **grown = arena_push(r->memory, *names, n, sizeof *grown);
        if (grown) *names = grown;
        char *name = grown ? arena_get(r->memory, length + 1, 1) : NULL;
        if (name)
            (*names)[*n - 1] = memcpy(name, file, length);
        else
            code = fault_memory(why);
    }
    closedir(list);
    if (code == OK && *n > 1) qsort(*names, *n, sizeof **names, by_name);
    return code;
}

/* Letters, digits and a few signs in any script; nothing that a shell, a path or a listing could take for more. */
static bool is_file_name(const char *job) {
    size_t n = strlen(job);
    if (n == 0 || n > JOB_NAME || job[0] == '.' || job[0] == '-' || job[0] == ' ' || job[n - 1] == ' ')
        return false;
    for (size_t i = 0; i < n; i++)
        if ((unsigned char)job[i] < 0x20 || strchr("/\\:*?\"<>|%\x7f", job[i])) return false;
    return text_is_utf8(job, n);
}

status web_job_place(const web_request *r, const char *job, const char **path, fault *why) {
    const place *p = web_server_place(r->server);
    struct stat is;
    if (p->file)
        return fault_set(why, E_STATE, "one job file is served here; serve its folder to make others");
    if (!is_file_name(job))
        return fault_set(
            why, E_INPUT,
            "the job is called \"%.120s\"; a name has 1 to %d bytes, begins with a letter or digit and has "
            "none of / \\ : * ? \" < > | %%",
            job, JOB_NAME);
    *path = arena_print(r->memory, "%s/%s%s", p->folder, job, ENDING);
    if (!*path) return fault_memory(why);
    if (lstat(*path, &is) == 0) return fault_set(why, E_STATE, "there is a job %.100s already", job);
    return OK;
}
