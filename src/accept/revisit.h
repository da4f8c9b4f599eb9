/* revisit.h - when a repair is looked at again: 24 h, 7 d, 28 d after hand-over, and after the next high water.
 *
 * Model  day 0 is the date of the first proof that keeps its class (else none is due); a look is done by a later record `proof` of
 *   that leak on or after its day, whatever it found. The next high water is the date that the site tells; untold, or not after
 *   day 0, it waits without a date.
 * Source  trade/acceptance.md 4, our default.   Threads  no shared state. */
#ifndef STANCH_ACCEPT_REVISIT_H
#define STANCH_ACCEPT_REVISIT_H

#include "accept/proof.h"

typedef enum { REVISIT_24H, REVISIT_7D, REVISIT_28D, REVISIT_HIGH_WATER, REVISITS } revisit_kind;
extern const char *const revisit_words[REVISITS]; /* 24 h, 7 d, 28 d, high water */
typedef enum { REVISIT_WAITING, REVISIT_DUE, REVISIT_OVERDUE, REVISIT_DONE, REVISIT_STATES } revisit_state;
extern const char *const revisit_state_words[REVISIT_STATES];

typedef struct {
    const char *mark;
    revisit_kind kind;
    const char *on; /* date; NULL: not known */
    revisit_state state;
    const record *done; /* by which; NULL */
    bool dry;           /* done: the class was kept */
    bool proves;        /* done: kept or broken; false: the water stood low, or too little was looked at */
} revisit;

/* By date, then leak. `today`: YYYY-MM-DD. */
status revisit_list(const plan *p, const proof_leak *proofs, const char *today, arena *memory, revisit **out,
                    size_t *n, fault *why);

#endif
