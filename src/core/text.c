#include "core/text.h"

#include "core/mem.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool make_room(text *t, size_t more) {
    if (t->failed) return false;
    if (more < t->size - t->length) return true; /* one byte stays free for the NUL */
    size_t size = t->size ? t->size : 256;
    while (size - t->length <= more) {
        if (size > SIZE_MAX / 4) {
            t->failed = true;
            return false;
        }
        size *= 2;
    }
    char *bytes = mem_grow(t->bytes, size, 1);
    if (!bytes) {
        t->failed = true;
        return false;
    }
    t->bytes = bytes;
    t->size = size;
    return true;
}

void text_add_bytes(text *t, const char *more, size_t length) {
    if (!make_room(t, length)) return;
    memcpy(t->bytes + t->length, more, length);
    t->length += length;
    t->bytes[t->length] = '\0';
}

void text_add(text *t, const char *more) {
    text_add_bytes(t, more, strlen(more));
}

void text_print(text *t, const char *format, ...) {
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int length = vsnprintf(NULL, 0, format, args);
    va_end(args);
    if (length >= 0 && make_room(t, (size_t)length)) {
        vsnprintf(t->bytes + t->length, (size_t)length + 1, format, again);
        t->length += (size_t)length;
    }
    va_end(again);
}

void text_free(text *t) {
    mem_free(t->bytes);
    *t = (text){0};
}

const char *text_get(const text *t) {
    return t->bytes ? t->bytes : "";
}

char *text_number(double value, char into[TEXT_NUMBER]) {
    if (value == 0) value = 0; /* drops the sign of -0 */
    /* %g drops trailing zeros, so 15 digits already give the shortest form of any number typed with 15 or
     * fewer. */
    for (int digits = 15; digits <= 17; digits++) {
        snprintf(into, TEXT_NUMBER, "%.*g", digits, value);
        if (strtod(into, NULL) == value) break;
    }
    return into;
}

bool text_to_number(const char *from, double *value) {
    const char *c = from;
    if (*c == '-' || *c == '+') c++;
    if (!isdigit((unsigned char)*c) && *c != '.') return false;
    if (c[0] == '0' && (c[1] == 'x' || c[1] == 'X')) return false;
    char *end = NULL;
    double read = strtod(from, &end);
    if (end == from || *end != '\0' || !isfinite(read)) return false;
    *value = read;
    return true;
}

/* Length of the well-formed character at `at`, or 0 (RFC 3629, table of section 4). */
static size_t character_length(const unsigned char *at, size_t left) {
    unsigned char c = at[0];
    if (c == 0) return 0;
    if (c < 0x80) return 1;
    size_t length = c >= 0xF0 ? 4 : c >= 0xE0 ? 3 : 2;
    if (c < 0xC2 || c > 0xF4 || left < length) return 0;
    for (size_t i = 1; i < length; i++)
        if ((at[i] & 0xC0) != 0x80) return 0;
    if (c == 0xE0 && at[1] < 0xA0) return 0; /* overlong */
    if (c == 0xED && at[1] > 0x9F) return 0; /* surrogate */
    if (c == 0xF0 && at[1] < 0x90) return 0; /* overlong */
    if (c == 0xF4 && at[1] > 0x8F) return 0; /* above U+10FFFF */
    return length;
}

bool text_is_utf8(const char *bytes, size_t length) {
    const unsigned char *at = (const unsigned char *)bytes;
    for (size_t i = 0; i < length;) {
        size_t step = character_length(at + i, length - i);
        if (step == 0) return false;
        i += step;
    }
    return true;
}

void text_cut_utf8(char *bytes, size_t limit) {
    if (strlen(bytes) <= limit) {
        /* The text may already have been cut inside a character at the very end. */
        limit = strlen(bytes);
    }
    size_t start = limit;
    while (start > 0 && ((unsigned char)bytes[start - 1] & 0xC0) == 0x80) start--;
    if (start == 0) {
        bytes[limit] = '\0';
        return;
    }
    size_t step = character_length((const unsigned char *)bytes + start - 1, limit - (start - 1));
    bytes[step == limit - (start - 1) ? limit : start - 1] = '\0';
}

enum { WORD_MAX = 40 };

/* Levenshtein distance with one row; both words at most WORD_MAX long. */
static size_t edit_distance(const char *a, const char *b) {
    size_t row[WORD_MAX + 1], m = strlen(a), n = strlen(b);
    for (size_t j = 0; j <= n; j++) row[j] = j;
    for (size_t i = 1; i <= m; i++) {
        size_t diagonal = row[0];
        row[0] = i;
        for (size_t j = 1; j <= n; j++) {
            size_t change = diagonal + (tolower((unsigned char)a[i - 1]) != tolower((unsigned char)b[j - 1]));
            size_t drop = row[j] + 1, insert = row[j - 1] + 1;
            diagonal = row[j];
            row[j] = change < drop ? change : drop;
            if (insert < row[j]) row[j] = insert;
        }
    }
    return row[n];
}

int text_nearest(const char *wrong, const char *const words[], size_t count) {
    size_t length = strlen(wrong), allowed = length / 3 > 2 ? length / 3 : 2, best = allowed + 1;
    int found = -1;
    if (length > WORD_MAX) return -1;
    for (size_t i = 0; i < count; i++) {
        if (strlen(words[i]) > WORD_MAX) continue;
        size_t distance = edit_distance(wrong, words[i]);
        if (distance < best && distance < length) {
            best = distance;
            found = (int)i;
        }
    }
    return found;
}

void text_add_escaped(text *t, const char *more) {
    static const char unreserved[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~";
    for (const char *c = more; *c; c++)
        if (strchr(unreserved, *c))
            text_add_bytes(t, c, 1);
        else
            text_print(t, "%%%02X", (unsigned)(unsigned char)*c);
}
