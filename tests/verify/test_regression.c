/* Least squares against the NIST Statistical Reference Datasets (read from STANCH_DATA, skipped where it is
 * absent), closed forms and properties. */
#include "../near.h"
#include "stats/regression.h"

#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#ifndef STANCH_DATA
#define STANCH_DATA "../shared/data"
#endif

enum { ROWS = 64, COLUMNS = 8 };

typedef struct {
    double x[ROWS * COLUMNS], y[ROWS];
    size_t n, p;
} data;

static FILE *open_nist(const char *name) {
    char path[1000];
    const char *folder = getenv("STANCH_DATA");
    snprintf(path, sizeof path, "%s/nist/%s.csv", folder ? folder : STANCH_DATA, name);
    return fopen(path, "r");
}

/* Columns: a constant, then the file's own, or powers of its only one up to `degree`. */
static bool read_set(const char *name, int degree, data *d) {
    char line[400];
    FILE *from = open_nist(name);
    if (!from) return false;
    *d = (data){0};
    for (bool header = true; fgets(line, sizeof line, from); header = false) {
        if (header) continue;
        double row[COLUMNS] = {1}, y;
        size_t p = 1;
        char *at = line;
        y = strtod(at, &at);
        while (*at == ',') row[p++] = strtod(at + 1, &at);
        for (int k = 2; k <= degree; k++) {
            row[p] = row[p - 1] * row[1];
            p++;
        }
        d->p = p;
        memcpy(d->x + d->n * p, row, p * sizeof *row);
        d->y[d->n++] = y;
    }
    fclose(from);
    return true;
}

/* Digits in common with the certified value, as NIST counts them: -log10 of the relative (for 0: absolute)
 * error. */
static double digits(double found, double certified) {
    double error = certified == 0 ? fabs(found) : fabs(found - certified) / fabs(certified);
    return error > 0 ? -log10(error) : 16;
}

typedef struct {
    double coefficient, error, sd, r2;
} score;

static score worst_digits(const char *name, const regression_result *out) {
    score s = {16, 16, 16, 16};
    char line[400], set[40];
    FILE *from = open_nist("certified");
    assert_non_null(from);
    while (fgets(line, sizeof line, from)) {
        int rows, columns, term;
        double coefficient, error, sd, r2;
        if (sscanf(line, "%39[^,],%d,%d,B%d,%lf,%lf,%lf,%lf", set, &rows, &columns, &term, &coefficient,
                   &error, &sd, &r2) != 8 ||
            strcmp(set, name) != 0)
            continue;
        s.coefficient = fmin(s.coefficient, digits(out->coefficients[term], coefficient));
        s.error = fmin(s.error, digits(out->standard_errors[term], error));
        s.sd = fmin(s.sd, digits(out->residual_sd, sd));
        s.r2 = fmin(s.r2, digits(out->r_squared, r2));
    }
    fclose(from);
    return s;
}

/* The least digits asked lie a little below those reached: Norris, Longley and Wampler 2 hold decimals that
 * no double holds exactly, and lose to that what their condition asks; the others are whole numbers and come
 * out whole. */
static void nist(void **state) {
    (void)state;
    static const struct {
        const char *name;
        int degree;
        double coefficient;
    } sets[] = {{"norris", 1, 13.5}, {"longley", 1, 13.5}, {"wampler1", 5, 15}, {"wampler2", 5, 12.5},
                {"wampler3", 5, 15}, {"wampler4", 5, 15},  {"wampler5", 5, 15}};
    FILE *there = open_nist("certified");
    if (!there) {
        print_message(
            "skipped: the NIST data sets are not here (set STANCH_DATA to the folder that holds nist/)\n");
        skip();
    }
    fclose(there);
    for (size_t i = 0; i < COUNT(sets); i++) {
        data d;
        regression_result out;
        fault why = {0};
        arena *memory = arena_new();
        assert_true(read_set(sets[i].name, sets[i].degree, &d));
        regression_input in = {d.x, d.y, d.n, d.p};
        assert_int_equal(regression_fit(&in, memory, &out, &why), OK);
        score s = worst_digits(sets[i].name, &out);
        print_message("%-9s digits: coefficients %.1f, errors %.1f, sd %.1f, R2 %.1f\n", sets[i].name,
                      s.coefficient, s.error, s.sd, s.r2);
        assert_true(s.coefficient >= sets[i].coefficient);
        assert_true(s.error >= 13.5 && s.sd >= 13.5 && s.r2 >= 15);
        arena_free(memory);
    }
}

/* A parabola through 4 points by the normal equations, by hand: y = x^2 at 0..3 fitted by a line: -1 + 3 x,
 * residuals 1, -1, -1, 1, s = sqrt 2, se = s sqrt(0.7), s sqrt(0.2), R2 = 1 - 4/49. */
static void by_hand(void **state) {
    (void)state;
    static const double x[] = {1, 0, 1, 1, 1, 2, 1, 3}, y[] = {0, 1, 4, 9};
    regression_input in = {x, y, 4, 2};
    regression_result out;
    arena *memory = arena_new();
    assert_int_equal(regression_fit(&in, memory, &out, NULL), OK);
    near_relative(out.coefficients[0], -1, 1e-15);
    near_relative(out.coefficients[1], 3, 1e-15);
    near_relative(out.residual_sd, sqrt(2), 1e-15);
    near_relative(out.standard_errors[0], sqrt(1.4), 1e-15);
    near_relative(out.standard_errors[1], sqrt(0.4), 1e-15);
    near_relative(out.r_squared, 1 - 4.0 / 49, 1e-15);
    near_relative(out.residuals[1], -1, 1e-15);
    assert_true(out.corrected && out.varies);
    arena_free(memory);
}

