#include "crew/schedule_place.h"

/* The blocks that wait for nothing but room, in a heap: by the moment at which they may start, then by their place in the
 * order. Room only becomes less, so the start that was found for a block is a moment before which it need not be tried. */
typedef struct {
    const int *order;
    int *place; /* of a block in the order */
    int *waits; /* arcs from blocks not yet placed */
    uint64_t *heap;
    int n;
} queue;

enum { PLACE_BITS = 32 };

static void push(queue *q, int moment, int place) {
    uint64_t key = (uint64_t)moment << PLACE_BITS | (uint64_t)place;
    int at = q->n++;
    for (; at > 0 && q->heap[(at - 1) / 2] > key; at = (at - 1) / 2) q->heap[at] = q->heap[(at - 1) / 2];
    q->heap[at] = key;
}

static uint64_t pop(queue *q) {
    uint64_t top = q->heap[0], last = q->heap[--q->n];
    int at = 0;
    for (int child = 1; child < q->n; child = 2 * at + 1) {
        if (child + 1 < q->n && q->heap[child + 1] < q->heap[child]) child++;
        if (q->heap[child] >= last) break;
        q->heap[at] = q->heap[child];
        at = child;
    }
    q->heap[at] = last;
    return top;
}

static void count_waits(const model *m, queue *q) {
    for (int b = 0; b < m->n_blocks; b++) q->place[q->order[b]] = b;
    for (int t = 0; t < m->n; t++)
        for (int a = m->before_first[t]; a < m->before_first[t + 1]; a++)
            q->waits[m->block_of[t]] += m->block_of[m->before[a].task] != m->block_of[t];
    for (int b = 0; b < m->n_blocks; b++)
        if (q->waits[b] == 0) push(q, 0, q->place[b]);
}

static void release(const model *m, queue *q, int block, int now) {
    for (int t = m->block_first[block]; t < m->block_first[block + 1]; t++)
        for (int a = m->behind_first[t]; a < m->behind_first[t + 1]; a++) {
            int to = m->block_of[m->behind[a].task];
            if (to != block && --q->waits[to] == 0) push(q, now, q->place[to]);
        }
}

static int first_start(const generator *g, int block) {
    int least = INT32_MAX;
    for (int t = g->m->block_first[block]; t < g->m->block_first[block + 1]; t++)
        if (g->start[t] < least) least = g->start[t];
    return least;
}

static place_state run(generator *g, queue *q) {
    count_waits(g->m, q);
    while (q->n > 0) {
        uint64_t top = pop(q);
        int now = (int)(top >> PLACE_BITS), place = (int)(top & UINT32_MAX), block = q->order[place];
        place_state state = place_block(g, block, now);
        if (state != PLACED) return state;
        int begins = first_start(g, block);
        if (begins > now) {
            place_remove(g, block);
            push(q, begins, place);
            continue;
        }
        place_count(g, block);
        release(g->m, q, block, now);
    }
    return PLACED;
}

place_state generator_parallel(generator *g, const int *order) {
    size_t n = (size_t)g->m->n_blocks;
    queue q = {.order = order};
    q.place = mem_zero(n, sizeof *q.place);
    q.waits = mem_zero(n, sizeof *q.waits);
    q.heap = mem_zero(n, sizeof *q.heap);
    place_begin(g);
    place_state state = q.place && q.waits && q.heap ? run(g, &q) : PLACE_NO_MEMORY;
    mem_free(q.place);
    mem_free(q.waits);
    mem_free(q.heap);
    return state;
}
