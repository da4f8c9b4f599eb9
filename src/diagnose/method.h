/* method.h - the first choice of method, by a table that a person can read (method.c).
 * Sources  trade page diagnosis.md 4 in the words of EM 1110-2-2002 ch. 4 (sequence) and common practice;
 * each row says which. The table is walked from the top; the first row that fits decides.   Threads  no
 * shared state. */
#ifndef STANCH_DIAGNOSE_METHOD_H
#define STANCH_DIAGNOSE_METHOD_H

#include "diagnose/finding.h"

typedef enum {
    METHOD_SLOT_PLUG, /* slot, plug, coat, pack, coat */
    METHOD_SLOT_PACK, /* slot, coat, pack, coat: no running water */
    METHOD_COAT,      /* coat only */
    METHOD_HOLE,      /* tie hole: drilled clean, plugged, packed, coated */
    METHOD_RING,      /* ring slot round a pipe */
    METHOD_CUT_BACK,  /* honeycomb cut back to sound concrete, packed, coated */
    METHOD_FLEXIBLE,  /* rout and flexible seal */
    METHOD_WATCH,     /* leave and watch */
    METHOD_ENGINEER,  /* no design until a named person has answered */
    METHOD_COUNT
} method_name;
extern const char *const method_words[METHOD_COUNT]; /* "slot and plug", "slot without plug", ... */

typedef struct {
    method_name name, runner_up;
    int row;            /* of the table, from 1 */
    const char *reason; /* of the row */
    const char *basis;  /* source of the row */
    const char *tip;    /* what would change the decision */
} method_choice;

method_choice method_choose(const leak_water *leak, const finding_list *findings);

/* True when this version sizes the method (slots, hole, ring, cut back, coat). */
bool method_is_designed(method_name name);

#endif
