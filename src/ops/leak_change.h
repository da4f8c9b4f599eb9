/* leak_change.h - change one leak of a job: what gauge.c and overrule.c share; only for src/ops.
 *
 * leak_change_begin opens the job to write, begins its transaction and finds the leak; the caller changes `after`, a copy
 * whose lists are the survey's; leak_change_keep puts it in, checks the whole survey and that the leak can still be planned,
 * saves, logs and commits. leak_change_end is due in every case and takes back what was not committed. */
#ifndef STANCH_OPS_LEAK_CHANGE_H
#define STANCH_OPS_LEAK_CHANGE_H

#include "ops/edit_parts.h"
#include "ops/gauge.h"
#include "ops/job.h"

typedef struct {
    store *job;
    editing e;
    edit_change change;
    survey_defect *after;
} leak_change;

/* E_STATE with the nearest mark where no leak is marked so. */
status leak_change_begin(leak_change *c, const char *path, const char *mark, fault *why);

/* `told` is the line of the log; NULL: nothing was changed. Fills *out. */
status leak_change_keep(leak_change *c, const char *told, const ops_actor *actor, ops_leak_change *out,
                        fault *why);
void leak_change_end(leak_change *c);

/* A text of a person: 1 to `most` bytes of UTF-8 without control characters; E_INPUT names it. */
status leak_change_text(const char *name, const char *value, size_t most, fault *why);
status leak_change_date(const char *name, const char *value, fault *why);

#endif
