/* install.h - a small listener in plain HTTP from which a phone takes the certificate of the site's authority.
 *
 * It serves a page that explains the steps with the fingerprint to compare, its style and the certificate; all
 * else is 404 and it takes nothing. Nothing on it is secret, and nothing of a job is reachable through it.
 * Threads  one of its own; start and stop belong to the caller's. */
#ifndef STANCH_WEB_INSTALL_H
#define STANCH_WEB_INSTALL_H

#include "core/fault.h"
#include "web/authority.h"

#include <sys/socket.h>

typedef struct install install;

typedef struct {
    const struct sockaddr *bind; /* with the port; 0: any free one */
    const authority *of;         /* copied */
    const char *address;         /* of the page itself, "https://192.0.2.7:8443": the last step opens it */
} install_request;

/* E_STATE when the port is taken; *out is the caller's. */
status install_start(const install_request *request, install **out, fault *why);
void install_stop(install *i); /* NULL is fine */

unsigned install_port(const install *i);

#endif
