#include "web/listen.h"
#include "web/parts.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>

static bool tell_time(char into[24]) {
    struct tm utc;
    time_t now = time(NULL);
    return gmtime_r(&now, &utc) && strftime(into, 24, "%Y-%m-%dT%H:%M:%SZ", &utc) > 0;
}

static bool is_given(const char *host) {
    return host && strcmp(host, "0.0.0.0") != 0 && strcmp(host, "::") != 0;
}

void reach_name(web_server *s, const char *host, bool loopback) {
    char outside[GUARD_HOST];
    bool given = is_given(host);
    guard_add_host(&s->hosts, "localhost");
    guard_add_host(&s->hosts, "127.0.0.1");
    guard_add_host(&s->hosts, "::1");
    if (given) guard_add_host(&s->hosts, host);
    if (!loopback) listen_own_names(&s->hosts);
    listen_outside(outside, sizeof outside);
    const char *name = given ? host : loopback ? "127.0.0.1" : outside;
    bool bare6 = strchr(name, ':') && name[0] != '[';
    snprintf(s->address, sizeof s->address, bare6 ? "%s://[%.200s]:%u" : "%s://%.200s:%u",
             s->hosts.tls ? "https" : "http", name, s->port);
    /* Cookies know no ports. With the prefix a browser takes it from us alone, over TLS (RFC 6265bis, 4.1.3.2): the page that
     * offers the certificate, or who poses as it, cannot put a session of another under a person. */
    snprintf(s->cookie, sizeof s->cookie, "%s" WHO_COOKIE "-%u", s->hosts.tls ? "__Host-" : "", s->port);
}

status reach_certify(web_server *s, const web_options *o, fault *why) {
    char now[24];
    if (!tell_time(now)) return fault_set(why, E_IO, "the clock does not tell a date");
    s->hosts.tls = o->certificate || (o->site && !o->plain);
    if (!s->hosts.tls) return OK;
    if (o->certificate) return authority_given(o->certificate, o->key, now, &s->certificate, why);
    return authority_make(s->place.folder, is_given(o->host) ? o->host : NULL, now, &s->certificate, why);
}

/* The page from which a phone takes the certificate: on the next port, or any when that is taken. */
status reach_offer_certificate(web_server *s, int listening, fault *why) {
    struct sockaddr_storage at;
    socklen_t n = sizeof at;
    install_request request = {(const struct sockaddr *)&at, &s->certificate, s->address};
    if (!s->certificate.der) return OK;
    if (getsockname(listening, (struct sockaddr *)&at, &n) != 0)
        return fault_set(why, E_IO, "the server does not start: %.100s", strerror(errno));
    listen_set_port((struct sockaddr *)&at, s->port + 1);
    status code = install_start(&request, &s->installing, why);
    if (code == OK) return OK;
    listen_set_port((struct sockaddr *)&at, 0);
    return install_start(&request, &s->installing, why);
}

status web_server_greeting(const web_server *s, text *out, fault *why) {
    char now[24], host[GUARD_HOST + 32];
    text_print(out, "%s/\n", s->address);
    if (!s->site) return out->failed ? fault_memory(why) : OK;
    if (!tell_time(now)) return fault_set(why, E_IO, "the clock does not tell a date");
    if (s->installing) {
        const char *name = strstr(s->address, "://") + 3;
        snprintf(host, sizeof host, "%.*s", (int)(strrchr(name, ':') - name), name);
        text_print(out,
                   "\nEach phone takes the certificate of this site once, from\n  http://%s:%u/\n"
                   "and compares its SHA-256 there:\n  %.47s\n  %s\n",
                   host, install_port(s->installing), s->certificate.fingerprint,
                   strlen(s->certificate.fingerprint) > 48 ? s->certificate.fingerprint + 48 : "");
    }
    if (!s->hosts.tls)
        text_add(out, "\nNothing is encrypted: others on this network can read along, and phones cannot work "
                      "offline.\n");
    text_add(out, "\n");
    return who_first_invitation(s->who, s->address, now, out, why);
}
