/* memo.h - heights of texts already measured: cards are measured before they are placed, in a dry run before
 * they are drawn, and share most of their sentences; shaping a text costs some 50 microseconds, remembering
 * it none. Key  64-bit FNV-1a (Fowler, Noll, Vo) of text, size, weight and width; two different texts sharing
 * one are not to be expected in a document (1e6 texts: about 3e-8).   Without memory it forgets, which costs
 * time and nothing else. Threads  one memo belongs to one thread. */
#ifndef STANCH_REPORT_MEMO_H
#define STANCH_REPORT_MEMO_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct {
    uint64_t key; /* 0: free */
    double height;
} memo_slot;

typedef struct {
    memo_slot *slots; /* a power of two of them */
    size_t size, n;
} memo; /* start with {0} */

uint64_t memo_key(const char *words, double size, bool bold, double width);
bool memo_find(const memo *m, uint64_t key, double *height);
void memo_put(memo *m, uint64_t key, double height);
void memo_free(memo *m);

#endif
