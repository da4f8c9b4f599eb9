/* who.h - who may: people, their roles, sessions, invitations and logins of one served folder.
 *
 * Use  who_open once; who_of for every request, with the value of its cookie WHO_COOKIE; who_token_right for
 *   every method but GET. A session is 32 random bytes: the browser has them in its cookie, we keep their
 *   SHA-256. The token is made from the same bytes, so it too is kept nowhere. A session ends after 12 h without
 *   a request and after 30 days at most; ended by a person, it is gone with the next request.
 * Site or local  on the network of a site, people and sessions are kept in `stanch-people.db` in the folder
 *   (store/accounts.h). Local (127.0.0.1) there is one person, an estimator who needs no login, and the same
 *   sessions in memory.
 * Logins  a passphrase costs 64 MiB and a tenth of a second (argon2id, libsodium's INTERACTIVE), one at a time;
 *   an unknown name costs the same and is answered with the same sentence. Failures are counted by name and by
 *   address (tries.h).
 * Errors  as store.h, and: E_INPUT what was typed is out of its limits; E_STATE it does not fit (the last
 *   estimator, an invitation that was used); E_BUSY too many logins wait. `code` of an entry tells 401 and 429.
 * Threads  every function may be called from several threads at once. The clock is an input: `now` is
 *   "2026-03-01T09:30:00Z". */
#ifndef STANCH_WEB_WHO_H
#define STANCH_WEB_WHO_H

#include "store/accounts.h"
#include "web/web.h"

#define WHO_COOKIE "stanch"

enum {
    WHO_SECRET = 65,           /* 32 bytes in hex and the end */
    WHO_INVITATION = 33,       /* 16 bytes in hex and the end */
    WHO_PASSPHRASE_LEAST = 10, /* characters; our defaults */
    WHO_PASSPHRASE_MOST = 200,
    WHO_NAME_MOST = 60,
    WHO_IDLE_S = 12 * 3600,
    WHO_SESSION_S = 30 * 24 * 3600,
    WHO_INVITATION_S = 3 * 24 * 3600,
    WHO_SESSIONS_MOST = 20, /* of one person; the oldest goes */
    WHO_QUEUE_MOST = 8,     /* logins that run or wait */
};

typedef struct who who;

typedef struct {
    char name[ACCOUNTS_NAME];  /* "" when not known */
    web_role role;             /* WEB_NOBODY when not known */
    char session[ACCOUNTS_ID]; /* its id, as in /api/sessions */
    char token[WHO_SECRET];    /* for X-Stanch-Token; "" when not known */
    bool known;
    bool expired; /* a cookie was given, and its session is over or was ended */
} who_person;

/* A session just begun, or why not. */
typedef struct {
    who_person person;
    char cookie[WHO_SECRET]; /* its secret: the only time that it is seen */
    int code;                /* for the answer, when not OK: 401, 429, 409, 422; 0: as the status says */
    int wait_s;              /* with 429 */
} who_entry;

/* What a person typed, and from where. */
typedef struct {
    const char *invitation; /* who_join only */
    const char *name, *passphrase;
    const char *peer;  /* address of the other end, "192.0.2.7" */
    const char *agent; /* User-Agent, or NULL */
    const char *now;
} who_try;

/* `folder` holds stanch-people.db when `site`, which is made when it is not there; `local_name` is the person
 * otherwise. *out is the caller's. */
status who_open(const char *folder, bool site, const char *local_name, who **out, fault *why);
void who_close(who *w); /* NULL is fine */
bool who_is_site(const who *w);

/* Who a request comes from. A cookie that is no session of ours is OK with known = false. */
status who_of(who *w, const char *cookie, const char *now, who_person *out, fault *why);

/* In constant time; false for somebody not known and for NULL. */
bool who_token_right(const who_person *person, const char *given);

/* Begin a session: of the one local person; by name and passphrase; by an invitation, which makes the person. */
status who_local(who *w, const char *agent, const char *now, who_entry *out, fault *why);
status who_login(who *w, const who_try *t, who_entry *out, fault *why);
status who_join(who *w, const who_try *t, who_entry *out, fault *why);

/* ---- what an estimator does to a person ---- */

typedef struct {
    const char *name; /* of the person */
    web_role role;    /* the new one; who_set_role only */
    const char *by, *now;
} who_change;

/* *found = false and OK when there is nobody of that name. E_STATE: the last estimator. */
status who_set_role(who *w, const who_change *change, bool *found, fault *why);
status who_end(who *w, const who_change *change, bool *found, fault *why);

/* In `memory`; roles are the words of web_role_words. */
status who_people(who *w, arena *memory, accounts_person **out, size_t *n, fault *why);

typedef struct {
    accounts_session *sessions;
    size_t n;
} who_session_list;
/* Those not over, newest first, in `memory`. An estimator sees all, others their own. */
status who_sessions(who *w, const who_person *asks, const char *now, arena *memory, who_session_list *out,
                    fault *why);

/* *found = false: no such session, or not one that `asks` may end. */
status who_end_session(who *w, const who_person *asks, const char *id, bool *found, fault *why);

typedef struct {
    char secret[WHO_INVITATION];
    char until[ACCOUNTS_TIME];
} who_invitation;
/* E_STATE when local. */
status who_invite(who *w, web_role role, const char *by, const char *now, who_invitation *out, fault *why);

/* The address that an invitation opens, appended to *out: "https://192.0.2.7:8443/#/join?i=..." */
void who_invitation_address(const char *address, const char *secret, text *out);

/* When the site has no people: an invitation for an estimator as text for the terminal, with its QR code (at
 * most 80 columns). Appends nothing when there are people, or when local. */
status who_first_invitation(who *w, const char *address, const char *now, text *out, fault *why);

#endif
