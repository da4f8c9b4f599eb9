/* stdlib.h - for the browser build. */
#ifndef STANCH_WASM_STDLIB_H
#define STANCH_WASM_STDLIB_H
double strtod(const char *from, char **end); /* print.c: plain decimals, as %.*f wrote them */
#endif
