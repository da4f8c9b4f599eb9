#include "cli/calc_rows.h"
#include "stats/regression.h"

static const char *const regression_sources[] = {
    "least squares by Householder QR with iterative refinement; checked against the NIST Statistical "
    "Reference Datasets",
};

static const calc_field regression_fields[] = {
    {.name = "x",
     .kind = CALC_MATRIX,
     .required = true,
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(-REGRESSION_LARGEST, REGRESSION_LARGEST),
     .least = 2,
     .text = "One row an observation, one number a term. Add your own column of ones for a constant term."},
    {.name = "y",
     .kind = CALC_NUMBERS,
     .required = true,
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(-REGRESSION_LARGEST, REGRESSION_LARGEST),
     .least = 2,
     .text = "One number a row of x."},
};

static void put_list(calc_run *r, const char *name, const double *values, size_t n) {
    json_out_open(r->out, name, '[');
    for (size_t i = 0; i < n; i++) calc_put(r, NULL, UNITS_PLAIN, values[i]);
    json_out_close(r->out, ']');
}

static status run_regression(calc_run *r) {
    const calc_value *x = calc_get(r->in, "x"), *y = calc_get(r->in, "y");
    if (x->count != y->count)
        return calc_refuse(r, "y", "has %zu numbers; it must have one for each of the %zu rows of x",
                           y->count, x->count);
    regression_input in = {x->numbers, y->numbers, x->count, x->columns};
    regression_result out;
    status code = regression_fit(&in, r->memory, &out, r->why);
    if (code != OK) return code;
    put_list(r, "coefficients", out.coefficients, in.columns);
    put_list(r, "standard_errors", out.standard_errors, in.columns);
    calc_put(r, "residual_sd", UNITS_PLAIN, out.residual_sd);
    if (out.varies) {
        calc_put(r, "r_squared", UNITS_PLAIN, out.r_squared);
    } else {
        json_out_null(r->out, "r_squared");
        calc_warn(r, "y does not vary: there is no R squared");
    }
    if (!out.corrected)
        calc_warn(r, "no column of x is constant: R squared is uncorrected, about 0 and not about the mean");
    return OK;
}

const calc_row calc_row_regression = {
    .name = "regression",
    .summary = "linear least squares with standard errors",
    .model = "Minimise |y - X b|. Columns are scaled, then residuals and coefficients are refined together "
             "in doubled "
             "precision, so that the digits are those of the data.",
    .equation = "s^2 = RSS/(n - p); se_j = s sqrt[(X'X)^-1_jj]; R2 = 1 - RSS/TSS, TSS about the mean where a "
                "column is "
                "constant, else about 0",
    .sources = regression_sources,
    .sources_count = CALC_COUNT(regression_sources),
    .fields = regression_fields,
    .fields_count = CALC_COUNT(regression_fields),
    .example = "{\"x\": [[1, 0], [1, 1], [1, 2], [1, 3]], \"y\": [0.1, 1.2, 1.9, 3.2]}\n",
    .run = run_regression,
};
