#include "web/parts.h"

#include <fcntl.h>
#include <gnutls/gnutls.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

/* What every answer says. Nothing inline and nothing from elsewhere runs; the page uses WebAssembly in a worker. */
static const char *const always[][2] = {
    {"Content-Security-Policy",
     "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data: "
     "blob:; "
     "media-src 'self' blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; font-src 'self'; "
     "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
};
enum { ALWAYS = sizeof always / sizeof *always };

static void add(struct MHD_Response *response, const char *name, const char *value) {
    if (value) MHD_add_response_header(response, name, value);
}

/* Headers of every answer, deadline by its size, and out. */
static enum MHD_Result queue(exchange *x, int code, struct MHD_Response *response, size_t bytes) {
    const web_limits *limits = &x->server->limits;
    if (!response) return MHD_NO;
    for (size_t i = 0; i < ALWAYS; i++) add(response, always[i][0], always[i][1]);
    watch_until(x->server->watch, exchange_watched(x),
                limits->request_s + (double)bytes / limits->upload_bytes_s);
    enum MHD_Result queued = MHD_queue_response(x->connection, (unsigned)code, response);
    MHD_destroy_response(response);
    return queued;
}

static struct MHD_Response *nothing(void) {
    return MHD_create_response_from_buffer(0, NULL, MHD_RESPMEM_PERSISTENT);
}

/* Bytes that live as long as the program. */
static struct MHD_Response *from_constant(const unsigned char *bytes, size_t length) {
    const struct MHD_IoVec piece = {bytes, length};
    return MHD_create_response_from_iovec(&piece, 1, NULL, NULL);
}

/* A response that takes over the bytes of `body`. */
static struct MHD_Response *from_text(text *body) {
    struct MHD_Response *response =
        body->failed ? NULL
        : body->bytes
            ? MHD_create_response_from_buffer_with_free_callback(body->length, body->bytes, mem_free)
            : nothing();
    if (response) *body = (text){0};
    return response;
}

enum MHD_Result reply_fault(exchange *x, int code, const char *sentence) {
    text body = {0};
    json_out o = {.to = &body};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "fault", sentence);
    json_out_close(&o, '}');
    size_t length = body.length;
    struct MHD_Response *response = from_text(&body);
    text_free(&body);
    if (!response) return MHD_NO;
    add(response, "Content-Type", "application/json");
    add(response, "Cache-Control", "no-store");
    if (code == 405) add(response, "Allow", x->match.methods);
    if (code == 503) add(response, "Retry-After", "2");
    return queue(x, code, response, length);
}

enum MHD_Result reply_asset(exchange *x) {
    const web_asset *a = x->asset;
    bool known = guard_has_tag(exchange_header(x, "If-None-Match"), a->etag);
    asset_form form = asset_choose(a, exchange_header(x, "Accept-Encoding"));
    size_t length = known ? 0 : form.length;
    struct MHD_Response *response = known ? nothing() : from_constant(form.bytes, form.length);
    if (!response) return MHD_NO;
    if (!known) {
        add(response, "Content-Type", a->type);
        add(response, "Content-Encoding", form.encoding);
    }
    add(response, "ETag", a->etag);
    add(response, "Vary", "Accept-Encoding");
    add(response, "Cache-Control", a->immutable ? "public, max-age=31536000, immutable" : "no-cache");
    return queue(x, known ? 304 : 200, response, length);
}

static int code_of(status code) {
    switch (code) {
    case OK: return 200;
    case E_INPUT: return 422;
    case E_STATE: return 409;
    case E_FORMAT: return 422;
    case E_BUSY: return 503;
    case E_IO: return 500;
    case E_MEMORY: return 503;
    }
    return 500;
}

