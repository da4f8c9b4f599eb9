#include "web/guard.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

static bool refuse(int *code, int answer, fault *why, const char *sentence) {
    *code = answer;
    fault_set(why, E_INPUT, "%s", sentence);
    return false;
}

void guard_add_host(guard_hosts *hosts, const char *name) {
    size_t n = strlen(name),
           scope = strcspn(name, "%"); /* fe80::1%eth0: a browser leaves the interface out */
    bool bare6 = strchr(name, ':') && name[0] != '[';
    if (bare6 && scope < n) n = scope;
    if (hosts->n == GUARD_HOSTS || n == 0 || n + 3 > GUARD_HOST) return;
    snprintf(hosts->names[hosts->n++], GUARD_HOST, bare6 ? "[%.*s]" : "%.*s", (int)n, name);
}

/* Length of the name in "name:port"; 0 when the rest is no port. */
static size_t host_length(const char *host) {
    const char *bracket = host[0] == '[' ? strchr(host, ']') : NULL;
    const char *end = bracket ? bracket + 1 : host + strcspn(host, ":");
    if (*end == ':' && strspn(end + 1, "0123456789") != strlen(end + 1)) return 0;
    return *end == '\0' || *end == ':' ? (size_t)(end - host) : 0;
}

static bool is_ours(const guard_hosts *hosts, const char *host) {
    size_t n = host_length(host);
    if (n == 0) return false;
    for (size_t i = 0; i < hosts->n; i++)
        if (strlen(hosts->names[i]) == n && strncasecmp(hosts->names[i], host, n) == 0) return true;
    return false;
}

static bool is_same_origin(const guard_hosts *hosts, const guard_head *head) {
    const char *scheme = hosts->tls ? "https://" : "http://";
    size_t n = strlen(scheme);
    return strncasecmp(head->origin, scheme, n) == 0 && strcasecmp(head->origin + n, head->host) == 0;
}

bool guard_source(const guard_hosts *hosts, const guard_head *head, bool api, int *code, fault *why) {
    if (!head->host || head->n_hosts != 1)
        return refuse(code, 400, why, "the request names no host, or more than one");
    if (!is_ours(hosts, head->host))
        return refuse(code, 421, why,
                      "this server is not the host that the request names; open the address that it printed");
    if (head->origin && !is_same_origin(hosts, head))
        return refuse(code, 403, why, "the request comes from a page that is not of this server");
    if (api && head->fetch_site && strcmp(head->fetch_site, "same-origin") != 0 &&
        strcmp(head->fetch_site, "none") != 0)
        return refuse(code, 403, why, "the request comes from a page that is not of this server");
    return true;
}

/* Digits only; SIZE_MAX stands for chunks, so a length is always below it. */
static bool read_length(const char *from, size_t *length) {
    size_t n = strlen(from);
    *length = 0;
    if (n == 0 || n > 15 || strspn(from, "0123456789") != n) return false;
    for (const char *c = from; *c; c++) *length = *length * 10 + (size_t)(*c - '0');
    return true;
}

static bool body_length(const guard_head *head, size_t *length, int *code, fault *why) {
    *length = 0;
    if (head->transfer && head->length)
        return refuse(code, 400, why, "the request has both a Content-Length and a Transfer-Encoding");
    if (head->n_lengths > 1) return refuse(code, 400, why, "the request has more than one Content-Length");
    if (head->transfer && strcasecmp(head->transfer, "chunked") != 0)
        return refuse(code, 400, why, "the Transfer-Encoding is not chunked");
    if (head->transfer) *length = SIZE_MAX;
    if (head->length && !read_length(head->length, length))
        return refuse(code, 400, why, "the Content-Length is no number of bytes");
    return true;
}

bool guard_body(const web_route *route, const guard_head *head, size_t *length, int *code, fault *why) {
    const char *wanted = route->takes == WEB_UPLOAD ? "application/octet-stream" : "application/json";
    if (!body_length(head, length, code, why)) return false;
    if (route->takes != WEB_NO_BODY && (!head->type || strcasecmp(head->type, wanted) != 0)) {
        *code = 415;
        fault_set(why, E_INPUT, "the Content-Type is %.60s; it must be %s",
                  head->type ? head->type : "not given", wanted);
        return false;
    }
    if (*length != SIZE_MAX && *length > route->limit) {
        *code = 413;
        fault_set(why, E_INPUT, "the request brings %zu bytes; at most %zu are taken here", *length,
                  route->limit);
        return false;
    }
    if (*length == SIZE_MAX && route->limit == 0)
        return refuse(code, 413, why, "the request brings a body; none is taken here");
    return true;
}

void guard_cookie(const char *header, const char *name, char *into, size_t size) {
    size_t n = strlen(name);
    into[0] = '\0';
    for (const char *at = header; at && *at;) {
        at += strspn(at, "; \t");
        size_t length = strcspn(at, ";");
        if (length > n && at[n] == '=' && memcmp(at, name, n) == 0) {
            size_t value = length - n - 1;
            if (value >= size) return;
            memcpy(into, at + n + 1, value);
            into[value] = '\0';
            return;
        }
        at += length;
    }
}

bool guard_has_tag(const char *if_none_match, const char *etag) {
    size_t n = strlen(etag);
    for (const char *at = if_none_match; at && *at;) {
        at += strspn(at, " \t,");
        if (strncmp(at, "W/", 2) == 0) at += 2;
        size_t length = strcspn(at, " \t,");
        if ((length == n && memcmp(at, etag, n) == 0) || (length == 1 && *at == '*')) return true;
        at += length;
    }
    return false;
}
