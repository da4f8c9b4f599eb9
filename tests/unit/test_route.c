/* From the address of a request to its row of the table: taking apart, decoding, matching; and the checks of its headers. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "web/assets.h"
#include "web/guard.h"
#include "web/route.h"

#include <string.h>

static const web_route table[] = {
    {"GET", "/api/jobs", WEB_VIEWER, WEB_NO_BODY, 0, NULL},
    {"POST", "/api/jobs", WEB_ESTIMATOR, WEB_JSON, 100, NULL},
    {"POST", "/api/jobs/{job}/import", WEB_ESTIMATOR, WEB_UPLOAD, 1000, NULL},
    {"GET", "/api/jobs/{job}/leaks/{mark}", WEB_VIEWER, WEB_NO_BODY, 0, NULL},
    {"GET", "/api/jobs/{job}/leaks/{mark}/order/{n}.svg", WEB_VIEWER, WEB_NO_BODY, 0, NULL},
    {"GET", "/api/jobs/{job}/faces/{face}.svg", WEB_VIEWER, WEB_NO_BODY, 0, NULL},
    {"DELETE", "/api/work/{n}", WEB_VIEWER, WEB_NO_BODY, 0, NULL},
};
enum { ROWS = sizeof table / sizeof *table };

static arena *memory;

static int start(void **state) {
    (void)state;
    memory = arena_new();
    return memory ? 0 : -1;
}

static int end(void **state) {
    (void)state;
    arena_free(memory);
    return 0;
}

static route_match match(const char *method, const char *target) {
    route_target t;
    route_match m;
    fault why = {0};
    if (route_read(target, memory, &t, &why) != OK) fail_msg("%s: %s", target, why.text);
    assert_int_equal(route_find(table, ROWS, method, &t, memory, &m, &why), OK);
    return m;
}

static void refuse(const char *target, const char *sentence) {
    route_target t;
    fault why = {0};
    if (route_read(target, memory, &t, &why) != E_FORMAT) fail_msg("%s was taken", target);
    if (!strstr(why.text, sentence)) fail_msg("%s: said \"%s\", not \"%s\"", target, why.text, sentence);
}

static void rows_are_found(void **state) {
    (void)state;
    assert_ptr_equal(match("GET", "/api/jobs").route, &table[0]);
    assert_ptr_equal(match("HEAD", "/api/jobs?x").route, &table[0]);
    assert_ptr_equal(match("POST", "/api/jobs").route, &table[1]);
    route_match m = match("GET", "/api/jobs/pump%20house/leaks/E%2f3/order/12.svg");
    assert_ptr_equal(m.route, &table[4]);
    assert_string_equal(m.variables[0], "pump house");
    assert_string_equal(m.variables[1], "E/3");
    assert_string_equal(m.variables[2], "12");
    assert_null(m.variables[3]);
    m = match("GET", "/api/jobs/a/faces/N.svg.svg");
    assert_string_equal(m.variables[1], "N.svg");
    assert_string_equal(match("GET", "/api/jobs/%C3%A4%2B+b/leaks/%25").variables[0], "\xc3\xa4++b");
}

static void unknown_paths_and_methods(void **state) {
    (void)state;
    static const char *const unknown[] = {"/",
                                          "/api",
                                          "/api/jobs/",
                                          "/api//jobs",
                                          "//api/jobs",
                                          "/API/jobs",
                                          "/api/jobs/a",
                                          "/api/jobs/a/leaks/",
                                          "/api/jobs//leaks/E1",
                                          "/api/jobs/a/faces/.svg",
                                          "/api/jobs/a/faces/N.sv",
                                          "/api/jobsx",
                                          "/api/job",
                                          "/api/jobs/a/leaks/b/c"};
    for (size_t i = 0; i < sizeof unknown / sizeof *unknown; i++) {
        route_match m = match("GET", unknown[i]);
        if (m.known || m.route) fail_msg("%s was found", unknown[i]);
    }
    route_match m = match("DELETE", "/api/jobs");
    assert_true(m.known);
    assert_null(m.route);
    assert_string_equal(m.methods, "GET, HEAD, POST");
    assert_string_equal(match("BREW", "/api/work/3").methods, "DELETE");
    assert_null(match("get", "/api/jobs").route);
    assert_null(match("HEAD", "/api/work/3").route);
}

static void nothing_leads_elsewhere(void **state) {
    (void)state;
    refuse("/..", "leads elsewhere");
    refuse("/api/./jobs", "leads elsewhere");
    refuse("/api/%2e%2E/jobs", "leads elsewhere");
    refuse("/api/jobs/%2e/import", "leads elsewhere");
    refuse("/a%00b", "control characters");
    refuse("/a%0d%0aX: y", "control characters");
    refuse("/a%7f", "control characters");
    refuse("/%c0%ae%c0%ae/", "no UTF-8"); /* overlong dots */
    refuse("/%e0%80%af", "no UTF-8");     /* overlong slash */
    refuse("/%ed%a0%80", "no UTF-8");     /* half a surrogate pair */
    refuse("/%ff", "no UTF-8");
    refuse("/%", "two hex digits");
    refuse("/%4", "two hex digits");
    refuse("/%4g", "two hex digits");
    refuse("/%%34", "two hex digits");
    refuse("/a?b=%", "two hex digits");
    refuse("/a?%00=1", "control characters");
    refuse("", "slash");
    refuse("*", "slash");
    refuse("http://host/api", "slash");
    refuse("/1/2/3/4/5/6/7/8/9/10/11/12/13", "more than 12 parts");
    refuse("/?1&2&3&4&5&6&7&8&9&10&11&12&13&14&15&16&17", "more than 16 things");
    /* Decoded once only; what could name a file has no slash in it. */
    assert_string_equal(match("GET", "/api/jobs/a/leaks/%252e%252e").variables[1], "%2e%2e");
    assert_false(match("POST", "/api/jobs/..%2f..%2fetc/import").known);
    assert_false(match("POST", "/api/jobs/a%5cb/import").known);
    assert_string_equal(match("GET", "/api/jobs/a/leaks/..%2fb").variables[1], "../b");
}

