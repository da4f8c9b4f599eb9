#include "store/accounts.h"

#include "store/schema.h"
#include "store/store_internal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

struct accounts {
    store file; /* connection, path and timeout as for a job file, for its sentences and transactions */
};

/* "STNP": not a job file, so that neither is opened as the other. */
enum { APPLICATION_ID = 0x53544E50 };

/* Version 1. Times are text, YYYY-MM-DDTHH:MM:SSZ. Roles are the words of the page. */
static const char *const version_1[] = {
    "PRAGMA application_id = 0x53544E50",

    /* A person. passphrase: argon2id with its salt and cost, '' once ended (or local). Names differ by more than
     * the case of their Latin letters. */
    "CREATE TABLE person ("
    " name TEXT PRIMARY KEY COLLATE NOCASE CHECK (name <> ''),"
    " role TEXT NOT NULL CHECK (role IN ('estimator', 'foreman', 'viewer')),"
    " passphrase TEXT NOT NULL, since TEXT NOT NULL, last TEXT, ended TEXT"
    ") STRICT, WITHOUT ROWID",

    /* SHA-256 of what the invitation says. It is used once. */
    "CREATE TABLE invitation ("
    " hash TEXT PRIMARY KEY CHECK (length(hash) = 64),"
    " role TEXT NOT NULL CHECK (role IN ('estimator', 'foreman', 'viewer')),"
    " \"by\" TEXT NOT NULL, made TEXT NOT NULL, until TEXT NOT NULL, used TEXT"
    ") STRICT, WITHOUT ROWID",

    /* SHA-256 of what the browser's cookie says. agent: what the browser calls itself. */
    "CREATE TABLE session ("
    " hash TEXT PRIMARY KEY CHECK (length(hash) = 64),"
    " person TEXT NOT NULL COLLATE NOCASE REFERENCES person(name),"
    " since TEXT NOT NULL, last TEXT NOT NULL, agent TEXT"
    ") STRICT, WITHOUT ROWID",
    "CREATE INDEX session_of_person ON session(person)",

    /* Who did what to whom; only ever added to. */
    "CREATE TABLE log ("
    " seq INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, \"by\" TEXT NOT NULL,"
    " what TEXT NOT NULL CHECK (what <> ''), whom TEXT NOT NULL"
    ") STRICT",
    "CREATE TRIGGER log_is_kept BEFORE UPDATE ON log BEGIN SELECT RAISE(ABORT, 'the log is never changed'); "
    "END",
    "CREATE TRIGGER log_stays BEFORE DELETE ON log BEGIN SELECT RAISE(ABORT, 'the log is never cut'); END",

    /* Failed logins by day: one row a day, so that nobody can fill the disk with them. */
    "CREATE TABLE failed (day TEXT PRIMARY KEY, times INTEGER NOT NULL) STRICT, WITHOUT ROWID",
    NULL,
};

static const schema_migration migrations[] = {{version_1, "first version", NULL}};
enum { VERSION = sizeof migrations / sizeof *migrations };

/* ---- statements ---- */

/* store_fault speaks of a job file where the file itself is wrong. */
static status accounts_fault(const store *st, int code, const char *doing, fault *why) {
    if ((code & 0xFF) == SQLITE_NOTADB)
        return fault_set(why, E_FORMAT, "%s: is not a stanch people file", st->path);
    if ((code & 0xFF) == SQLITE_CONSTRAINT)
        return fault_set(why, E_INPUT, "%s: cannot be %s: a rule of the people file is broken (%.200s)",
                         st->path, doing, sqlite3_errmsg(st->db));
    return store_fault(st, code, doing, why);
}

/* Prepare and bind as many texts as `sql` has parameters; NULL binds NULL. The texts must outlive *out. */
static status ask(store *st, const char *sql, const char *const values[], sqlite3_stmt **out, fault *why) {
    int code = sqlite3_prepare_v2(st->db, sql, -1, out, NULL);
    int n = code == SQLITE_OK && values ? sqlite3_bind_parameter_count(*out) : 0;
    for (int i = 0; i < n && code == SQLITE_OK; i++)
        code = sqlite3_bind_text(*out, i + 1, values[i], -1, SQLITE_STATIC);
    if (code == SQLITE_OK) return OK;
    status result = accounts_fault(st, code, "read", why);
    sqlite3_finalize(*out);
    *out = NULL;
    return result;
}

