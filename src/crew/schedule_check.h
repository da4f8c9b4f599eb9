/* schedule_check.h - whether each number of a scheduling problem may stand by itself; only for src/crew. */
#ifndef STANCH_CREW_SCHEDULE_CHECK_H
#define STANCH_CREW_SCHEDULE_CHECK_H

#include "crew/schedule.h"

/* E_INPUT names the task, resource or shift, the value and the limit. */
status schedule_check(const schedule_problem *problem, arena *memory, fault *why);

#endif
