/* turn.h - what takes so much memory that it is done one at a time: decoding a picture, trying a leak.
 * Threads  any. */
#ifndef STANCH_WEB_TURN_H
#define STANCH_WEB_TURN_H

#include "web/server.h"

typedef struct turn turn;

/* Wait for one's turn at `which` (WEB_KEEP_...), at most `wait_s` seconds: then E_BUSY. turn_end is due after OK. */
status turn_begin(web_server *s, web_keep which, unsigned wait_s, turn **out, fault *why);
void turn_end(turn *it); /* NULL is fine */

#endif
