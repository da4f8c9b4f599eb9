/* write_json.h - a whole survey as JSON in the job's units, one station or point list a line.
 *
 * What survey_read_json reads; members not given are left out. The same survey gives the same bytes, and
 * numbers typed in the job's units come out as typed. Threads  no shared state. */
#ifndef STANCH_SURVEY_WRITE_JSON_H
#define STANCH_SURVEY_WRITE_JSON_H

#include "core/text.h"
#include "survey/survey.h"

/* Appends to `to`; without memory to->failed is set. */
void survey_write_json(const survey *s, text *to);

/* One defect as it stands in "defects", on its own (for hashes and for `stanch calc method`). */
void survey_write_defect_json(const survey *s, const survey_defect *d, text *to);

#endif
