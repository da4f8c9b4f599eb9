/* Keys and certificates: ECDSA P-256 with SHA-256, X.509 version 3 (RFC 5280). */
#include "web/authority_parts.h"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <netinet/in.h>
#include <sodium.h>
#include <stdio.h>
#include <string.h>

/* ---- names ---- */

static void add_name(cert_names *to, const char *name) {
    for (size_t i = 0; i < to->n; i++)
        if (strcmp(to->names[i], name) == 0) return;
    if (to->n < CERT_NAMES_MOST) snprintf(to->names[to->n++], CERT_NAME, "%s", name);
}

/* Not the link-local ones: they need the name of an interface to be reached. */
static void add_interface(cert_names *to, const struct sockaddr *at) {
    char address[INET6_ADDRSTRLEN];
    struct sockaddr_in v4;
    struct sockaddr_in6 v6;
    if (at && at->sa_family == AF_INET) {
        memcpy(&v4, at, sizeof v4);
        if (inet_ntop(AF_INET, &v4.sin_addr, address, sizeof address)) add_name(to, address);
    }
    if (at && at->sa_family == AF_INET6) {
        memcpy(&v6, at, sizeof v6);
        if (!IN6_IS_ADDR_LINKLOCAL(&v6.sin6_addr) &&
            inet_ntop(AF_INET6, &v6.sin6_addr, address, sizeof address))
            add_name(to, address);
    }
}

static bool is_address(const char *name) {
    unsigned char bytes[16];
    return inet_pton(AF_INET, name, bytes) == 1 || inet_pton(AF_INET6, name, bytes) == 1;
}

