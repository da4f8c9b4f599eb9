/* route.h - from the address of a request to its handler: taking the target apart, percent-decoding, matching.
 *
 * A target is "/path?query". Everything is decoded once and after it was split, so that an encoded slash never makes a
 * new part. Refused (E_FORMAT): a broken % escape, bytes that are no UTF-8 (overlong forms count), control characters,
 * the parts "." and "..", more than ROUTE_PARTS parts or ROUTE_QUERY query members. An encoded slash is let into {mark},
 * {face} and {name} only, which are looked up by comparison; every other variable could name a file.
 * Patterns  each part is literal, "{name}", or "{name}" followed by a literal end ("{face}.svg"); the first row that
 *   matches wins. HEAD is answered as GET.
 * Threads  no shared state. */
#ifndef STANCH_WEB_ROUTE_H
#define STANCH_WEB_ROUTE_H

#include "web/web.h"

enum { ROUTE_PARTS = 12, ROUTE_QUERY = 16, ROUTE_TARGET = 8192 };

/* The table of contents, routes.c. */
extern const web_route web_routes[];
extern const size_t web_n_routes;

typedef struct {
    const char *path; /* decoded, for assets: "/" and the parts between slashes */
    const char *parts[ROUTE_PARTS];
    size_t n;
    const char **query; /* name, value ..., NULL */
} route_target;

/* Take the target apart; texts lie in `memory`. E_FORMAT as above, E_MEMORY. */
status route_read(const char *target, arena *memory, route_target *out, fault *why);

typedef struct {
    const web_route *route;               /* NULL: none for this method */
    bool known;                           /* the path is one of ours, with whatever method */
    const char *variables[WEB_VARIABLES]; /* in `memory` */
    char methods[64];                     /* "GET, HEAD, POST": those that the path takes */
} route_match;

/* The row of `table` for method and path. E_MEMORY only. */
status route_find(const web_route table[], size_t count, const char *method, const route_target *target,
                  arena *memory, route_match *out, fault *why);

/* Decode `length` bytes of %-escapes into `memory`; `plus` makes "+" a space. NULL with E_FORMAT or E_MEMORY in *why. */
char *route_decode(const char *from, size_t length, bool plus, arena *memory, fault *why);

#endif
