/* stdio.h - for the browser build: print.c has the few conversions that are used. */
#ifndef STANCH_WASM_STDIO_H
#define STANCH_WASM_STDIO_H
#include <stddef.h>
/* %s, %d, %.*f and %%; any other conversion ends the text there. */
int snprintf(char *into, size_t size, const char *format, ...) __attribute__((format(printf, 3, 4)));
#endif