/* Letters, digits, hyphens and dots, as host names are written (RFC 1123, 2.1). */
static bool is_host(const char *name) {
    static const char letters[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-.";
    size_t length = strlen(name);
    if (length < 1 || length > 253 || strspn(name, letters) != length) return false;
    return name[0] != '.' && name[0] != '-' && !strstr(name, "..");
}

status authority_names(const char *address, cert_names *out, fault *why) {
    struct ifaddrs *list = NULL;
    out->n = 0;
    char bare[CERT_NAME] = "";
    size_t length = address ? strlen(address) : 0;
    bool bracketed = length > 2 && address[0] == '[' && address[length - 1] == ']'; /* "[2001:db8::7]" */
    if (bracketed) length -= 2;
    if (length < sizeof bare)
        snprintf(bare, sizeof bare, "%.*s", (int)length, address ? address + bracketed : "");
    if (address && !is_address(bare) && !is_host(bare))
        return fault_set(why, E_INPUT, "%.100s: is neither a host name nor an address", address);
    add_name(out, "localhost");
    add_name(out, "127.0.0.1");
    add_name(out, "::1");
    if (address) add_name(out, bare);
    if (getifaddrs(&list) != 0) return OK; /* those given will do */
    for (const struct ifaddrs *i = list; i; i = i->ifa_next) add_interface(out, i->ifa_addr);
    freeifaddrs(list);
    return OK;
}

static int set_names(gnutls_x509_crt_t c, const cert_names *names) {
    int code = 0;
    for (size_t i = 0; i < names->n && code == 0; i++) {
        unsigned char bytes[16];
        const char *name = names->names[i];
        unsigned length = inet_pton(AF_INET, name, bytes) == 1    ? 4
                          : inet_pton(AF_INET6, name, bytes) == 1 ? 16
                                                                  : 0;
        code = length ? gnutls_x509_crt_set_subject_alt_name(c, GNUTLS_SAN_IPADDRESS, bytes, length,
                                                             GNUTLS_FSAN_APPEND)
                      : gnutls_x509_crt_set_subject_alt_name(c, GNUTLS_SAN_DNSNAME, name,
                                                             (unsigned)strlen(name), GNUTLS_FSAN_APPEND);
    }
    return code;
}

/* ---- certificates ---- */

static int make_key(gnutls_x509_privkey_t *out) {
    int code = gnutls_x509_privkey_init(out);
    if (code != 0) return code;
    return gnutls_x509_privkey_generate(*out, GNUTLS_PK_ECDSA,
                                        GNUTLS_CURVE_TO_BITS(GNUTLS_ECC_CURVE_SECP256R1), 0);
}

/* What both kinds have. The serial number is positive and random (RFC 5280, 4.1.2.2). */
static int set_common(const cert_pair *p, const char *name, cert_times times) {
    unsigned char serial[16], id[20];
    size_t n = sizeof id;
    gnutls_x509_crt_t c = p->certificate;
    randombytes_buf(serial, sizeof serial);
    serial[0] = (unsigned char)((serial[0] & 0x7F) | 0x40);
    int code = gnutls_x509_crt_set_version(c, 3);
    if (code == 0) code = gnutls_x509_crt_set_serial(c, serial, sizeof serial);
    if (code == 0) code = gnutls_x509_crt_set_activation_time(c, (time_t)times.from_s);
    if (code == 0) code = gnutls_x509_crt_set_expiration_time(c, (time_t)times.until_s);
    if (code == 0)
        code = gnutls_x509_crt_set_dn_by_oid(c, GNUTLS_OID_X520_COMMON_NAME, 0, name, (unsigned)strlen(name));
    if (code == 0) code = gnutls_x509_crt_set_key(c, p->key);
    if (code == 0) code = gnutls_x509_privkey_get_key_id(p->key, GNUTLS_KEYID_USE_SHA1, id, &n);
    if (code == 0) code = gnutls_x509_crt_set_subject_key_id(c, id, n);
    return code;
}

/* pathlen 0: it vouches for servers and for no other authority. The number in its name tells two of them apart on a
 * phone. */
static int sign_authority(const cert_pair *p, cert_times times) {
    char name[40];
    snprintf(name, sizeof name, "stanch site authority %04X", (unsigned)randombytes_uniform(0x10000));
    int code = set_common(p, name, times);
    if (code == 0) code = gnutls_x509_crt_set_basic_constraints(p->certificate, 1, 0);
    if (code == 0)
        code = gnutls_x509_crt_set_key_usage(p->certificate, GNUTLS_KEY_KEY_CERT_SIGN | GNUTLS_KEY_CRL_SIGN);
    if (code == 0) code = gnutls_x509_crt_sign2(p->certificate, p->certificate, p->key, GNUTLS_DIG_SHA256, 0);
    return code;
}

static int sign_server(const cert_pair *p, const cert_pair *of, const cert_names *names, cert_times times) {
    unsigned char id[20];
    size_t n = sizeof id;
    gnutls_x509_crt_t c = p->certificate;
    int code = set_common(p, "stanch site server", times);
    if (code == 0) code = set_names(c, names);
    if (code == 0) code = gnutls_x509_crt_set_basic_constraints(c, 0, -1);
    if (code == 0) code = gnutls_x509_crt_set_key_usage(c, GNUTLS_KEY_DIGITAL_SIGNATURE);
    if (code == 0) code = gnutls_x509_crt_set_key_purpose_oid(c, GNUTLS_KP_TLS_WWW_SERVER, 0);
    if (code == 0) code = gnutls_x509_crt_get_subject_key_id(of->certificate, id, &n, NULL);
    if (code == 0) code = gnutls_x509_crt_set_authority_key_id(c, id, n);
    if (code == 0) code = gnutls_x509_crt_sign2(c, of->certificate, of->key, GNUTLS_DIG_SHA256, 0);
    return code;
}

int authority_sign(cert_pair *out, const cert_pair *of, const cert_names *names, cert_times times) {
    int code = make_key(&out->key);
    if (code == 0) code = gnutls_x509_crt_init(&out->certificate);
    if (code != 0) return code;
    return of ? sign_server(out, of, names, times) : sign_authority(out, times);
}