/* Step to the next row; *row tells whether there is one. */
static status next(store *st, sqlite3_stmt *s, bool *row, fault *why) {
    int code = sqlite3_step(s);
    *row = code == SQLITE_ROW;
    return code == SQLITE_ROW || code == SQLITE_DONE ? OK : accounts_fault(st, code, "read", why);
}

/* Run a statement that answers nothing; *changed (may be NULL) counts its rows. */
static status run(store *st, const char *sql, const char *const values[], int *changed, fault *why) {
    sqlite3_stmt *s = NULL;
    status code = ask(st, sql, values, &s, why);
    if (code != OK) return code;
    int step = sqlite3_step(s);
    sqlite3_finalize(s);
    if (changed) *changed = sqlite3_changes(st->db);
    return step == SQLITE_DONE ? OK : accounts_fault(st, step, "saved", why);
}

/* A column in `memory`; *lost when there was none. NULL stays NULL. */
static const char *column(sqlite3_stmt *s, int at, arena *memory, bool *lost) {
    if (sqlite3_column_type(s, at) == SQLITE_NULL) return NULL;
    const char *copy = arena_copy(memory, (const char *)sqlite3_column_text(s, at));
    if (!copy) *lost = true;
    return copy;
}

/* The whole first column of the first row as a small number. */
static status count(store *st, const char *sql, const char *const values[], int *out, fault *why) {
    sqlite3_stmt *s = NULL;
    bool row = false;
    status code = ask(st, sql, values, &s, why);
    if (code == OK) code = next(st, s, &row, why);
    *out = row ? sqlite3_column_int(s, 0) : 0;
    sqlite3_finalize(s);
    return code;
}

static status add_deed(store *st, const accounts_deed *d, fault *why) {
    const char *values[] = {d->at, d->by, d->what, d->whom};
    return run(st, "INSERT INTO log (at, \"by\", what, whom) VALUES (?, ?, ?, ?)", values, NULL, why);
}

/* ---- opening ---- */

/* The file before SQLite sees it, so that it is never readable by others, not even for a moment; the log of
 * changes and its index take its mode. */
static status claim(const char *path, fault *why) {
    struct stat about;
    int at = open(path, O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0600);
    if (at < 0) return fault_set(why, E_IO, "%s: cannot be opened: %s", path, strerror(errno));
    bool regular = fstat(at, &about) == 0 && S_ISREG(about.st_mode);
    bool closed = regular && ((about.st_mode & 077) == 0 || fchmod(at, 0600) == 0);
    close(at);
    if (!regular) return fault_set(why, E_IO, "%s: is not a file", path);
    if (closed) return OK;
    return fault_set(why, E_IO, "%s: others may read it, and that cannot be changed; it must be yours alone",
                     path);
}

static status check_version(store *st, fault *why) {
    long long id = 0, version = 0, pages = 0;
    int code = schema_pragma(st->db, "PRAGMA application_id", &id);
    if (code == SQLITE_OK) code = schema_pragma(st->db, "PRAGMA user_version", &version);
    if (code == SQLITE_OK) code = schema_pragma(st->db, "PRAGMA page_count", &pages);
    if (code != SQLITE_OK) return accounts_fault(st, code, "opened", why);
    bool fresh = id == 0 && version == 0 && pages == 0;
    if (!fresh && (id != APPLICATION_ID || version < 1))
        return fault_set(why, E_FORMAT, "%s: is a database of another kind, not a stanch people file",
                         st->path);
    if (version > VERSION)
        return fault_set(why, E_FORMAT,
                         "%s: made by a newer stanch: people file version %lld; this one reads up to %d",
                         st->path, version, (int)VERSION);
    code = schema_migrate(st->db, migrations, VERSION);
    return code == SQLITE_OK ? OK : accounts_fault(st, code, "brought to the present version", why);
}

