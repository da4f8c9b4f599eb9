#include "store/store_internal.h"

#include "store/log.h"
#include "store/schema.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { HEADER_BYTES = 100, PATH_BYTES = 4000 };

/* ---- sentences ---- */

static status fault_busy(const store *st, fault *why) {
    return fault_set(why, E_BUSY,
                     "%s: another process has kept it locked for %.3g s; nothing was changed, try again",
                     st->path, st->busy_ms / 1000.0);
}

static status fault_input_output(const store *st, int extended, const char *doing, fault *why) {
    if (extended == SQLITE_IOERR_NOMEM) return fault_memory(why);
    int reason = sqlite3_system_errno(st->db);
    if (reason == ENOSPC || reason == EDQUOT)
        return fault_set(why, E_IO, "%s: cannot be %s: no room left on the disk; nothing was changed",
                         st->path, doing);
    return fault_set(why, E_IO, "%s: cannot be %s: the disk reports an error%s%s; nothing was changed",
                     st->path, doing, reason ? ": " : "", reason ? strerror(reason) : "");
}

status store_fault(const store *st, int code, const char *doing, fault *why) {
    switch (code & 0xFF) {
    case SQLITE_NOMEM: return fault_memory(why);
    case SQLITE_BUSY:
    case SQLITE_LOCKED: return fault_busy(st, why);
    case SQLITE_NOTADB: return fault_set(why, E_FORMAT, "%s: is not a stanch job file", st->path);
    case SQLITE_CORRUPT:
        return fault_set(why, E_FORMAT, "%s: is damaged or cut short; restore it from a copy", st->path);
    case SQLITE_FULL:
        return fault_set(why, E_IO, "%s: cannot be %s: no room left on the disk; nothing was changed",
                         st->path, doing);
    case SQLITE_READONLY:
        return fault_set(why, E_IO,
                         "%s: cannot be %s: the file or its folder is read-only; nothing was changed",
                         st->path, doing);
    case SQLITE_CANTOPEN:
    case SQLITE_PERM:
    case SQLITE_AUTH:
        return fault_set(why, E_IO, "%s: cannot be %s: the file or its folder may not be opened", st->path,
                         doing);
    case SQLITE_IOERR: return fault_input_output(st, code, doing, why);
    case SQLITE_CONSTRAINT:
        if (code == SQLITE_CONSTRAINT_TRIGGER) /* its text is a sentence of ours (schema.c) */
            return fault_set(why, E_STATE, "%s: %.200s; nothing was changed", st->path,
                             sqlite3_errmsg(st->db));
        return fault_set(why, E_INPUT,
                         "%s: cannot be %s: a rule of the job file is broken (%.200s); nothing was changed",
                         st->path, doing, sqlite3_errmsg(st->db));
    default: break;
    }
    return fault_set(why, E_IO, "%s: cannot be %s: %.200s", st->path, doing, sqlite3_errstr(code));
}

status store_exec(store *st, const char *sql, const char *doing, fault *why) {
    int code = sqlite3_exec(st->db, sql, NULL, NULL, NULL);
    return code == SQLITE_OK ? OK : store_fault(st, sqlite3_extended_errcode(st->db), doing, why);
}

status store_transaction(store *st, store_work *work, const void *data, fault *why) {
    if (store_in_transaction(st)) return work(st, data, why); /* joins the one that store_begin opened */
    status code = store_begin(st, why);
    if (code != OK) return code;
    code = work(st, data, why);
    if (code == OK) code = store_commit(st, why);
    if (code != OK && store_in_transaction(st)) sqlite3_exec(st->db, "ROLLBACK", NULL, NULL, NULL);
    return code;
}

bool store_in_transaction(const store *st) {
    return !sqlite3_get_autocommit(st->db);
}

status store_begin(store *st, fault *why) {
    if (st->read_only) return fault_set(why, E_STATE, "%s: was opened to read only", st->path);
    return store_exec(st, "BEGIN IMMEDIATE", "saved", why);
}

status store_begin_read(store *st, fault *why) {
    return store_exec(st, "BEGIN", "read", why);
}

status store_commit(store *st, fault *why) {
    return store_exec(st, "COMMIT", "saved", why);
}

/* ---- memory ---- */

/* SQLite asks for the size of a block, so it stands before it. 16 bytes keep the alignment. */
enum { SIZE_BYTES = 16 };

static void *hook_get(int bytes) {
    unsigned char *block = mem_malloc((size_t)bytes + SIZE_BYTES);
    if (!block) return NULL;
    memcpy(block, &bytes, sizeof bytes);
    return block + SIZE_BYTES;
}

