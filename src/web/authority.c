#include "web/authority.h"

#include "core/file.h"
#include "core/mem.h"
#include "web/authority_parts.h"
#include "web/when.h"

#include <errno.h>
#include <fcntl.h>
#include <sodium.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { DAY_S = 86400, PATH_BYTES = 4000 };

/* Our own choices, but for LEAF_S: phones refuse more than 398 days from public authorities, and 397 leaves one for
 * clocks (common practice). */
#define AUTHORITY_S (10LL * 365 * DAY_S)
#define LEAF_S (397LL * DAY_S)
#define RENEW_S (30LL * DAY_S)
#define EARLIER_S ((long long)DAY_S) /* valid from yesterday: the clock of a phone may be behind */

/* ---- sentences ---- */

static status tls_fault(int code, const char *name, const char *doing, fault *why) {
    if (code == GNUTLS_E_MEMORY_ERROR) return fault_memory(why);
    return fault_set(why, E_IO, "%s: cannot be %s: %s", name, doing, gnutls_strerror(code));
}

/* ---- a certificate with its key ---- */

static void pair_free(cert_pair *p) {
    if (p->certificate) gnutls_x509_crt_deinit(p->certificate);
    if (p->key) gnutls_x509_privkey_deinit(p->key);
    *p = (cert_pair){0};
}

static bool pair_fits(const cert_pair *p) {
    unsigned char of_certificate[64], of_key[64];
    size_t n = sizeof of_certificate, m = sizeof of_key;
    return gnutls_x509_crt_get_key_id(p->certificate, GNUTLS_KEYID_USE_SHA256, of_certificate, &n) == 0 &&
           gnutls_x509_privkey_get_key_id(p->key, GNUTLS_KEYID_USE_SHA256, of_key, &m) == 0 && n == m &&
           memcmp(of_certificate, of_key, n) == 0;
}

static status read_certificate(const char *path, const char *bytes, cert_pair *out, fault *why) {
    gnutls_datum_t datum = {(unsigned char *)(uintptr_t)bytes, (unsigned)strlen(bytes)};
    if (gnutls_x509_crt_init(&out->certificate) != 0) return fault_memory(why);
    int code = gnutls_x509_crt_import(out->certificate, &datum, GNUTLS_X509_FMT_PEM);
    if (code == 0) return OK;
    return fault_set(why, E_FORMAT, "%s: holds no certificate in PEM: %s", path, gnutls_strerror(code));
}

static status read_key(const char *path, const char *bytes, cert_pair *out, fault *why) {
    gnutls_datum_t datum = {(unsigned char *)(uintptr_t)bytes, (unsigned)strlen(bytes)};
    if (gnutls_x509_privkey_init(&out->key) != 0) return fault_memory(why);
    int code = gnutls_x509_privkey_import2(out->key, &datum, GNUTLS_X509_FMT_PEM, NULL, 0);
    if (code == 0) return OK;
    if (code == GNUTLS_E_DECRYPTION_FAILED)
        return fault_set(why, E_FORMAT, "%s: the key is locked by a passphrase; write it without", path);
    return fault_set(why, E_FORMAT, "%s: holds no private key in PEM: %s", path, gnutls_strerror(code));
}

/* ---- files ---- */

