/* read_json.h - the survey as JSON, read and merged into a job.
 *
 * {"stanch_survey": 1, "units": "metric"|"us", "site": {}, "faces": [], "folds": [], "defects": [],
 *  "materials": [], "rates": [], "prices": [], "answers": []}; all but the first two may be left out. `units`
 * chooses the suffixes of the quantities of this document ("width_mm" or "width_in"); coordinates are [u, v]
 * in m or ft. docs/survey.schema.json describes it field by field.
 *
 * Merging  Site fields given replace; faces, materials, rates and prices are replaced whole by id, defects by
 *   mark, or else appended; folds and answers are appended unless an equal one is there.
 * Faults  All are listed with source, path, value and limit. After a fault the survey is half merged: the
 *   caller throws it away (all or nothing is the caller's, as several files may make one import).
 * Threads  no shared state. */
#ifndef STANCH_SURVEY_READ_JSON_H
#define STANCH_SURVEY_READ_JSON_H

#include "survey/survey.h"

/* Read `length` bytes into `into`. `source` is the file's name for faults and origins. True when this file
 * added no fault. */
bool survey_read_json(survey *into, const char *source, const char *bytes, size_t length, fault_list *faults);

#endif
