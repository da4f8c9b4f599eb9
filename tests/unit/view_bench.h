/* view_bench.h - a plan and its views as JSON, held against the shapes of docs/page.md, for the tests of ops/view.h. */
#ifndef STANCH_TESTS_VIEW_BENCH_H
#define STANCH_TESTS_VIEW_BENCH_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "fixture.h"

#include "ops/view.h"

typedef struct {
    survey *s;
    plan *p;
    ops_view view;
} bench;

#define CRACK(mark, v, width)                                                                                \
    "{\"mark\": \"" mark "\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": [[2," v         \
    "],[3," v "]]}], \"stations\": [{\"chainage_m\": 0, " width "\"wetness\": \"run\"}, {\"chainage_m\": "   \
    "1, " width "\"wetness\": \"drip\"}]}"

/* Each fails the test with what is wrong. A bench is let go with tear_down, JSON with json_decref. */
void plan_with(bench *b, survey *s, plan_planes planes);
void set_up(bench *b, const char *example, plan_planes planes);
void tear_down(bench *b);
json_t *plan_view(const bench *b);
json_t *leak_view(const bench *b, size_t i);
void expect_shape(const json_t *object, const char *name);
json_t *member(const json_t *object, const char *name);
const char *word(const json_t *object, const char *name);
double number(const json_t *object, const char *name);
bool yes(const json_t *object, const char *name);
void expect_each(const json_t *object, const char *list, const char *name);
void expect_plan_shape(const json_t *root);
void expect_leak_shape(const json_t *root);
bool is_metric(const char *words);
void expect_us(json_t *value);

#endif
