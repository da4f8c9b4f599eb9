/* mem.h - all allocation of the program, so that tests can make any one of it fail; and arenas.
 *
 * Sizes are count times size and are checked for overflow here, never multiplied by hand elsewhere.
 * An arena owns everything that lives as long as one job or one request and is freed at one stroke.
 * Threads  mem_* may be called from any thread; an arena belongs to one thread; the failure hook is for
 * tests. */
#ifndef STANCH_CORE_MEM_H
#define STANCH_CORE_MEM_H

#include <stddef.h>

void *mem_get(size_t count, size_t size);  /* uninitialised; NULL without memory; count 0 gives one byte */
void *mem_zero(size_t count, size_t size); /* zeroed */
void *mem_grow(void *old, size_t count, size_t size); /* realloc; on NULL the old block stays the caller's */
char *mem_copy_text(const char *text);                /* a copy; NULL without memory */
void mem_free(void *block);                           /* NULL is fine */

/* malloc, realloc and free with their usual shapes, for libraries that take hooks (jansson, SQLite). */
void *mem_malloc(size_t bytes);
void *mem_realloc(void *old, size_t bytes);

/* Tests: the n-th allocation from now (0 = the next) fails, and all after it while `sticky`; a negative n
 * ends it. */
void mem_fail_at(long n, int sticky);
long mem_count(void); /* allocations since the program began */

typedef struct arena arena;

arena *arena_new(void);                               /* NULL without memory */
void arena_free(arena *a);                            /* NULL is fine */
void *arena_get(arena *a, size_t count, size_t size); /* zeroed, aligned for any type; NULL without memory */
char *arena_copy(arena *a, const char *text);         /* NULL without memory, or when text is NULL */
char *arena_print(arena *a, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Append one zeroed element to an array in the arena: returns the array, perhaps moved, with *n one larger;
 * NULL without memory (array and *n as before). Capacity is the power of two at or above *n, so an array
 * grown this way must be grown only this way. */
void *arena_push(arena *a, void *array, size_t *n, size_t size);

#endif
