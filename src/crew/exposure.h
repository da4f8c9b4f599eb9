/* exposure.h - one worker's shift against the limits of hand-arm vibration, noise and silica dust.
 *
 * Model  vibration  A(8) = a sqrt(t/8 h), several: root of the sum of squares; points = 2 a^2 t; 100 points = action value 2.5 m/s2,
 *          400 = limit value 5 m/s2 (Directive 2002/44/EC; HSE)
 *        noise      T = 480/2^((L - criterion)/exchange) min; dose = 100 sum(C/T); TWA = q log10(dose/100) + criterion:
 *          niosh 85 dBA, 3 dB; osha_pel 90, 5, levels from 90; osha_hc 90, 5, levels from 80 (value from memory), action at dose 50 %;
 *          eu 85 (upper action), 3 dB: 80 / 85 / 87
 *        silica     29 CFR 1926.1153 Table 1: control and respirator by named row, place and hours, hours added over the shift
 * Source trade page safety.md 1-3.   Units  SI, minutes.   Threads  no shared state.
 * Limits figures to check a plan by; the law of the place, the employer's risk assessment and the makers' data govern. */
#ifndef STANCH_CREW_EXPOSURE_H
#define STANCH_CREW_EXPOSURE_H

#include "core/fault.h"

#include <stdbool.h>
#include <stddef.h>

#define EXPOSURE_ACTION_POINTS 100.0
#define EXPOSURE_LIMIT_POINTS 400.0
#define EXPOSURE_ACTION_M_S2 2.5 /* A(8) */
#define EXPOSURE_LIMIT_M_S2 5.0
#define EXPOSURE_SILICA_MIN 240.0 /* "<= 4 hours/shift"; more wants the next column */
#define EXPOSURE_DAY_MIN 1440.0
#define EXPOSURE_STRONGEST_M_S2 100.0 /* above any tool: a wrong unit, our default; so is: */
#define EXPOSURE_LOUDEST_DBA 150.0

typedef enum { NOISE_NIOSH, NOISE_OSHA_PEL, NOISE_OSHA_HC, NOISE_EU, NOISE_RULES } exposure_noise_rule;
extern const char *const exposure_noise_words[NOISE_RULES]; /* niosh osha_pel osha_hc eu */

/* What a rule counts and permits. EU: 80 (lower), 85 (upper) and 87 dBA as doses by its own TWA, the action value is the upper. */
typedef struct {
    double criterion_dba, exchange_db, counts_from_dba, q;
    double lower_percent, action_percent, limit_percent; /* lower: of eu; else as action */
    bool reached; /* the action value counts as passed when it is reached */
} exposure_noise_limits;
extern const exposure_noise_limits exposure_noise_rules[NOISE_RULES];

typedef enum {
    SILICA_SAW,    /* (ii) handheld power saw, water */
    SILICA_CORE,   /* (vi) rig-mounted core saw or drill, water */
    SILICA_DRILL,  /* (vii) handheld drill, rotary hammer: shroud and collector */
    SILICA_CHIP,   /* (x) jackhammer, handheld powered chipping tool: water or shroud */
    SILICA_MORTAR, /* (xi) grinder, mortar removal */
    SILICA_GRIND,  /* (xii) grinder, other uses */
    SILICA_ROWS
} exposure_silica_row;
/* saw core_drill hammer_drill chipping mortar_grinder grinder */
extern const char *const exposure_silica_words[SILICA_ROWS];

typedef struct {
    const char *tool;
    double a_m_s2, minutes;
} exposure_vibration;
typedef struct {
    const char *tool;
    double level_dba, minutes;
} exposure_noise;
typedef struct {
    exposure_silica_row row;
    double minutes;
    bool indoors; /* or enclosed */
} exposure_silica;

typedef struct {
    const exposure_vibration *vibration;
    size_t n_vibration;
    const exposure_noise *noise;
    size_t n_noise;
    const exposure_silica *silica;
    size_t n_silica;
    exposure_noise_rule rule;
} exposure_shift;

typedef struct {
    double points, a8_m_s2, dose_percent, twa_dba, silica_min; /* twa_dba: 0 where the dose is 0 */
    bool over_vibration_action, over_vibration_limit, over_noise_action, over_noise_limit;
    double points_left;    /* to the action value */
    double noise_left_min; /* at the loudest level named, to the rule's action value; HUGE_VAL: none counts */
    int apf;               /* the largest respirator factor asked; 0: none */
} exposure_result;

/* Control of a row, and its respirator factor (0: none) for that place and hours of all Table 1 tasks in the shift. */
const char *exposure_control(exposure_silica_row row);
int exposure_apf(exposure_silica_row row, bool indoors, double shift_min);

/* Vibration points of minutes at one level; A(8) of points; mean level of a dose, 0 where that is 0. */
double exposure_points(double a_m_s2, double minutes);
double exposure_a8_m_s2(double points);
double exposure_twa_dba(exposure_noise_rule rule, double dose_percent);
bool exposure_passes(double value, double limit); /* not where rounding alone lifts it over */

/* Longest minutes a day at one level of noise to a dose of 100 %, HUGE_VAL where the rule does not count it; at one
 * vibration to the action value, and to the limit. */
double exposure_noise_min(exposure_noise_rule rule, double level_dba);
void exposure_vibration_times(double a_m_s2, double *action_min, double *limit_min);

/* E_INPUT names the value out of range; *out is zeroed on error. */
status exposure_sum(const exposure_shift *shift, exposure_result *out, fault *why);

/* Tools with their vibration and noise where no measured value is known: vibration HSE first values, the higher of two
 * (safety.md 2); noise our defaults, since no published level was read. */
typedef enum {
    TOOL_SAW,
    TOOL_CHIPPING,
    TOOL_DEMOLITION,
    TOOL_HAMMER_DRILL,
    TOOL_CORE_DRILL,
    TOOL_GRINDER,
    EXPOSURE_TOOLS
} exposure_tool_kind;
typedef struct {
    const char *tool;
    double a_m_s2, level_dba;
    exposure_silica_row row;
    const char *source;
} exposure_tool;
extern const exposure_tool exposure_tools[EXPOSURE_TOOLS];

#endif
