/* write_dxf.h - the faces of a job with their openings and defects as a DXF plan, side by side at true size.
 *
 * Layers  FACE, OPENING, FOLD, CRACK, JOINT, TIE_HOLE, PENETRATION, HONEYCOMB, STATION, MARK, TITLE.
 * Units  millimetres for a metric job, inches for a US one. Threads  no shared state. */
#ifndef STANCH_SURVEY_WRITE_DXF_H
#define STANCH_SURVEY_WRITE_DXF_H

#include "core/text.h"
#include "survey/survey.h"

/* Appends to `to`; without memory to->failed is set. */
void survey_write_dxf(const survey *s, text *to);

#endif
