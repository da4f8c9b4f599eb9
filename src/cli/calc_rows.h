/* calc_rows.h - the rows of `stanch calc` by family, one file each. Threads  constant. */
#ifndef STANCH_CLI_CALC_ROWS_H
#define STANCH_CLI_CALC_ROWS_H

#include "cli/calc_table.h"

extern const calc_row calc_row_water, calc_row_crackflow, calc_row_relief;       /* calc_water.c */
extern const calc_row calc_row_plug, calc_row_mix;                               /* calc_repair.c */
extern const calc_row calc_row_maturity, calc_row_settime, calc_row_evaporation; /* calc_weather.c */
extern const calc_row calc_row_bands;                                            /* calc_bands.c */
extern const calc_row calc_row_crackplane;                                       /* calc_plane.c */
extern const calc_row calc_row_plugging;                                         /* calc_plugging.c */
extern const calc_row calc_row_regression;                                       /* calc_stats.c */
extern const calc_row calc_row_spread;                                           /* calc_spread.c */
extern const calc_row calc_row_healing;                                          /* calc_diagnose.c */
extern const calc_row calc_row_movement;                                         /* calc_movement.c */
extern const calc_row calc_row_injection;                                        /* calc_injection.c */
extern const calc_row calc_row_exposure;                                         /* calc_exposure.c */
extern const calc_row calc_row_crewplan;                                         /* calc_crewplan.c */
extern const calc_row calc_row_method;                                           /* calc_method.c */
extern const calc_row calc_row_watertest;                                        /* calc_watertest.c */

#endif
