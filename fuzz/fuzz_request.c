/* Any bytes as a request to the page's server: no crash; nothing that could name a file has a slash in it; what is accepted
 * of a body can be written, read back and written again the same.
 *
 * The input is as on the wire, with plain newlines: "POST /api/jobs/a/records\nHost: x\n...\n\nbody". The body goes
 * through the two readers that browsers feed: records of the wall, and objects that are edited. */
#include "record/record.h"
#include "survey/object.h"
#include "web/assets.h"
#include "web/guard.h"
#include "web/route.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

typedef struct {
    char *method, *target, *body;
    guard_head head;
    const char *cookie, *tag, *encoding;
} wire;

static char *next_line(char **at) {
    char *line = *at, *end = strchr(line, '\n');
    if (end) *end = '\0';
    *at = end ? end + 1 : line + strlen(line);
    return line;
}

static void take_header(wire *w, char *line) {
    char *value = strchr(line, ':');
    if (!value) return;
    *value++ = '\0';
    value += strspn(value, " ");
    const char **into = strcmp(line, "Host") == 0                ? &w->head.host
                        : strcmp(line, "Origin") == 0            ? &w->head.origin
                        : strcmp(line, "Sec-Fetch-Site") == 0    ? &w->head.fetch_site
                        : strcmp(line, "Content-Type") == 0      ? &w->head.type
                        : strcmp(line, "Content-Length") == 0    ? &w->head.length
                        : strcmp(line, "Transfer-Encoding") == 0 ? &w->head.transfer
                        : strcmp(line, "Cookie") == 0            ? &w->cookie
                        : strcmp(line, "If-None-Match") == 0     ? &w->tag
                                                                 : &w->encoding;
    *into = value;
    w->head.n_hosts += into == &w->head.host;
    w->head.n_lengths += into == &w->head.length;
}

static wire take_apart(char *from) {
    wire w = {0};
    char *line = next_line(&from), *space = strchr(line, ' ');
    w.method = line;
    w.target = space ? space + 1 : line + strlen(line);
    if (space) *space = '\0';
    w.head.method = w.method;
    while (*from && *(line = next_line(&from)) != '\0') take_header(&w, line);
    w.body = from;
    return w;
}

static void check_variables(const route_match *m) {
    for (size_t i = 0; i < WEB_VARIABLES && m->variables[i]; i++)
        if (!text_is_utf8(m->variables[i], strlen(m->variables[i])) || m->variables[i][0] == '\0') abort();
    if (m->variables[0] && strstr(m->route->pattern, "{job}") && strpbrk(m->variables[0], "/\\")) abort();
}

static const web_route *route(const wire *w, arena *memory) {
    route_target t;
    route_match m;
    fault why = {0};
    if (route_read(w->target, memory, &t, &why) != OK) return NULL;
    if (t.path[0] != '/') abort();
    const web_asset *asset = asset_find(t.path);
    if (asset && asset_choose(asset, w->encoding).bytes == NULL) abort();
    if (route_find(web_routes, web_n_routes, w->method, &t, memory, &m, &why) != OK || !m.route) return NULL;
    check_variables(&m);
    return m.route;
}

static void check_headers(const wire *w, const web_route *to) {
    guard_hosts hosts = {.n = 0};
    char cookie[65];
    int code = 0;
    size_t announced = 0;
    fault why = {0};
    guard_add_host(&hosts, "localhost");
    guard_add_host(&hosts, "::1");
    guard_cookie(w->cookie, "stanch-8466", cookie, sizeof cookie);
    guard_has_tag(w->tag, "\"1\"");
    if (!guard_source(&hosts, &w->head, true, &code, &why) && (code < 400 || !why.text[0])) abort();
    if (to && guard_body(to, &w->head, &announced, &code, &why) && announced != SIZE_MAX &&
        announced > to->limit)
        abort();
}

static void read_record(json_in *in, json_t *value) {
    record one, back;
    text first = {0}, second = {0};
    fault why = {0};
    if (!json_is_object(value) || !record_read(in, NULL, value, "2026-03-01T09:30:00Z", &one)) return;
    record_write_body(&one, &first);
    if (record_read_body(text_get(&first), in->memory, &back, &why) != OK) abort();
    record_write_body(&back, &second);
    if (strcmp(text_get(&first), text_get(&second)) != 0) abort();
    text_free(&first);
    text_free(&second);
}

static void read_change(json_in *in, json_t *change) {
    text written = {0};
    object_any object;
    json_t *after = json_object_get(change, "after");
    const char *what = json_string_value(json_object_get(change, "what"));
    for (int kind = 0; what && kind < OBJECT_KINDS; kind++) {
        if (strcmp(what, object_words[kind]) != 0) continue;
        size_t before = fault_list_count(in->faults);
        if (kind == OBJECT_FOLDS ? !json_is_array(after) : !json_is_object(after)) continue;
        object_read(in, (object_kind)kind, after, &object);
        if (fault_list_count(in->faults) == before)
            object_write((object_kind)kind, in->system, &object, &written);
    }
    text_free(&written);
}

static void read_body(const char *body, arena *memory) {
    json_in in = {.source = "", .memory = memory, .faults = fault_list_new()};
    size_t i;
    json_t *each, *root = json_in_parse(&in, body, strlen(body));
    if (root && json_in_is_object(&in, NULL, root)) {
        json_array_foreach(json_object_get(root, "records"), i, each) read_record(&in, each);
        json_array_foreach(json_object_get(root, "changes"), i, each) read_change(&in, each);
    }
    json_decref(root);
    fault_list_free(in.faults);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    arena *memory = arena_new();
    char *copy = arena_get(memory, length + 1, 1);
    if (length > 0) memcpy(copy, bytes, length);
    wire w = take_apart(copy);
    const web_route *to = route(&w, memory);
    check_headers(&w, to);
    if (!to || to->takes == WEB_JSON) read_body(w.body, memory);
    arena_free(memory);
    return 0;
}
