#include "web/who.h"

#include <sodium.h>
#include <stdio.h>
#include <string.h>

/* One session for every browser of this machine. */
struct who {
    char name[ACCOUNTS_NAME], secret[WHO_SECRET], token[WHO_SECRET];
};

static void make_secret(char into[WHO_SECRET]) {
    unsigned char bytes[32];
    randombytes_buf(bytes, sizeof bytes);
    sodium_bin2hex(into, WHO_SECRET, bytes, sizeof bytes);
}

status who_open(const char *folder, bool site, const char *local_name, who **out, fault *why) {
    (void)folder;
    *out = NULL;
    if (site) return fault_set(why, E_INPUT, "serve: --site is not built yet");
    if (sodium_init() < 0) return fault_set(why, E_IO, "the machine gives no random numbers");
    who *w = mem_zero(1, sizeof *w);
    if (!w) return fault_memory(why);
    snprintf(w->name, sizeof w->name, "%s", local_name);
    make_secret(w->secret);
    make_secret(w->token);
    *out = w;
    return OK;
}

void who_close(who *w) {
    mem_free(w);
}

static bool same(const char *a, const char *b) {
    size_t n = strlen(a);
    return n > 0 && b && n == strlen(b) && sodium_memcmp(a, b, n) == 0;
}

static void fill(const who *w, who_person *out) {
    *out = (who_person){.role = WEB_ESTIMATOR, .id = "1", .known = true};
    memcpy(out->name, w->name, sizeof out->name);
    memcpy(out->token, w->token, sizeof out->token);
}

status who_of(who *w, const char *cookie, const char *now, who_person *out, fault *why) {
    (void)now, (void)why;
    *out = (who_person){.role = WEB_NOBODY};
    if (cookie && same(w->secret, cookie)) fill(w, out);
    return OK;
}

bool who_token_right(const who_person *person, const char *given) {
    return same(person->token, given);
}

status who_local(who *w, const char *agent, const char *now, who_entry *out, fault *why) {
    (void)now, (void)agent, (void)why;
    *out = (who_entry){0};
    fill(w, &out->person);
    memcpy(out->cookie, w->secret, sizeof out->cookie);
    return OK;
}
