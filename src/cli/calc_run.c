#include "cli/calc_table.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

status calc_refuse(calc_run *r, const char *field, const char *format, ...) {
    char sentence[400];
    va_list args;
    va_start(args, format);
    vsnprintf(sentence, sizeof sentence, format, args);
    va_end(args);
    return fault_set(r->why, E_INPUT, "%s: %s", field, sentence);
}

/* "a, b or c" */
static const char *listed(calc_run *r, const char *const names[], size_t count) {
    text list = {0};
    for (size_t i = 0; i < count; i++)
        text_print(&list, "%s%s", i == 0 ? "" : i + 1 == count ? " or " : ", ", names[i]);
    const char *kept = arena_copy(r->memory, text_get(&list));
    text_free(&list);
    return kept ? kept : "";
}

status calc_one_of(calc_run *r, const char *const names[], size_t count, size_t *which) {
    size_t found = count;
    for (size_t i = 0; i < count; i++) {
        if (!calc_given(r->in, names[i])) continue;
        if (found < count)
            return calc_refuse(r, names[i], "is given beside %s; give only one of %s", names[found],
                               listed(r, names, count));
        found = i;
    }
    if (found == count)
        return calc_refuse(r, names[0], "is missing; give one of %s", listed(r, names, count));
    *which = found;
    return OK;
}

status calc_none_of(calc_run *r, const char *const names[], size_t count, const char *reason) {
    for (size_t i = 0; i < count; i++)
        if (calc_given(r->in, names[i])) return calc_refuse(r, names[i], "is given, but %s", reason);
    return OK;
}

void calc_put(calc_run *r, const char *name, units_quantity q, double si) {
    double shown = units_from_si(q, UNITS_METRIC, si);
    if (isfinite(shown)) {
        json_out_number(r->out, name, shown);
        return;
    }
    if (r->code != OK) return;
    r->code = fault_set(
        r->why, E_INPUT,
        "%s cannot be computed from this input: the numbers leave the range that a computer carries",
        name ? name : "a result");
}

static void append(calc_run *r, const char ***list, size_t *n, const char *sentence) {
    const char **longer = sentence ? arena_push(r->memory, *list, n, sizeof **list) : NULL;
    if (!longer) {
        r->code = fault_memory(r->why);
        return;
    }
    *list = longer;
    longer[*n - 1] = sentence;
}

void calc_warn(calc_run *r, const char *format, ...) {
    char sentence[600];
    va_list args;
    va_start(args, format);
    vsnprintf(sentence, sizeof sentence, format, args);
    va_end(args);
    append(r, &r->warnings, &r->n_warnings, arena_copy(r->memory, sentence));
}

void calc_base(calc_run *r, const char *format, ...) {
    char sentence[600];
    va_list args;
    va_start(args, format);
    vsnprintf(sentence, sizeof sentence, format, args);
    va_end(args);
    append(r, &r->basis, &r->n_basis, arena_copy(r->memory, sentence));
}

/* The defaults that stood in for fields left out are part of what the numbers rest on. */
static void tell_defaults(calc_run *r) {
    for (size_t i = 0; i < r->in->fields_count; i++) {
        const calc_field *f = &r->in->fields[i];
        char number[TEXT_NUMBER];
        if (!f->origin || r->in->values[i].given) continue;
        bool word = f->kind == CALC_WORD;
        calc_base(r, "%s = %s where not given: %s", f->name,
                  word ? f->words[(size_t)f->fallback] : text_number(f->fallback, number), f->origin);
    }
}

static void write_list(json_out *out, const char *name, const char **sentences, size_t n) {
    json_out_open(out, name, '[');
    for (size_t i = 0; i < n; i++) json_out_text(out, NULL, sentences[i]);
    json_out_close(out, ']');
}

status calc_compute(const calc_row *row, const calc_object *in, arena *memory, text *to, fault *why) {
    json_out out = {.to = to, .indent = 2, .compact_from = 3, .system = UNITS_METRIC};
    calc_run r = {.in = in, .memory = memory, .out = &out, .why = why, .code = OK};
    for (size_t i = 0; i < row->sources_count; i++) calc_base(&r, "%s", row->sources[i]);
    json_out_open(&out, NULL, '{');
    status code = row->run(&r);
    if (code == OK) tell_defaults(&r);
    if (code == OK) code = r.code;
    if (code != OK) return code;
    write_list(&out, "warnings", r.warnings, r.n_warnings);
    write_list(&out, "basis", r.basis, r.n_basis);
    json_out_close(&out, '}');
    return to->failed ? fault_memory(why) : OK;
}
