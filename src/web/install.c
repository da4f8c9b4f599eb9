#include "web/install.h"

#include "core/mem.h"
#include "web/install_page.h"

#include <errno.h>
#include <microhttpd.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

/* Our own choices: a handful of phones at a time, and a few kilobytes each. */
enum { CONNECTIONS = 32, CONNECTIONS_OF_ONE = 6, SILENCE_S = 10, REQUEST_BYTES = 16 * 1024 };

enum { PAGE, STYLE, CERTIFICATE, MISSING, ANSWERS };

struct install {
    struct MHD_Daemon *daemon;
    struct MHD_Response *answers[ANSWERS];
    unsigned port;
};

static bool add_header(struct MHD_Response *r, const char *name, const char *value) {
    return MHD_add_response_header(r, name, value) == MHD_YES;
}

/* The bytes are copied. NULL without memory. */
static struct MHD_Response *make_answer(const void *bytes, size_t length, const char *type) {
    /* the library does not write to what it copies, but does not say so */
    void *from = (void *)(uintptr_t)bytes;
    struct MHD_Response *r = MHD_create_response_from_buffer(length, from, MHD_RESPMEM_MUST_COPY);
    if (!r) return NULL;
    if (add_header(r, "Content-Type", type) && add_header(r, "X-Content-Type-Options", "nosniff") &&
        add_header(r, "Cache-Control", "no-store") && add_header(r, "Referrer-Policy", "no-referrer") &&
        add_header(r, "Content-Security-Policy",
                   "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'; "
                   "frame-ancestors 'none'"))
        return r;
    MHD_destroy_response(r);
    return NULL;
}

static status make_answers(install *i, const install_request *request, fault *why) {
    static const char missing[] = "not found\n";
    const authority *of = request->of;
    text page = {0};
    install_page_write(of->fingerprint, request->address, &page);
    if (!page.failed) {
        i->answers[PAGE] = make_answer(page.bytes, page.length, "text/html; charset=utf-8");
        i->answers[STYLE] = make_answer(install_style, strlen(install_style), "text/css; charset=utf-8");
        i->answers[CERTIFICATE] = make_answer(of->der, of->der_length, "application/x-x509-ca-cert");
        i->answers[MISSING] = make_answer(missing, strlen(missing), "text/plain; charset=utf-8");
    }
    text_free(&page);
    for (int a = 0; a < ANSWERS; a++)
        if (!i->answers[a]) return fault_memory(why);
    return OK;
}

static int which(const char *method, const char *path) {
    if (strcmp(method, "GET") != 0 && strcmp(method, "HEAD") != 0) return MISSING;
    if (strcmp(path, "/") == 0) return PAGE;
    if (strcmp(path, "/install.css") == 0) return STYLE;
    return strcmp(path, "/stanch-authority.crt") == 0 ? CERTIFICATE : MISSING;
}

static enum MHD_Result answer(
    void *data, struct MHD_Connection *connection, const char *path, const char *method, const char *version,
    const char *upload,
    size_t *upload_length, /* NOLINT(readability-non-const-parameter): the library's shape */
    void **state) {
    const install *i = data;
    (void)version, (void)upload;
    /* A body that nobody asked for is not read: the answer goes out at the first call and the connection ends. */
    (void)upload_length, (void)state;
    int a = which(method, path);
    return MHD_queue_response(connection, a == MISSING ? MHD_HTTP_NOT_FOUND : MHD_HTTP_OK, i->answers[a]);
}

static status listen_there(install *i, const struct sockaddr *bind, fault *why) {
    unsigned flags = MHD_USE_AUTO_INTERNAL_THREAD | (bind->sa_family == AF_INET6 ? MHD_USE_DUAL_STACK : 0U);
    errno = 0;
    i->daemon = MHD_start_daemon(flags, 0, NULL, NULL, answer, i, MHD_OPTION_SOCK_ADDR, bind,
                                 MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTIONS,
                                 MHD_OPTION_PER_IP_CONNECTION_LIMIT, (unsigned)CONNECTIONS_OF_ONE,
                                 MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)SILENCE_S,
                                 MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)REQUEST_BYTES, MHD_OPTION_END);
    const union MHD_DaemonInfo *port =
        i->daemon ? MHD_get_daemon_info(i->daemon, MHD_DAEMON_INFO_BIND_PORT) : NULL;
    if (port) i->port = port->port;
    if (port) return OK;
    if (errno == EADDRINUSE)
        return fault_set(why, E_STATE,
                         "the page for installing the certificate: its port is taken by another program");
    return fault_set(why, E_IO, "the page for installing the certificate cannot be served: %s",
                     errno ? strerror(errno) : "the listener does not start");
}

status install_start(const install_request *request, install **out, fault *why) {
    *out = NULL;
    if (!request->of->der)
        return fault_set(why, E_STATE, "a certificate that was given needs no installing from here");
    install *i = mem_zero(1, sizeof *i);
    if (!i) return fault_memory(why);
    status code = make_answers(i, request, why);
    if (code == OK) code = listen_there(i, request->bind, why);
    if (code != OK) {
        install_stop(i);
        return code;
    }
    *out = i;
    return OK;
}

void install_stop(install *i) {
    if (!i) return;
    if (i->daemon) MHD_stop_daemon(i->daemon);
    for (int a = 0; a < ANSWERS; a++)
        if (i->answers[a]) MHD_destroy_response(i->answers[a]);
    mem_free(i);
}

unsigned install_port(const install *i) {
    return i->port;
}
