#include "stats/spread.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

const char *const spread_form_words[2] = {"triangular", "normal"};

static const double PI = 3.14159265358979323846;
static const double Z90 = 1.2815515655446004;         /* standard normal quantile at 0.9 */
static const uint64_t STEP = 0x9e3779b97f4a7c15u;     /* SplitMix64: 2^64 over the golden ratio, odd */
static const uint64_t COMMON = 0xffffffffffffffffu;   /* number of the column that all items share */
static const double SPAN = 6.5;                       /* scores lie within +-SPAN: below */
enum { SCORES_BITS = 16, SCORES = 1 << SCORES_BITS }; /* the largest score is 4.3 */
enum { BUCKETS_LEAST = 1 << 14, BUCKETS_MOST_BITS = 17 };

struct spread_sampler {
    size_t runs, buckets;
    int bucket_bits;
    uint64_t seed;
    double common, own; /* sqrt(r), sqrt(1 - r) */
    float *shared;      /* g of each run; NULL: no correlation */
    float *scores;      /* normal quantile of the middle of each of SCORES parts */
    uint32_t *bucket;   /* of each run */
    uint32_t *counts;   /* of each bucket, then where its next run stands */
};

/* The finaliser of SplitMix64 (variant 13 of Stafford). */
static uint64_t mixed(uint64_t x) {
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
    return x ^ (x >> 31);
}

static uint64_t key_of(uint64_t seed, uint64_t number) {
    return mixed(mixed(seed + STEP) ^ (number * STEP));
}

/* Within its part, never on an end; the bits that chose the part are the upper ones. */
static double within(uint64_t random) {
    return ((double)(uint32_t)random + 0.5) * 0x1p-32;
}

static void scatter_evenly(const spread_sampler *s, uint64_t key, double *values) {
    for (size_t k = 0; k < s->runs; k++) {
        uint64_t random = mixed(key + (k + 1) * STEP);
        uint32_t bucket = (uint32_t)(random >> (64 - s->bucket_bits));
        values[k] = within(random);
        s->bucket[k] = bucket;
        s->counts[bucket]++;
    }
}

/* |z| <= (sqrt(r) + sqrt(1 - r)) 4.6 <= 6.5: a score of a million runs is at most 4.6 plus what jitter adds, which is cut. */
static void scatter_by_score(const spread_sampler *s, uint64_t key, double *values) {
    double scale = (double)s->buckets / (2 * SPAN), last = (double)s->buckets - 1;
    for (size_t k = 0; k < s->runs; k++) {
        uint64_t random = mixed(key + (k + 1) * STEP);
        double z =
            s->common * (double)s->shared[k] + s->own * (double)s->scores[random >> (64 - SCORES_BITS)];
        double place = (z + SPAN) * scale;
        place = place > 0 ? place : 0;
        uint32_t bucket = (uint32_t)(place < last ? place : last);
        values[k] = within(random);
        s->bucket[k] = bucket;
        s->counts[bucket]++;
    }
}

/* One column of probabilities, each part of the range once. */
static void draw(const spread_sampler *s, uint64_t number, double *values) {
    uint64_t key = key_of(s->seed, number);
    memset(s->counts, 0, s->buckets * sizeof *s->counts);
    if (s->shared && number != COMMON)
        scatter_by_score(s, key, values);
    else
        scatter_evenly(s, key, values);
    uint32_t before = 0;
    for (size_t b = 0; b < s->buckets; b++) {
        uint32_t here = s->counts[b];
        s->counts[b] = before;
        before += here;
    }
    double part = 1 / (double)s->runs;
    for (size_t k = 0; k < s->runs; k++) values[k] = ((double)s->counts[s->bucket[k]]++ + values[k]) * part;
}

static status check_options(const spread_options *o, fault *why) {
    if (o->runs < SPREAD_RUNS_LEAST || o->runs > SPREAD_RUNS_MOST)
        return fault_set(why, E_INPUT, "runs is %zu; it must lie in %d to %d", o->runs, SPREAD_RUNS_LEAST,
                         SPREAD_RUNS_MOST);
    if (!(o->correlation >= 0 && o->correlation <= SPREAD_CORRELATION_MOST))
        return fault_set(why, E_INPUT, "correlation is %g; it must lie in 0 to %g", o->correlation,
                         SPREAD_CORRELATION_MOST);
    return OK;
}

static status make_room(spread_sampler *s, bool correlated, fault *why) {
    s->bucket = mem_get(s->runs, sizeof *s->bucket);
    s->counts = mem_get(s->buckets, sizeof *s->counts);
    if (correlated) {
        s->shared = mem_get(s->runs, sizeof *s->shared);
        s->scores = mem_get(SCORES, sizeof *s->scores);
        if (!s->shared || !s->scores) return fault_memory(why);
    }
    return s->bucket && s->counts ? OK : fault_memory(why);
}

/* Scores of the parts, and g of each run: a column of its own, so that g is spread as evenly as all else. */
static status prepare_scores(spread_sampler *s, fault *why) {
    double *column = mem_get(s->runs, sizeof *column);
    if (!column) return fault_memory(why);
    for (size_t i = 0; i < SCORES / 2; i++) {
        double z = gsl_cdf_ugaussian_Pinv(((double)i + 0.5) / SCORES);
        s->scores[i] = (float)z;
        s->scores[SCORES - 1 - i] = (float)-z;
    }
    draw(s, COMMON, column);
    for (size_t k = 0; k < s->runs; k++) s->shared[k] = (float)gsl_cdf_ugaussian_Pinv(column[k]);
    mem_free(column);
    return OK;
}

