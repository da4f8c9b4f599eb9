#include "web/tries.h"

#include "core/mem.h"

#include <sodium.h>
#include <stdint.h>
#include <string.h>

typedef struct {
    uint64_t key; /* 0: free */
    long long last_s, until_s;
    int failures;
} entry;

struct tries {
    unsigned char secret[crypto_shorthash_KEYBYTES];
    entry entries[TRIES_KEYS];
};

tries *tries_new(void) {
    tries *t = mem_zero(1, sizeof *t);
    if (t) crypto_shorthash_keygen(t->secret);
    return t;
}

void tries_free(tries *t) {
    mem_free(t);
}

static uint64_t key_of(const tries *t, char kind, const char *key) {
    unsigned char bytes[256];
    size_t length = strnlen(key, sizeof bytes - 1);
    uint64_t hash = 0;
    bytes[0] = (unsigned char)kind;
    memcpy(bytes + 1, key, length);
    crypto_shorthash((unsigned char *)&hash, bytes, length + 1, t->secret);
    return hash ? hash : 1;
}

static entry *find(tries *t, uint64_t key) {
    for (int i = 0; i < TRIES_KEYS; i++)
        if (t->entries[i].key == key) return &t->entries[i];
    return NULL;
}

/* A clock that was set back must not keep a person out until it has caught up: what was is dated now. */
static void settle(entry *e, long long now_s) {
    if (e->last_s > now_s) {
        long long wait_s = e->until_s - e->last_s;
        e->last_s = now_s;
        e->until_s = now_s + wait_s;
    }
    long long calm_from_s = e->until_s > e->last_s ? e->until_s : e->last_s;
    if (now_s - calm_from_s >= TRIES_FORGET_S) *e = (entry){0};
}

static entry *place_for(tries *t, uint64_t key, long long now_s) {
    entry *worst = &t->entries[0];
    for (int i = 0; i < TRIES_KEYS; i++) {
        entry *e = &t->entries[i];
        if (e->key) settle(e, now_s);
        if (e->failures < worst->failures || (e->failures == worst->failures && e->last_s < worst->last_s))
            worst = e;
    }
    *worst = (entry){.key = key};
    return worst;
}

int tries_wait_s(tries *t, char kind, const char *key, long long now_s) {
    entry *e = find(t, key_of(t, kind, key));
    if (!e) return 0;
    settle(e, now_s);
    return e->until_s > now_s ? (int)(e->until_s - now_s) : 0;
}

void tries_failed(tries *t, char kind, const char *key, long long now_s) {
    uint64_t hash = key_of(t, kind, key);
    entry *e = find(t, hash);
    if (e) settle(e, now_s);
    if (!e || !e->key) e = place_for(t, hash, now_s);
    e->last_s = e->until_s = now_s;
    e->failures++;
    if (e->failures < TRIES_FREE) return;
    long long wait_s = TRIES_FIRST_S;
    for (int i = TRIES_FREE; i < e->failures && wait_s < TRIES_MOST_S; i++) wait_s *= 2;
    e->until_s = now_s + (wait_s < TRIES_MOST_S ? wait_s : TRIES_MOST_S);
}

void tries_clear(tries *t, char kind, const char *key) {
    entry *e = find(t, key_of(t, kind, key));
    if (e) *e = (entry){0};
}
