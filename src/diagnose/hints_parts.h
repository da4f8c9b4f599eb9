/* hints_parts.h - how the rules of the hints speak; only for src/diagnose. */
#ifndef STANCH_DIAGNOSE_HINTS_PARTS_H
#define STANCH_DIAGNOSE_HINTS_PARTS_H

#include "diagnose/hints_view.h"

typedef struct {
    const hints_view *v;
    hint all[CAUSE_COUNT];
    bool failed; /* no memory */
} hints_book;

/* A sentence for or against a cause, printed into the arena. */
void hints_for(hints_book *b, hints_cause cause, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
void hints_against(hints_book *b, hints_cause cause, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Rules of what a crack does (hints_crack.c) and of where the leak lies (hints_place.c). */
void hints_shrinkage(hints_book *b);
void hints_settlement(hints_book *b);
void hints_thermal(hints_book *b);
void hints_joint(hints_book *b);
void hints_points(hints_book *b); /* tie, penetration, honeycomb */

#endif
