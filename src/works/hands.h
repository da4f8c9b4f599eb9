/* hands.h - who does each task, so that nobody passes an action value of vibration, noise or silica where turns can prevent it.
 *
 * Model  each task has a tool (exposure.h) and trigger minutes a person (WORKS_TRIGGER of its minutes, our default). Tasks of
 *   a day are given, longest exposure first, to the able and free worker whose day stays lowest; then pairs are swapped while
 *   the worst day falls. Where even so a value is passed the day says so, with what would help.
 * Limits  exposure.h; the employer's risk assessment and local codes govern.   Threads  no shared state. */
#ifndef STANCH_WORKS_HANDS_H
#define STANCH_WORKS_HANDS_H

#include "crew/exposure.h"

#define WORKS_TRIGGER 0.5 /* part of a cutting task with the tool running, our default */

struct works_task;

typedef struct {
    int day, worker;
    double vibration_points, a8_m_s2, noise_dose_percent, noise_twa_dba, silica_min;
    int respirator_apf; /* 0: none asked */
    bool over_action, over_limit;
    const char *sentence; /* NULL, or what is passed and what would help */
} works_day_exposure;

#endif
