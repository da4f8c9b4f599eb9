#include "web/who.h"

#include "core/hash.h"
#include "web/code_text.h"
#include "web/when.h"
#include "web/who_parts.h"

#include <sodium.h>
#include <stdio.h>
#include <string.h>

/* A session is written as seen this often at most, so that reading costs no write to the disk. */
enum { SEEN_S = 60, SECRET_BYTES = 32, INVITATION_BYTES = 16 };

/* ---- opening ---- */

static status open_accounts(who *w, const char *folder, fault *why) {
    text path = {0};
    if (!w->site) return accounts_open(NULL, &w->accounts, why);
    text_print(&path, "%s/stanch-people.db", folder);
    status code = path.failed ? fault_memory(why) : accounts_open(text_get(&path), &w->accounts, why);
    text_free(&path);
    return code;
}

status who_open(const char *folder, bool site, const char *local_name, who **out, fault *why) {
    *out = NULL;
    if (sodium_init() < 0) return fault_set(why, E_IO, "the machine gives no random numbers");
    who *w = mem_zero(1, sizeof *w);
    if (!w) return fault_memory(why);
    w->site = site;
    snprintf(w->local_name, sizeof w->local_name, "%s", local_name ? local_name : "");
    text_cut_utf8(w->local_name, sizeof w->local_name - 1);
    pthread_mutex_init(&w->door, NULL);
    pthread_mutex_init(&w->stove, NULL);
    w->tries = tries_new();
    status code = w->tries ? open_accounts(w, folder, why) : fault_memory(why);
    if (code != OK) {
        who_close(w);
        return code;
    }
    *out = w;
    return OK;
}

void who_close(who *w) {
    if (!w) return;
    accounts_close(w->accounts);
    tries_free(w->tries);
    pthread_mutex_destroy(&w->door);
    pthread_mutex_destroy(&w->stove);
    mem_free(w);
}

bool who_is_site(const who *w) {
    return w->site;
}

/* ---- sessions ---- */

static web_role role_of(const char *word) {
    for (int role = WEB_VIEWER; role < WEB_ROLES; role++)
        if (strcmp(web_role_words[role], word) == 0) return (web_role)role;
    return WEB_NOBODY;
}

/* The token is the hash of the secret in another suit: whoever has one cannot make the other from it. */
static void make_token(const char *secret, char into[WHO_SECRET]) {
    static const char purpose[] = "stanch token ";
    char both[sizeof purpose + WHO_SECRET];
    int length = snprintf(both, sizeof both, "%s%s", purpose, secret);
    hash_text(both, (size_t)length, into);
    sodium_memzero(both, sizeof both);
}

static bool is_secret(const char *cookie) {
    return cookie && strlen(cookie) == WHO_SECRET - 1 && strspn(cookie, "0123456789abcdef") == WHO_SECRET - 1;
}

static bool is_over(const char *since, const char *last, long long now_s) {
    long long since_s = 0, last_s = 0;
    if (!when_read(since, &since_s) || !when_read(last, &last_s)) return true;
    return now_s - since_s >= WHO_SESSION_S || now_s - last_s >= WHO_IDLE_S;
}

static status fault_clock(const char *now, fault *why) {
    return fault_set(why, E_INPUT, "the clock says %.40s, which is no time", now);
}

static status find_session(who *w, const char *hash, const char *now, accounts_seen *seen, bool *found,
                           fault *why) {
    long long now_s = 0, last_s = 0;
    if (!when_read(now, &now_s)) return fault_clock(now, why);
    status code = accounts_find_session(w->accounts, hash, seen, found, why);
    if (code != OK || !*found) return code;
    if (is_over(seen->since, seen->last, now_s)) {
        *found = false;
        bool ended;
        return accounts_end_session(w->accounts, hash, NULL, &ended, why);
    }
    if (when_read(seen->last, &last_s) && now_s - last_s < SEEN_S) return OK;
    return accounts_touch_session(w->accounts, hash, now, why);
}

