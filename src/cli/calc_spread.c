#include "cli/calc_rows.h"
#include "stats/spread.h"

#include <math.h>
#include <stdio.h>

enum { NAME_BYTES = 200, MOST_ITEMS = 10000 };
static const double MOST_VALUE = 1e9;
static const double MOST_SEED = 9007199254740991.0; /* 2^53 - 1: what a JSON number holds exactly */
static const double MOST_DRAWS = 1e8;               /* items x runs, our default: some seconds */
static const double ROUNDED = 1e-6; /* of high - low: so near its middle `likely` counts as the middle */

static const char *const spread_sources[] = {
    ("Latin hypercube: McKay, Beckman, Conover 1979; rank correlation of normal scores: r = 2 sin(pi rho/6) "
     "(Pearson 1907)"),
    "quantiles: Hyndman and Fan 1996, type 7",
    "shares by squared correlation: common practice; random numbers: SplitMix64 (Steele, Lea, Flood 2014)",
};

static const calc_field item_fields[] = {
    {.name = "name",
     .kind = CALC_TEXT,
     .required = true,
     .range = CALC_FROM(1, NAME_BYTES),
     .text = "As it stands in the result."},
    {.name = "distribution",
     .kind = CALC_WORD,
     .words = spread_form_words,
     .words_count = CALC_COUNT(spread_form_words),
     .origin = "our default",
     .fallback = SPREAD_TRIANGULAR,
     .text = "triangular: low and high are limits; normal: low is P10, high is P90."},
    {.name = "low",
     .required = true,
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(-MOST_VALUE, MOST_VALUE),
     .text = "At most likely."},
    {.name = "likely",
     .required = true,
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(-MOST_VALUE, MOST_VALUE),
     .text =
         "Triangular: the peak. Normal: the middle of low and high; elsewhere it is P50, each half keeps its "
         "own width, and a warning says so."},
    {.name = "high",
     .required = true,
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(-MOST_VALUE, MOST_VALUE),
     .text = "At least likely."},
    {.name = "unit_cost",
     .required = true,
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(-MOST_VALUE, MOST_VALUE),
     .text = "Money for one unit of it."},
};

static const calc_field spread_fields[] = {
    {.name = "items",
     .kind = CALC_OBJECTS,
     .required = true,
     .fields = item_fields,
     .fields_count = CALC_COUNT(item_fields),
     .least = 1,
     .most = MOST_ITEMS,
     .text = "What is not certain; what is has low = likely = high."},
    {.name = "runs",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(SPREAD_RUNS_LEAST, SPREAD_RUNS_MOST),
     .origin = "our default",
     .fallback = 20000,
     .text = "Whole. Items times runs at most 100,000,000."},
    {.name = "seed",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(0, MOST_SEED),
     .origin = "our default",
     .fallback = 1,
     .text = "Whole; the same seed gives the same samples."},
    {.name = "correlation",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(0, SPREAD_CORRELATION_MOST),
     .origin = "none",
     .fallback = 0,
     .text = "Rank correlation (Spearman) of any two items."},
};

typedef struct {
    calc_run *run;
    const calc_value *items;
    spread_sampler *sampler;
    size_t runs;
    double *column, *totals, *squared; /* the last: one for each item */
} summing;

static spread_item item_of(const calc_object *o) {
    return (spread_item){(spread_form)calc_get(o, "distribution")->word, calc_number(o, "low"),
                         calc_number(o, "likely"), calc_number(o, "high")};
}

static status check_item(calc_run *r, const calc_value *items, size_t i) {
    const calc_object *o = &items->objects[i];
    const spread_item item = item_of(o);
    char path[40];
    const char *wrong = item.low > item.likely ? "low" : item.likely > item.high ? "high" : NULL;
    if (wrong) {
        const char *must = item.low > item.likely ? "at most" : "at least";
        snprintf(path, sizeof path, "items[%zu].%s", i, wrong);
        return calc_refuse(r, path, "%.15g; it must be %s likely, %.15g", calc_number(o, wrong), must,
                           item.likely);
    }
    double middle = item.low + (item.high - item.low) / 2;
    if (item.form == SPREAD_NORMAL && fabs(item.likely - middle) > ROUNDED * (item.high - item.low))
        calc_warn(r,
                  "items[%zu]: likely is not the middle of low and high: it is taken as P50, and each half "
                  "keeps its own width",
                  i);
    return OK;
}

static status check_whole(calc_run *r, const char *name) {
    double value = calc_number(r->in, name);
    if (value == floor(value)) return OK;
    return calc_refuse(r, name, "%.15g; it must be whole", value);
}

static status check(calc_run *r, const calc_value *items) {
    status code = check_whole(r, "runs");
    if (code == OK) code = check_whole(r, "seed");
    if (code == OK && (double)items->count * calc_number(r->in, "runs") > MOST_DRAWS)
        code = calc_refuse(r, "runs", "%.15g; %zu items may have at most %.0f", calc_number(r->in, "runs"),
                           items->count, floor(MOST_DRAWS / (double)items->count));
    for (size_t i = 0; code == OK && i < items->count; i++) code = check_item(r, items, i);
    return code;
}

