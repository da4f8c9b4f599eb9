/* check.h - does a survey hang together: the rules that join one object to another.
 *
 * Readers refuse values out of range one by one; this looks across objects, after all files of an import have
 * been merged and before anything is stored or planned. Every fault is listed, each with the `origin` of the
 * object (file and path or line), the value and the limit; so a person corrects a file once.
 *
 * Limits (all "our default"): a trace may leave its face by 1 mm; parts of a trace meet at a fold within
 * 10 mm; the two edges of a fold differ by at most 1 mm in length and lie within 1 mm of the outlines; a
 * station or a stretch may lie 10 mm beyond the trace; capacity of a tank and plan area times depth differ by a
 * factor of at most 1.5. Units  SI inside; sentences speak the job's units.
 * Threads  no shared state. */
#ifndef STANCH_SURVEY_CHECK_H
#define STANCH_SURVEY_CHECK_H

#include "survey/survey.h"

#define CHECK_MEET_M 0.01   /* parts of a trace at a fold */
#define CHECK_FOLD_M 0.001  /* fold edges: difference in length, distance from the outline */
#define CHECK_BEYOND_M 0.01 /* stations and stretches past the end of the trace */
#define CHECK_TANK_FACTOR                                                                                    \
    1.5 /* capacity against plan area times depth: sloped floors, columns, rounded figures */

/* Append one sentence to `faults` for each rule broken. True when none was. */
bool survey_check(const survey *s, fault_list *faults);

#endif