/* Through the origin R2 is about 0: y = 1, 2, 4 on x = 1, 2, 3: b = 17/14, RSS = 21 - 17^2/14, TSS = 21. */
static void uncorrected(void **state) {
    (void)state;
    static const double x[] = {1, 2, 3}, y[] = {1, 2, 4};
    regression_input in = {x, y, 3, 1};
    regression_result out;
    arena *memory = arena_new();
    assert_int_equal(regression_fit(&in, memory, &out, NULL), OK);
    near_relative(out.coefficients[0], 17.0 / 14, 1e-15);
    near_relative(out.r_squared, 289.0 / 14 / 21, 1e-15);
    assert_false(out.corrected);
    arena_free(memory);
}

/* Scaling a column by 1e30 divides its coefficient; y that a column explains wholly, y that is 0, y that does
 * not vary. */
static void odd_data(void **state) {
    (void)state;
    double x[] = {1, 1e30, 1, 2e30, 1, 4e30, 1, 5e30}, y[] = {3, 5, 9, 11}, none[] = {0, 0, 0, 0},
           same[] = {7, 7, 7, 7};
    regression_result out;
    arena *memory = arena_new();
    regression_input in = {x, y, 4, 2};
    assert_int_equal(regression_fit(&in, memory, &out, NULL), OK);
    near_relative(out.coefficients[1], 2e-30, 1e-14);
    near_relative(out.coefficients[0], 1, 1e-14);
    assert_true(out.residual_sd < 1e-14);
    in.y = none;
    assert_int_equal(regression_fit(&in, memory, &out, NULL), OK);
    assert_true(out.coefficients[0] == 0 && out.coefficients[1] == 0 && !out.varies);
    in.y = same;
    assert_int_equal(regression_fit(&in, memory, &out, NULL), OK);
    near_relative(out.coefficients[0], 7, 1e-14);
    assert_true(!out.varies && fabs(out.coefficients[1]) < 1e-44);
    /* orthogonal to both columns: the coefficients are 0 but for rounding, and that is no dependence */
    double plain[] = {1, -1, 1, 1, 1, -1, 1, 1}, cross[] = {0.1, 0.3, -0.1, -0.3};
    in = (regression_input){plain, cross, 4, 2};
    assert_int_equal(regression_fit(&in, memory, &out, NULL), OK);
    near_absolute(out.coefficients[0], 0, 1e-16);
    arena_free(memory);
}

static void refuses(void **state) {
    (void)state;
    double x[] = {1, 2, 2, 4, 3, 6, 5, 10}, y[] = {1, 2, 3, 4};
    regression_result out;
    fault why = {0};
    arena *memory = arena_new();
    regression_input in = {x, y, 4, 2};
    assert_int_equal(regression_fit(&in, memory, &out, &why), E_INPUT);
    assert_non_null(strstr(why.text, "column 1"));
    x[7] = 10 + 1e-3;
    assert_int_equal(regression_fit(&in, memory, &out, &why), OK);
    in.rows = 2;
    assert_int_equal(regression_fit(&in, memory, &out, &why), E_INPUT);
    in = (regression_input){x, y, 4, 0};
    assert_int_equal(regression_fit(&in, memory, &out, &why), E_INPUT);
    in.columns = 2;
    static const double bad[] = {1e101, -1e308, HUGE_VAL, (double)NAN};
    for (size_t k = 0; k < COUNT(bad); k++) {
        y[2] = bad[k];
        assert_int_equal(regression_fit(&in, memory, &out, &why), E_INPUT);
        assert_non_null(strstr(why.text, "y[2]"));
    }
    double zero[] = {1, 0, 1, 0, 1, 0, 1, 0}, fine[] = {1, 2, 3, 4};
    in = (regression_input){zero, fine, 4, 2};
    assert_int_equal(regression_fit(&in, memory, &out, &why), E_INPUT);
    arena_free(memory);
}

static void memory_fails(void **state) {
    (void)state;
    enum { N = 400 };
    static double x[N * 3], y[N]; /* large enough for several blocks of the arena */
    for (size_t i = 0; i < N; i++) {
        x[3 * i] = 1;
        x[3 * i + 1] = (double)i;
        x[3 * i + 2] = sin((double)i);
        y[i] = cos((double)i);
    }
    regression_input in = {x, y, N, 3};
    long n = 0;
    for (status code = E_MEMORY; code != OK; n++) {
        regression_result out;
        fault why = {0};
        arena *memory = arena_new();
        assert_non_null(memory);
        mem_fail_at(n, 0);
        code = regression_fit(&in, memory, &out, &why);
        mem_fail_at(-1, 0);
        assert_true(code == OK || code == E_MEMORY);
        if (code != OK) assert_null(out.coefficients);
        arena_free(memory);
    }
    assert_true(n > 1);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nist),     cmocka_unit_test(by_hand), cmocka_unit_test(uncorrected),
        cmocka_unit_test(odd_data), cmocka_unit_test(refuses), cmocka_unit_test(memory_fails),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
