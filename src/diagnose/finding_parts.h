/* finding_parts.h - parts of finding.c; only for src/diagnose. */
#ifndef STANCH_DIAGNOSE_FINDING_PARTS_H
#define STANCH_DIAGNOSE_FINDING_PARTS_H

#include "diagnose/finding.h"
#include "diagnose/phrase.h"

typedef struct {
    const survey *s;
    const leak_water *leak;
    const diagnosis *why_leaks;
    finding_list *list;
    phrase say;
} finding_look;

/* finding_add for the leak in hand, its sentence printed. */
status finding_say(const finding_look *l, finding_level level, const char *code, fault *why,
                   const char *format, ...) __attribute__((format(printf, 5, 6)));

/* Growing, closing, not decided, or told to move but not by how much. */
status finding_of_movement(const finding_look *l, fault *why);

/* Triggers of trade page strength.md 7 that place and size show: width, level crack at mid-height, slanting crack at a
 * corner of two faces, honeycomb past the steel. */
status finding_of_shape(const finding_look *l, fault *why);

#endif
