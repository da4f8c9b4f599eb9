#include "core/hash.h"

#include <sodium.h>

char *hash_text(const void *bytes, size_t length, char into[HASH_TEXT]) {
    unsigned char digest[crypto_hash_sha256_BYTES];
    crypto_hash_sha256(digest, bytes, length);
    return sodium_bin2hex(into, HASH_TEXT, digest, sizeof digest);
}