static void long_targets_are_refused(void **state) {
    (void)state;
    char target[ROUTE_TARGET + 2];
    memset(target, 'a', sizeof target);
    target[0] = '/';
    target[ROUTE_TARGET + 1] = '\0';
    refuse(target, "longer than");
}

static void query_is_decoded(void **state) {
    (void)state;
    route_target t;
    assert_int_equal(route_read("/x?name=w%61lls+1%2B.csv&&as&=v&e=&name=2#f", memory, &t, NULL), OK);
    web_request r = {.query = t.query};
    assert_string_equal(web_query(&r, "name"), "walls 1+.csv");
    assert_string_equal(web_query(&r, "as"), "");
    assert_string_equal(web_query(&r, ""), "v");
    assert_null(web_query(&r, "nam"));
    assert_string_equal(t.path, "/x");
}

static void memory_may_run_out(void **state) {
    (void)state;
    char target[4096] = "/api/jobs/pump%20house/leaks/E3/order/12.svg?a=";
    memset(target + strlen(target), 'b', sizeof target - strlen(target) - 1);
    for (long n = 0;; n++) {
        route_target t;
        route_match m;
        fault why = {0};
        arena *a = arena_new();
        assert_non_null(a);
        mem_fail_at(n, 1);
        status code = route_read(target, a, &t, &why);
        if (code == OK) code = route_find(table, ROWS, "GET", &t, a, &m, &why);
        mem_fail_at(-1, 0);
        arena_free(a);
        if (code == OK) break;
        assert_int_equal(code, E_MEMORY);
        assert_true(n < 100);
    }
}

/* ---- headers ---- */

