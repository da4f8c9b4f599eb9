/* server.h - the server behind `stanch serve`: one listening socket, one thread a connection, the table of routes.
 *
 * Model  A request goes through the checks (guard.h: host, origin; then route, session, role, token, type, size) before
 *   its body is read, then to its handler (web.h), then out (reply.c). Whoever sends or reads too slowly is cut off by
 *   deadline (watch.h); limits hold the number of connections in all and per address, and the bytes held in memory.
 *   A job is found by comparing its name with a listing of the folder: a path is never made from what a browser sent.
 * Local mode (no `site`)  only the loopback address, every browser gets a session of role estimator.
 * Site mode  accounts (who.h) and HTTPS (authority.h, or a certificate given), unless `plain`.
 * Threads  start and stop from one thread; everything else from any. The caller blocks SIGPIPE.
 * Errors  E_IO: port taken, folder missing, no permission. E_INPUT: options that do not go together. */
#ifndef STANCH_WEB_SERVER_H
#define STANCH_WEB_SERVER_H

#include "web/web.h"

enum { WEB_PORT = 8466 };

/* How long and how many; 0 takes the default. Tests shorten them. */
typedef struct {
    unsigned idle_s;         /* a connection that says nothing: 30 */
    unsigned request_s;      /* head and JSON body together, an answer without progress: 30 */
    unsigned upload_bytes_s; /* an upload gets request_s and its size at this rate: 20,000 */
    unsigned connections;    /* in all: 400 */
    unsigned per_address;    /* 250 */
} web_limits;

typedef struct {
    const char *place; /* a job file, or a folder whose *.stanch files are served */
    const char *host;  /* address to listen on; NULL: 127.0.0.1, in site mode all */
    unsigned port;     /* 0: a free one */
    bool site, plain;
    const char *certificate, *key; /* PEM files, both or none */
    const char *local_name;        /* who, in local mode */
    web_limits limits;
} web_options;

/* Begin to answer. *out is the caller's (web_server_stop). */
status web_server_start(const web_options *options, web_server **out, fault *why);

/* No new connection; requests that run are finished; what was kept is ended. NULL is fine. */
void web_server_stop(web_server *s);

const char *web_server_address(const web_server *s); /* to open: "http://127.0.0.1:8466" */
/* What to print at the start, appended to *out: the address; on a site also where phones get the certificate, and an
 * invitation while there are no people. */
status web_server_greeting(const web_server *s, text *out, fault *why);

const char *web_server_folder(const web_server *s); /* that holds the jobs */
bool web_server_site(const web_server *s);
struct who *web_server_who(const web_server *s); /* who.h */

/* What a file of handlers keeps between requests: made by `make` at the first call (of any thread; the others wait), ended
 * by `end` when the last request is over, the last made first. NULL when `make` gave NULL. `make` may ask for another. */
typedef enum {
    WEB_KEEP_WORK,
    WEB_KEEP_PLANS,
    WEB_KEEP_PAPERS,
    WEB_KEEP_SURVEYS,
    WEB_KEEP_EASEL,
    WEB_KEEP_TRYING,
    WEB_KEEP_RATES,
    WEB_KEEPS
} web_keep;
void *web_server_keep(web_server *s, web_keep which, void *(*make)(web_server *s), void (*end)(void *kept));

#endif
