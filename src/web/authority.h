/* authority.h - the certificate of the server, and the private authority of the site that vouches for it.
 *
 * A phone works without a signal only from a secure context, and that needs a certificate it trusts. So the first
 * start on a site makes, in `FOLDER/.stanch-site/` (mode 0700, keys 0600), an authority (ECDSA P-256, 10 years,
 * CA:TRUE, pathlen 0; RFC 5280) whose certificate is installed on each phone once, and a server certificate of at
 * most 397 days for localhost, the addresses of the machine and the one given. The server certificate is made
 * again at a start within 30 days of its end, or when an address is not in it; the authority stays.
 * Errors  E_IO: a file cannot be read or written. E_FORMAT: it is no certificate or key of ours. E_STATE: it is
 *   over, not yet valid, or certificate and key do not belong together. E_INPUT: no such address.
 * Threads  no shared state; the clock is an input ("2026-03-01T09:30:00Z"). */
#ifndef STANCH_WEB_AUTHORITY_H
#define STANCH_WEB_AUTHORITY_H

#include "core/fault.h"

enum { AUTHORITY_FINGERPRINT = 32 * 3 }; /* SHA-256, "AB 01 ...", as phones show it; and the end */

typedef struct {
    char *certificate_pem; /* of the server: MHD_OPTION_HTTPS_MEM_CERT */
    char *key_pem;         /* MHD_OPTION_HTTPS_MEM_KEY */
    char *der;             /* certificate of the authority, to install; NULL when the certificate was given */
    size_t der_length;
    char fingerprint[AUTHORITY_FINGERPRINT]; /* of the authority, or of the given certificate */
    char until[21];                          /* end of the server certificate */
} authority;

/* The certificate for `folder`, made or kept. `address`: name or address that the server is reached by beside
 * those of the machine, without port; or NULL. *out is the caller's (authority_free); zeroed on error. */
status authority_make(const char *folder, const char *address, const char *now, authority *out, fault *why);

/* Certificate (a chain is fine) and key of the firm's own, PEM files. */
status authority_given(const char *certificate, const char *key, const char *now, authority *out, fault *why);

void authority_free(authority *a); /* {0} is fine; the key is wiped */

#endif
