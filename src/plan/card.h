/* card.h - how a step card is written; only for src/plan. One file for each kind of work: a slot and what fills it, resin
 * through ports, a flexible seal or a drain.
 * Texts are in the plan's arena; a body of NULL is memory that was not there.   Threads  as plan.h. */
#ifndef STANCH_PLAN_CARD_H
#define STANCH_PLAN_CARD_H

#include "plan/parts.h"

typedef struct {
    plan *p;
    size_t leak;
    plan_card *card;
    fault *why;
} card_writing;

status card_step(card_writing *w, const char *code, bool hold, const char *title, const char *body);
void card_timer(card_writing *w, const char *what, double seconds); /* of the last step */
status card_caution(card_writing *w, const char *sentence);
/* Of each tool of the steps written so far: against dust its control, and the respirator at the job's place (exposure.h). */
status card_dust(card_writing *w);

/* The hold point before anything is cut or drilled; `more` is said after it. */
status card_scan(card_writing *w, const char *title, const char *more);
/* The last step of every repair; `first`: what is looked at besides, ending with a space, or "". */
status card_prove(card_writing *w, const char *first);

/* All steps of a method, and its cautions. */
status card_of_slot(card_writing *w); /* slot, hole, ring, cut back, coat: card_slot.c */
status card_slot_cautions(card_writing *w);
status card_of_injection(card_writing *w); /* card_inject.c */
status card_injection_cautions(card_writing *w);
status card_of_flexible(card_writing *w); /* card_ways.c */
status card_flexible_cautions(card_writing *w);
status card_of_drain(card_writing *w);
status card_drain_cautions(card_writing *w);

#endif
