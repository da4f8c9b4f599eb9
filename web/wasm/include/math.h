/* math.h - for the browser build: only what core/units.c and core/limits.c name. */
#ifndef STANCH_WASM_MATH_H
#define STANCH_WASM_MATH_H
#define HUGE_VAL __builtin_inf()
#define isfinite(x) __builtin_isfinite(x)
double nextafter(double from, double to); /* never linked */
#endif
