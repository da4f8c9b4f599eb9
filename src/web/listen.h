/* listen.h - the socket that listens, and the names by which this machine is reached.
 *
 * Errors  E_INPUT: no such address, or not one of this machine. E_IO: the port is taken, no permission.
 * Threads  no shared state. */
#ifndef STANCH_WEB_LISTEN_H
#define STANCH_WEB_LISTEN_H

#include "core/fault.h"
#include "web/guard.h"

/* Listen on `host` (a numeric address or a name; NULL: every address) and `port` (0: a free one). *out is the caller's to
 * close; *port_out what it got; *loopback: nobody else can reach it. */
status listen_open(const char *host, unsigned port, int *out, unsigned *port_out, bool *loopback, fault *why);

struct sockaddr;
void listen_set_port(struct sockaddr *at, unsigned port); /* above 65535: 0 */

/* The addresses and the name of this machine, added to the hosts. */
void listen_own_names(guard_hosts *hosts);

/* An address of this machine that others can reach (IPv4 first), into `into`; "127.0.0.1" when there is none. */
void listen_outside(char *into, size_t size);

#endif