status who_of(who *w, const char *cookie, const char *now, who_person *out, fault *why) {
    char hash[HASH_TEXT];
    accounts_seen seen;
    bool found = false;
    *out = (who_person){.role = WEB_NOBODY};
    if (!cookie || !*cookie) return OK;
    out->expired = true;
    if (!is_secret(cookie)) return OK;
    hash_text(cookie, strlen(cookie), hash);
    pthread_mutex_lock(&w->door);
    status code = find_session(w, hash, now, &seen, &found, why);
    pthread_mutex_unlock(&w->door);
    if (code != OK || !found) return code;
    out->known = true;
    out->expired = false;
    out->role = role_of(seen.role);
    memcpy(out->name, seen.name, sizeof out->name);
    snprintf(out->session, sizeof out->session, "%.16s", hash);
    make_token(cookie, out->token);
    return OK;
}

bool who_token_right(const who_person *person, const char *given) {
    if (!person->known || !given || strlen(given) != WHO_SECRET - 1) return false;
    return sodium_memcmp(person->token, given, WHO_SECRET - 1) == 0;
}

static void make_secret(char *into, size_t size, size_t bytes) {
    unsigned char random[SECRET_BYTES];
    randombytes_buf(random, bytes);
    sodium_bin2hex(into, size, random, bytes);
    sodium_memzero(random, sizeof random);
}

/* Sessions that are over go whenever one begins, so that the file does not grow by them. */
static status clear_sessions(who *w, const char *now, fault *why) {
    char since[WHEN_TEXT], last[WHEN_TEXT];
    long long now_s = 0;
    if (!when_read(now, &now_s)) return fault_clock(now, why);
    return accounts_clear_sessions(w->accounts, when_write(now_s - WHO_SESSION_S, since),
                                   when_write(now_s - WHO_IDLE_S, last), why);
}

static status begin(who *w, const char *name, const char *agent, const char *now, char secret[WHO_SECRET],
                    fault *why) {
    char hash[HASH_TEXT];
    make_secret(secret, WHO_SECRET, SECRET_BYTES);
    hash_text(secret, WHO_SECRET - 1, hash);
    const accounts_session session = {hash, name, now, now, agent};
    pthread_mutex_lock(&w->door);
    status code = clear_sessions(w, now, why);
    if (code == OK && !w->site) code = accounts_add_local(w->accounts, name, now, why);
    if (code == OK) code = accounts_add_session(w->accounts, &session, WHO_SESSIONS_MOST, why);
    pthread_mutex_unlock(&w->door);
    return code;
}

status who_begin_session(who *w, const char *name, const char *agent, const char *now, who_entry *out,
                         fault *why) {
    status code = begin(w, name, agent, now, out->cookie, why);
    if (code == OK) code = who_of(w, out->cookie, now, &out->person, why);
    if (code != OK) sodium_memzero(out->cookie, sizeof out->cookie);
    return code;
}

status who_local(who *w, const char *agent, const char *now, who_entry *out, fault *why) {
    *out = (who_entry){0};
    if (w->site) return fault_set(why, E_STATE, "on the network of a site everybody logs in");
    return who_begin_session(w, w->local_name, agent, now, out, why);
}

status who_sessions(who *w, const who_person *asks, const char *now, arena *memory, who_session_list *out,
                    fault *why) {
    const char *name = asks->role == WEB_ESTIMATOR ? NULL : asks->name;
    size_t all = 0;
    long long now_s = 0;
    *out = (who_session_list){0};
    if (!when_read(now, &now_s)) return fault_clock(now, why);
    pthread_mutex_lock(&w->door);
    status code = accounts_sessions(w->accounts, name, memory, &out->sessions, &all, why);
    pthread_mutex_unlock(&w->door);
    for (size_t i = 0; i < all && code == OK; i++)
        if (!is_over(out->sessions[i].since, out->sessions[i].last, now_s))
            out->sessions[out->n++] = out->sessions[i];
    return code;
}

status who_end_session(who *w, const who_person *asks, const char *id, bool *found, fault *why) {
    const char *name = asks->role == WEB_ESTIMATOR ? NULL : asks->name;
    *found = false;
    if (strlen(id) != ACCOUNTS_ID - 1) return OK;
    pthread_mutex_lock(&w->door);
    status code = accounts_end_session(w->accounts, id, name, found, why);
    pthread_mutex_unlock(&w->door);
    return code;
}

