#include "web/watch.h"

#include "core/mem.h"

#include <pthread.h>
#include <sys/socket.h>
#include <time.h>

struct watched {
    int socket;
    double due_s; /* on the monotonic clock; 0: none */
    struct watched *before, *after;
};

struct watch {
    pthread_mutex_t lock;
    pthread_cond_t wake;
    pthread_t thread;
    watched *first;
    bool ends;
};

static double clock_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static void shut_late(watch *w) {
    double now = clock_s();
    for (watched *one = w->first; one; one = one->after)
        if (one->due_s > 0 && one->due_s < now) {
            shutdown(one->socket, SHUT_RDWR);
            one->due_s = 0;
        }
}

static void *look(void *of) {
    watch *w = of;
    pthread_mutex_lock(&w->lock);
    while (!w->ends) {
        struct timespec until;
        clock_gettime(CLOCK_MONOTONIC, &until);
        until.tv_nsec += 250 * 1000 * 1000;
        until.tv_sec += until.tv_nsec / 1000000000;
        until.tv_nsec %= 1000000000;
        pthread_cond_timedwait(&w->wake, &w->lock, &until);
        shut_late(w);
    }
    pthread_mutex_unlock(&w->lock);
    return NULL;
}

status watch_start(watch **out, fault *why) {
    watch *w = mem_zero(1, sizeof *w);
    pthread_condattr_t monotonic;
    *out = NULL;
    if (!w) return fault_memory(why);
    pthread_mutex_init(&w->lock, NULL);
    pthread_condattr_init(&monotonic);
    pthread_condattr_setclock(&monotonic, CLOCK_MONOTONIC);
    pthread_cond_init(&w->wake, &monotonic);
    pthread_condattr_destroy(&monotonic);
    if (pthread_create(&w->thread, NULL, look, w) != 0) {
        pthread_cond_destroy(&w->wake);
        pthread_mutex_destroy(&w->lock);
        mem_free(w);
        return fault_set(why, E_IO, "the machine starts no more threads");
    }
    *out = w;
    return OK;
}

void watch_stop(watch *w) {
    if (!w) return;
    pthread_mutex_lock(&w->lock);
    w->ends = true;
    pthread_cond_signal(&w->wake);
    pthread_mutex_unlock(&w->lock);
    pthread_join(w->thread, NULL);
    while (w->first) watch_remove(w, w->first);
    pthread_cond_destroy(&w->wake);
    pthread_mutex_destroy(&w->lock);
    mem_free(w);
}

watched *watch_add(watch *w, int socket, double seconds) {
    watched *one = mem_zero(1, sizeof *one);
    if (!one) return NULL;
    one->socket = socket;
    one->due_s = seconds > 0 ? clock_s() + seconds : 0;
    pthread_mutex_lock(&w->lock);
    one->after = w->first;
    if (one->after) one->after->before = one;
    w->first = one;
    pthread_mutex_unlock(&w->lock);
    return one;
}

void watch_until(watch *w, watched *one, double seconds) {
    if (!one) return;
    pthread_mutex_lock(&w->lock);
    one->due_s = seconds > 0 ? clock_s() + seconds : 0;
    pthread_mutex_unlock(&w->lock);
}

void watch_remove(watch *w, watched *one) {
    if (!one) return;
    pthread_mutex_lock(&w->lock);
    if (one->before)
        one->before->after = one->after;
    else
        w->first = one->after;
    if (one->after) one->after->before = one->before;
    pthread_mutex_unlock(&w->lock);
    mem_free(one);
}