status spread_begin(const spread_options *options, spread_sampler **out, fault *why) {
    *out = NULL;
    status code = check_options(options, why);
    if (code != OK) return code;
    spread_sampler *s = mem_zero(1, sizeof *s);
    if (!s) return fault_memory(why);
    double r = 2 * sin(PI * options->correlation / 6); /* of the scores, for that rank correlation */
    s->runs = options->runs;
    s->seed = options->seed;
    s->common = sqrt(r);
    s->own = sqrt(1 - r);
    s->buckets = BUCKETS_LEAST;
    while (s->buckets < 2 * s->runs && s->buckets < (size_t)1 << BUCKETS_MOST_BITS) s->buckets *= 2;
    while ((size_t)1 << s->bucket_bits < s->buckets) s->bucket_bits++;
    code = make_room(s, options->correlation > 0, why);
    if (code == OK && s->shared) code = prepare_scores(s, why);
    if (code == OK)
        *out = s;
    else
        spread_end(s);
    return code;
}

void spread_end(spread_sampler *s) {
    if (!s) return;
    mem_free(s->shared);
    mem_free(s->scores);
    mem_free(s->bucket);
    mem_free(s->counts);
    mem_free(s);
}

static status check_item(size_t number, const spread_item *i, fault *why) {
    if (i->form == SPREAD_CHANCE) {
        if (i->likely >= 0 && i->likely <= 1) return OK;
        return fault_set(why, E_INPUT, "item %zu: the chance is %g; it must lie in 0 to 1", number + 1,
                         i->likely);
    }
    if (!isfinite(i->low) || !isfinite(i->likely) || !isfinite(i->high))
        return fault_set(why, E_INPUT, "item %zu: low, likely and high must be finite", number + 1);
    if (i->low > i->likely)
        return fault_set(why, E_INPUT, "item %zu: low is %g; it must be at most likely, %g", number + 1,
                         i->low, i->likely);
    if (i->high < i->likely)
        return fault_set(why, E_INPUT, "item %zu: high is %g; it must be at least likely, %g", number + 1,
                         i->high, i->likely);
    return OK;
}

/* u below c = (m - a)/(b - a): a + sqrt(u (b - a)(m - a)); above: b - sqrt((1 - u)(b - a)(b - m)). Both sides in one
 * expression without a branch, since u comes in random order. */
static void place_triangular(const spread_item *i, double *values, size_t n) {
    double wide = i->high - i->low, left = wide * (i->likely - i->low), right = wide * (i->high - i->likely);
    double turn = wide > 0 ? (i->likely - i->low) / wide : 0;
    for (size_t k = 0; k < n; k++) {
        double u = values[k];
        bool below = u < turn;
        double root = sqrt(below ? u * left : (1 - u) * right);
        values[k] = below ? i->low + root : i->high - root;
    }
}

static void place_normal(const spread_item *i, double *values, size_t n) {
    double left = (i->likely - i->low) / Z90, right = (i->high - i->likely) / Z90;
    for (size_t k = 0; k < n; k++) {
        double z = gsl_cdf_ugaussian_Pinv(values[k]);
        values[k] = i->likely + z * (z < 0 ? left : right);
    }
}

status spread_sample(spread_sampler *sampler, size_t number, const spread_item *item, double *values,
                     fault *why) {
    status code = check_item(number, item, why);
    if (code != OK) return code;
    size_t n = sampler->runs;
    draw(sampler, number, values);
    switch (item->form) {
    case SPREAD_TRIANGULAR: place_triangular(item, values, n); break;
    case SPREAD_NORMAL: place_normal(item, values, n); break;
    case SPREAD_CHANCE:
        for (size_t k = 0; k < n; k++) values[k] = values[k] >= 1 - item->likely;
        break;
    case SPREAD_FORMS: break;
    }
    return OK;
}

double spread_quantile(const double *sorted, size_t runs, double part) {
    double at = part * (double)(runs - 1);
    size_t below = (size_t)at;
    if (below + 1 >= runs) return sorted[runs - 1];
    return sorted[below] + (at - (double)below) * (sorted[below + 1] - sorted[below]);
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double mean_of(const double *values, size_t n) {
    double sum = 0;
    for (size_t k = 0; k < n; k++) sum += values[k];
    return sum / (double)n;
}

void spread_summarise(double *totals, size_t runs, spread_summary *out) {
    double mean = mean_of(totals, runs), squares = 0;
    for (size_t k = 0; k < runs; k++) squares += (totals[k] - mean) * (totals[k] - mean);
    qsort(totals, runs, sizeof *totals, by_size);
    *out = (spread_summary){.mean = mean,
                            .sd = runs > 1 ? sqrt(squares / (double)(runs - 1)) : 0,
                            .p10 = spread_quantile(totals, runs, 0.1),
                            .p20 = spread_quantile(totals, runs, 0.2),
                            .p50 = spread_quantile(totals, runs, 0.5),
                            .p80 = spread_quantile(totals, runs, 0.8),
                            .p90 = spread_quantile(totals, runs, 0.9)};
}

/* Two passes: means first, so that a large mean takes no digits. */
double spread_squared_correlation(const double *a, const double *b, size_t runs) {
    double mean_a = mean_of(a, runs), mean_b = mean_of(b, runs), aa = 0, bb = 0, ab = 0;
    for (size_t k = 0; k < runs; k++) {
        double x = a[k] - mean_a, y = b[k] - mean_b;
        aa += x * x;
        bb += y * y;
        ab += x * y;
    }
    return aa > 0 && bb > 0 ? ab / aa * (ab / bb) : 0;
}
