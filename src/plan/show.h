/* show.h - values as a person reads them, in the job's units, allocated in the plan's arena; for
 * src/plan and src/ops.
 * "" stands in without memory: the caller's own print then fails too. */
#ifndef STANCH_PLAN_SHOW_H
#define STANCH_PLAN_SHOW_H

#include "plan/plan.h"

const char *show_size(const plan *p, double m);    /* 37 mm | 1.46 in */
const char *show_width(const plan *p, double m);   /* 0.25 mm | 0.010 in: crack widths */
const char *show_length(const plan *p, double m);  /* 3.60 m | 11.81 ft */
const char *show_area(const plan *p, double m2);   /* 1.25 m2 */
const char *show_volume(const plan *p, double m3); /* 1.85 l */
const char *show_mass(const plan *p, double kg);   /* 3.2 kg */
const char *show_flow(const plan *p, double m3_s); /* 1.20 l/min; small ones with more digits */
const char *show_flow_length(const plan *p, double m2_s);
const char *show_flow_metre(const plan *p, double m2_s); /* 10.0 l/min a metre | 0.805 gal/min a foot */
const char *show_density(const plan *p, double kg_m3);   /* 2400 kg/m3 | 150 lb/ft3 */
const char *show_pressure(const plan *p, double pa);
const char *show_stress(const plan *p, double pa);
const char *show_temperature(const plan *p, double c);
const char *show_minutes(const plan *p, double s); /* 2.5 min */
const char *show_plain(const plan *p, double value, int decimals);

#endif
