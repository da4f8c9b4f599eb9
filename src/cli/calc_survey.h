/* calc_survey.h - the survey's own objects as fields of a calculation: read by the readers of an import, which refuse what an
 * import refuses.
 *
 * Each is the `read` of a CALC_CUSTOM field; `custom` then points to a survey_site, survey_face, survey_defect or, of
 * methods, a METHOD_BIT set. Of a truth, `word` is 0 or 1.   Threads  no shared state. */
#ifndef STANCH_CLI_CALC_SURVEY_H
#define STANCH_CLI_CALC_SURVEY_H

#include "cli/calc_table.h"

bool calc_read_site(json_in *in, const json_path *at, json_t *value,
                    calc_value *out); /* what is not given is as in a new job */
bool calc_read_face(json_in *in, const json_path *at, json_t *value, calc_value *out);
bool calc_read_defect(json_in *in, const json_path *at, json_t *value, calc_value *out);
bool calc_read_methods(json_in *in, const json_path *at, json_t *value, calc_value *out);
bool calc_read_truth(json_in *in, const json_path *at, json_t *value, calc_value *out);

#endif