/* All or nothing, and never readable by others, not even for a moment. */
static status write_private(const char *path, const char *bytes, fault *why) {
    char part[PATH_BYTES + 8];
    size_t length = strlen(bytes);
    snprintf(part, sizeof part, "%s.part", path);
    unlink(part); /* of a start that was killed: its mode is not to be trusted */
    int at = open(part, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (at < 0) return fault_set(why, E_IO, "%s: cannot be written: %s", path, strerror(errno));
    bool good = write(at, bytes, length) == (ssize_t)length && fsync(at) == 0;
    good = close(at) == 0 && good;
    if (good && rename(part, path) == 0) return OK;
    int reason = errno;
    unlink(part);
    return fault_set(why, E_IO, "%s: cannot be written: %s", path, strerror(reason));
}

/* Take the rights of others away, where there are any. */
static status close_to_others(const char *path, mode_t mode, fault *why) {
    struct stat about;
    if (stat(path, &about) != 0)
        return fault_set(why, E_IO, "%s: cannot be opened: %s", path, strerror(errno));
    if ((about.st_mode & 077) == 0 || chmod(path, mode) == 0) return OK;
    return fault_set(why, E_IO, "%s: others may read it, and that cannot be changed; it must be yours alone",
                     path);
}

static status open_folder(const char *folder, char into[PATH_BYTES], fault *why) {
    int length = snprintf(into, PATH_BYTES, "%s/.stanch-site", folder);
    if (length < 0 || length >= PATH_BYTES - 64)
        return fault_set(why, E_IO, "%.200s...: the path is too long", folder);
    if (mkdir(into, 0700) != 0 && errno != EEXIST)
        return fault_set(why, E_IO, "%s: cannot be made: %s", into, strerror(errno));
    return close_to_others(into, 0700, why);
}

/* *found = false and OK when the file is not there. Key and certificate stand in one file, so that they are of the same
 * making even when a start was killed. */
static status pair_load(const char *path, cert_pair *out, bool *found, fault *why) {
    char *bytes = NULL;
    size_t length = 0;
    *found = access(path, F_OK) == 0 || errno != ENOENT;
    if (!*found) return OK;
    status code = close_to_others(path, 0600, why);
    if (code == OK) code = file_read(path, &bytes, &length, why);
    if (code != OK) return code;
    code = read_certificate(path, bytes, out, why);
    if (code == OK) code = read_key(path, bytes, out, why);
    if (code == OK && !pair_fits(out))
        code = fault_set(why, E_FORMAT, "%s: its key is not that of its certificate", path);
    sodium_memzero(bytes, length);
    mem_free(bytes);
    return code;
}

/* A text of the library's as one of ours, wiped behind. */
static status take_text(gnutls_datum_t *from, char **out, fault *why) {
    *out = mem_zero(from->size + 1, 1);
    if (*out) memcpy(*out, from->data, from->size);
    sodium_memzero(from->data, from->size);
    gnutls_free(from->data);
    from->data = NULL;
    return *out ? OK : fault_memory(why);
}

static status pair_texts(const cert_pair *p, char **certificate, char **key, fault *why) {
    gnutls_datum_t bytes = {NULL, 0};
    int code = gnutls_x509_crt_export2(p->certificate, GNUTLS_X509_FMT_PEM, &bytes);
    if (code != 0) return tls_fault(code, "the certificate", "written", why);
    status result = take_text(&bytes, certificate, why);
    if (result != OK) return result;
    code = gnutls_x509_privkey_export2(p->key, GNUTLS_X509_FMT_PEM, &bytes);
    return code == 0 ? take_text(&bytes, key, why) : tls_fault(code, "the key", "written", why);
}

static void wipe_text(char *secret) {
    if (secret) sodium_memzero(secret, strlen(secret));
    mem_free(secret);
}

static status pair_save(const cert_pair *p, const char *path, fault *why) {
    char *certificate = NULL, *key = NULL, *both = NULL;
    status code = pair_texts(p, &certificate, &key, why);
    if (code == OK && (!certificate || !key)) code = fault_memory(why);
    if (code == OK) {
        size_t size = strlen(certificate) + strlen(key) + 1;
        both = mem_get(size, 1);
        if (both) snprintf(both, size, "%s%s", key, certificate);
        code = both ? write_private(path, both, why) : fault_memory(why);
    }
    mem_free(certificate);
    wipe_text(key);
    wipe_text(both);
    return code;
}

/* ---- the authority and the server ---- */

static status load_authority(const char *folder, long long now_s, cert_pair *out, fault *why) {
    char path[PATH_BYTES + 64];
    bool found = false;
    snprintf(path, sizeof path, "%s/authority.pem", folder);
    status code = pair_load(path, out, &found, why);
    if (code != OK) return code;
    if (!found) {
        int made = authority_sign(out, NULL, NULL, (cert_times){now_s - EARLIER_S, now_s + AUTHORITY_S});
        return made == 0 ? pair_save(out, path, why) : tls_fault(made, path, "made", why);
    }
    if (gnutls_x509_crt_get_expiration_time(out->certificate) - now_s > RENEW_S) return OK;
    return fault_set(why, E_STATE,
                     "%s: is at its end; move the folder %s away, start again, and install the new authority "
                     "on the phones",
                     path, folder);
}

static bool is_good(const cert_pair *leaf, const cert_pair *of, const cert_names *names, long long now_s) {
    if (gnutls_x509_crt_check_issuer(leaf->certificate, of->certificate) == 0) return false;
    if (gnutls_x509_crt_get_expiration_time(leaf->certificate) - now_s < RENEW_S) return false;
    if (gnutls_x509_crt_get_activation_time(leaf->certificate) > now_s) return false;
    for (size_t i = 0; i < names->n; i++)
        if (gnutls_x509_crt_check_hostname(leaf->certificate, names->names[i]) == 0) return false;
    return true;
}

/* A damaged or outworn server certificate is no loss: another is made. */
static status load_leaf(const char *folder, const cert_pair *of, const cert_names *names, long long now_s,
                        cert_pair *out, fault *why) {
    char path[PATH_BYTES + 64];
    bool found = false;
    snprintf(path, sizeof path, "%s/server.pem", folder);
    status code = pair_load(path, out, &found, why);
    if (code != OK && code != E_FORMAT) return code;
    if (code == OK && found && is_good(out, of, names, now_s)) return OK;
    pair_free(out);
    long long until_s = now_s + LEAF_S - EARLIER_S,
              last_s = gnutls_x509_crt_get_expiration_time(of->certificate);
    cert_times times = {now_s - EARLIER_S, until_s < last_s ? until_s : last_s};
    int made = authority_sign(out, of, names, times);
    return made == 0 ? pair_save(out, path, why) : tls_fault(made, path, "made", why);
}

/* ---- what is handed out ---- */

static void write_fingerprint(gnutls_x509_crt_t of, char into[AUTHORITY_FINGERPRINT]) {
    unsigned char bytes[32];
    size_t n = sizeof bytes;
    into[0] = '\0';
    if (gnutls_x509_crt_get_fingerprint(of, GNUTLS_DIG_SHA256, bytes, &n) != 0) return;
    for (size_t i = 0; i < n; i++) snprintf(into + 3 * i, 4, i + 1 < n ? "%02X " : "%02X", bytes[i]);
}

static status write_der(gnutls_x509_crt_t of, authority *out, fault *why) {
    gnutls_datum_t bytes = {NULL, 0};
    int code = gnutls_x509_crt_export2(of, GNUTLS_X509_FMT_DER, &bytes);
    if (code != 0) return tls_fault(code, "the authority", "written", why);
    out->der_length = bytes.size;
    return take_text(&bytes, &out->der, why);
}

void authority_free(authority *a) {
    mem_free(a->certificate_pem);
    wipe_text(a->key_pem);
    mem_free(a->der);
    *a = (authority){0};
}

static status hand_out(const cert_pair *leaf, const cert_pair *of, authority *out, fault *why) {
    when_write(gnutls_x509_crt_get_expiration_time(leaf->certificate), out->until);
    write_fingerprint(of->certificate, out->fingerprint);
    status code = pair_texts(leaf, &out->certificate_pem, &out->key_pem, why);
    return code == OK ? write_der(of->certificate, out, why) : code;
}

status authority_make(const char *folder, const char *address, const char *now, authority *out, fault *why) {
    char place[PATH_BYTES];
    long long now_s = 0;
    cert_pair of = {0}, leaf = {0};
    cert_names names = {0};
    *out = (authority){0};
    if (!when_read(now, &now_s))
        return fault_set(why, E_INPUT, "the clock says %.40s, which is no time", now);
    status code = authority_names(address, &names, why);
    if (code == OK) code = open_folder(folder, place, why);
    if (code == OK) code = load_authority(place, now_s, &of, why);
    if (code == OK) code = load_leaf(place, &of, &names, now_s, &leaf, why);
    if (code == OK) code = hand_out(&leaf, &of, out, why);
    pair_free(&leaf);
    pair_free(&of);
    if (code != OK) authority_free(out);
    return code;
}

/* ---- given ones ---- */

static status check_given(const cert_pair *p, const char *path, const char *key, long long now_s,
                          fault *why) {
    char at[WHEN_TEXT];
    long long from_s = gnutls_x509_crt_get_activation_time(p->certificate);
    long long until_s = gnutls_x509_crt_get_expiration_time(p->certificate);
    if (!pair_fits(p)) return fault_set(why, E_STATE, "%s: is not the key of the certificate %s", key, path);
    if (until_s <= now_s)
        return fault_set(why, E_STATE, "%s: the certificate ended at %s", path, when_write(until_s, at));
    if (from_s > now_s)
        return fault_set(why, E_STATE, "%s: the certificate is valid from %s only", path,
                         when_write(from_s, at));
    return OK;
}

status authority_given(const char *certificate, const char *key, const char *now, authority *out,
                       fault *why) {
    size_t length = 0;
    long long now_s = 0;
    cert_pair pair = {0};
    *out = (authority){0};
    if (!when_read(now, &now_s))
        return fault_set(why, E_INPUT, "the clock says %.40s, which is no time", now);
    status code = file_read(certificate, &out->certificate_pem, &length, why);
    if (code == OK) code = file_read(key, &out->key_pem, &length, why);
    if (code == OK) code = read_certificate(certificate, out->certificate_pem, &pair, why);
    if (code == OK) code = read_key(key, out->key_pem, &pair, why);
    if (code == OK) code = check_given(&pair, certificate, key, now_s, why);
    if (code == OK) {
        when_write(gnutls_x509_crt_get_expiration_time(pair.certificate), out->until);
        write_fingerprint(pair.certificate, out->fingerprint);
    }
    pair_free(&pair);
    if (code != OK) authority_free(out);
    return code;
}