static void hook_free(void *at) {
    if (at) mem_free((unsigned char *)at - SIZE_BYTES);
}

static void *hook_grow(void *at, int bytes) {
    unsigned char *block = mem_realloc((unsigned char *)at - SIZE_BYTES, (size_t)bytes + SIZE_BYTES);
    if (!block) return NULL;
    memcpy(block, &bytes, sizeof bytes);
    return block + SIZE_BYTES;
}

static int hook_size(void *at) {
    int bytes = 0;
    if (at) memcpy(&bytes, (unsigned char *)at - SIZE_BYTES, sizeof bytes);
    return bytes;
}

static int hook_round(int bytes) {
    return (bytes + 7) & ~7;
}

static int hook_begin(void *data) {
    (void)data;
    return SQLITE_OK;
}

static void hook_end(void *data) {
    (void)data;
}

status store_use_memory_hooks(fault *why) {
    sqlite3_mem_methods methods = {hook_get,   hook_free,  hook_grow, hook_size,
                                   hook_round, hook_begin, hook_end,  NULL};
    if (sqlite3_config(SQLITE_CONFIG_MALLOC, &methods) == SQLITE_OK) return OK;
    return fault_set(why, E_STATE, "the database library was in use before its memory was set up");
}

/* ---- opening ---- */

static store *new_store(const char *path, bool read_only) {
    store *st = mem_zero(1, sizeof *st);
    if (!st) return NULL;
    st->read_only = read_only;
    st->busy_ms = STORE_BUSY_MS;
    st->path = mem_copy_text(path);
    if (st->path) return st;
    mem_free(st);
    return NULL;
}

void store_close(store *st) {
    if (!st) return;
    sqlite3_close(st->db);
    mem_free(st->path);
    mem_free(st);
}

void store_busy_ms(store *st, int milliseconds) {
    st->busy_ms = milliseconds;
    sqlite3_busy_timeout(st->db, milliseconds);
}

static unsigned long big_endian(const unsigned char *at) {
    return (unsigned long)at[0] << 24 | (unsigned long)at[1] << 16 | (unsigned long)at[2] << 8 | at[3];
}

/* Has a write-ahead log with pages in it: then the main file alone does not tell how long the database is. */
static bool has_log(const char *path) {
    char log[PATH_BYTES + 8];
    struct stat about;
    snprintf(log, sizeof log, "%s-wal", path);
    return stat(log, &about) == 0 && about.st_size > 0;
}

/* Look at the file before SQLite does, which would take an empty file for a new database. The layout of the
 * header is that of the published SQLite file format (page size at 16, pages at 28, both big-endian). */
static status check_header(const char *path, long long size, const unsigned char header[HEADER_BYTES],
                           fault *why) {
    unsigned long page = (unsigned long)header[16] << 8 | header[17];
    if (page == 1) page = 65536;
    if (memcmp(header, "SQLite format 3", 16) != 0)
        return fault_set(why, E_FORMAT, "%s: is not a stanch job file", path);
    unsigned long long whole = (unsigned long long)page * big_endian(header + 28);
    if ((unsigned long long)size >= whole || has_log(path)) return OK;
    /* The last process to close may have moved its log into the file since the size was taken: look again. */
    struct stat now;
    if (stat(path, &now) == 0 && (unsigned long long)now.st_size >= whole) return OK;
    return fault_set(why, E_FORMAT, "%s: is cut short: %lld bytes of %llu; restore it from a copy", path,
                     size, whole);
}

static status check_file(const char *path, fault *why) {
    unsigned char header[HEADER_BYTES];
    struct stat about;
    if (strlen(path) > PATH_BYTES) return fault_set(why, E_IO, "%.200s...: the path is too long", path);
    if (stat(path, &about) != 0)
        return fault_set(why, E_IO, "%s: cannot be opened: %s", path, strerror(errno));
    if (S_ISDIR(about.st_mode)) return fault_set(why, E_IO, "%s: is a folder, not a job file", path);
    FILE *from = fopen(path, "rb");
    if (!from) return fault_set(why, E_IO, "%s: cannot be opened: %s", path, strerror(errno));
    size_t got = fread(header, 1, sizeof header, from);
    fclose(from);
    if (got == 0) return fault_set(why, E_FORMAT, "%s: is empty, not a stanch job file", path);
    if (got < sizeof header) return fault_set(why, E_FORMAT, "%s: is not a stanch job file", path);
    return check_header(path, (long long)about.st_size, header, why);
}

