/* learn.h - what a firm's finished jobs say of its rates: more than nothing, less than they seem to.
 *
 * Model of a rate  the logarithm of hours per unit (or of the waste factor) of one leak is normal: y = X b + e, e ~ N(0, s2/w), w its
 *   quantity against the typical one; b: the firm's rate, and effects of kind of leak, access and temperature that are 0 for the usual
 *   one. Prior: firm's rate N(log default, from the default's low and high as P10 and P90, or LEARN_PRIOR_SD), effects N(0, LEARN_EFFECT_SD^2),
 *   s2 inverse gamma; all conjugate (normal-inverse-gamma), so that the interval is a Student t of closed form.
 * Model of a share  (dry found wet, call-backs) Beta with the default as its mean and LEARN_SHARE_WEIGHT leaks as its weight.
 * A proposal  is never applied: it carries its evidence (jobs, leaks, hours, interval) and becomes a rate of a job only by a
 *   person's import or edit, basis "own".
 * Calibration  of the offers kept in the jobs: how many final prices landed within P20 to P80 (60 % expected), below, above.
 * Units  those of the rate.   Threads  no shared state. */
#ifndef STANCH_LEARN_LEARN_H
#define STANCH_LEARN_LEARN_H

#include "survey/survey.h"

#define LEARN_PRIOR_SD 0.5      /* our default: of log rate, about a factor 1.6 */
#define LEARN_EFFECT_SD 0.3     /* our default */
#define LEARN_SHARE_WEIGHT 20.0 /* our default: leaks that a default is worth */
#define LEARN_CONFIDENCE 0.90

typedef enum {
    LEARN_COLD,
    LEARN_MILD,
    LEARN_HOT,
    LEARN_TEMPERATURES
} learn_temperature; /* below 10, to 25, above 25 C */
extern const char *const learn_temperature_words[LEARN_TEMPERATURES];

/* One leak's word on one rate: value per unit, over so much. */
typedef struct {
    const char *rate; /* id */
    size_t job;
    survey_kind kind;
    survey_access access;
    learn_temperature temperature;
    double value, quantity;
} learn_fact;

/* One leak's word on a share: did it happen. */
typedef struct {
    const char *rate; /* dry_wet_percent, call_back_percent */
    size_t job;
    survey_kind kind;
    survey_access access;
    bool happened;
} learn_event;

typedef struct {
    const char *job;                /* name of its file */
    maybe p20, p80, offered, final; /* money: of its last offer, and by the measured work */
} learn_price;

typedef struct {
    double value, low, high; /* of LEARN_CONFIDENCE */
    size_t leaks, jobs;
} learn_estimate;

typedef struct {
    const char *what; /* "joint", "lift", "below 10 C" */
    learn_estimate estimate;
} learn_class;

typedef struct {
    const char *id, *label, *unit;
    double shipped;          /* as the default ships */
    learn_estimate estimate; /* of the firm, usual kind, access and temperature */
    double weight;           /* of the firm's own evidence, 0 (the default stands) to 1 */
    learn_class *classes;
    size_t n_classes;
    const char *evidence; /* one sentence */
} learn_rate;

typedef struct {
    learn_rate *rates;
    size_t n_rates;
    size_t jobs, leaks;
    size_t priced, within, below, above; /* against P20 to P80 */
    double within_low, within_high;      /* interval of the share that lands within */
    const char *calibration;             /* one sentence */
} learn_result;

typedef struct {
    const learn_fact *facts;
    size_t n_facts;
    const learn_event *events;
    size_t n_events;
    const learn_price *prices;
    size_t n_prices;
    size_t n_jobs;
} learn_input;

status learn_estimate_all(const learn_input *in, arena *memory, learn_result *out, fault *why);

#endif
