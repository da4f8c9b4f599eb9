#include "ops/history.h"
#include "web/parts.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <malloc.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "web/listen.h"

enum {
    HEAD_MOST = 64 * 1024, /* bytes of request line and headers */
    LEFT_BEHIND_S = 24 * 3600,
    LAST_REQUESTS_MS = 5000,
    ARENAS = 4, /* of the C library's allocator: a thread a connection would get one each */
};

/* ---- what the handlers ask ---- */

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

void web_complain(web_server *s, const char *format, ...) {
    char sentence[400];
    long long minute = (long long)time(NULL) / 60;
    va_list more;
    va_start(more, format);
    vsnprintf(sentence, sizeof sentence, format, more);
    va_end(more);
    for (char *c = sentence; *c; c++)
        if ((unsigned char)*c < 0x20) *c = ' ';
    pthread_mutex_lock(&s->complaining);
    if (s->complaint_minute != minute) {
        s->complaint_minute = minute;
        s->complaints = 0;
    }
    if (++s->complaints <= COMPLAINTS_A_MINUTE)
        fprintf(stderr, "stanch: %s%s\n", sentence,
                s->complaints == COMPLAINTS_A_MINUTE ? " (no more lines this minute)" : "");
    pthread_mutex_unlock(&s->complaining);
}

/* ---- start ---- */

/* The library would decode "%2e" before we see it; targets are taken apart in route.c. */
static size_t leave_as_it_is(void *closure, struct MHD_Connection *connection, char *target) {
    (void)closure, (void)connection;
    return strlen(target);
}

static void connected(void *closure, struct MHD_Connection *connection, void **socket_context,
                      enum MHD_ConnectionNotificationCode code) {
    web_server *s = closure;
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    if (code == MHD_CONNECTION_NOTIFY_STARTED && info)
        *socket_context = watch_add(s->watch, info->connect_fd, s->limits.request_s);
    if (code == MHD_CONNECTION_NOTIFY_CLOSED) {
        watch_remove(s->watch, *socket_context);
        *socket_context = NULL;
    }
}

static unsigned or_default(unsigned given, unsigned fallback) {
    return given ? given : fallback;
}

static web_limits complete(web_limits given) {
    return (web_limits){or_default(given.idle_s, 30), or_default(given.request_s, 30),
                        or_default(given.upload_bytes_s, 20000), or_default(given.connections, 400),
                        or_default(given.per_address, 250)};
}

static status check_options(const web_options *o, fault *why) {
    if (!o->certificate != !o->key)
        return fault_set(why, E_INPUT, "serve: --certificate and --key go together; one is missing");
    if (o->certificate && o->plain)
        return fault_set(why, E_INPUT, "serve: --plain has no use for a certificate; leave one of them out");
    if (o->plain && !o->site)
        return fault_set(
            why, E_INPUT,
            "serve: --plain goes with --site; on this machine alone nothing is encrypted anyway");
    if (o->port > 65535)
        return fault_set(why, E_INPUT, "serve: the port is %u; it must lie in 0 to 65535", o->port);
    return OK;
}

/* Uploads that a killed server left behind. */
static void clear_uploads(const web_server *s) {
    DIR *list = opendir(s->place.folder);
    if (!list) return;
    for (struct dirent *entry; (entry = readdir(list)) != NULL;) {
        struct stat is;
        const char *start = ".stanch-upload-";
        if (strncmp(entry->d_name, start, strlen(start)) == 0 &&
            fstatat(dirfd(list), entry->d_name, &is, AT_SYMLINK_NOFOLLOW) == 0 && S_ISREG(is.st_mode) &&
            time(NULL) - is.st_mtime > LEFT_BEHIND_S)
            unlinkat(dirfd(list), entry->d_name, 0);
    }
    closedir(list);
}

static status run(web_server *s, int listening, fault *why) {
    unsigned flags = MHD_USE_THREAD_PER_CONNECTION | MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL |
                     MHD_USE_ITC | (s->hosts.tls ? MHD_USE_TLS : 0);
    char priorities[] = "NORMAL:-VERS-ALL:+VERS-TLS1.3:+VERS-TLS1.2"; /* RFC 8996: nothing older */
    struct MHD_OptionItem tls[] = {
        {MHD_OPTION_HTTPS_MEM_CERT, 0, s->certificate.certificate_pem},
        {MHD_OPTION_HTTPS_MEM_KEY, 0, s->certificate.key_pem},
        {MHD_OPTION_HTTPS_PRIORITIES, 0, priorities},
        {MHD_OPTION_END, 0, NULL},
    };
    if (!s->hosts.tls) tls[0].option = MHD_OPTION_END;
    mallopt(M_ARENA_MAX, ARENAS);
    s->daemon = MHD_start_daemon(
        flags, 0, NULL, NULL, exchange_take, s, MHD_OPTION_LISTEN_SOCKET, listening, MHD_OPTION_ARRAY, tls,
        MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)HEAD_MOST, MHD_OPTION_CONNECTION_LIMIT,
        s->limits.connections, MHD_OPTION_PER_IP_CONNECTION_LIMIT, s->limits.per_address,
        MHD_OPTION_CONNECTION_TIMEOUT, s->limits.idle_s, MHD_OPTION_STRICT_FOR_CLIENT, 1,
        MHD_OPTION_SIGPIPE_HANDLED_BY_APP, 1, MHD_OPTION_URI_LOG_CALLBACK, exchange_begin, s,
        MHD_OPTION_UNESCAPE_CALLBACK, leave_as_it_is, NULL, MHD_OPTION_NOTIFY_COMPLETED, exchange_end, s,
        MHD_OPTION_NOTIFY_CONNECTION, connected, s, MHD_OPTION_END);
    if (s->daemon) return OK;
    close(listening);
    return fault_set(why, E_IO, "the server does not start: %.100s", strerror(errno));
}