/* The folder of a path, "." when it has none. Returns `into`. */
static char *folder_of(const char *path, char into[PATH_BYTES + 8]) {
    const char *slash = strrchr(path, '/');
    size_t length = slash ? (size_t)(slash - path) : 1;
    if (slash == path) length = 1;
    snprintf(into, PATH_BYTES + 8, "%.*s", (int)length, slash ? path : ".");
    return into;
}

/* "file:PATH?immutable=1" with the path escaped (RFC 3986). */
static char *immutable_uri(const char *path) {
    text uri = {0};
    text_add(&uri, "file:");
    for (const char *c = path; *c; c++) {
        if (*c == '%' || *c == '?' || *c == '#')
            text_print(&uri, "%%%02X", (unsigned)*c);
        else
            text_add_bytes(&uri, c, 1);
    }
    text_add(&uri, "?immutable=1");
    if (!uri.failed) return uri.bytes;
    text_free(&uri);
    return NULL;
}

/* In a folder that cannot be written SQLite cannot make the log's index, though nobody else can write there
 * either: read the file as one that does not change. */
static int open_database(store *st) {
    char folder[PATH_BYTES + 8];
    bool frozen =
        st->still || (st->read_only && access(folder_of(st->path, folder), W_OK) != 0 && !has_log(st->path));
    int flags = st->read_only ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE;
    if (!frozen) return sqlite3_open_v2(st->path, &st->db, flags, NULL);
    char *uri = immutable_uri(st->path);
    if (!uri) return SQLITE_NOMEM;
    int code = sqlite3_open_v2(uri, &st->db, flags | SQLITE_OPEN_URI, NULL);
    mem_free(uri);
    return code;
}

static status check_version(store *st, fault *why) {
    long long id = 0, version = 0;
    int code = schema_pragma(st->db, "PRAGMA application_id", &id);
    if (code == SQLITE_OK) code = schema_pragma(st->db, "PRAGMA user_version", &version);
    if (code != SQLITE_OK) return store_fault(st, code, "opened", why);
    if (id != SCHEMA_APPLICATION_ID)
        return fault_set(why, E_FORMAT, "%s: is a database of another program, not a stanch job file",
                         st->path);
    if (version > schema_version)
        return fault_set(why, E_FORMAT,
                         "%s: made by a newer stanch: job file version %lld; this one reads up to %d",
                         st->path, version, schema_version);
    if (version < 1)
        return fault_set(why, E_FORMAT, "%s: has no version; it is not a stanch job file", st->path);
    if (version == schema_version) return OK;
    if (st->read_only)
        return fault_set(
            why, E_STATE,
            "%s: is of the older job file version %lld; it must be opened once to be written, as plan "
            "or import does",
            st->path, version);
    code = schema_migrate(st->db, schema_migrations, schema_version);
    return code == SQLITE_OK ? OK : store_fault(st, code, "brought to the present version", why);
}

