/* accounts.h - who may use a served folder: people, invitations, sessions and the log of what was done to whom,
 * in one SQLite file of mode 0600 beside the jobs.
 *
 * No secret is kept: of a passphrase its argon2id text, of an invitation and of a session the SHA-256 (both are
 * random, so it cannot be guessed back). Who makes and checks them is web/who.h. A person who was ended stays as
 * a name without passphrase; one who joins again under the name takes it up again.
 *
 * Times are "2026-03-01T09:30:00Z" and sort as text; the clock is an input. Roles: estimator, foreman, viewer.
 * Errors  as store.h. E_STATE: the last estimator, a name that is taken, an invitation that was used or is over.
 *   A person or session that is not there is OK with *found = false.
 * Threads  as store.h: a handle belongs to one thread at a time. */
#ifndef STANCH_STORE_ACCOUNTS_H
#define STANCH_STORE_ACCOUNTS_H

#include "core/fault.h"
#include "core/mem.h"

enum {
    ACCOUNTS_NAME = 60 * 4 + 1, /* 60 characters of UTF-8 */
    ACCOUNTS_ROLE = 16,
    ACCOUNTS_TIME = 21,
    ACCOUNTS_HASH = 65, /* SHA-256 in hex */
    ACCOUNTS_ID = 17,   /* the first 64 bits of a session's hash */
};

typedef struct accounts accounts;

/* Open the file, made with its tables when it is not there; NULL: one in memory. A file that others may read is
 * closed to them first. */
status accounts_open(const char *path, accounts **out, fault *why);
void accounts_close(accounts *a); /* NULL is fine */

/* ---- people ---- */

typedef struct {
    const char *name, *role, *since, *last; /* last: NULL when never seen */
} accounts_person;

/* In order of name; not those who were ended. */
status accounts_people(accounts *a, arena *memory, accounts_person **out, size_t *n, fault *why);

/* The name as it is kept and the argon2id text of the passphrase, in `memory`. */
status accounts_passphrase(accounts *a, const char *name, arena *memory, const char **kept,
                           const char **passphrase, fault *why); /* *kept NULL: nobody */

/* Without invitation: the one person of a local server. */
status accounts_add_local(accounts *a, const char *name, const char *now, fault *why);

typedef struct {
    const char *name, *role; /* role: NULL to end the person */
    const char *by, *now;
} accounts_change;
/* Open invitations of one who is no estimator any more are over. */
status accounts_change_person(accounts *a, const accounts_change *change, bool *found, fault *why);

/* ---- invitations ---- */

typedef struct {
    const char *hash, *role, *by, *now, *until;
} accounts_invitation;

/* `alone`: it takes the place of all that are open. Those that are over go. */
status accounts_invite(accounts *a, const accounts_invitation *invitation, bool alone, fault *why);

/* OK when it can be used at `now`. */
status accounts_may_join(accounts *a, const char *hash, const char *now, fault *why);

typedef struct {
    const char *hash; /* of the invitation */
    const char *name, *passphrase, *now;
} accounts_joining;
/* Use the invitation and make the person, or neither. */
status accounts_join(accounts *a, const accounts_joining *joining, fault *why);

/* ---- sessions ---- */

typedef struct {
    const char *hash, *name, *since, *last, *agent; /* agent: NULL when not known */
} accounts_session;

/* The person's oldest go, so that `most` remain. */
status accounts_add_session(accounts *a, const accounts_session *session, size_t most, fault *why);

/* A session with its person's name and present role. */
typedef struct {
    char name[ACCOUNTS_NAME], role[ACCOUNTS_ROLE], since[ACCOUNTS_TIME], last[ACCOUNTS_TIME];
} accounts_seen;
status accounts_find_session(accounts *a, const char *hash, accounts_seen *out, bool *found, fault *why);

/* The session and its person were seen at `now`. */
status accounts_touch_session(accounts *a, const char *hash, const char *now, fault *why);

/* Newest first; `name` NULL: of all. */
status accounts_sessions(accounts *a, const char *name, arena *memory, accounts_session **out, size_t *n,
                         fault *why);

/* By its id, or its whole hash; `name` NULL: whoever's. */
status accounts_end_session(accounts *a, const char *id, const char *name, bool *found, fault *why);

/* All that began before `since` or were last seen before `last`. */
status accounts_clear_sessions(accounts *a, const char *since, const char *last, fault *why);

/* ---- log ---- */

/* One more failed login on the day of `now`. */
status accounts_count_failed(accounts *a, const char *now, fault *why);

typedef struct {
    const char *at, *by, *what,
        *whom; /* what: "invited foreman", "joined as foreman", "made viewer", "ended" */
} accounts_deed;
/* Oldest first. */
status accounts_log(accounts *a, arena *memory, accounts_deed **out, size_t *n, fault *why);

#endif
