#include "web/parts.h"

#include <errno.h>
#include <netdb.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <time.h>
#include <unistd.h>

enum {
    DRAIN_MOST = 256 * 1024, /* a refused body up to here is read, so that the browser sees the answer */
    AGENT_MOST = 200,
    FROM_MOST = 64,
};

const char *exchange_header(const exchange *x, const char *name) {
    return MHD_lookup_connection_value(x->connection, MHD_HEADER_KIND, name);
}

watched *exchange_watched(const exchange *x) {
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(x->connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    return info ? info->socket_context : NULL;
}

void *exchange_begin(void *closure, const char *target, struct MHD_Connection *connection) {
    exchange *x = mem_zero(1, sizeof *x);
    if (!x) return NULL;
    x->server = closure;
    x->connection = connection;
    x->upload = -1;
    x->memory = arena_new();
    x->raw = x->memory ? arena_copy(x->memory, target) : NULL;
    if (!x->raw) {
        arena_free(x->memory);
        mem_free(x);
        return NULL;
    }
    return x;
}

static void refuse(exchange *x, int code, const char *sentence) {
    if (x->refused) return;
    x->refused = code;
    fault_set(&x->why, E_INPUT, "%s", sentence);
}

/* ---- before the body ---- */

typedef struct {
    unsigned hosts, lengths;
} counts;

static enum MHD_Result count_header(void *closure, enum MHD_ValueKind kind, const char *key,
                                    const char *value) {
    counts *c = closure;
    (void)kind, (void)value;
    c->hosts += strcasecmp(key, "Host") == 0;
    c->lengths += strcasecmp(key, "Content-Length") == 0;
    return MHD_YES;
}

static guard_head read_head(const exchange *x, const char *method) {
    counts c = {0, 0};
    MHD_get_connection_values(x->connection, MHD_HEADER_KIND, count_header, &c);
    return (guard_head){.method = method,
                        .host = exchange_header(x, "Host"),
                        .origin = exchange_header(x, "Origin"),
                        .fetch_site = exchange_header(x, "Sec-Fetch-Site"),
                        .type = exchange_header(x, "Content-Type"),
                        .length = exchange_header(x, "Content-Length"),
                        .transfer = exchange_header(x, "Transfer-Encoding"),
                        .n_hosts = c.hosts,
                        .n_lengths = c.lengths};
}

static bool is_get(const char *method) {
    return strcmp(method, "GET") == 0 || strcmp(method, "HEAD") == 0;
}

static bool find(exchange *x, const char *method) {
    if (route_find(web_routes, web_n_routes, method, &x->target, x->memory, &x->match, &x->why) != OK) {
        refuse(x, 503, "not enough memory");
        return false;
    }
    x->asset = x->match.known ? NULL : asset_find(x->target.path);
    if (x->asset) memcpy(x->match.methods, "GET, HEAD", sizeof "GET, HEAD");
    if (!x->match.known && !x->asset)
        refuse(x, 404, "there is nothing at this address");
    else if (x->asset ? !is_get(method) : !x->match.route)
        refuse(x, 405, "this address does not take that method");
    return !x->refused;
}

static void tell_time(char into[24]) {
    struct tm utc;
    time_t now = time(NULL);
    if (!gmtime_r(&now, &utc) || strftime(into, 24, "%Y-%m-%dT%H:%M:%SZ", &utc) == 0) into[0] = '\0';
}

static const char *tell_peer(const exchange *x) {
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(x->connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    char *into = arena_get(x->memory, FROM_MOST, 1);
    if (!into || !info || !info->client_addr) return "";
    socklen_t n =
        info->client_addr->sa_family == AF_INET6 ? sizeof(struct sockaddr_in6) : sizeof(struct sockaddr_in);
    if (getnameinfo(info->client_addr, n, into, FROM_MOST, NULL, 0, NI_NUMERICHOST) != 0) return "";
    return strncmp(into, "::ffff:", 7) == 0 && strchr(into, '.') ? into + 7 : into;
}

static const char *tell_agent(const exchange *x) {
    const char *given = exchange_header(x, "User-Agent");
    if (!given || !text_is_utf8(given, strlen(given))) return "";
    char *copy = arena_copy(x->memory, given);
    if (!copy) return "";
    if (strlen(copy) > AGENT_MOST) text_cut_utf8(copy, AGENT_MOST);
    return copy;
}

static bool fill_request(exchange *x, const char *method) {
    web_request *r = &x->request;
    char *cookie = arena_get(x->memory, WHO_SECRET, 1);
    tell_time(x->now);
    if (!cookie) return false;
    guard_cookie(exchange_header(x, "Cookie"), x->server->cookie, cookie, WHO_SECRET);
    *r = (web_request){.method = strcmp(method, "HEAD") == 0 ? "GET" : x->match.route->method,
                       .query = x->target.query,
                       .who = x->person.name,
                       .session = x->person.session,
                       .token = x->person.token,
                       .cookie = cookie,
                       .from = tell_peer(x),
                       .agent = tell_agent(x),
                       .now = x->now,
                       .address = x->server->address,
                       .server = x->server,
                       .memory = x->memory};
    memcpy(r->variables, x->match.variables, sizeof r->variables);
    return true;
}

/* Session, role and token. */
static void admit(exchange *x, const char *method) {
    const web_route *route = x->match.route;
    status code = who_of(x->server->who, x->request.cookie, x->now, &x->person, &x->why);
    x->request.role = x->person.role;
    if (code != OK)
        refuse(x, code == E_BUSY || code == E_MEMORY ? 503 : 500,
               "the session could not be looked up; try again");
    else if (route->least > WEB_NOBODY && !x->person.known)
        refuse(x, 401, x->person.expired ? "your session is over; log in again" : "log in first");
    else if (x->person.role < route->least) {
        x->refused = 403;
        fault_set(&x->why, E_INPUT, "this takes the role %s; yours is %s", web_role_words[route->least],
                  web_role_words[x->person.role]);
    } else if (!is_get(method) && x->person.known &&
               !who_token_right(&x->person, exchange_header(x, "X-Stanch-Token")))
        refuse(x, 403, "the request has no token of this session, or a wrong one; load the page again");
}

static void check(exchange *x, const char *method) {
    guard_head head = read_head(x, method);
    if (strlen(x->raw) > ROUTE_TARGET) {
        refuse(x, 414, "the address is too long");
        return;
    }
    status code = route_read(x->raw, x->memory, &x->target, &x->why);
    if (code != OK) {
        x->refused = code == E_MEMORY ? 503 : 400;
        return;
    }
    bool api = x->target.n > 0 && strcmp(x->target.parts[0], "api") == 0;
    if (!guard_source(&x->server->hosts, &head, api, &x->refused, &x->why) || !find(x, method) || x->asset)
        return;
    if (!fill_request(x, method)) {
        refuse(x, 503, "not enough memory");
        return;
    }
    admit(x, method);
    if (!x->refused) guard_body(x->match.route, &head, &x->announced, &x->refused, &x->why);
}

/* ---- the body ---- */

static bool open_upload(exchange *x) {
    if (atomic_fetch_add(&x->server->uploads, 1) >= UPLOADS_AT_ONCE) {
        atomic_fetch_sub(&x->server->uploads, 1);
        refuse(x, 503, "other files are being taken in; try again in a moment");
        return false;
    }
    x->counted_upload = true;
    const char *folders[] = {x->server->place.folder, getenv("TMPDIR"), "/tmp"};
    for (size_t i = 0; i < 3 && x->upload < 0; i++) {
        if (!folders[i]) continue;
        x->upload_path = arena_print(x->memory, "%s/.stanch-upload-XXXXXX", folders[i]);
        x->upload = x->upload_path ? mkstemp(x->upload_path) : -1;
    }
    if (x->upload >= 0) return true;
    web_complain(x->server, "no temporary file: %s", strerror(errno));
    x->upload_path = NULL;
    refuse(x, 503, "the server has no room for a file");
    return false;
}

static bool keep_upload(exchange *x, const char *bytes, size_t length) {
    while (length > 0) {
        ssize_t wrote = write(x->upload, bytes, length);
        if (wrote < 0 && errno == EINTR) continue;
        if (wrote <= 0) {
            web_complain(x->server, "an upload could not be kept: %s", strerror(errno));
            refuse(x, 503, "the server has no room for this file");
            return false;
        }
        bytes += wrote;
        length -= (size_t)wrote;
    }
    return true;
}

/* Values that a piece of a body begins. Read, "[]" is forty times as long. */
static size_t count_values(exchange *x, const char *bytes, size_t length) {
    size_t n = 0;
    for (size_t i = 0; i < length; i++) {
        char c = bytes[i];
        if (x->escaped) {
            x->escaped = false;
        } else if (x->quoted) {
            x->escaped = c == '\\';
            x->quoted = c != '"';
        } else {
            x->quoted = c == '"';
            n += c == ',' || c == '[' || c == '{';
        }
    }
    return n;
}

static bool keep_text(exchange *x, const char *bytes, size_t length) {
    size_t values = count_values(x, bytes, length), more = length + values * VALUE_BYTES;
    size_t held = atomic_fetch_add(&x->server->bodies, more) + more;
    x->held += more;
    x->values += values;
    if (x->values > VALUES_MOST) {
        x->refused = 413;
        fault_set(&x->why, E_INPUT, "the request has more than %d values; send it in parts",
                  (int)VALUES_MOST);
        return false;
    }
    if (held > BODIES_AT_ONCE) {
        refuse(x, 503, "the server has too much to take in at once; try again in a moment");
        return false;
    }
    text_add_bytes(&x->body, bytes, length);
    if (x->body.failed) refuse(x, 503, "not enough memory");
    return !x->refused;
}

/* One piece of the body. MHD_NO closes the connection: the answer was written past the library. */
static enum MHD_Result take_piece(exchange *x, const char *bytes, size_t *length) {
    size_t n = *length;
    bool was_refused = x->refused != 0;
    *length = 0;
    x->got += n;
    if (was_refused && x->got <= DRAIN_MOST) return MHD_YES;
    if (!was_refused && x->got > x->match.route->limit) {
        x->refused = 413;
        fault_set(&x->why, E_INPUT, "the request brings more than %zu bytes; no more are taken here",
                  x->match.route->limit);
    } else if (!was_refused) {
        bool kept = x->upload >= 0 ? keep_upload(x, bytes, n) : keep_text(x, bytes, n);
        if (kept) return MHD_YES;
    }
    reply_last_words(x, x->refused, x->why.text);
    return MHD_NO;
}

/* ---- the answer ---- */

static bool read_json(exchange *x) {
    json_in in = {.source = "", .memory = x->memory};
    x->json_faults = in.faults = fault_list_new();
    if (!in.faults) {
        refuse(x, 503, "not enough memory");
        return false;
    }
    x->request.body = text_get(&x->body);
    x->request.length = x->body.length;
    x->request.json = json_in_parse(&in, x->request.body, x->body.length);
    if (x->request.json && json_in_is_object(&in, NULL, x->request.json)) return true;
    x->refused = 400;
    fault_list_status(in.faults, &x->why);
    return false;
}

static enum MHD_Result run(exchange *x) {
    web_response out = {0};
    fault why = {OK, ""};
    if (x->match.route->takes == WEB_JSON && !read_json(x)) return reply_fault(x, x->refused, x->why.text);
    x->request.upload = x->upload_path;
    status code = x->match.route->run(&x->request, &out, &why);
    enum MHD_Result queued = reply_result(x, &out, code, &why);
    text_free(&out.body);
    return queued;
}

static enum MHD_Result answer(exchange *x) {
    watched *late = exchange_watched(x);
    x->over = true;
    atomic_fetch_add(&x->server->running, 1);
    watch_until(x->server->watch, late, 0);
    enum MHD_Result queued = x->refused ? reply_fault(x, x->refused, x->why.text)
                             : x->asset ? reply_asset(x)
                                        : run(x);
    if (queued != MHD_YES) web_complain(x->server, "an answer could not be made");
    return queued;
}

/* A refused body that is short is read to its end first: a connection closed over unread bytes loses the answer. Not
 * when its end is in doubt (400): what follows could then be taken for a request. */
static bool may_drain(const exchange *x) {
    size_t announced = x->announced;
    const char *length = exchange_header(x, "Content-Length");
    if (x->refused == 413 || x->refused == 400 || exchange_header(x, "Expect") ||
        exchange_header(x, "Transfer-Encoding"))
        return false;
    if (announced == 0 && length) announced = (size_t)strtoull(length, NULL, 10);
    return announced <= DRAIN_MOST;
}

static enum MHD_Result start(exchange *x, const char *method) {
    const web_limits *limits = &x->server->limits;
    double allowed = limits->request_s;
    x->begun = true;
    check(x, method);
    if (!x->refused && x->match.route && x->match.route->takes == WEB_UPLOAD) {
        size_t most = x->announced == SIZE_MAX ? x->match.route->limit : x->announced;
        allowed += (double)most / limits->upload_bytes_s;
        open_upload(x);
    }
    watch_until(x->server->watch, exchange_watched(x), allowed);
    return x->refused && !may_drain(x) ? answer(x) : MHD_YES;
}

enum MHD_Result exchange_take(void *closure, struct MHD_Connection *connection, const char *url,
                              const char *method, const char *version, const char *bytes, size_t *length,
                              void **of) {
    exchange *x = *of;
    (void)closure, (void)connection, (void)url, (void)version;
    if (!x) return MHD_NO; /* no memory for it */
    if (!x->begun) return start(x, method);
    if (*length > 0) return take_piece(x, bytes, length);
    return x->over ? MHD_YES : answer(x);
}

void exchange_end(void *closure, struct MHD_Connection *connection, void **of,
                  enum MHD_RequestTerminationCode how) {
    exchange *x = *of;
    (void)connection, (void)how;
    if (!x) return;
    web_server *s = closure;
    watch_until(s->watch, exchange_watched(x), s->limits.idle_s + s->limits.request_s);
    if (x->upload >= 0) close(x->upload);
    if (x->upload_path) unlink(x->upload_path);
    if (x->counted_upload) atomic_fetch_sub(&s->uploads, 1);
    if (x->over) atomic_fetch_sub(&s->running, 1);
    atomic_fetch_sub(&s->bodies, x->held);
    json_decref(x->request.json);
    fault_list_free(x->json_faults);
    text_free(&x->body);
    arena_free(x->memory);
    mem_free(x);
    *of = NULL;
}