/* Jobs of an older version are brought to the present one now: reading never writes. One that cannot be stays as it is and is
 * told when it is asked for. */
static void bring_up_jobs(const web_server *s) {
    DIR *list = opendir(s->place.folder);
    if (!list) return;
    for (struct dirent *entry; (entry = readdir(list)) != NULL;) {
        size_t length = strlen(entry->d_name);
        text path = {0};
        struct stat is;
        if (length < 8 || strcmp(entry->d_name + length - 7, ".stanch") != 0) continue;
        if (s->place.file && strcmp(entry->d_name, s->place.file) != 0) continue;
        if (fstatat(dirfd(list), entry->d_name, &is, 0) != 0 || !S_ISREG(is.st_mode))
            continue; /* a pipe waits */
        text_print(&path, "%s/%s", s->place.folder, entry->d_name);
        if (!path.failed) ops_bring_up(path.bytes, NULL);
        text_free(&path);
    }
    closedir(list);
}

static status begin(web_server *s, const web_options *o, fault *why) {
    int listening = -1;
    bool loopback = true;
    status code = place_open(o->place, &s->place, why);
    if (code == OK) code = reach_certify(s, o, why);
    if (code == OK) code = who_open(s->place.folder, o->site, o->local_name, &s->who, why);
    if (code == OK)
        code = listen_open(o->host   ? o->host
                           : o->site ? NULL
                                     : "127.0.0.1",
                           o->port, &listening, &s->port, &loopback, why);
    if (code == OK && !loopback && !o->site) {
        close(listening);
        return fault_set(
            why, E_INPUT,
            "serve: --address %.200s can be reached by others; add --site, so that people log in", o->host);
    }
    if (code != OK) return code;
    reach_name(s, o->host, loopback);
    clear_uploads(s);
    bring_up_jobs(s);
    code = reach_offer_certificate(s, listening, why);
    if (code == OK) code = watch_start(&s->watch, why);
    if (code == OK) return run(s, listening, why);
    close(listening);
    return code;
}

status web_server_start(const web_options *options, web_server **out, fault *why) {
    *out = NULL;
    status code = check_options(options, why);
    if (code != OK) return code;
    web_server *s = mem_zero(1, sizeof *s);
    pthread_mutexattr_t recursive;
    if (!s) return fault_memory(why);
    s->limits = complete(options->limits);
    s->site = options->site;
    pthread_mutex_init(&s->complaining, NULL);
    pthread_mutexattr_init(&recursive);
    pthread_mutexattr_settype(&recursive, PTHREAD_MUTEX_RECURSIVE);
    pthread_mutex_init(&s->keeping, &recursive);
    pthread_mutexattr_destroy(&recursive);
    code = begin(s, options, why);
    if (code == OK)
        *out = s;
    else
        web_server_stop(s);
    return code;
}

/* ---- stop ---- */

/* No new connection; what runs may end. */
static void finish_requests(web_server *s) {
    const struct timespec tick = {0, 10 * 1000 * 1000};
    int listening = MHD_quiesce_daemon(s->daemon);
    for (int ms = 0; ms < LAST_REQUESTS_MS && atomic_load(&s->running) > 0; ms += 10) nanosleep(&tick, NULL);
    MHD_stop_daemon(s->daemon);
    if (listening >= 0) close(listening);
}

void web_server_stop(web_server *s) {
    if (!s) return;
    install_stop(s->installing);
    if (s->daemon) finish_requests(s);
    while (s->n_kept > 0) {
        web_keep last = s->order[--s->n_kept];
        s->kept[last].end(s->kept[last].it);
    }
    watch_stop(s->watch);
    who_close(s->who);
    authority_free(&s->certificate);
    place_close(&s->place);
    pthread_mutex_destroy(&s->keeping);
    pthread_mutex_destroy(&s->complaining);
    mem_free(s);
}
