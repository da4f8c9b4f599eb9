/* guard.h - what is checked of a request before its body is read: that it is meant for us, comes from our own page, and
 * brings what its route takes. No socket: headers in, verdict out.
 *
 * Model  Host must be a name that we serve (a page that made its name point at us has another: DNS rebinding). Origin, when
 *   it is there, must be this very host; Sec-Fetch-Site, when it is there, must be same-origin or none under /api/. The
 *   type of a body is exact. A body is no longer than its route allows; with both a length and chunks it is refused,
 *   since two readers could disagree about its end (RFC 9112, 6.3).
 * Errors  *code is the answer's, with the sentence in *why: 400, 403, 411, 413, 415, 421.
 * Threads  no shared state. */
#ifndef STANCH_WEB_GUARD_H
#define STANCH_WEB_GUARD_H

#include "web/web.h"

enum { GUARD_HOSTS = 48, GUARD_HOST = 256 };

/* The names that we serve, without port: "localhost", "127.0.0.1", "[::1]". */
typedef struct {
    char names[GUARD_HOSTS][GUARD_HOST];
    size_t n;
    bool tls;
} guard_hosts;

/* The headers that matter; NULL where there was none. */
typedef struct {
    const char *method, *host, *origin, *fetch_site, *type, *length, *transfer;
    unsigned n_hosts, n_lengths;
} guard_head;

/* Add a name; too many or too long are left out. An IPv6 address gets its brackets. */
void guard_add_host(guard_hosts *hosts, const char *name);

/* Host and origin. `api`: the path lies under /api/. */
bool guard_source(const guard_hosts *hosts, const guard_head *head, bool api, int *code, fault *why);

/* Type and size of the body; *length is what was announced, SIZE_MAX when it comes in chunks. */
bool guard_body(const web_route *route, const guard_head *head, size_t *length, int *code, fault *why);

/* The value of one cookie of a Cookie header (NULL: none), copied into `into`; "" when it is not there or too long. */
void guard_cookie(const char *header, const char *name, char *into, size_t size);

/* True when If-None-Match (NULL: none) names this quoted tag, or all. */
bool guard_has_tag(const char *if_none_match, const char *etag);

#endif
