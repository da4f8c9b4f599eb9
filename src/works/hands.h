/* hands.h - who does each task, so that nobody passes an action value of vibration, noise or silica where turns can prevent it.
 *
 * Model  each task has a tool (repair/tools.h) and trigger minutes (WORKS_TRIGGER of its own, our default), which those of its people
 *   who may hold the tool share in equal turns; its noise, and its dust for all its minutes, go to all of them. Tasks with a tool
 *   are given first, longest first, to the able and free worker whose day stays lowest; the others in order of
 *   their start, a leak keeping its people. Where nobody is free, work is handed on from one to the next until
 *   somebody is (at most HANDS_CHAIN deep). Then places are moved and swapped while the worst day falls: first vibration down to
 *   its action value, then noise, then silica, then vibration below it. Where even so a value is passed the day says so, with what
 *   would help. Nobody is in two places at once and a task keeps its people from start to end: one that finds none is
 *   left short, and a warning names it.
 * Noise  by niosh, which is the upper action value of eu too (85 dBA, 3 dB), at the ear without muffs.
 * Limits  exposure.h; washing, mixing and injection are not counted: no published value was read. The employer's risk
 *   assessment and local codes govern.   Units  minutes on the clock of works.h.   Threads  no shared state. */
#ifndef STANCH_WORKS_HANDS_H
#define STANCH_WORKS_HANDS_H

#include "core/mem.h"
#include "crew/exposure.h"
#include "repair/design.h"

#define WORKS_TRIGGER 0.5 /* part of a cutting task with the tool running, our default */
#define HANDS_CHAIN 6     /* our default: longer chains hardly ever help and cost time */

struct works_task;
struct works_plan;

typedef struct {
    int day, worker; /* of the shift in which the task starts; outside of shifts of the calendar */
    double vibration_points, a8_m_s2, noise_dose_percent, noise_twa_dba, silica_min;
    int respirator_apf;   /* 0: none asked */
    bool over_action;     /* 100 points, a dose of 100 %, or more than the 4 h of Table 1's shorter column */
    bool over_limit;      /* 400 points */
    const char *sentence; /* NULL, or what is passed and what would help */
} works_day_exposure;

/* Give every task of a plan, whose times, shifts and names of workers are set (the survey's in its order, else as many as
 * there are, who can do everything), its workers: `workers` and `n_workers` of its tasks, and the plan's `exposures` (days with
 * some, by day and worker); `warnings` grow. A task that comes with workers keeps them where they are able and free (again.h), unless
 * vibration above its action value falls by a change; one that is done always. All in `memory`. E_MEMORY. */
status hands_assign(const survey *s, const repair_design *designs, struct works_plan *plan, arena *memory,
                    fault *why);

/* May this worker do this part of a task? `worker`: index of the survey's workers; without any everybody may. */
bool hands_able(const survey *s, size_t worker, int skill);

#endif
