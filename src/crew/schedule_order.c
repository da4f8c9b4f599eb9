#include "crew/schedule_order.h"

#include <string.h>

enum { INDEX_BITS = 20, PART_SHIFT = 48, INSERTION_MOST = 160 };
#define INDEX_MASK ((UINT64_C(1) << INDEX_BITS) - 1)

uint64_t random_next(random_source *r) {
    uint64_t z = r->state += UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

int random_below(random_source *r, int n) {
    return (int)(((random_next(r) >> 32) * (uint64_t)n) >> 32);
}

double random_unit(random_source *r) {
    return (double)(random_next(r) >> 11) * 0x1p-53;
}

bool order_open(order_maker *o, const model *m, arena *memory) {
    size_t n = (size_t)m->n_blocks;
    *o = (order_maker){.n = m->n_blocks};
    o->keys = arena_get(memory, n, sizeof *o->keys);
    o->heap = arena_get(memory, n, sizeof *o->heap);
    o->waits = arena_get(memory, n, sizeof *o->waits);
    o->weight = arena_get(memory, n, sizeof *o->weight);
    return o->keys && o->heap && o->waits && o->weight;
}

void order_key(order_maker *o, int block, int part, int key) {
    o->keys[block] = (uint64_t)part << PART_SHIFT | (uint64_t)key << INDEX_BITS | (uint64_t)block;
}

static void push(order_maker *o, uint64_t key) {
    int at = o->n_heap++;
    while (at > 0 && o->heap[(at - 1) / 2] > key) {
        o->heap[at] = o->heap[(at - 1) / 2];
        at = (at - 1) / 2;
    }
    o->heap[at] = key;
}

static uint64_t pop(order_maker *o) {
    uint64_t top = o->heap[0], last = o->heap[--o->n_heap];
    int at = 0;
    for (;;) {
        int child = 2 * at + 1;
        if (child >= o->n_heap) break;
        if (child + 1 < o->n_heap && o->heap[child + 1] < o->heap[child]) child++;
        if (o->heap[child] >= last) break;
        o->heap[at] = o->heap[child];
        at = child;
    }
    o->heap[at] = last;
    return top;
}

static void count_waits(order_maker *o, const model *m) {
    for (int b = 0; b < m->n_blocks; b++) {
        o->waits[b] = 0;
        for (int t = m->block_first[b]; t < m->block_first[b + 1]; t++)
            for (int a = m->before_first[t]; a < m->before_first[t + 1]; a++)
                o->waits[b] += m->block_of[m->before[a].task] != b;
    }
}

/* Tell all that waited for it; those that wait no more are given to `ready`. */
typedef void ready_call(order_maker *o, int block, void *to);

static void release(order_maker *o, const model *m, int block, ready_call *ready, void *to) {
    for (int t = m->block_first[block]; t < m->block_first[block + 1]; t++)
        for (int a = m->behind_first[t]; a < m->behind_first[t + 1]; a++) {
            int behind = m->block_of[m->behind[a].task];
            if (behind != block && --o->waits[behind] == 0) ready(o, behind, to);
        }
}

static void push_ready(order_maker *o, int block, void *to) {
    (void)to;
    push(o, o->keys[block]);
}

void order_make(order_maker *o, const model *m, int *order) {
    count_waits(o, m);
    o->n_heap = 0;
    for (int b = 0; b < m->n_blocks; b++)
        if (o->waits[b] == 0) push(o, o->keys[b]);
    for (int i = 0; i < m->n_blocks; i++) {
        order[i] = (int)(pop(o) & INDEX_MASK);
        release(o, m, order[i], push_ready, NULL);
    }
}

/* ---- by chance ---- */

/* Latest start by the tails alone: less is more urgent. */
static int urgency(const model *m, int block) {
    int longest = 0;
    for (int t = m->block_first[block]; t < m->block_first[block + 1]; t++)
        if (m->tail[t] > longest) longest = m->tail[t];
    return longest;
}

static void add_ready(order_maker *o, int block, void *to) {
    int *list = to;
    list[o->n_heap++] = block;
}

/* Regret-based biased sampling (Drexl 1991): chance in proportion to 1 + by how much a block is more urgent than the least
 * urgent that could come. The list of the ready stands at the end of `order`'s room, in the heap's. */
void order_sample(order_maker *o, const model *m, random_source *r, bool latest, int *order) {
    int *ready = (int *)(void *)o->heap;
    count_waits(o, m);
    o->n_heap = 0;
    for (int b = 0; b < m->n_blocks; b++)
        if (o->waits[b] == 0) add_ready(o, b, ready);
    for (int i = 0; i < m->n_blocks; i++) {
        int at = 0;
        if (latest) {
            int least = INT32_MAX;
            double sum = 0;
            for (int k = 0; k < o->n_heap; k++) {
                int u = urgency(m, ready[k]);
                o->weight[k] = u;
                if (u < least) least = u;
            }
            for (int k = 0; k < o->n_heap; k++) sum += o->weight[k] += 1 - least;
            double mark = random_unit(r) * sum;
            while (at < o->n_heap - 1 && mark >= o->weight[at]) mark -= o->weight[at++];
        } else {
            at = random_below(r, o->n_heap);
        }
        order[i] = ready[at];
        ready[at] = ready[--o->n_heap];
        release(o, m, order[i], add_ready, ready);
    }
}

void order_like(order_maker *o, const model *m, const int *start, int *order) {
    for (int b = 0; b < m->n_blocks; b++) {
        int least = INT32_MAX;
        for (int t = m->block_first[b]; t < m->block_first[b + 1]; t++)
            if (start[m->task[t]] < least) least = start[m->task[t]];
        least /= m->step_minutes;
        order_key(o, b, 0, least < 0 ? 0 : least > SCHEDULE_MOST_STEPS ? SCHEDULE_MOST_STEPS : least);
    }
    order_make(o, m, order);
}
