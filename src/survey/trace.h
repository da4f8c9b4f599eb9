/* trace.h - places along a defect's trace: length, and the point, face and elevation at a chainage.
 * Chainage runs through the parts one after another. Threads  no shared state. */
#ifndef STANCH_SURVEY_TRACE_H
#define STANCH_SURVEY_TRACE_H

#include "survey/survey.h"

typedef struct {
    const survey_face *face;
    size_t part;
    survey_point at;
    double elevation_m; /* of the dry face */
} trace_place;

double trace_length_m(const survey_defect *d); /* 0 for points and areas */

/* The place at `chainage_m`, held within the trace. At a joint of two parts the later part answers. For a
 * point or area: its first point. False when the face is not in the job. */
bool trace_at(const survey *s, const survey_defect *d, double chainage_m, trace_place *out);

/* Lowest elevation of the dry face between two chainages. */
bool trace_lowest(const survey *s, const survey_defect *d, double from_m, double to_m, double *out_m);

double survey_elevation_m(const survey_face *face, survey_point at);

/* Water behind a face: its own level, else the site's. `design` not given: the retained top, else the highest
 * point of any wall face, KNOWN_ASSUMED (trade rule 1; BS 8102:2009: assume water to full retained height).
 * `today` not given: the design level. False when nothing at all is known (no wall, no level). */
bool survey_level_today(const survey *s, const survey_face *face, double *level_m, survey_known *known);
bool survey_level_design(const survey *s, const survey_face *face, double *level_m, survey_known *known);

#endif