/* Settings of a connection. A copy of a job file may have lost WAL; a writer restores it. */
static status set_up(store *st, fault *why) {
    sqlite3_extended_result_codes(st->db, 1);
    sqlite3_busy_timeout(st->db, st->busy_ms);
    sqlite3_db_config(st->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    status code =
        store_exec(st, "PRAGMA foreign_keys = ON; PRAGMA trusted_schema = OFF; PRAGMA synchronous = FULL",
                   "opened", why);
    if (code == OK && !st->read_only && sqlite3_db_readonly(st->db, "main") == 1)
        code = store_fault(st, SQLITE_READONLY, "opened to be written", why);
    return code;
}

static status open_new(store *st, store **out, fault *why) {
    int opened = open_database(st);
    status code = opened == SQLITE_OK ? set_up(st, why) : store_fault(st, opened, "opened", why);
    if (code == OK) code = check_version(st, why);
    if (code == OK && !st->read_only)
        code = store_exec(st, "PRAGMA journal_mode = WAL", "opened to be written", why);
    if (code != OK) {
        store_close(st);
        return code;
    }
    *out = st;
    return OK;
}

status store_open(const char *path, bool read_only, store **out, fault *why) {
    *out = NULL;
    status code = check_file(path, why);
    if (code != OK) return code;
    store *st = new_store(path, read_only);
    return st ? open_new(st, out, why) : fault_memory(why);
}

static bool changed_when(const char *path, struct timespec *out) {
    struct stat about;
    if (stat(path, &about) != 0) return false;
    *out = about.st_mtim;
    return true;
}

status store_open_still(const char *path, store **out, fault *why) {
    *out = NULL;
    status code = check_file(path, why);
    if (code != OK) return code;
    store *st = new_store(path, true);
    if (!st) return fault_memory(why);
    st->still = changed_when(path, &st->changed) && !has_log(path);
    return open_new(st, out, why);
}

bool store_stood_still(const store *st) {
    struct timespec now;
    if (!st->still) return true; /* SQLite's own locks saw to it */
    return changed_when(st->path, &now) && now.tv_sec == st->changed.tv_sec &&
           now.tv_nsec == st->changed.tv_nsec && !has_log(st->path);
}

/* ---- making ---- */

/* A complete job file at st->path, which nobody else knows of yet. */
static status build_file(store *st, const survey *first, const store_change *change, fault *why) {
    char pragma[64];
    int opened = sqlite3_open_v2(st->path, &st->db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL);
    status code = opened == SQLITE_OK ? set_up(st, why) : store_fault(st, opened, "made", why);
    if (code != OK) return code;
    snprintf(pragma, sizeof pragma, "PRAGMA application_id = %d", SCHEMA_APPLICATION_ID);
    code = store_exec(st, pragma, "made", why);
    if (code != OK) return code;
    int made = schema_migrate(st->db, schema_migrations, schema_version);
    if (made != SQLITE_OK) return store_fault(st, made, "made", why);
    code = store_transaction(st, store_write_survey, first, why);
    if (code == OK && change) code = store_log(st, change, why);
    return code == OK ? store_exec(st, "PRAGMA journal_mode = WAL", "made", why) : code;
}

/* The name of a new file is safe on disk only when its folder is. */
static void sync_folder(const char *path) {
    char folder[PATH_BYTES + 8];
    int at = open(folder_of(path, folder), O_RDONLY);
    if (at < 0) return;
    fsync(at);
    close(at);
}

/* Give the finished file its name, never over another. link() does both at once where the file system has it.
 */
static status publish(const char *part, const char *path, fault *why) {
    if (link(part, path) == 0) {
        sync_folder(path);
        return OK;
    }
    if (errno == EEXIST) return fault_set(why, E_STATE, "%s: is there already; it was left as it is", path);
    int claim = open(path, O_CREAT | O_EXCL | O_WRONLY, 0666);
    if (claim < 0)
        return errno == EEXIST ? fault_set(why, E_STATE, "%s: is there already; it was left as it is", path)
                               : fault_set(why, E_IO, "%s: cannot be made: %s", path, strerror(errno));
    close(claim);
    if (rename(part, path) == 0) {
        sync_folder(path);
        return OK;
    }
    int reason = errno;
    unlink(path);
    return fault_set(why, E_IO, "%s: cannot be made: %s", path, strerror(reason));
}

static void remove_part(const char *part) {
    static const char *const endings[] = {"", "-journal", "-wal", "-shm"};
    char name[PATH_BYTES + 64];
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        snprintf(name, sizeof name, "%s%s", part, endings[i]);
        unlink(name);
    }
}

/* The sentence names the file that was asked for, not the part it was built in. */
static void rename_in_sentence(fault *why, const char *part, const char *path) {
    size_t length = strlen(part);
    if (!why || strncmp(why->text, part, length) != 0) return;
    char rest[sizeof why->text];
    snprintf(rest, sizeof rest, "%s", why->text + length);
    snprintf(why->text, sizeof why->text, "%.300s%.290s", path, rest);
}

status store_create(const char *path, const survey *first, fault *why) {
    return store_create_logged(path, first, NULL, why);
}

status store_create_logged(const char *path, const survey *first, const store_change *change, fault *why) {
    char part[PATH_BYTES + 32];
    struct stat about;
    if (strlen(path) > PATH_BYTES) return fault_set(why, E_IO, "%.200s...: the path is too long", path);
    if (lstat(path, &about) == 0)
        return fault_set(why, E_STATE, "%s: is there already; it was left as it is", path);
    snprintf(part, sizeof part, "%s.new%ld", path, (long)getpid());
    remove_part(part); /* of a process of this number that was killed */
    store *st = new_store(part, false);
    if (!st) return fault_memory(why);
    status code = build_file(st, first, change, why);
    store_close(st);
    if (code == OK) code = publish(part, path, why);
    remove_part(part);
    if (code != OK) rename_in_sentence(why, part, path);
    return code;
}
