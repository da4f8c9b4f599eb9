#include "record/chain.h"

#include <sodium.h>

#include <stdio.h>
#include <string.h>

static void add_line(crypto_hash_sha256_state *to, const char *line) {
    static const unsigned char end = '\n';
    crypto_hash_sha256_update(to, (const unsigned char *)line, strlen(line));
    crypto_hash_sha256_update(to, &end, 1);
}

char *chain_hash(const char before[HASH_TEXT], const chain_link *link, char into[HASH_TEXT]) {
    unsigned char digest[crypto_hash_sha256_BYTES];
    crypto_hash_sha256_state of;
    char seq[24];
    snprintf(seq, sizeof seq, "%lld", link->seq);
    const char *const lines[] = {before,           seq, link->id, link->mark, link->body, link->received_at,
                                 link->received_by};
    crypto_hash_sha256_init(&of);
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) add_line(&of, lines[i]);
    crypto_hash_sha256_final(&of, digest);
    return sodium_bin2hex(into, HASH_TEXT, digest, sizeof digest);
}
