/* edit.h - change single objects of a job that other people may change too; and the survey as the editor reads it.
 *
 * Model  Whoever edits has seen a survey with the hash of each object (survey/object.h). An edit names objects by kind
 *   and key, each with the hash that was seen (`before`; null: there was none) and the whole new object (`after`; null:
 *   remove it). docs/page.md "Edit" is the contract of the JSON. In one transaction: load, compare the hashes, apply,
 *   check the whole survey and that it can be planned, save, log, commit: all or nothing.
 * Conflict  an object whose hash is not `before` was changed by somebody else: nothing is written and the present
 *   object goes out. If it is what the edit wants already (an answer was lost on its way and the edit came again), it is
 *   no conflict and nothing is to do.
 * Order  of objects stays. A new object goes to the place of one of its kind that the same call removes (a new name for
 *   an object is its removal and an addition), else to the end.
 * Removal  of a defect takes the answers about it along (the log names them). Of a face that folds or defects name, or
 *   of a material, rate or price that every job has, is refused with a sentence.
 * Errors  as ops.h. E_INPUT: `faults` has them all. E_STATE with out->conflict: as above.
 * Threads  one call a job file and thread. */
#ifndef STANCH_OPS_EDIT_H
#define STANCH_OPS_EDIT_H

#include "ops/ops.h"

enum { EDIT_CHANGES_MOST = 10000 };

typedef struct {
    long long revision; /* of the job afterwards */
    text hashes;   /* JSON: hashes of what was changed, as in ops_survey_json; null for what was removed */
    bool conflict; /* then: */
    text now;      /* JSON: {"what","key","now":{object} or null,"hash":h or null} */
} ops_edit_result;
void ops_edit_result_free(ops_edit_result *result); /* {0} is fine */

typedef struct {
    const char *json; /* {"changes": [{"what","key","before","after"}, ...]} */
    size_t length;
} ops_edit_request;

/* *out is the caller's in every case. */
status ops_edit(const char *path, const ops_edit_request *request, const ops_actor *actor,
                ops_edit_result *out, fault_list *faults, fault *why);

/* Append {"revision","survey","hashes","underlays"}: one state of the job. */
status ops_survey_json(const char *path, long long *revision, text *out, fault *why);

#endif
