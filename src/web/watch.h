/* watch.h - deadlines of connections: whoever sends or reads too slowly is cut off, though it moves now and then.
 *
 * Model  one thread looks at all deadlines four times a second and shuts the socket of a connection that is late; the
 *   thread of the connection then finds it ended. A deadline is so kept within 0.25 s.
 * Threads  any; a socket must be removed before it is closed, so that never another's is shut. */
#ifndef STANCH_WEB_WATCH_H
#define STANCH_WEB_WATCH_H

#include "core/fault.h"

typedef struct watch watch;
typedef struct watched watched;

status watch_start(watch **out, fault *why);
void watch_stop(watch *w); /* NULL is fine */

/* NULL without memory. `seconds` from now; 0: no deadline. */
watched *watch_add(watch *w, int socket, double seconds);
void watch_until(watch *w, watched *one, double seconds);
void watch_remove(watch *w, watched *one); /* NULL is fine */

#endif
