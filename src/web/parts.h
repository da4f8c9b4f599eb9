/* parts.h - what the server's own files share: the server, and one exchange (a request and its answer) with its
 * connection. Only for server.c, exchange.c and reply.c, the three that know the HTTP library.
 *
 * Threads  a server is shared: what changes in it is atomic or behind `keeping`; an exchange belongs to the thread of its
 * connection. */
#ifndef STANCH_WEB_PARTS_H
#define STANCH_WEB_PARTS_H

#include "web/assets.h"
#include "web/authority.h"
#include "web/guard.h"
#include "web/install.h"
#include "web/place.h"
#include "web/route.h"
#include "web/server.h"
#include "web/watch.h"
#include "web/who.h"

#include <microhttpd.h>
#include <pthread.h>
#include <stdatomic.h>

enum { COMPLAINTS_A_MINUTE = 10, UPLOADS_AT_ONCE = 8 };
enum {
    VALUES_MOST = 250000, /* of one JSON body */
    VALUE_BYTES = 128,    /* of one in memory, roughly: an empty list takes 130 */
};
#define BODIES_AT_ONCE ((size_t)48 * 1024 * 1024) /* bytes of JSON bodies and their values held at one time */

struct web_server {
    web_limits limits;
    place place;
    who *who;
    authority certificate;
    install *installing;
    watch *watch;
    struct MHD_Daemon *daemon;
    guard_hosts hosts;
    unsigned port;
    bool site;
    char address[GUARD_HOST + 32], cookie[32];
    atomic_size_t bodies; /* bytes held */
    atomic_uint uploads, running;

    pthread_mutex_t complaining;
    long long complaint_minute;
    unsigned complaints;

    pthread_mutex_t keeping; /* recursive: one kept thing may ask for another while it is made */
    struct {
        void *it;
        void (*end)(void *kept);
    } kept[WEB_KEEPS];
    web_keep order[WEB_KEEPS]; /* in which they were made */
    size_t n_kept;
};

typedef struct {
    web_server *server;
    struct MHD_Connection *connection;
    arena *memory;
    char *raw;        /* target as sent */
    bool begun, over; /* over: the body is, the answer is being made or sent */

    route_target target;
    route_match match;
    who_person person;
    const web_asset *asset;
    web_request request;
    fault_list *json_faults;
    char now[24];

    size_t announced, got, held; /* bytes of the body; held: counted in server->bodies */
    text body;
    size_t values;        /* that the body has so far */
    bool quoted, escaped; /* where it stands: in a text, after a backslash */
    int upload;           /* descriptor, or -1 */
    char *upload_path;
    bool counted_upload;

    int refused; /* code of the answer when no handler shall run; 0 otherwise */
    fault why;
} exchange;

/* Callbacks of the library (exchange.c); the closure is the server. */
void *exchange_begin(void *closure, const char *target, struct MHD_Connection *connection);
enum MHD_Result exchange_take(void *closure, struct MHD_Connection *connection, const char *url,
                              const char *method, const char *version, const char *bytes, size_t *length,
                              void **of);
void exchange_end(void *closure, struct MHD_Connection *connection, void **of,
                  enum MHD_RequestTerminationCode how);

/* Answers (reply.c). Each queues the whole answer. */
enum MHD_Result reply_fault(exchange *x, int code, const char *sentence);
enum MHD_Result reply_asset(exchange *x);
enum MHD_Result reply_result(exchange *x, web_response *out, status code, const fault *why);

/* A refusal written straight to the socket in the midst of a body, where the library takes no answer. */
void reply_last_words(exchange *x, int code, const char *sentence);

/* How the server is reached (reach.c): certificate when there is TLS; names, address and name of the cookie; the page
 * that offers the certificate of an authority of our own. */
status reach_certify(web_server *s, const web_options *o, fault *why);
void reach_name(web_server *s, const char *host, bool loopback);
status reach_offer_certificate(web_server *s, int listening, fault *why);

/* One line to standard error, at most COMPLAINTS_A_MINUTE of them. */
void web_complain(web_server *s, const char *format, ...) __attribute__((format(printf, 2, 3)));

const char *exchange_header(const exchange *x, const char *name); /* NULL when there is none */
watched *exchange_watched(const exchange *x);

#endif
