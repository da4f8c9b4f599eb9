/* patterson.h - the open PSPLIB instances for tests and benchmarks: Patterson's format, straight from the archive.
 *
 * Format  tasks and resources; capacities; then a line a task: duration, needs, count of successors, successors from 1.
 * Beside it a table "instance,makespan". `tar` unpacks. Threads  none. */
#ifndef STANCH_TESTS_PATTERSON_H
#define STANCH_TESTS_PATTERSON_H

#include "crew/schedule.h"

typedef struct {
    char name[32];
    schedule_problem problem;
    int known; /* best makespan known */
    int critical_path;
} patterson_case;

/* FOLDER/schedule/SET.tar.gz with the makespans of TABLE.csv, in memory; NULL when something is not there or is no such file. */
patterson_case *patterson_read(const char *folder, const char *set, const char *table, arena *memory,
                               size_t *n);

#endif
