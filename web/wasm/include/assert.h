/* assert.h - for the browser build: built with NDEBUG's meaning. */
#ifndef STANCH_WASM_ASSERT_H
#define STANCH_WASM_ASSERT_H
#define assert(condition) ((void)0)
#endif
