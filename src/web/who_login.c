/* Passphrases: who logs in, who joins. Everything that costs an argon2id runs here, one at a time. */
#include "core/hash.h"
#include "web/when.h"
#include "web/who_parts.h"

#include <arpa/inet.h>
#include <sodium.h>
#include <stdio.h>
#include <string.h>

/* ---- what was typed ---- */

/* Characters of well-formed UTF-8; -1 when it is not. */
static long count_characters(const char *typed) {
    long n = 0;
    if (!text_is_utf8(typed, strlen(typed))) return -1;
    for (const char *c = typed; *c; c++) n += ((unsigned char)*c & 0xC0) != 0x80;
    return n;
}

/* Control characters, and what is not seen or turns the direction of writing: two names must not look the same on
 * paper (Unicode: C0, C1, U+200B-200F, U+2028-202E, U+2060-206F, U+FEFF). */
static bool is_unseen(const unsigned char *c) {
    if (c[0] < 0x20 || c[0] == 0x7F) return true;
    if (c[0] == 0xC2 && c[1] < 0xA0) return true;
    if (c[0] == 0xE2 && c[1] == 0x80) return (c[2] >= 0x8B && c[2] <= 0x8F) || (c[2] >= 0xA8 && c[2] <= 0xAE);
    if (c[0] == 0xE2 && c[1] == 0x81) return c[2] >= 0xA0 && c[2] <= 0xAF;
    return c[0] == 0xEF && c[1] == 0xBB && c[2] == 0xBF;
}

status who_read_name(const char *typed, char into[ACCOUNTS_NAME], fault *why) {
    size_t from = strspn(typed, " "), to = strlen(typed);
    while (to > from && typed[to - 1] == ' ') to--;
    if (to - from >= ACCOUNTS_NAME)
        return fault_set(why, E_INPUT, "name: longer than %d characters", WHO_NAME_MOST);
    memcpy(into, typed + from, to - from);
    into[to - from] = '\0';
    long n = count_characters(into);
    if (n < 1) return fault_set(why, E_INPUT, n < 0 ? "name: is no UTF-8 text" : "name: is empty");
    if (n > WHO_NAME_MOST)
        return fault_set(why, E_INPUT, "name: %ld characters; it must have 1 to %d", n, WHO_NAME_MOST);
    for (const char *c = into; *c; c++)
        if (is_unseen((const unsigned char *)c))
            return fault_set(why, E_INPUT, "name: has a character that is not seen on paper");
    return OK;
}

static status check_passphrase(const char *typed, fault *why) {
    long n = count_characters(typed);
    if (n < 0) return fault_set(why, E_INPUT, "passphrase: is no UTF-8 text");
    if (n >= WHO_PASSPHRASE_LEAST && n <= WHO_PASSPHRASE_MOST) return OK;
    return fault_set(why, E_INPUT, "passphrase: %ld characters; it must have %d to %d", n,
                     WHO_PASSPHRASE_LEAST, WHO_PASSPHRASE_MOST);
}

/* ---- the queue and the tries ---- */

/* One machine on a site must not be filled with waiting logins: each holds a connection and a thread. */
static status enter_queue(who *w, who_entry *out, fault *why) {
    if (atomic_fetch_add(&w->queue, 1) < WHO_QUEUE_MOST) {
        pthread_mutex_lock(&w->stove);
        return OK;
    }
    atomic_fetch_sub(&w->queue, 1);
    out->code = 503;
    return fault_set(why, E_BUSY, "many people are logging in at this moment; try again in some seconds");
}

static void leave_queue(who *w) {
    pthread_mutex_unlock(&w->stove);
    atomic_fetch_sub(&w->queue, 1);
}

typedef struct {
    char name[ACCOUNTS_NAME]; /* Latin letters small, as the file compares them */
    char peer[INET6_ADDRSTRLEN + 4];
    long long now_s;
} try_keys;

/* An IPv6 host has the last 64 bits of its address for itself (RFC 4291, 2.5.1), so they do not count; an IPv4
 * address written as IPv6 is that address. */
static void read_peer(const char *peer, char *into, size_t size) {
    unsigned char bytes[16];
    static const unsigned char mapped[12] = {[10] = 0xFF, [11] = 0xFF};
    if (!peer || inet_pton(AF_INET6, peer, bytes) != 1) {
        snprintf(into, size, "%s", peer ? peer : "");
        return;
    }
    if (memcmp(bytes, mapped, sizeof mapped) == 0)
        snprintf(into, size, "%d.%d.%d.%d", bytes[12], bytes[13], bytes[14], bytes[15]);
    else
        sodium_bin2hex(into, size, bytes, 8);
}

static status read_keys(const who_try *t, const char *name, try_keys *out, fault *why) {
    if (!when_read(t->now, &out->now_s))
        return fault_set(why, E_INPUT, "the clock says %.40s, which is no time", t->now);
    snprintf(out->name, sizeof out->name, "%s", name);
    for (char *c = out->name; *c; c++)
        if (*c >= 'A' && *c <= 'Z') *c = (char)(*c - 'A' + 'a');
    read_peer(t->peer, out->peer, sizeof out->peer);
    return OK;
}

static status check_tries(who *w, const try_keys *k, who_entry *out, fault *why) {
    pthread_mutex_lock(&w->door);
    int by_name = *k->name ? tries_wait_s(w->tries, 'n', k->name, k->now_s) : 0;
    int by_peer = tries_wait_s(w->tries, 'a', k->peer, k->now_s);
    pthread_mutex_unlock(&w->door);
    out->wait_s = by_name > by_peer ? by_name : by_peer;
    if (out->wait_s == 0) return OK;
    out->code = 429;
    return fault_set(why, E_STATE, "too many tries; wait %d s before the next one", out->wait_s);
}

