#include "web/server.h"

#include "web/place.h"
#include "web/who.h"

#include <pthread.h>

struct web_server {
    place place;
    who *who;
    char address[300];
    bool site;
    pthread_mutex_t keeping; /* recursive: one kept thing may ask for another while it is made */
    struct {
        void *it;
        void (*end)(void *kept);
    } kept[WEB_KEEPS];
    web_keep order[WEB_KEEPS]; /* in which they were made */
    size_t n_kept;
};

status web_server_start(const web_options *options, web_server **out, fault *why) {
    (void)options;
    *out = NULL;
    return fault_set(why, E_STATE, "serve: not built yet");
}

void web_server_stop(web_server *s) {
    if (!s) return;
    while (s->n_kept > 0) {
        web_keep last = s->order[--s->n_kept];
        s->kept[last].end(s->kept[last].it);
    }
    mem_free(s);
}

const char *web_server_address(const web_server *s) {
    return s->address;
}

const char *web_server_folder(const web_server *s) {
    return s->place.folder;
}

bool web_server_site(const web_server *s) {
    return s->site;
}

who *web_server_who(const web_server *s) {
    return s->who;
}

const place *web_server_place(const web_server *s) {
    return &s->place;
}

void *web_server_keep(web_server *s, web_keep which, void *(*make)(web_server *s), void (*end)(void *kept)) {
    pthread_mutex_lock(&s->keeping);
    if (!s->kept[which].it) {
        s->kept[which].it = make(s);
        s->kept[which].end = end;
        if (s->kept[which].it) s->order[s->n_kept++] = which;
    }
    void *it = s->kept[which].it;
    pthread_mutex_unlock(&s->keeping);
    return it;
}
