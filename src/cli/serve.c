/* `stanch serve`: starts the server, says where it is, and waits for the signal to stop.
 *
 * The environment variable STANCH_SERVE_LIMITS ("idle:request:rate:connections:each", seconds, bytes a second, counts; 0
 * for the default) is for tests, which cannot wait for the real deadlines. */
#include "cli/actor.h"
#include "cli/cli.h"
#include "cli/options.h"
#include "cli/planes.h"
#include "web/server.h"

#include <signal.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    const char *port;
    web_options options;
} request;

static status read_port(request *r, fault *why) {
    char *end = NULL;
    if (!r->port) {
        r->options.port = WEB_PORT;
        return OK;
    }
    unsigned long port = strtoul(r->port, &end, 10);
    if (r->port[0] < '0' || r->port[0] > '9' || *end || port > 65535)
        return fault_set(why, E_INPUT, "serve: --port is %.60s; it must lie in 0 to 65535", r->port);
    r->options.port = (unsigned)port;
    return OK;
}

static void read_limits(web_limits *limits) {
    const char *given = getenv("STANCH_SERVE_LIMITS");
    unsigned v[5] = {0};
    if (!given || sscanf(given, "%9u:%9u:%9u:%9u:%9u", &v[0], &v[1], &v[2], &v[3], &v[4]) < 1) return;
    *limits = (web_limits){v[0], v[1], v[2], v[3], v[4]};
}

static status read_request(int argc, char **argv, request *r, bool *done, fault *why) {
    web_options *o = &r->options;
    const options_item items[] = {
        {"--port", "NUMBER", "port to listen on (default 8466; 0: any that is free)", &r->port, NULL},
        {"--address", "HOST", "address to listen on (default 127.0.0.1; with --site all of this machine)",
         &o->host, NULL},
        {"--site", NULL, "for the network of the site: people log in, over HTTPS", NULL, &o->site},
        {"--certificate", "FILE", "certificate to show (PEM), instead of one by the site's own authority",
         &o->certificate, NULL},
        {"--key", "FILE", "its key (PEM)", &o->key, NULL},
        {"--plain", NULL, "with --site: HTTP without encryption, and so without work offline", NULL,
         &o->plain},
    };
    const options_table table = {
        "serve",
        "JOB-OR-FOLDER",
        "Opens a job, or every *.stanch file of a folder, as a page for the browser. It answers on this "
        "machine only, until it is stopped by Ctrl-C; with --site, phones and laptops of the same "
        "network can use it after a login.",
        items,
        sizeof items / sizeof *items,
        1,
        1};
    size_t n;
    status code = options_read(&table, argc, argv, &n, done, why);
    if (code != OK || *done) return code;
    o->place = argv[1];
    read_limits(&o->limits);
    return read_port(r, why);
}

/* Blocked before the first thread begins, so that all inherit it and only sigwait takes them. */
static void hold_signals(sigset_t *stops) {
    struct sigaction ignore = {.sa_handler = SIG_IGN};
    sigaction(SIGPIPE, &ignore, NULL); /* a browser that goes away is no fault */
    sigemptyset(stops);
    sigaddset(stops, SIGINT);
    sigaddset(stops, SIGTERM);
    pthread_sigmask(SIG_BLOCK, stops, NULL);
}

int cli_serve(int argc, char **argv) {
    request r = {0};
    actor_texts texts;
    ops_actor actor;
    web_server *server = NULL;
    sigset_t stops;
    text greeting = {0};
    fault why = {0};
    bool done = false;
    int signal_number;
    status code = read_request(argc, argv, &r, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = actor_read(&texts, &actor, &why);
    if (code != OK) return cli_fail(&why);
    r.options.local_name = texts.by;
    planes_one_thread();
    hold_signals(&stops);
    code = web_server_start(&r.options, &server, &why);
    if (code != OK) return cli_fail(&why);
    code = web_server_greeting(server, &greeting, &why);
    if (code == OK) {
        fputs(text_get(&greeting), stdout);
        fflush(stdout);
        sigwait(&stops, &signal_number);
        pthread_sigmask(SIG_UNBLOCK, &stops, NULL); /* a second signal does not wait for what runs */
    }
    text_free(&greeting);
    web_server_stop(server);
    return code == OK ? 0 : cli_fail(&why);
}