/* ---- people ---- */

status who_people(who *w, arena *memory, accounts_person **out, size_t *n, fault *why) {
    pthread_mutex_lock(&w->door);
    status code = accounts_people(w->accounts, memory, out, n, why);
    pthread_mutex_unlock(&w->door);
    return code;
}

static status change_person(who *w, const who_change *c, const char *role, bool *found, fault *why) {
    const accounts_change change = {c->name, role, c->by, c->now};
    *found = false;
    if (!w->site)
        return fault_set(why, E_STATE, "this server is for one person; serve --site has people and roles");
    pthread_mutex_lock(&w->door);
    status code = accounts_change_person(w->accounts, &change, found, why);
    pthread_mutex_unlock(&w->door);
    return code;
}

status who_set_role(who *w, const who_change *change, bool *found, fault *why) {
    *found = false;
    if (change->role <= WEB_NOBODY || change->role >= WEB_ROLES)
        return fault_set(why, E_INPUT, "the role must be viewer, foreman or estimator");
    return change_person(w, change, web_role_words[change->role], found, why);
}

status who_end(who *w, const who_change *change, bool *found, fault *why) {
    return change_person(w, change, NULL, found, why);
}

/* ---- invitations ---- */

static status invite(who *w, accounts_invitation *i, bool alone, who_invitation *out, fault *why) {
    char hash[HASH_TEXT];
    long long now_s = 0;
    if (!w->site)
        return fault_set(why, E_STATE, "this server is for one person; serve --site has people and roles");
    if (!when_read(i->now, &now_s)) return fault_clock(i->now, why);
    make_secret(out->secret, sizeof out->secret, INVITATION_BYTES);
    i->hash = hash_text(out->secret, WHO_INVITATION - 1, hash);
    i->until = when_write(now_s + WHO_INVITATION_S, out->until);
    return accounts_invite(w->accounts, i, alone, why);
}

status who_invite(who *w, web_role role, const char *by, const char *now, who_invitation *out, fault *why) {
    *out = (who_invitation){{0}, {0}};
    if (role <= WEB_NOBODY || role >= WEB_ROLES)
        return fault_set(why, E_INPUT, "the role must be viewer, foreman or estimator");
    accounts_invitation i = {.role = web_role_words[role], .by = by, .now = now};
    pthread_mutex_lock(&w->door);
    status code = invite(w, &i, false, out, why);
    pthread_mutex_unlock(&w->door);
    return code;
}

void who_invitation_address(const char *address, const char *secret, text *out) {
    /* behind the #: a browser does not send it on, so it stands in no log */
    text_print(out, "%s/#/join?i=%s", address, secret);
}

static status first(who *w, const char *now, who_invitation *out, bool *wanted, fault *why) {
    accounts_invitation i = {.role = web_role_words[WEB_ESTIMATOR], .by = "stanch serve", .now = now};
    accounts_person *people = NULL;
    size_t n = 0;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    pthread_mutex_lock(&w->door);
    status code = accounts_people(w->accounts, memory, &people, &n, why);
    *wanted = code == OK && n == 0;
    if (*wanted) code = invite(w, &i, true, out, why);
    pthread_mutex_unlock(&w->door);
    arena_free(memory);
    return code;
}

status who_first_invitation(who *w, const char *address, const char *now, text *out, fault *why) {
    who_invitation invitation;
    text where = {0};
    bool wanted = false;
    if (!w->site) return OK;
    status code = first(w, now, &invitation, &wanted, why);
    if (code != OK || !wanted) return code;
    who_invitation_address(address, invitation.secret, &where);
    text_print(
        out,
        "Nobody is known here yet. Open this address, or point a phone at the code, to become the first\n"
        "estimator (once, until %s):\n\n  %s\n\n",
        invitation.until, text_get(&where));
    code = where.failed ? fault_memory(why) : code_text(text_get(&where), out, why);
    if (code == OK && out->failed) code = fault_memory(why);
    text_free(&where);
    return code;
}