/* Columns are drawn twice rather than kept: once for the totals, once beside them. */
static status add_up(summing *s) {
    status code = OK;
    for (size_t i = 0; code == OK && i < s->items->count; i++) {
        const calc_object *o = &s->items->objects[i];
        const spread_item item = item_of(o);
        double unit_cost = calc_number(o, "unit_cost");
        code = spread_sample(s->sampler, i, &item, s->column, s->run->why);
        for (size_t k = 0; code == OK && k < s->runs; k++) s->totals[k] += unit_cost * s->column[k];
    }
    return code;
}

/* The sum of the squared correlations; of an item that costs nothing it is 0. */
static status correlate(summing *s, double *sum) {
    status code = OK;
    *sum = 0;
    for (size_t i = 0; code == OK && i < s->items->count; i++) {
        const calc_object *o = &s->items->objects[i];
        const spread_item item = item_of(o);
        if (calc_number(o, "unit_cost") == 0) continue;
        code = spread_sample(s->sampler, i, &item, s->column, s->run->why);
        if (code == OK) s->squared[i] = spread_squared_correlation(s->column, s->totals, s->runs);
        *sum += s->squared[i];
    }
    return code;
}

static void put(summing *s, double sum) {
    calc_run *r = s->run;
    spread_summary of;
    spread_summarise(s->totals, s->runs, &of);
    calc_put(r, "mean", UNITS_PLAIN, of.mean);
    calc_put(r, "p10", UNITS_PLAIN, of.p10);
    calc_put(r, "p20", UNITS_PLAIN, of.p20);
    calc_put(r, "p50", UNITS_PLAIN, of.p50);
    calc_put(r, "p80", UNITS_PLAIN, of.p80);
    calc_put(r, "p90", UNITS_PLAIN, of.p90);
    calc_put(r, "sd", UNITS_PLAIN, of.sd);
    json_out_open(r->out, "items", '[');
    for (size_t i = 0; i < s->items->count; i++) {
        json_out_open(r->out, NULL, '{');
        json_out_text(r->out, "name", calc_get(&s->items->objects[i], "name")->text);
        calc_put(r, "share", UNITS_PLAIN, sum > 0 ? s->squared[i] / sum : 0);
        json_out_close(r->out, '}');
    }
    json_out_close(r->out, ']');
    if (!(sum > 0)) calc_warn(r, "the sum does not vary: every share is 0");
}

static status run_spread(calc_run *r) {
    const calc_value *items = calc_get(r->in, "items");
    status code = check(r, items);
    if (code != OK) return code;
    spread_options options = {(size_t)calc_number(r->in, "runs"), (uint64_t)calc_number(r->in, "seed"),
                              calc_number(r->in, "correlation")};
    summing s = {.run = r, .items = items, .runs = options.runs};
    s.column = arena_get(r->memory, s.runs, sizeof *s.column);
    s.totals = arena_get(r->memory, s.runs, sizeof *s.totals);
    s.squared = arena_get(r->memory, items->count, sizeof *s.squared);
    if (!s.column || !s.totals || !s.squared) return fault_memory(r->why);
    code = spread_begin(&options, &s.sampler, r->why);
    double sum = 0;
    if (code == OK) code = add_up(&s);
    if (code == OK) code = correlate(&s, &sum);
    if (code == OK) put(&s, sum);
    spread_end(s.sampler);
    return code;
}

const calc_row calc_row_spread = {
    .name = "spread",
    .summary = "what a sum of uncertain items may come out as, and which of them matters",
    .model = "Latin hypercube samples: each item's range of probability is cut in as many equal parts as "
             "there are "
             "runs, and each part is taken once. Equal rank correlation by a normal copula.",
    .equation =
        "total = sum of value x unit_cost; scores z_i = sqrt(r) g + sqrt(1 - r) e_i with r = 2 sin(pi "
        "correlation/6); quantile at 1 + (n - 1) p between order statistics; share_i = c_i^2/sum c^2 with "
        "c_i the correlation of the item's cost with the total",
    .sources = spread_sources,
    .sources_count = CALC_COUNT(spread_sources),
    .fields = spread_fields,
    .fields_count = CALC_COUNT(spread_fields),
    .example =
        "{\"items\": [{\"name\": \"slot, m\", \"distribution\": \"triangular\", \"low\": 36, \"likely\": 40, "
        "\"high\": 52, \"unit_cost\": 95},\n"
        "  {\"name\": \"days of access\", \"distribution\": \"normal\", \"low\": 5, \"likely\": 6, \"high\": "
        "7, \"unit_cost\": 180}],\n \"runs\": 20000, \"seed\": 1, \"correlation\": 0.2}\n",
    .run = run_spread,
};
