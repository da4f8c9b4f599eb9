#include "core/mem.h"

#include <stdalign.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static atomic_long allocations;
static atomic_long fail_number = -1; /* absolute number of the allocation that fails */
static atomic_int fail_sticky;

static int must_fail(void) {
    long number = atomic_fetch_add(&allocations, 1);
    long target = atomic_load(&fail_number);
    if (target < 0) return 0;
    return number == target || (number > target && atomic_load(&fail_sticky));
}

void mem_fail_at(long n, int sticky) {
    atomic_store(&fail_sticky, sticky);
    atomic_store(&fail_number, n < 0 ? -1 : atomic_load(&allocations) + n);
}

long mem_count(void) {
    return atomic_load(&allocations);
}

void *mem_malloc(size_t bytes) {
    return must_fail() ? NULL : malloc(bytes ? bytes : 1);
}

void *mem_realloc(void *old, size_t bytes) {
    return must_fail() ? NULL : realloc(old, bytes ? bytes : 1);
}

static int overflows(size_t count, size_t size) {
    return size != 0 && count > SIZE_MAX / 2 / size;
}

void *mem_get(size_t count, size_t size) {
    return overflows(count, size) ? NULL : mem_malloc(count * size);
}

void *mem_zero(size_t count, size_t size) {
    if (overflows(count, size) || must_fail()) return NULL;
    return calloc(count ? count : 1, size ? size : 1);
}

void *mem_grow(void *old, size_t count, size_t size) {
    return overflows(count, size) ? NULL : mem_realloc(old, count * size);
}

char *mem_copy_text(const char *text) {
    size_t bytes = strlen(text) + 1;
    char *copy = mem_malloc(bytes);
    return copy ? memcpy(copy, text, bytes) : NULL;
}

void mem_free(void *block) {
    free(block);
}

/* An arena is a chain of blocks; small requests are cut from the newest, large ones get a block of their own.
 */
typedef struct block {
    struct block *older;
    size_t used, size;
    alignas(max_align_t) unsigned char bytes[];
} block;

struct arena {
    block *newest;
};

enum { BLOCK_BYTES = 32 * 1024 };

arena *arena_new(void) {
    return mem_zero(1, sizeof(arena));
}

void arena_free(arena *a) {
    if (!a) return;
    for (block *b = a->newest; b;) {
        block *older = b->older;
        mem_free(b);
        b = older;
    }
    mem_free(a);
}

static block *add_block(arena *a, size_t bytes) {
    block *b = mem_malloc(sizeof *b + bytes);
    if (!b) return NULL;
    b->used = 0;
    b->size = bytes;
    b->older = a->newest;
    a->newest = b;
    return b;
}

void *arena_get(arena *a, size_t count, size_t size) {
    const size_t align = alignof(max_align_t);
    if (overflows(count, size)) return NULL;
    size_t bytes = (count * size + align - 1) / align * align;
    block *b = a->newest;
    if (!b || b->size - b->used < bytes) {
        b = add_block(a, bytes > BLOCK_BYTES ? bytes : BLOCK_BYTES);
        if (!b) return NULL;
    }
    void *at = b->bytes + b->used;
    b->used += bytes;
    return memset(at, 0, bytes);
}

char *arena_copy(arena *a, const char *text) {
    if (!text) return NULL;
    size_t bytes = strlen(text) + 1;
    char *copy = arena_get(a, bytes, 1);
    return copy ? memcpy(copy, text, bytes) : NULL;
}

char *arena_print(arena *a, const char *format, ...) {
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int length = vsnprintf(NULL, 0, format, args);
    va_end(args);
    char *text = length < 0 ? NULL : arena_get(a, (size_t)length + 1, 1);
    if (text) vsnprintf(text, (size_t)length + 1, format, again);
    va_end(again);
    return text;
}

void *arena_push(arena *a, void *array, size_t *n, size_t size) {
    size_t count = *n;
    int full = (count & (count - 1)) == 0; /* 0, 1, 2, 4, 8 ...: the capacity is used up */
    if (full) {
        void *moved = arena_get(a, count ? 2 * count : 1, size);
        if (!moved) return NULL;
        if (count) memcpy(moved, array, count * size);
        array = moved;
    }
    *n = count + 1;
    return array;
}
