/* learn.h - what a firm's finished jobs say of its rates: more than nothing, less than they seem to.
 *
 * Model of a rate  the logarithm of hours per unit (or of the waste factor) of one leak is normal: y = X b + u + e. e ~ N(0, s2/w), w its
 *   quantity against the mean one; u ~ N(0, g s2) is common to the leaks of one job, which are not each other's independent witnesses;
 *   b: the firm, and effects of kind of leak, access and temperature that are 0 for the usual one (crack, ground, 10 to 25 C).
 *   Prior normal-inverse-gamma: s2 ~ IG(LEARN_PRIOR_DF/2, LEARN_PRIOR_DF/2 LEARN_NOISE_SD^2), firm and effects normal about the default
 *   and 0 in units of s2; so each b is a Student t of LEARN_PRIOR_DF degrees with the scale below. g: each of five ratios as
 *   likely as another before the data, weighted by the likelihood after: a mixture of Student t, each of closed form.
 *   The rate is what makes the hours of many leaks come out: exp(b + (1 + g) s2/2), the mean and not the middle, since a job is priced
 *   by sums. Its value is the median of its posterior; without a fact that is the default exactly.
 * Model of a share  (dry found wet, call-backs) Beta with the default as its mean and LEARN_SHARE_WEIGHT leaks as its weight;
 *   of a kind or access: the share of the firm's other leaks as its mean. Leaks are taken as independent.
 * A proposal  is never applied: it carries its evidence (jobs, leaks, hours, interval) and becomes a rate of a job only by a
 *   person's import or edit, basis "own".
 * Calibration  of the offers kept in the jobs: how many final prices landed within P20 to P80 (60 % expected), below, above.
 * Units  those of the rate.   Threads  no shared state. */
#ifndef STANCH_LEARN_LEARN_H
#define STANCH_LEARN_LEARN_H

#include "survey/survey.h"

#define LEARN_PRIOR_SD                                                                                       \
    0.5 /* our default: of log rate, about a factor 1.6; more where the default's low and high, as P10 and P90, say so */
#define LEARN_EFFECT_SD 0.3 /* our default */
#define LEARN_NOISE_SD 0.4  /* our default: of log hours per unit from leak to leak */
#define LEARN_PRIOR_DF 6.0  /* our default: what the noise is worth beforehand */
#define LEARN_WASTE_SD 0.05 /* our defaults: a waste factor varies so much less than hours do */
#define LEARN_WASTE_EFFECT_SD 0.03
#define LEARN_WASTE_NOISE_SD 0.08
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
    double value, quantity; /* both above 0; waste_percent: used over net, and the net */
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
    bool differs; /* the interval of its effect leaves out none; of a share: leaves out the other leaks' */
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
    size_t n_jobs, n_leaks;
} learn_input;

/* Rates in the order of the catalogue, those with evidence only; classes those with a leak. Everything in `memory`; the texts of
 * `in` are borrowed. E_INPUT names a fact that is not above 0, a rate that the catalogue does not have, an offer whose P20 is above
 * its P80. */
status learn_estimate_all(const learn_input *in, arena *memory, learn_result *out, fault *why);

#endif
