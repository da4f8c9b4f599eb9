/* print.h - text without a C library, for the browser build: what core/fault, core/text and stdio.h promise to the
 * sources that are built there (core/limits, core/units, takeoff/mix, takeoff/left).
 *
 * A number is rounded to the nearest decimal, ties to even, as printf does; exact for 0 and from 2^-11 to 2^63,
 * outside of which digits past 2^-64 are dropped and larger numbers written as "a very large number". */
#ifndef STANCH_WASM_PRINT_H
#define STANCH_WASM_PRINT_H

#include <stdarg.h>
#include <stddef.h>

/* As vsnprintf, for %s, %d, %.*f and %%. Returns the bytes written, cut at size - 1. */
int print_list(char *into, size_t size, const char *format, va_list args);

#endif