static guard_hosts our_hosts(bool tls) {
    guard_hosts hosts = {.tls = tls};
    guard_add_host(&hosts, "localhost");
    guard_add_host(&hosts, "127.0.0.1");
    guard_add_host(&hosts, "::1");
    guard_add_host(&hosts, "fe80::1%eth0");
    return hosts;
}

static int source(const char *host, const char *origin, const char *fetch_site, bool tls) {
    guard_hosts hosts = our_hosts(tls);
    guard_head head = {
        .method = "GET", .host = host, .origin = origin, .fetch_site = fetch_site, .n_hosts = host != NULL};
    int code = 0;
    fault why = {0};
    bool good = guard_source(&hosts, &head, true, &code, &why);
    assert_true(good == (code == 0) && good == (why.text[0] == '\0'));
    return code;
}

static void hosts_and_origins(void **state) {
    (void)state;
    static const char *const good[] = {"localhost", "localhost:8466", "LOCALHOST:1",   "127.0.0.1:8466",
                                       "[::1]",     "[::1]:8466",     "[fe80::1]:8466"};
    static const char *const bad[] = {"evil.example",
                                      "localhost.evil.example",
                                      "localhost:80.evil",
                                      "::1",
                                      "[::1",
                                      "[::1]x",
                                      "",
                                      ":8466",
                                      "127.0.0.1 ",
                                      "127.0.0.2",
                                      "localhos",
                                      "a@localhost",
                                      "[::1]:8466x"};
    for (size_t i = 0; i < sizeof good / sizeof *good; i++)
        assert_int_equal(source(good[i], NULL, NULL, false), 0);
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        if (source(bad[i], NULL, NULL, false) != 421) fail_msg("\"%s\" was taken", bad[i]);
    assert_int_equal(source(NULL, NULL, NULL, false), 400);
    assert_int_equal(source("localhost:8466", "http://localhost:8466", "same-origin", false), 0);
    assert_int_equal(source("localhost:8466", "https://localhost:8466", NULL, false), 403);
    assert_int_equal(source("localhost:8466", "https://localhost:8466", NULL, true), 0);
    assert_int_equal(source("localhost:8466", "http://localhost:3000", NULL, false), 403);
    assert_int_equal(source("localhost:8466", "http://127.0.0.1:8466", NULL, false), 403);
    assert_int_equal(source("localhost:8466", "null", NULL, false), 403);
    assert_int_equal(source("localhost:8466", "", NULL, false), 403);
    assert_int_equal(source("localhost", NULL, "cross-site", false), 403);
    assert_int_equal(source("localhost", NULL, "same-site", false), 403);
    assert_int_equal(source("localhost", NULL, "none", false), 0);
}

static int body(const web_route *route, const char *type, const char *length, const char *transfer) {
    guard_head head = {
        .method = "POST", .type = type, .length = length, .transfer = transfer, .n_lengths = length != NULL};
    int code = 0;
    size_t announced;
    fault why = {0};
    guard_body(route, &head, &announced, &code, &why);
    if (code == 0 && transfer) assert_true(announced == SIZE_MAX);
    return code;
}

