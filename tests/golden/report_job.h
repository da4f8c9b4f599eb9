/* report_job.h - jobs to print: one small leak, an example file, and a generated crowd. For tests only. */
#ifndef STANCH_TESTS_REPORT_JOB_H
#define STANCH_TESTS_REPORT_JOB_H

#include "plan/plan.h"

/* Each is the caller's (plan_free, then survey_free of plan->survey); a fault fails the running test. */
plan *report_job_one(units_system system);
plan *report_job_file(const char *path);
/* `leaks` of every kind and wetness over `faces` walls of 12 x 4 m, from a fixed seed. */
plan *report_job_crowd(size_t leaks, size_t faces);
/* 3.5 m of head: a crack that a bar at 30 mm holds up between 1 and 3 m, a 22 mm tie hole, a honeycomb. */
plan *report_job_cuts(void);
/* A leak for each way without a slot, the injections and the drain chosen by a person; a tie hole and a pipe. */
plan *report_job_ways(units_system system);
/* One leak with names of the caller's choice. */
plan *report_job_named(const char *name, const char *face, const char *mark);

void report_job_free(plan *p);

#endif