/* name="value" with the few bytes that a header cannot hold left out, and the whole name in UTF-8 (RFC 6266). */
static void add_save_as(struct MHD_Response *response, const char *name) {
    text value = {0};
    text_add(&value, "attachment; filename=\"");
    for (const char *c = name; *c; c++)
        if ((unsigned char)*c >= 0x20 && (unsigned char)*c < 0x7f && *c != '"' && *c != '\\')
            text_add_bytes(&value, c, 1);
    text_add(&value, "\"; filename*=UTF-8''");
    for (const char *c = name; *c; c++) {
        bool plain = (*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z') || (*c >= '0' && *c <= '9') ||
                     strchr("-._", *c) != NULL;
        if (plain)
            text_add_bytes(&value, c, 1);
        else
            text_print(&value, "%%%02X", (unsigned)(unsigned char)*c);
    }
    if (!value.failed) add(response, "Content-Disposition", text_get(&value));
    text_free(&value);
}

static void add_cookie(const exchange *x, struct MHD_Response *response, const char *secret) {
    char value[300];
    snprintf(value, sizeof value, "%s=%.200s; Path=/; HttpOnly; SameSite=Strict%s%s", x->server->cookie,
             secret, x->server->hosts.tls ? "; Secure" : "", secret[0] ? "" : "; Max-Age=0");
    add(response, "Set-Cookie", value);
}

/* *length receives the size. NULL when the file cannot be opened. */
static struct MHD_Response *from_file(const web_response *out, size_t *length) {
    struct stat is;
    int file = open(out->file, O_RDONLY | O_CLOEXEC);
    if (out->file_goes) unlink(out->file);
    if (file < 0) return NULL;
    if (fstat(file, &is) != 0 || !S_ISREG(is.st_mode)) {
        close(file);
        return NULL;
    }
    *length = (size_t)is.st_size;
    struct MHD_Response *response = MHD_create_response_from_fd64((uint64_t)is.st_size, file);
    if (!response) close(file);
    return response;
}

static enum MHD_Result reply_good(exchange *x, web_response *out) {
    bool known = out->etag && guard_has_tag(exchange_header(x, "If-None-Match"), out->etag);
    int code = known ? 304 : out->code ? out->code : 200;
    size_t length = known ? 0 : out->body.length;
    struct MHD_Response *response = known       ? nothing()
                                    : out->file ? from_file(out, &length)
                                                : from_text(&out->body);
    if (known && out->file && out->file_goes) unlink(out->file);
    if (!response)
        return reply_fault(x, out->file ? 500 : 503,
                           out->file ? "the file cannot be read" : "not enough memory");
    if (!known) add(response, "Content-Type", out->type ? out->type : "application/json");
    if (!known && out->save_as) add_save_as(response, out->save_as);
    add(response, "ETag", out->etag);
    add(response, "Cache-Control", out->etag ? "no-cache" : "no-store");
    if (out->set_cookie) add_cookie(x, response, out->set_cookie);
    if (out->retry_s > 0) {
        char seconds[16];
        snprintf(seconds, sizeof seconds, "%d", out->retry_s);
        add(response, "Retry-After", seconds);
    }
    return queue(x, code, response, length);
}

/* A fault becomes an answer of its own, so that cookie and Retry-After of the handler go with it. */
static void tell_fault(const web_server *s, web_response *out, status code, const fault *why) {
    json_out o = {.to = &out->body};
    text sentence = {0};
    web_tell(s, why->text, &sentence);
    text_free(&out->body);
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "fault", sentence.length ? sentence.bytes : "the request failed");
    json_out_close(&o, '}');
    text_free(&sentence);
    out->code = out->code >= 400 ? out->code : code_of(code);
    if (out->code == 503 && out->retry_s == 0) out->retry_s = 2;
    if (out->file && out->file_goes) unlink(out->file);
    out->file = out->etag = out->save_as = out->type = NULL;
}

enum MHD_Result reply_result(exchange *x, web_response *out, status code, const fault *why) {
    if (code != OK) tell_fault(x->server, out, code, why);
    if (code != OK && out->code >= 500)
        web_complain(x->server, "%s %s: %s", x->match.route->method, x->match.route->pattern, why->text);
    return reply_good(x, out);
}

void reply_last_words(exchange *x, int code, const char *sentence) {
    text body = {0}, all = {0};
    json_out o = {.to = &body};
    const union MHD_ConnectionInfo *tls =
        MHD_get_connection_info(x->connection, MHD_CONNECTION_INFO_GNUTLS_SESSION);
    const union MHD_ConnectionInfo *fd =
        MHD_get_connection_info(x->connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "fault", sentence);
    json_out_close(&o, '}');
    text_print(&all,
               "HTTP/1.1 %d Refused\r\nContent-Type: application/json\r\nCache-Control: no-store\r\n"
               "Connection: close\r\nContent-Length: %zu\r\n",
               code, body.length);
    for (size_t i = 0; i < ALWAYS; i++) text_print(&all, "%s: %s\r\n", always[i][0], always[i][1]);
    text_print(&all, "\r\n%s", text_get(&body));
    if (!all.failed && tls && tls->tls_session)
        gnutls_record_send(tls->tls_session, all.bytes, all.length);
    else if (!all.failed && fd)
        send(fd->connect_fd, all.bytes, all.length, MSG_NOSIGNAL);
    text_free(&all);
    text_free(&body);
}
