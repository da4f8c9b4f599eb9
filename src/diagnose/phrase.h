/* phrase.h - numbers of a sentence in the job's units; only for src/diagnose.
 * "" stands in without memory: the caller's own print then fails too. */
#ifndef STANCH_DIAGNOSE_PHRASE_H
#define STANCH_DIAGNOSE_PHRASE_H

#include "core/mem.h"
#include "core/units.h"

typedef struct {
    arena *memory;
    units_system system;
} phrase;

const char *phrase_width(const phrase *p, double m);        /* 0.110 mm | 0.0043 in: widths and movements */
const char *phrase_signed_width(const phrase *p, double m); /* +0.110 mm | +0.0043 in */
const char *phrase_limit(const phrase *p, double m);  /* 0.1 mm | 0.004 in: limits told with one figure */
const char *phrase_size(const phrase *p, double m);   /* 37 mm | 1.46 in */
const char *phrase_length(const phrase *p, double m); /* 3.60 m | 11.81 ft */
const char *phrase_per_degree(const phrase *p, double m_per_k); /* 0.0120 mm a kelvin | 0.00026 in a °F */
const char *phrase_flow_day(const phrase *p, double m3_s);      /* 2.5 l a day | 0.66 gal a day */
const char *phrase_flow(const phrase *p, double m3_s); /* 0.05 l a day, 432 l a day, 1.7 l/min | in gal */

#endif