static status count_failure(who *w, const try_keys *k, const char *now, fault *why) {
    pthread_mutex_lock(&w->door);
    if (*k->name) tries_failed(w->tries, 'n', k->name, k->now_s);
    tries_failed(w->tries, 'a', k->peer, k->now_s);
    status code = accounts_count_failed(w->accounts, now, why);
    pthread_mutex_unlock(&w->door);
    return code;
}

/* ---- login ---- */

/* Whether the passphrase is that of the name. For a name that nobody has the same work is done for nothing, so that
 * the time does not tell which names there are. */
static status verify(who *w, const who_try *t, char name[ACCOUNTS_NAME], bool *right, fault *why) {
    const char *kept = NULL, *passphrase = NULL;
    char unused[crypto_pwhash_STRBYTES];
    size_t length = strlen(t->passphrase);
    arena *memory = arena_new();
    *right = false;
    if (!memory) return fault_memory(why);
    pthread_mutex_lock(&w->door);
    status code = accounts_passphrase(w->accounts, name, memory, &kept, &passphrase, why);
    pthread_mutex_unlock(&w->door);
    if (code == OK && kept) {
        *right = crypto_pwhash_str_verify(passphrase, t->passphrase, length) == 0;
        snprintf(name, ACCOUNTS_NAME, "%s", kept);
    } else if (code == OK &&
               crypto_pwhash_str(unused, t->passphrase, length, crypto_pwhash_OPSLIMIT_INTERACTIVE,
                                 crypto_pwhash_MEMLIMIT_INTERACTIVE) != 0) {
        code = fault_memory(why);
    }
    arena_free(memory);
    return code;
}

/* Within the queue, so that tries are looked at and counted one after another. */
static status try_login(who *w, const who_try *t, char name[ACCOUNTS_NAME], who_entry *out, fault *why) {
    try_keys keys;
    bool right = false;
    status code = read_keys(t, name, &keys, why);
    if (code == OK) code = check_tries(w, &keys, out, why);
    if (code == OK) code = verify(w, t, name, &right, why);
    if (code != OK) return code;
    if (right) {
        pthread_mutex_lock(&w->door);
        tries_clear(w->tries, 'n', keys.name);
        pthread_mutex_unlock(&w->door);
        return OK;
    }
    code = count_failure(w, &keys, t->now, why);
    if (code != OK) return code;
    out->code = 401;
    return fault_set(why, E_INPUT, "name or passphrase is not right");
}

status who_login(who *w, const who_try *t, who_entry *out, fault *why) {
    char name[ACCOUNTS_NAME];
    *out = (who_entry){0};
    if (!w->site) return fault_set(why, E_STATE, "this server is for one person and has no logins");
    status code = who_read_name(t->name, name, why);
    if (code == OK) code = check_passphrase(t->passphrase, why);
    if (code == OK) code = enter_queue(w, out, why);
    if (code != OK) return code;
    code = try_login(w, t, name, out, why);
    leave_queue(w);
    return code == OK ? who_begin_session(w, name, t->agent, t->now, out, why) : code;
}

/* ---- join ---- */

/* A wrong invitation counts against the address like a wrong passphrase. */
static status check_invitation(who *w, const who_try *t, const char *hash, who_entry *out, fault *why) {
    try_keys keys;
    status code = read_keys(t, "", &keys, why);
    if (code == OK) code = check_tries(w, &keys, out, why);
    if (code != OK) return code;
    pthread_mutex_lock(&w->door);
    code = accounts_may_join(w->accounts, hash, t->now, why);
    pthread_mutex_unlock(&w->door);
    if (code != E_STATE) return code;
    fault uncounted = {OK, ""};
    status counted = count_failure(w, &keys, t->now, &uncounted);
    if (counted == OK) return code;
    if (why) *why = uncounted;
    return counted;
}

static status try_join(who *w, const who_try *t, const char *name, who_entry *out, fault *why) {
    char hash[HASH_TEXT], passphrase[crypto_pwhash_STRBYTES];
    hash_text(t->invitation, strlen(t->invitation), hash);
    status code = check_invitation(w, t, hash, out, why);
    if (code != OK) return code;
    if (crypto_pwhash_str(passphrase, t->passphrase, strlen(t->passphrase),
                          crypto_pwhash_OPSLIMIT_INTERACTIVE, crypto_pwhash_MEMLIMIT_INTERACTIVE) != 0)
        return fault_memory(why);
    const accounts_joining joining = {hash, name, passphrase, t->now};
    pthread_mutex_lock(&w->door);
    code = accounts_join(w->accounts, &joining, why);
    pthread_mutex_unlock(&w->door);
    return code;
}

status who_join(who *w, const who_try *t, who_entry *out, fault *why) {
    char name[ACCOUNTS_NAME];
    *out = (who_entry){0};
    if (!w->site) return fault_set(why, E_STATE, "this server is for one person and has no invitations");
    status code = who_read_name(t->name, name, why);
    if (code == OK) code = check_passphrase(t->passphrase, why);
    if (code == OK) code = enter_queue(w, out, why);
    if (code != OK) return code;
    code = try_join(w, t, name, out, why);
    leave_queue(w);
    return code == OK ? who_begin_session(w, name, t->agent, t->now, out, why) : code;
}
