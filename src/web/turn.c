#include "web/turn.h"

#include <pthread.h>
#include <time.h>

struct turn {
    pthread_mutex_t lock;
};

static void *make(web_server *s) {
    (void)s;
    turn *it = mem_zero(1, sizeof *it);
    if (it) pthread_mutex_init(&it->lock, NULL);
    return it;
}

static void end(void *data) {
    turn *it = data;
    pthread_mutex_destroy(&it->lock);
    mem_free(it);
}

status turn_begin(web_server *s, web_keep which, unsigned wait_s, turn **out, fault *why) {
    struct timespec until;
    *out = NULL;
    turn *it = web_server_keep(s, which, make, end);
    if (!it) return fault_memory(why);
    clock_gettime(CLOCK_REALTIME, &until);
    until.tv_sec += wait_s;
    if (pthread_mutex_timedlock(&it->lock, &until) != 0)
        return fault_set(why, E_BUSY,
                         "others are at it, and it is done one at a time; try again in a moment");
    *out = it;
    return OK;
}

void turn_end(turn *it) {
    if (it) pthread_mutex_unlock(&it->lock);
}
