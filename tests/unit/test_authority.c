/* The authority of a site and its server certificate: what they say, who may read them, when they are made again; and the
 * page from which a phone takes it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/mem.h"
#include "web/authority.h"
#include "web/install.h"

#include <arpa/inet.h>
#include <gnutls/x509.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define NOW "2026-03-01T09:30:00Z"
#define DAY_S 86400LL
#define NOW_S 1772357400LL /* by `date -u -d ... +%s` */

static char folder[40];

static int set_up(void **state) {
    (void)state;
    snprintf(folder, sizeof folder, "/tmp/stanch-site-XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

static char *path_of(const char *name) {
    static char paths[4][100];
    static int next;
    char *path = paths[next++ % 4];
    snprintf(path, sizeof paths[0], "%s/.stanch-site/%s", folder, name);
    return path;
}

static int tear_down(void **state) {
    (void)state;
    static const char *const names[] = {"authority.pem", "server.pem", "cut.pem", "other.pem"};
    mem_fail_at(-1, 0);
    for (int i = 0; i < 4; i++) unlink(path_of(names[i]));
    rmdir(path_of(""));
    return rmdir(folder); /* fails when something else was left behind */
}

static authority make(const char *address, const char *now) {
    fault why = {OK, ""};
    authority a;
    if (authority_make(folder, address, now, &a, &why) != OK) fail_msg("%s", why.text);
    return a;
}

static void expect_fault(status got, status wanted, const fault *why, const char *sentence) {
    if (got != wanted || !strstr(why->text, sentence))
        fail_msg("expected %d \"%s\", got %d \"%s\"", (int)wanted, sentence, (int)got, why->text);
}

static void expect_make(const char *address, const char *now, status wanted, const char *sentence) {
    fault why = {OK, ""};
    authority a;
    expect_fault(authority_make(folder, address, now, &a, &why), wanted, &why, sentence);
    authority_free(&a);
}

static gnutls_x509_crt_t read_certificate(const void *bytes, size_t length, gnutls_x509_crt_fmt_t how) {
    gnutls_x509_crt_t c;
    gnutls_datum_t datum = {(unsigned char *)(uintptr_t)bytes, (unsigned)length};
    assert_int_equal(gnutls_x509_crt_init(&c), 0);
    assert_int_equal(gnutls_x509_crt_import(c, &datum, how), 0);
    return c;
}

static void test_what_they_say(void **state) {
    (void)state;
    authority a = make("site.example", NOW);
    gnutls_x509_crt_t of = read_certificate(a.der, a.der_length, GNUTLS_X509_FMT_DER);
    gnutls_x509_crt_t leaf =
        read_certificate(a.certificate_pem, strlen(a.certificate_pem), GNUTLS_X509_FMT_PEM);
    unsigned critical = 0, ca = 0, usage = 0, verdict = 0;
    int pathlen = -1;
    assert_int_equal(gnutls_x509_crt_get_basic_constraints(of, &critical, &ca, &pathlen), 1);
    assert_true(critical && ca && pathlen == 0);
    gnutls_x509_crt_get_key_usage(of, &usage, &critical);
    assert_int_equal(usage, GNUTLS_KEY_KEY_CERT_SIGN | GNUTLS_KEY_CRL_SIGN);
    assert_int_equal(gnutls_x509_crt_get_pk_algorithm(of, NULL), GNUTLS_PK_ECDSA);
    assert_int_equal(gnutls_x509_crt_get_signature_algorithm(leaf), GNUTLS_SIGN_ECDSA_SHA256);
    assert_int_equal(gnutls_x509_crt_get_basic_constraints(leaf, NULL, &ca, NULL), 0);
    assert_false(ca);
    gnutls_x509_trust_list_t trusted;
    assert_int_equal(gnutls_x509_trust_list_init(&trusted, 0), 0);
    assert_int_equal(gnutls_x509_trust_list_add_cas(trusted, &of, 1, 0), 1);
    gnutls_x509_trust_list_verify_crt(trusted, &leaf, 1, GNUTLS_VERIFY_DISABLE_TIME_CHECKS, &verdict, NULL);
    assert_int_equal(verdict, 0);
    static const char *const names[] = {"localhost", "127.0.0.1", "::1", "site.example"};
    for (int i = 0; i < 4; i++) assert_int_not_equal(gnutls_x509_crt_check_hostname(leaf, names[i]), 0);
    assert_int_equal(gnutls_x509_crt_check_hostname(leaf, "other.example"), 0);
    long long from_s = gnutls_x509_crt_get_activation_time(leaf),
              to_s = gnutls_x509_crt_get_expiration_time(leaf);
    assert_true(from_s == NOW_S - DAY_S && to_s - from_s == 397 * DAY_S);
    assert_true(gnutls_x509_crt_get_expiration_time(of) == NOW_S + 3650 * DAY_S);
    assert_string_equal(a.until, "2027-04-01T09:30:00Z");
    assert_int_equal(strlen(a.fingerprint), 95);
    gnutls_x509_trust_list_deinit(trusted, 0);
    gnutls_x509_crt_deinit(of);
    gnutls_x509_crt_deinit(leaf);
    authority_free(&a);
}

static void test_who_may_read(void **state) {
    (void)state;
    struct stat about;
    authority a = make(NULL, NOW);
    authority_free(&a);
    stat(path_of(""), &about);
    assert_int_equal(about.st_mode & 0777, 0700);
    stat(path_of("authority.pem"), &about);
    assert_int_equal(about.st_mode & 0777, 0600);
    stat(path_of("server.pem"), &about);
    assert_int_equal(about.st_mode & 0777, 0600);
    chmod(path_of("authority.pem"), 0644);
    chmod(path_of(""), 0755);
    a = make(NULL, NOW);
    authority_free(&a);
    stat(path_of(""), &about);
    assert_int_equal(about.st_mode & 0777, 0700);
    stat(path_of("authority.pem"), &about);
    assert_int_equal(about.st_mode & 0777, 0600);
    stat(path_of("server.pem"), &about);
    assert_int_equal(about.st_mode & 0777, 0600);
}

static void expect_again(const authority *before, const char *address, const char *now, bool renewed) {
    authority a = make(address, now);
    assert_string_equal(a.fingerprint, before->fingerprint); /* the authority stays */
    if ((strcmp(a.certificate_pem, before->certificate_pem) != 0) != renewed)
        fail_msg("%s at %s: the server certificate was %s", address, now, renewed ? "kept" : "made again");
    authority_free(&a);
}

static void test_when_it_is_made_again(void **state) {
    (void)state;
    authority a = make("site.example", NOW);
    expect_again(&a, "site.example", NOW, false);
    expect_again(&a, NULL, "2026-09-01T00:00:00Z", false);
    expect_again(&a, "localhost", "2027-03-02T09:30:00Z", false); /* 30 days before its end */
    expect_again(&a, "localhost", "2027-03-02T09:30:01Z", true);  /* and within them */
    authority_free(&a);
    a = make(NULL, "2027-03-03T00:00:00Z");
    expect_again(&a, "[2001:db8::7]", "2027-03-03T00:00:00Z", true); /* an address that is not in it */
    authority_free(&a);
    a = make("2001:db8::7", "2027-03-03T00:00:00Z");
    expect_again(&a, NULL, "2026-03-01T00:00:00Z", true); /* a clock set back: not valid yet */
    authority_free(&a);
    a = make(NULL, "2035-12-01T00:00:00Z"); /* never longer than its authority */
    assert_string_equal(a.until, "2036-02-27T09:30:00Z");
    authority_free(&a);
    expect_make(NULL, "2036-02-01T00:00:00Z", E_STATE, "authority.pem: is at its end; move the folder");
}

static void put_file(const char *path, const char *bytes) {
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    fputs(bytes, f);
    fclose(f);
}

static void test_damage(void **state) {
    (void)state;
    authority a = make(NULL, NOW);
    put_file(path_of("server.pem"), "half a certif");
    expect_again(&a, NULL, NOW, true); /* no loss */
    put_file(path_of("authority.pem"), "half a certif");
    expect_make(NULL, NOW, E_FORMAT, "authority.pem: holds no certificate in PEM");
    put_file(path_of("authority.pem"), a.certificate_pem);
    expect_make(NULL, NOW, E_FORMAT, "authority.pem: holds no private key in PEM");
    char both[8000];
    unlink(path_of("authority.pem"));
    authority b = make(NULL, NOW); /* another authority: the server certificate is its own */
    assert_string_not_equal(b.fingerprint, a.fingerprint);
    gnutls_x509_crt_t of = read_certificate(b.der, b.der_length, GNUTLS_X509_FMT_DER);
    gnutls_x509_crt_t leaf =
        read_certificate(b.certificate_pem, strlen(b.certificate_pem), GNUTLS_X509_FMT_PEM);
    assert_int_equal(gnutls_x509_crt_check_issuer(leaf, of), 1);
    gnutls_x509_crt_deinit(leaf);
    gnutls_x509_crt_deinit(of);
    snprintf(both, sizeof both, "%s%s", a.key_pem, b.certificate_pem);
    put_file(path_of("authority.pem"), both);
    expect_make(NULL, NOW, E_FORMAT, "authority.pem: its key is not that of its certificate");
    authority_free(&b);
    expect_make("no such host!", NOW, E_INPUT, "no such host!: is neither a host name nor an address");
    expect_make("a..b", NOW, E_INPUT, "is neither");
    expect_make("[::1", NOW, E_INPUT, "is neither");
    expect_make(NULL, "today", E_INPUT, "the clock says today, which is no time");
    fault why = {OK, ""};
    authority none;
    expect_fault(authority_make("/nowhere/at/all", NULL, NOW, &none, &why), E_IO, &why,
                 "/nowhere/at/all/.stanch-site: cannot be made");
    authority_free(&a);
}

static void expect_given(const char *certificate, const char *key, const char *now, status wanted,
                         const char *sentence) {
    fault why = {OK, ""};
    authority a;
    expect_fault(authority_given(certificate, key, now, &a, &why), wanted, &why, sentence);
    if (wanted == OK) assert_null(a.der);
    authority_free(&a);
}

static void test_given(void **state) {
    (void)state;
    authority a = make(NULL, NOW);
    const char *own = path_of("server.pem"), *other = path_of("authority.pem"), *cut = path_of("cut.pem");
    put_file(cut, "-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n");
    expect_given(own, own, NOW, OK, "");
    expect_given(own, other, NOW, E_STATE, "authority.pem: is not the key of the certificate");
    expect_given(own, own, "2027-04-01T09:30:00Z", E_STATE,
                 "server.pem: the certificate ended at 2027-04-01T09:30:00Z");
    expect_given(own, own, "2026-02-01T00:00:00Z", E_STATE, "is valid from 2026-02-28T09:30:00Z only");
    expect_given(cut, own, NOW, E_FORMAT, "cut.pem: holds no certificate in PEM");
    expect_given(own, cut, NOW, E_FORMAT, "cut.pem: holds no private key in PEM");
    expect_given("/nowhere.pem", own, NOW, E_IO, "/nowhere.pem: cannot be opened");
    authority_free(&a);
}

static void test_no_memory(void **state) {
    (void)state;
    for (long n = 0; n < 200; n++) {
        fault why = {OK, ""};
        authority a;
        mem_fail_at(n, n % 2 != 0);
        status code = authority_make(folder, NULL, NOW, &a, &why);
        mem_fail_at(-1, 0);
        authority_free(&a);
        if (code == OK) return;
        if (code != E_MEMORY) fail_msg("allocation %ld: %d, %s", n, (int)code, why.text);
    }
    fail_msg("it never got through");
}

/* ---- the page ---- */

/* Everything that comes back for one request. */
static char *ask(unsigned port, const char *request, size_t *length) {
    struct sockaddr_in to = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    int s = socket(AF_INET, SOCK_STREAM, 0);
    assert_int_equal(connect(s, (struct sockaddr *)&to, sizeof to), 0);
    assert_int_equal(write(s, request, strlen(request)), (ssize_t)strlen(request));
    char *bytes = calloc(1, 65536);
    for (ssize_t got; (got = read(s, bytes + *length, 65535 - *length)) > 0;) *length += (size_t)got;
    close(s);
    return bytes;
}

static void expect_answer(unsigned port, const char *line, const char *const parts[]) {
    char request[400];
    size_t length = 0;
    snprintf(request, sizeof request, "%s HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n", line);
    char *bytes = ask(port, request, &length);
    for (const char *const *p = parts; *p; p++)
        if (!strstr(bytes, *p)) fail_msg("%s: no \"%s\" in:\n%.700s", line, *p, bytes);
    assert_null(strstr(bytes, "<script"));
    assert_null(strstr(bytes, "style="));
    assert_null(strstr(bytes, "<b>/")); /* nothing of an address is markup */
    assert_null(strstr(bytes, "\"<b>"));
    free(bytes);
}

static bool has_bytes(const char *in, size_t length, const char *bytes, size_t n) {
    for (size_t i = 0; i + n <= length; i++)
        if (memcmp(in + i, bytes, n) == 0) return true;
    return false;
}

static install *start(const authority *of, unsigned port, status wanted) {
    fault why = {OK, ""};
    struct sockaddr_in at = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};
    at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    const install_request request = {(struct sockaddr *)&at, of, "https://192.0.2.7:8466/?a=\"<b>"};
    install *i = NULL;
    status got = install_start(&request, &i, &why);
    if (got != wanted) fail_msg("expected %d, got %d: %s", (int)wanted, (int)got, why.text);
    return i;
}

static void test_install_page(void **state) {
    (void)state;
    authority a = make(NULL, NOW);
    install *i = start(&a, 0, OK);
    unsigned port = install_port(i);
    size_t length = 0;
    const char *const page[] = {"HTTP/1.1 200",
                                "Content-Type: text/html; charset=utf-8",
                                "Content-Security-Policy: default-src 'none'; style-src 'self'",
                                "X-Content-Type-Options: nosniff",
                                a.fingerprint,
                                "iPhone",
                                "Android",
                                "https://192.0.2.7:8466/?a=&quot;&lt;b&gt;",
                                NULL};
    const char *const style[] = {"200", "text/css", ":root{", NULL};
    const char *const none[] = {"HTTP/1.1 404", "not found", NULL};
    expect_answer(port, "GET /", page);
    expect_answer(port, "GET /install.css", style);
    static const char *const others[] = {
        "GET /api/jobs", "GET /.stanch-site/authority.pem", "GET /%2e%2e/x",
        "POST /",        "PUT /stanch-authority.crt",       "GET /stanch-people.db"};
    for (int k = 0; k < 6; k++) expect_answer(port, others[k], none);
    char *bytes =
        ask(port, "GET /stanch-authority.crt HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n", &length);
    assert_non_null(strstr(bytes, "Content-Type: application/x-x509-ca-cert"));
    assert_true(has_bytes(bytes, length, a.der, a.der_length));
    assert_false(has_bytes(bytes, length, "PRIVATE", 7));
    free(bytes);
    assert_null(start(&a, port, E_STATE)); /* the port is taken */
    install_stop(i);
    authority_free(&a);
    assert_null(start(&a, 0, E_STATE)); /* nothing to install */
}

int main(void) {
#define CASE(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        CASE(test_what_they_say), CASE(test_who_may_read), CASE(test_when_it_is_made_again),
        CASE(test_damage),        CASE(test_given),        CASE(test_no_memory),
        CASE(test_install_page)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
