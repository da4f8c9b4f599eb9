#include "print.h"

#include "core/fault.h"
#include "core/text.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

typedef struct {
    char *into;
    size_t size, length;
} writing;

static void put(writing *w, char c) {
    if (w->length + 1 < w->size) w->into[w->length++] = c;
}

static void put_text(writing *w, const char *more) {
    while (*more) put(w, *more++);
}

static void put_whole(writing *w, uint64_t value) {
    char digits[20];
    int n = 0;
    do digits[n++] = (char)('0' + (int)(value % 10));
    while ((value /= 10) > 0);
    while (n > 0) put(w, digits[--n]);
}

/* The next decimal digit of a fraction in 2^-64: the whole part of ten times it. */
static int next_digit(uint64_t *fraction) {
    uint64_t low = (*fraction & 0xffffffffu) * 10, high = (*fraction >> 32) * 10 + (low >> 32);
    *fraction = (high << 32) | (low & 0xffffffffu);
    return (int)(high >> 32);
}

/* Adds one to the last of the digits; true when it carried past the first. */
static bool carry(char *digits, int n) {
    while (n > 0 && digits[n - 1] == '9') digits[--n] = '0';
    if (n == 0) return true;
    digits[n - 1]++;
    return false;
}

enum { DECIMALS_MOST = 20 };

static void put_fixed(writing *w, double value, int decimals) {
    if (!(value > -9e18 && value < 9e18)) {
        put_text(w, "a very large number");
        return;
    }
    if (value < 0) put(w, '-');
    double size = value < 0 ? -value : value;
    uint64_t whole = (uint64_t)size;
    uint64_t fraction = (uint64_t)((size - (double)whole) * 18446744073709551616.0); /* 2^64 */
    char digits[DECIMALS_MOST];
    int n = decimals < 0 ? 0 : decimals > DECIMALS_MOST ? DECIMALS_MOST : decimals;
    for (int i = 0; i < n; i++) digits[i] = (char)('0' + next_digit(&fraction));
    const uint64_t half = (uint64_t)1 << 63;
    bool odd = n > 0 ? (digits[n - 1] & 1) : (whole & 1);
    if ((fraction > half || (fraction == half && odd)) && carry(digits, n)) whole++;
    put_whole(w, whole);
    if (n > 0) put(w, '.');
    for (int i = 0; i < n; i++) put(w, digits[i]);
}

int print_list(char *into, size_t size, const char *format, va_list args) {
    writing w = {into, size, 0};
    for (const char *c = format; *c; c++) {
        if (*c != '%') {
            put(&w, *c);
            continue;
        }
        c++;
        if (*c == 's') {
            put_text(&w, va_arg(args, const char *));
        } else if (*c == 'd') {
            int value = va_arg(args, int);
            if (value < 0) put(&w, '-');
            put_whole(&w, value < 0 ? (uint64_t) - (int64_t)value : (uint64_t)value);
        } else if (c[0] == '.' && c[1] == '*' && c[2] == 'f') {
            int decimals = va_arg(args, int);
            put_fixed(&w, va_arg(args, double), decimals);
            c += 2;
        } else if (*c == '%') {
            put(&w, '%');
        } else {
            break;
        }
    }
    if (size > 0) into[w.length] = '\0';
    return (int)w.length;
}

int snprintf(char *into, size_t size, const char *format, ...) {
    va_list args;
    va_start(args, format);
    int length = print_list(into, size, format, args);
    va_end(args);
    return length;
}

/* Only to see whether a printed number is zero (core/units.c). */
double strtod(const char *from, char **end) {
    double sum = 0;
    for (; *from; from++)
        if (*from >= '1' && *from <= '9') sum = 1;
    if (end) *end = NULL;
    return sum;
}

/* Six decimals at most, zeros at the end dropped: for a sentence, not for reading back. */
char *text_number(double value, char into[TEXT_NUMBER]) {
    writing w = {into, TEXT_NUMBER, 0};
    put_fixed(&w, value == 0 ? 0 : value, 6);
    while (w.length > 1 && into[w.length - 1] == '0') w.length--;
    if (w.length > 1 && into[w.length - 1] == '.') w.length--;
    into[w.length] = '\0';
    return into;
}

status fault_set(fault *why, status code, const char *format, ...) {
    if (!why) return code;
    va_list args;
    va_start(args, format);
    why->code = code;
    print_list(why->text, sizeof why->text, format, args);
    va_end(args);
    return code;
}

/* The compiler calls these for large assignments. */
void *memset(void *to, int byte, size_t n);
void *memcpy(void *restrict to, const void *restrict from, size_t n);

void *memset(void *to, int byte, size_t n) {
    for (size_t i = 0; i < n; i++) ((unsigned char *)to)[i] = (unsigned char)byte;
    return to;
}

void *memcpy(void *restrict to, const void *restrict from, size_t n) {
    for (size_t i = 0; i < n; i++) ((unsigned char *)to)[i] = ((const unsigned char *)from)[i];
    return to;
}
