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

/* The widths would pass many times the water that was seen or measured (trade rule 4). */
status finding_of_flow(const finding_look *l, fault *why);

/* A person chose a resin or sealant for a leak in contact with drinking water or a hazardous liquid, and no approval of it is
 * recorded: a STOP of its own. The code names the material, so that its answer approves that one alone; NULL: cement, which
 * is asked about for the site as a whole. */
status finding_of_material(const finding_look *l, fault *why);
const char *finding_approval_code(survey_method method);

/* Triggers of trade page strength.md 7 that place and size show: width, level crack at mid-height, slanting crack at a
 * corner of two faces, honeycomb past the steel. */
status finding_of_shape(const finding_look *l, fault *why);

#endif
