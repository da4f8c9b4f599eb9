/* place.h - what is served: one job file, or the *.stanch files of a folder. A job is found by comparing its name with a
 * listing, never by making a path from it.
 * Threads  any; a place does not change. */
#ifndef STANCH_WEB_PLACE_H
#define STANCH_WEB_PLACE_H

#include "web/web.h"

typedef struct {
    char *folder;
    char *file; /* the only file served, its name in the folder; NULL: all */
} place;

/* Look at the path. E_IO: missing, no permission. place_close frees. */
status place_open(const char *path, place *out, fault *why);
void place_close(place *p);

/* The place of a server (server.c). */
const place *web_server_place(const web_server *s);

#endif
