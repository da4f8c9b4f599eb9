#include "survey/names.h"

#include "core/mem.h"

#include <stdint.h>
#include <string.h>

typedef struct {
    const char *name; /* NULL: free */
    size_t at;
} slot;

struct names {
    slot *slots;
    size_t size, used; /* size is a power of two, at least twice `used` */
};

enum { FIRST_SIZE = 64 };

names *names_new(void) {
    names *set = mem_zero(1, sizeof *set);
    if (!set) return NULL;
    set->size = FIRST_SIZE;
    set->slots = mem_zero(set->size, sizeof *set->slots);
    if (set->slots) return set;
    mem_free(set);
    return NULL;
}

void names_free(names *set) {
    if (!set) return;
    mem_free(set->slots);
    mem_free(set);
}

/* FNV-1a, 64 bit (public domain). */
static uint64_t hash(const char *name) {
    uint64_t h = 14695981039346656037u;
    for (; *name; name++) h = (h ^ (unsigned char)*name) * 1099511628211u;
    return h;
}

/* The slot that holds `name`, or the free one where it belongs. */
static slot *find(slot *slots, size_t size, const char *name) {
    size_t at = (size_t)hash(name) & (size - 1);
    while (slots[at].name && strcmp(slots[at].name, name) != 0) at = (at + 1) & (size - 1);
    return &slots[at];
}

static bool grow(names *set) {
    size_t size = 2 * set->size;
    slot *slots = mem_zero(size, sizeof *slots);
    if (!slots) return false;
    for (size_t i = 0; i < set->size; i++)
        if (set->slots[i].name) *find(slots, size, set->slots[i].name) = set->slots[i];
    mem_free(set->slots);
    set->slots = slots;
    set->size = size;
    return true;
}

bool names_put(names *set, const char *name, size_t at) {
    if (2 * (set->used + 1) > set->size && !grow(set)) return false;
    slot *s = find(set->slots, set->size, name);
    if (s->name) return true;
    *s = (slot){name, at};
    set->used++;
    return true;
}

size_t names_find(const names *set, const char *name) {
    const slot *s = find(set->slots, set->size, name);
    return s->name ? s->at : NAMES_NONE;
}
