/* text.h - growing text, numbers as text, UTF-8, and the nearest right word.
 *
 * The program never calls setlocale, so printf and strtod speak the "C" locale. Threads  no shared state. */
#ifndef STANCH_CORE_TEXT_H
#define STANCH_CORE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* A text that grows. Start with {0}. After a failed allocation `failed` stays true and appends do nothing, so
 * a writer checks once at its end. */
typedef struct {
    char *bytes; /* NUL-terminated once anything was added; owned */
    size_t length, size;
    bool failed;
} text;

void text_add(text *t, const char *more);
void text_add_bytes(text *t, const char *more, size_t length);
void text_print(text *t, const char *format, ...) __attribute__((format(printf, 2, 3)));
void text_add_escaped(text *t,
                      const char *more); /* percent-encoded as a part of a URL (RFC 3986 unreserved stay) */
void text_free(text *t);                 /* frees the bytes and sets t to {0} */
const char *text_get(const text *t);     /* "" when empty */

enum { TEXT_NUMBER = 32 };
/* The shortest decimal that strtod reads back as exactly `value` (finite). Returns `into`. -0 is written as
 * 0. */
char *text_number(double value, char into[TEXT_NUMBER]);

/* True when the whole of `from` is a finite decimal number; *value receives it. No hex, no "inf", no "nan".
 */
bool text_to_number(const char *from, double *value);

/* True when `bytes` is well-formed UTF-8 without NUL. */
bool text_is_utf8(const char *bytes, size_t length);

/* Shorten a text in place to at most `limit` bytes without cutting a character. */
void text_cut_utf8(char *bytes, size_t limit);

/* Index of the word nearest to `wrong` by edit distance, or -1 when none is near enough (over a third of its
 * length, at least 2 edits allowed). */
int text_nearest(const char *wrong, const char *const words[], size_t count);

#endif
