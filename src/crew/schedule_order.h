/* schedule_order.h - orders of the blocks: by keys, by chance, like an earlier plan; only for src/crew.
 *
 * An order never has a block before one that it waits for. By keys: least key first among the blocks that may come; where
 * every block is one task and the keys come from plans, that is the order of the keys.
 * Random numbers  SplitMix64 (Steele, Lea and Flood 2014; constants from memory). */
#ifndef STANCH_CREW_SCHEDULE_ORDER_H
#define STANCH_CREW_SCHEDULE_ORDER_H

#include "crew/schedule_model.h"

typedef struct {
    uint64_t state;
} random_source;

uint64_t random_next(random_source *r);
int random_below(random_source *r, int n); /* 0 to n - 1, n >= 1 */
double random_unit(random_source *r);      /* 0 to below 1 */

typedef struct {
    uint64_t *keys, *heap; /* one a block; key over index */
    int *waits;
    double *weight;
    int n, n_heap;
} order_maker;

bool order_open(order_maker *o, const model *m, arena *memory); /* false without memory */

/* Set a block's key: `part` 0 to 3 before `key`, 0 to SCHEDULE_MOST_STEPS. */
void order_key(order_maker *o, int block, int part, int key);

void order_make(order_maker *o, const model *m, int *order);

/* By chance; `latest`: the less time a block has to its latest finish, the likelier it comes early. */
void order_sample(order_maker *o, const model *m, random_source *r, bool latest, int *order);

/* By the starts of an earlier plan (minutes, one a task of the problem). */
void order_like(order_maker *o, const model *m, const int *start, int *order);

#endif
