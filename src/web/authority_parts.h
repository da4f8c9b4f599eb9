/* authority_parts.h - what authority.c (files, what is kept) and authority_sign.c (names, certificates) share.
 * Threads  no shared state. */
#ifndef STANCH_WEB_AUTHORITY_PARTS_H
#define STANCH_WEB_AUTHORITY_PARTS_H

#include "core/fault.h"

#include <gnutls/x509.h>
#include <stdint.h>

typedef struct {
    gnutls_x509_crt_t certificate; /* NULL: none */
    gnutls_x509_privkey_t key;
} cert_pair;

typedef struct {
    long long from_s, until_s;
} cert_times;

enum { CERT_NAMES_MOST = 64, CERT_NAME = 256 };
typedef struct {
    char names[CERT_NAMES_MOST][CERT_NAME]; /* host names and addresses as text */
    size_t n;
} cert_names;

/* localhost, the loopback addresses, those of the machine's interfaces, and `address` when it is not NULL. E_INPUT: it
 * is neither a host name nor an address. */
status authority_names(const char *address, cert_names *out, fault *why);

/* A new key, and a certificate for it: signed by `of` for `names`, or by itself as an authority when `of` is NULL. The
 * caller frees *out, on error too. Returns a GnuTLS code. */
int authority_sign(cert_pair *out, const cert_pair *of, const cert_names *names, cert_times times);

#endif
