/* old_job.h - a job file as an older version of the schema made it, for tests. */
#ifndef STANCH_TESTS_OLD_JOB_H
#define STANCH_TESTS_OLD_JOB_H

/* Make the file `to` of `version` with what that version knew of `from`, a file of the present one, and a result with the
 * hash 'abc'. What does not work fails the test. */
void old_job_make(int version, const char *from, const char *to);

#endif
