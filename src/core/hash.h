/* hash.h - SHA-256 (FIPS 180-4, by libsodium) as lower-case hex: names the inputs of a stored result.
 * Threads  no shared state. */
#ifndef STANCH_CORE_HASH_H
#define STANCH_CORE_HASH_H

#include <stddef.h>

enum { HASH_TEXT = 65 };
/* Returns `into`. */
char *hash_text(const void *bytes, size_t length, char into[HASH_TEXT]);

#endif