static void bodies(void **state) {
    (void)state;
    const char *json = "application/json", *bytes = "application/octet-stream";
    assert_int_equal(body(&table[1], json, "100", NULL), 0);
    assert_int_equal(body(&table[1], "Application/JSON", "0", NULL), 0);
    assert_int_equal(body(&table[1], json, "101", NULL), 413);
    assert_int_equal(body(&table[1], json, "999999999999999", NULL), 413);
    assert_int_equal(body(&table[1], json, "9999999999999999999999", NULL), 400);
    assert_int_equal(body(&table[1], json, "-1", NULL), 400);
    assert_int_equal(body(&table[1], json, "+1", NULL), 400);
    assert_int_equal(body(&table[1], json, "", NULL), 400);
    assert_int_equal(body(&table[1], json, "1, 1", NULL), 400);
    assert_int_equal(body(&table[1], json, NULL, "chunked"), 0);
    assert_int_equal(body(&table[1], json, NULL, "gzip, chunked"), 400);
    assert_int_equal(body(&table[1], json, "3", "chunked"), 400);
    assert_int_equal(body(&table[1], bytes, "3", NULL), 415);
    assert_int_equal(body(&table[1], NULL, "3", NULL), 415);
    assert_int_equal(body(&table[1], "application/json; charset=utf-8", "3", NULL), 415);
    assert_int_equal(body(&table[1], "application/jsonx", "3", NULL), 415);
    assert_int_equal(body(&table[1], "text/plain", "3", NULL), 415);
    assert_int_equal(body(&table[2], bytes, "1000", NULL), 0);
    assert_int_equal(body(&table[2], json, "3", NULL), 415);
    assert_int_equal(body(&table[6], NULL, NULL, NULL), 0);
    assert_int_equal(body(&table[6], json, "0", NULL), 0);
    assert_int_equal(body(&table[6], json, "2", NULL), 413);
    assert_int_equal(body(&table[6], json, NULL, "chunked"), 413);
}

static void cookies_and_tags(void **state) {
    (void)state;
    char value[5];
    static const struct {
        const char *header, *value;
    } cookies[] = {{NULL, ""},          {"", ""},        {"s-1=ab", "ab"}, {"x=1; s-1=ab; y=2", "ab"},
                   {"xs-1=ab", ""},     {"s-1", ""},     {"s-1=", ""},     {"s-1=abcd", "abcd"},
                   {"s-1=abcde", ""},   {"s-11=ab", ""}, {"x=s-1=ab", ""}, {";;s-1=a=b", "a=b"},
                   {"s-1=a;s-1=b", "a"}};
    for (size_t i = 0; i < sizeof cookies / sizeof *cookies; i++) {
        guard_cookie(cookies[i].header, "s-1", value, sizeof value);
        assert_string_equal(value, cookies[i].value);
    }
    assert_true(guard_has_tag("\"a\"", "\"a\""));
    assert_true(guard_has_tag("\"b\", W/\"a\"", "\"a\""));
    assert_true(guard_has_tag("*", "\"a\""));
    assert_false(guard_has_tag(NULL, "\"a\""));
    assert_false(guard_has_tag("\"ab\"", "\"a\""));
    assert_false(guard_has_tag("a", "\"a\""));
}

static void forms_of_assets(void **state) {
    (void)state;
    static const unsigned char bytes[] = "abc";
    const web_asset all = {"/a", "t", "\"e\"", false, bytes, bytes, bytes, 3, 2, 1};
    const web_asset plain = {"/a", "t", "\"e\"", false, bytes, NULL, NULL, 3, 0, 0};
    assert_string_equal(asset_choose(&all, "gzip, deflate, br").encoding, "br");
    assert_int_equal(asset_choose(&all, "gzip, deflate, br").length, 1);
    assert_string_equal(asset_choose(&all, "br;q=0, gzip;q=0.5").encoding, "gzip");
    assert_string_equal(asset_choose(&all, "GZIP").encoding, "gzip");
    assert_null(asset_choose(&all, "gzip;q=0.000,br ; q=0").encoding);
    assert_null(asset_choose(&all, NULL).encoding);
    assert_null(asset_choose(&all, "brx, xgzip").encoding);
    assert_null(asset_choose(&plain, "br, gzip").encoding);
    assert_int_equal(asset_choose(&plain, "br, gzip").length, 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_are_found),          cmocka_unit_test(unknown_paths_and_methods),
        cmocka_unit_test(nothing_leads_elsewhere), cmocka_unit_test(long_targets_are_refused),
        cmocka_unit_test(query_is_decoded),        cmocka_unit_test(memory_may_run_out),
        cmocka_unit_test(hosts_and_origins),       cmocka_unit_test(bodies),
        cmocka_unit_test(cookies_and_tags),        cmocka_unit_test(forms_of_assets),
    };
    return cmocka_run_group_tests(tests, start, end);
}
