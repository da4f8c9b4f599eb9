#include "web/route.h"

#include <string.h>

static int hex_value(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

static bool has_control(const char *bytes, size_t length) {
    for (size_t i = 0; i < length; i++)
        if ((unsigned char)bytes[i] < 0x20 || bytes[i] == 0x7f) return true;
    return false;
}

char *route_decode(const char *from, size_t length, bool plus, arena *memory, fault *why) {
    char *into = arena_get(memory, length + 1, 1);
    size_t n = 0;
    if (!into) {
        fault_memory(why);
        return NULL;
    }
    for (size_t i = 0; i < length; i++) {
        if (from[i] != '%') {
            into[n++] = plus && from[i] == '+' ? ' ' : from[i];
            continue;
        }
        int high = i + 2 < length ? hex_value(from[i + 1]) : -1;
        int low = i + 2 < length ? hex_value(from[i + 2]) : -1;
        if (high < 0 || low < 0) {
            fault_set(why, E_FORMAT, "the address has a %% that two hex digits do not follow");
            return NULL;
        }
        into[n++] = (char)(high * 16 + low);
        i += 2;
    }
    if (!text_is_utf8(into, n) || has_control(into, n)) {
        fault_set(why, E_FORMAT, "the address is no UTF-8 text, or has control characters in it");
        return NULL;
    }
    return into;
}

static bool part_leads_elsewhere(const char *part) {
    return strcmp(part, ".") == 0 || strcmp(part, "..") == 0;
}

/* "/a/b" -> "a", "b"; "/" -> none. An empty part ("//", a slash at the end) is a part that no pattern has. */
static status read_path(const char *path, size_t length, arena *memory, route_target *out, fault *why) {
    size_t at = 1;
    if (length == 0 || path[0] != '/')
        return fault_set(why, E_FORMAT, "the address does not begin with a slash");
    while (length > 1 && at <= length) {
        const char *slash = memchr(path + at, '/', length - at);
        size_t end = slash ? (size_t)(slash - path) : length;
        if (out->n == ROUTE_PARTS)
            return fault_set(why, E_FORMAT, "the address has more than %d parts", ROUTE_PARTS);
        char *part = route_decode(path + at, end - at, false, memory, why);
        if (!part) return why->code;
        if (part_leads_elsewhere(part))
            return fault_set(why, E_FORMAT, "the address has a part that leads elsewhere");
        out->parts[out->n++] = part;
        at = end + 1;
    }
    return OK;
}

static status join_path(arena *memory, route_target *out, fault *why) {
    text whole = {0};
    for (size_t i = 0; i < out->n; i++) {
        text_add(&whole, "/");
        text_add(&whole, out->parts[i]);
    }
    out->path = whole.failed ? NULL : arena_copy(memory, out->n ? text_get(&whole) : "/");
    text_free(&whole);
    return out->path ? OK : fault_memory(why);
}

static status read_query(const char *query, arena *memory, route_target *out, fault *why) {
    size_t n = 0;
    out->query = arena_get(memory, 2 * ROUTE_QUERY + 1, sizeof *out->query);
    if (!out->query) return fault_memory(why);
    while (*query) {
        size_t length = strcspn(query, "&");
        const char *equals = memchr(query, '=', length);
        size_t name = equals ? (size_t)(equals - query) : length;
        size_t value = equals ? name + 1 : length;
        if (length > 0) {
            if (n == ROUTE_QUERY)
                return fault_set(why, E_FORMAT, "the address asks more than %d things", ROUTE_QUERY);
            const char *both[2] = {route_decode(query, name, true, memory, why),
                                   route_decode(query + value, length - value, true, memory, why)};
            if (!both[0] || !both[1]) return why->code;
            out->query[2 * n] = both[0];
            out->query[2 * n++ + 1] = both[1];
        }
        query += length + (query[length] == '&');
    }
    return OK;
}

status route_read(const char *target, arena *memory, route_target *out, fault *why) {
    fault own = {OK, ""};
    size_t path = strcspn(target, "?#");
    *out = (route_target){0};
    if (!why) why = &own;
    if (strlen(target) > ROUTE_TARGET)
        return fault_set(why, E_FORMAT, "the address is longer than %d bytes", ROUTE_TARGET);
    status code = read_path(target, path, memory, out, why);
    if (code == OK) code = join_path(memory, out, why);
    if (code == OK) code = read_query(target[path] == '?' ? target + path + 1 : "", memory, out, why);
    return code;
}

/* A mark, a face or a person is any text; what may name a file never has a slash. */
static bool is_free_text(const char *name, size_t length) {
    static const char *const free_text[] = {"mark", "face", "name"};
    for (size_t i = 0; i < sizeof free_text / sizeof *free_text; i++)
        if (strlen(free_text[i]) == length && memcmp(name, free_text[i], length) == 0) return true;
    return false;
}

/* One part of a pattern, from `pattern` to `end`, against one part of a path. A variable's text goes to *value, its
 * length to *length (0: the part was literal). */
static bool part_fits(const char *pattern, const char *end, const char *part, const char **value,
                      size_t *length) {
    size_t n = strlen(part);
    *length = 0;
    if (*pattern != '{') return n == (size_t)(end - pattern) && memcmp(pattern, part, n) == 0;
    const char *tail = (const char *)memchr(pattern, '}', (size_t)(end - pattern)) + 1;
    size_t after = (size_t)(end - tail);
    if (n <= after || memcmp(part + n - after, tail, after) != 0) return false;
    if (!is_free_text(pattern + 1, (size_t)(tail - pattern) - 2) && strpbrk(part, "/\\")) return false;
    *value = part;
    *length = n - after;
    return true;
}

typedef struct {
    const char *value;
    size_t length;
} variable;

static bool path_fits(const char *pattern, const route_target *target, variable found[WEB_VARIABLES]) {
    size_t at = 0, n = 0;
    for (; *pattern == '/'; at++) {
        pattern++;
        const char *end = pattern + strcspn(pattern, "/");
        if (at == target->n) return false;
        variable v = {NULL, 0};
        if (!part_fits(pattern, end, target->parts[at], &v.value, &v.length)) return false;
        if (v.length > 0 && n < WEB_VARIABLES) found[n++] = v;
        pattern = end;
    }
    return at == target->n;
}

static void add_method(char methods[64], const char *method) {
    size_t used = strlen(methods);
    if (used > 0 && used + 2 < 64) memcpy(methods + used, ", ", 3), used += 2;
    if (used + strlen(method) < 64) memcpy(methods + used, method, strlen(method) + 1);
}

static status keep_variables(const variable found[WEB_VARIABLES], arena *memory, route_match *out,
                             fault *why) {
    for (size_t i = 0; i < WEB_VARIABLES && found[i].length > 0; i++) {
        char *copy = arena_get(memory, found[i].length + 1, 1);
        if (!copy) return fault_memory(why);
        memcpy(copy, found[i].value, found[i].length);
        out->variables[i] = copy;
    }
    return OK;
}

status route_find(const web_route table[], size_t count, const char *method, const route_target *target,
                  arena *memory, route_match *out, fault *why) {
    const char *wanted = strcmp(method, "HEAD") == 0 ? "GET" : method;
    status code = OK;
    *out = (route_match){0};
    for (size_t i = 0; i < count; i++) {
        variable found[WEB_VARIABLES] = {{NULL, 0}};
        if (!path_fits(table[i].pattern, target, found)) continue;
        out->known = true;
        add_method(out->methods, table[i].method);
        if (strcmp(table[i].method, "GET") == 0) add_method(out->methods, "HEAD");
        if (out->route || strcmp(table[i].method, wanted) != 0) continue;
        out->route = &table[i];
        code = keep_variables(found, memory, out, why);
        if (code != OK) return code;
    }
    return code;
}
