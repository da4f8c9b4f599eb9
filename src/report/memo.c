#include "report/memo.h"

#include "core/mem.h"

#include <string.h>

static uint64_t fold(uint64_t hash, const void *bytes, size_t n) {
    const unsigned char *at = bytes;
    /* The analyser loses the bytes of an array of doubles.
     * NOLINTNEXTLINE(clang-analyzer-core.UndefinedBinaryOperatorResult) */
    for (size_t i = 0; i < n; i++) hash = (hash ^ at[i]) * 1099511628211u;
    return hash;
}

uint64_t memo_key(const char *words, double size, bool bold, double width) {
    double numbers[3] = {size, width, bold ? 1 : 0};
    uint64_t hash = fold(14695981039346656037u, numbers, sizeof numbers);
    hash = fold(hash, words, strlen(words));
    return hash ? hash : 1;
}

/* The slot that holds the key, or the free one where it would go. */
static memo_slot *slot_of(const memo *m, uint64_t key) {
    size_t at = (size_t)key & (m->size - 1);
    while (m->slots[at].key != 0 && m->slots[at].key != key) at = (at + 1) & (m->size - 1);
    return &m->slots[at];
}

bool memo_find(const memo *m, uint64_t key, double *height) {
    if (m->size == 0) return false;
    const memo_slot *slot = slot_of(m, key);
    *height = slot->height;
    return slot->key == key;
}

/* Twice the slots, at most half full. False without memory. */
static bool grow(memo *m) {
    memo wide = {.size = m->size ? m->size * 2 : 1024, .n = m->n};
    wide.slots = mem_zero(wide.size, sizeof *wide.slots);
    if (!wide.slots) return false;
    for (size_t i = 0; i < m->size; i++) {
        if (m->slots[i].key != 0) *slot_of(&wide, m->slots[i].key) = m->slots[i];
    }
    mem_free(m->slots);
    *m = wide;
    return true;
}

void memo_put(memo *m, uint64_t key, double height) {
    if (m->n * 2 >= m->size && !grow(m)) return;
    memo_slot *slot = slot_of(m, key);
    if (slot->key == 0) m->n++;
    *slot = (memo_slot){key, height};
}

void memo_free(memo *m) {
    mem_free(m->slots);
    *m = (memo){0};
}
