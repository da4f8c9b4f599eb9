/* hands_job.h - a job as small as a test of hands.h wants it, and slow checks without a line of the code checked. */
#ifndef STANCH_TESTS_HANDS_JOB_H
#define STANCH_TESTS_HANDS_JOB_H

#include "works/works.h"

enum { HANDS_JOB_WORKERS = 8, HANDS_JOB_TASKS = 3000, HANDS_JOB_LEAKS = 300, HANDS_JOB_DAYS = 60 };

/* Leaks with a slot, workers who can do everything, tasks at given times. */
typedef struct {
    survey s;
    survey_worker workers[HANDS_JOB_WORKERS];
    survey_defect defects[HANDS_JOB_LEAKS];
    repair_design designs[HANDS_JOB_LEAKS];
    works_task tasks[HANDS_JOB_TASKS];
    char ids[HANDS_JOB_TASKS][24];
    const char *names[HANDS_JOB_WORKERS];
    works_shift shifts[HANDS_JOB_DAYS];
    works_plan plan;
    arena *memory;
} hands_job;

void hands_job_begin(hands_job *j, int workers, int leaks);
works_task *hands_job_add(hands_job *j, const char *step, size_t leak, int from, int to);
works_task *hands_job_cut(hands_job *j, size_t leak, int from, int to);
void hands_job_assign(hands_job *j);
void hands_job_end(hands_job *j);
const works_day_exposure *hands_job_day_of(const hands_job *j, int day, int worker); /* NULL: none */

bool hands_job_able(const hands_job *j, int worker, int kind);
int hands_job_wanted(const works_task *t);
/* Points of one worker and day by the tables of the trade page: saw 8, chipping hammer 25 m/s2, half the minutes. */
double hands_job_points_of(const hands_job *j, int worker, int day);
void hands_job_check_people(const hands_job *j);
void hands_job_check_days(const hands_job *j);

#endif