static status set_up(store *st, fault *why) {
    sqlite3_extended_result_codes(st->db, 1);
    sqlite3_busy_timeout(st->db, st->busy_ms);
    sqlite3_db_config(st->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    int code =
        sqlite3_exec(st->db,
                     "PRAGMA foreign_keys = ON; PRAGMA trusted_schema = OFF; PRAGMA synchronous = FULL;"
                     "PRAGMA secure_delete = ON",
                     NULL, NULL, NULL);
    status result = code == SQLITE_OK ? check_version(st, why) : accounts_fault(st, code, "opened", why);
    return result == OK ? store_exec(st, "PRAGMA journal_mode = WAL", "opened to be written", why) : result;
}

status accounts_open(const char *path, accounts **out, fault *why) {
    *out = NULL;
    status code = path ? claim(path, why) : OK;
    if (code != OK) return code;
    accounts *a = mem_zero(1, sizeof *a);
    if (!a) return fault_memory(why);
    a->file.busy_ms = STORE_BUSY_MS;
    a->file.path = mem_copy_text(path ? path : "people");
    if (!a->file.path) code = fault_memory(why);
    if (code == OK) {
        int opened = sqlite3_open_v2(path ? path : ":memory:", &a->file.db,
                                     SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL);
        code = opened == SQLITE_OK ? set_up(&a->file, why) : accounts_fault(&a->file, opened, "opened", why);
    }
    if (code != OK) {
        accounts_close(a);
        return code;
    }
    *out = a;
    return OK;
}

void accounts_close(accounts *a) {
    if (!a) return;
    sqlite3_close(a->file.db);
    mem_free(a->file.path);
    mem_free(a);
}

/* ---- people ---- */

status accounts_people(accounts *a, arena *memory, accounts_person **out, size_t *n, fault *why) {
    sqlite3_stmt *s = NULL;
    bool row = true, lost = false;
    *out = NULL;
    *n = 0;
    status code =
        ask(&a->file, "SELECT name, role, since, last FROM person WHERE ended IS NULL ORDER BY name", NULL,
            &s, why);
    while (code == OK && (code = next(&a->file, s, &row, why)) == OK && row) {
        accounts_person *grown = arena_push(memory, *out, n, sizeof **out);
        if (grown) {
            *out = grown;
            grown[*n - 1] = (accounts_person){column(s, 0, memory, &lost), column(s, 1, memory, &lost),
                                              column(s, 2, memory, &lost), column(s, 3, memory, &lost)};
        }
        if (!grown || lost) code = fault_memory(why);
    }
    sqlite3_finalize(s);
    return code;
}

status accounts_passphrase(accounts *a, const char *name, arena *memory, const char **kept,
                           const char **passphrase, fault *why) {
    sqlite3_stmt *s = NULL;
    bool row = false, lost = false;
    *kept = *passphrase = NULL;
    status code =
        ask(&a->file, "SELECT name, passphrase FROM person WHERE name = ? AND ended IS NULL", &name, &s, why);
    if (code == OK) code = next(&a->file, s, &row, why);
    if (code == OK && row) {
        *kept = column(s, 0, memory, &lost);
        *passphrase = column(s, 1, memory, &lost);
        if (lost) code = fault_memory(why);
    }
    sqlite3_finalize(s);
    return code;
}

status accounts_add_local(accounts *a, const char *name, const char *now, fault *why) {
    const char *values[] = {name, now};
    return run(&a->file,
               "INSERT INTO person (name, role, passphrase, since) VALUES (?, 'estimator', '', ?)"
               " ON CONFLICT DO NOTHING",
               values, NULL, why);
}

/* Whether another estimator stays when `name` is one no longer. */
static status check_last(store *st, const accounts_change *c, fault *why) {
    int others = 0;
    if (c->role && strcmp(c->role, "estimator") == 0) return OK;
    status code =
        count(st, "SELECT count(*) FROM person WHERE role = 'estimator' AND ended IS NULL AND name <> ?",
              &c->name, &others, why);
    if (code != OK || others > 0) return code;
    return fault_set(why, E_STATE,
                     "%s is the last estimator and stays one; make another person estimator first", c->name);
}

/* Who may no longer invite comes back by no invitation of his own that is still open. */
static status drop_invitations(store *st, const accounts_change *c, fault *why) {
    if (c->role && strcmp(c->role, "estimator") == 0) return OK;
    return run(st, "DELETE FROM invitation WHERE \"by\" = ? COLLATE NOCASE AND used IS NULL", &c->name, NULL,
               why);
}

static status end_person(store *st, const accounts_change *c, fault *why) {
    const char *values[] = {c->now, c->name};
    status code = run(st, "UPDATE person SET ended = ?, passphrase = '' WHERE name = ?", values, NULL, why);
    if (code == OK) code = run(st, "DELETE FROM session WHERE person = ?", &c->name, NULL, why);
    accounts_deed deed = {c->now, c->by, "ended", c->name};
    return code == OK ? add_deed(st, &deed, why) : code;
}

static status set_role(store *st, const accounts_change *c, fault *why) {
    const char *values[] = {c->role, c->name};
    char what[ACCOUNTS_ROLE + 8];
    snprintf(what, sizeof what, "made %s", c->role);
    status code = run(st, "UPDATE person SET role = ? WHERE name = ?", values, NULL, why);
    accounts_deed deed = {c->now, c->by, what, c->name};
    return code == OK ? add_deed(st, &deed, why) : code;
}

typedef struct {
    const accounts_change *change;
    bool *found;
} change_work;

static status do_change(store *st, const void *data, fault *why) {
    const change_work *w = data;
    int there = 0;
    status code = count(st, "SELECT count(*) FROM person WHERE name = ? AND ended IS NULL", &w->change->name,
                        &there, why);
    *w->found = there > 0;
    if (code != OK || !there) return code;
    code = check_last(st, w->change, why);
    if (code == OK) code = drop_invitations(st, w->change, why);
    if (code != OK) return code;
    return w->change->role ? set_role(st, w->change, why) : end_person(st, w->change, why);
}

status accounts_change_person(accounts *a, const accounts_change *change, bool *found, fault *why) {
    const change_work work = {change, found};
    *found = false;
    return store_transaction(&a->file, do_change, &work, why);
}

/* ---- invitations ---- */

typedef struct {
    const accounts_invitation *invitation;
    bool alone;
} invite_work;

static status do_invite(store *st, const void *data, fault *why) {
    const invite_work *w = data;
    const accounts_invitation *i = w->invitation;
    const char *values[] = {i->hash, i->role, i->by, i->now, i->until};
    char what[ACCOUNTS_ROLE + 12];
    status code = run(st, "DELETE FROM invitation WHERE until <= ?", &i->now, NULL, why);
    if (code == OK && w->alone) code = run(st, "DELETE FROM invitation WHERE used IS NULL", NULL, NULL, why);
    if (code == OK)
        code = run(st, "INSERT INTO invitation (hash, role, \"by\", made, until) VALUES (?, ?, ?, ?, ?)",
                   values, NULL, why);
    snprintf(what, sizeof what, "invited %s", i->role);
    accounts_deed deed = {i->now, i->by, what, ""};
    return code == OK ? add_deed(st, &deed, why) : code;
}

status accounts_invite(accounts *a, const accounts_invitation *invitation, bool alone, fault *why) {
    const invite_work work = {invitation, alone};
    return store_transaction(&a->file, do_invite, &work, why);
}

typedef struct {
    char role[ACCOUNTS_ROLE], until[ACCOUNTS_TIME];
    bool used;
} found_invitation;

/* A column into a buffer of the caller. */
static status copy_column(sqlite3_stmt *s, int at, char *into, size_t size, fault *why) {
    const char *value = (const char *)sqlite3_column_text(s, at);
    if (!value) return fault_memory(why);
    snprintf(into, size, "%s", value);
    return OK;
}

static status find_invitation(store *st, const char *hash, const char *now, found_invitation *out,
                              fault *why) {
    sqlite3_stmt *s = NULL;
    bool row = false;
    status code =
        ask(st, "SELECT role, until, used IS NOT NULL FROM invitation WHERE hash = ?", &hash, &s, why);
    if (code == OK) code = next(st, s, &row, why);
    if (code == OK && row) {
        out->used = sqlite3_column_int(s, 2) != 0;
        code = copy_column(s, 0, out->role, sizeof out->role, why);
        if (code == OK) code = copy_column(s, 1, out->until, sizeof out->until, why);
    }
    sqlite3_finalize(s);
    if (code != OK) return code;
    if (!row) return fault_set(why, E_STATE, "this invitation is not known here; ask for a new one");
    if (out->used) return fault_set(why, E_STATE, "this invitation was used already; ask for a new one");
    if (strcmp(out->until, now) <= 0)
        return fault_set(why, E_STATE, "this invitation ended at %s; ask for a new one", out->until);
    return OK;
}

status accounts_may_join(accounts *a, const char *hash, const char *now, fault *why) {
    found_invitation found;
    return find_invitation(&a->file, hash, now, &found, why);
}

/* A new person, or one who was ended and comes back. */
static status add_person(store *st, const accounts_joining *j, const char *role, fault *why) {
    const char *values[] = {j->name, role, j->passphrase, j->now};
    int changed = 0;
    status code =
        run(st,
            "INSERT INTO person (name, role, passphrase, since) VALUES (?, ?, ?, ?)"
            " ON CONFLICT (name) DO UPDATE SET role = excluded.role, passphrase = excluded.passphrase,"
            "  since = excluded.since, last = NULL, ended = NULL WHERE ended IS NOT NULL",
            values, &changed, why);
    if (code != OK || changed > 0) return code;
    return fault_set(why, E_STATE,
                     "the name %s is taken; take another, or have the person of that name ended first",
                     j->name);
}

static status do_join(store *st, const void *data, fault *why) {
    const accounts_joining *j = data;
    const char *values[] = {j->now, j->hash};
    found_invitation found;
    char what[ACCOUNTS_ROLE + 16];
    status code = find_invitation(st, j->hash, j->now, &found, why);
    if (code == OK) code = add_person(st, j, found.role, why);
    if (code == OK) code = run(st, "UPDATE invitation SET used = ? WHERE hash = ?", values, NULL, why);
    if (code != OK) return code;
    snprintf(what, sizeof what, "joined as %s", found.role);
    accounts_deed deed = {j->now, j->name, what, j->name};
    return add_deed(st, &deed, why);
}

status accounts_join(accounts *a, const accounts_joining *joining, fault *why) {
    return store_transaction(&a->file, do_join, joining, why);
}

/* ---- sessions ---- */

typedef struct {
    const accounts_session *session;
    const char *most;
} session_work;

static status do_add_session(store *st, const void *data, fault *why) {
    const session_work *w = data;
    const accounts_session *n = w->session;
    const char *values[] = {n->hash, n->since, n->last, n->agent, n->name};
    const char *oldest[] = {n->name, w->most};
    const char *seen[] = {n->last, n->name};
    int made = 0;
    status code = run(st,
                      "INSERT INTO session (hash, person, since, last, agent)"
                      " SELECT ?, name, ?, ?, ? FROM person WHERE name = ? AND ended IS NULL",
                      values, &made, why);
    if (code == OK && made == 0) code = fault_set(why, E_STATE, "%s was ended", n->name);
    if (code == OK)
        code = run(st,
                   "DELETE FROM session WHERE hash IN (SELECT hash FROM session WHERE person = ?"
                   " ORDER BY last DESC, since DESC LIMIT -1 OFFSET CAST(? AS INTEGER))",
                   oldest, NULL, why);
    return code == OK ? run(st, "UPDATE person SET last = ? WHERE name = ?", seen, NULL, why) : code;
}

status accounts_add_session(accounts *a, const accounts_session *session, size_t most, fault *why) {
    char words[24];
    const session_work work = {session, words};
    snprintf(words, sizeof words, "%zu", most);
    return store_transaction(&a->file, do_add_session, &work, why);
}

status accounts_find_session(accounts *a, const char *hash, accounts_seen *out, bool *found, fault *why) {
    sqlite3_stmt *s = NULL;
    char *into[] = {out->name, out->role, out->since, out->last};
    const size_t sizes[] = {sizeof out->name, sizeof out->role, sizeof out->since, sizeof out->last};
    status code = ask(&a->file,
                      "SELECT name, role, session.since, session.last FROM session"
                      " JOIN person ON name = person WHERE hash = ? AND ended IS NULL",
                      &hash, &s, why);
    *found = false;
    if (code == OK) code = next(&a->file, s, found, why);
    for (int i = 0; i < 4 && code == OK && *found; i++) code = copy_column(s, i, into[i], sizes[i], why);
    sqlite3_finalize(s);
    return code;
}

typedef struct {
    const char *hash, *now;
} touch_work;

static status do_touch(store *st, const void *data, fault *why) {
    const touch_work *w = data;
    const char *values[] = {w->now, w->hash};
    status code = run(st, "UPDATE session SET last = ? WHERE hash = ?", values, NULL, why);
    if (code != OK) return code;
    return run(st, "UPDATE person SET last = ? WHERE name = (SELECT person FROM session WHERE hash = ?)",
               values, NULL, why);
}

status accounts_touch_session(accounts *a, const char *hash, const char *now, fault *why) {
    const touch_work work = {hash, now};
    return store_transaction(&a->file, do_touch, &work, why);
}

status accounts_sessions(accounts *a, const char *name, arena *memory, accounts_session **out, size_t *n,
                         fault *why) {
    sqlite3_stmt *s = NULL;
    bool row = true, lost = false;
    *out = NULL;
    *n = 0;
    status code =
        ask(&a->file,
            "SELECT hash, person, since, last, agent FROM session WHERE person = coalesce(?, person)"
            " ORDER BY since DESC, hash",
            &name, &s, why);
    while (code == OK && (code = next(&a->file, s, &row, why)) == OK && row) {
        accounts_session *grown = arena_push(memory, *out, n, sizeof **out);
        if (grown) {
            *out = grown;
            grown[*n - 1] = (accounts_session){column(s, 0, memory, &lost), column(s, 1, memory, &lost),
                                               column(s, 2, memory, &lost), column(s, 3, memory, &lost),
                                               column(s, 4, memory, &lost)};
        }
        if (!grown || lost) code = fault_memory(why);
    }
    sqlite3_finalize(s);
    return code;
}

status accounts_end_session(accounts *a, const char *id, const char *name, bool *found, fault *why) {
    const char *values[] = {id, id, name};
    int changed = 0;
    status code = run(&a->file,
                      "DELETE FROM session WHERE (hash = ? OR substr(hash, 1, 16) = ?)"
                      " AND person = coalesce(?, person)",
                      values, &changed, why);
    *found = changed > 0;
    return code;
}

status accounts_clear_sessions(accounts *a, const char *since, const char *last, fault *why) {
    const char *values[] = {since, last};
    return run(&a->file, "DELETE FROM session WHERE since <= ? OR last <= ?", values, NULL, why);
}

/* ---- log ---- */

status accounts_count_failed(accounts *a, const char *now, fault *why) {
    return run(&a->file,
               "INSERT INTO failed (day, times) VALUES (substr(?, 1, 10), 1)"
               " ON CONFLICT (day) DO UPDATE SET times = times + 1",
               &now, NULL, why);
}

status accounts_log(accounts *a, arena *memory, accounts_deed **out, size_t *n, fault *why) {
    sqlite3_stmt *s = NULL;
    bool row = true, lost = false;
    *out = NULL;
    *n = 0;
    status code = ask(&a->file, "SELECT at, \"by\", what, whom FROM log ORDER BY seq", NULL, &s, why);
    while (code == OK && (code = next(&a->file, s, &row, why)) == OK && row) {
        accounts_deed *grown = arena_push(memory, *out, n, sizeof **out);
        if (grown) {
            *out = grown;
            grown[*n - 1] = (accounts_deed){column(s, 0, memory, &lost), column(s, 1, memory, &lost),
                                            column(s, 2, memory, &lost), column(s, 3, memory, &lost)};
        }
        if (!grown || lost) code = fault_memory(why);
    }
    sqlite3_finalize(s);
    return code;
}
