#include "accept/built.h"

#include "accept/built_parts.h"

#include <string.h>

static status prepare(building *b) {
    const survey *s = b->p->survey;
    size_t n = b->p->n_leaks, m = s->n_materials;
    b->out->n_leaks = n;
    b->out->leaks = arena_get(b->memory, n, sizeof *b->out->leaks);
    b->work = arena_get(b->memory, n + 1, sizeof *b->work);
    b->stuff = arena_get(b->memory, m + 1, sizeof *b->stuff);
    b->all = arena_get(b->memory, m + 1, sizeof *b->all);
    b->net_kg = arena_get(b->memory, m, sizeof *b->net_kg);
    b->measured_kg = arena_get(b->memory, m, sizeof *b->measured_kg);
    b->net_known = arena_get(b->memory, m, sizeof *b->net_known);
    bool good = b->out->leaks && b->work && b->stuff && b->all && b->net_kg && b->measured_kg && b->net_known;
    for (size_t i = 0; good && i < n; i++) {
        b->out->leaks[i].mark = s->defects[i].mark;
        good = names_put(b->marks, s->defects[i].mark, i);
    }
    for (size_t i = 0; good && i < m; i++) good = names_put(b->materials, s->materials[i].id, i);
    b->out->site.mark = "site";
    return good ? OK : fault_memory(b->why);
}

static status make(building *b) {
    status code = prepare(b);
    if (code == OK) code = built_live(b);
    size_t at = 0;
    for (size_t i = 0; code == OK && i <= b->p->n_leaks; i++) {
        built_slice s = {i, i < b->p->n_leaks ? &b->out->leaks[i] : &b->out->site, &b->work[i], &b->filed[at],
                         0};
        while (at < b->n_filed && b->filed[at].leak == i) at++;
        s.n = (size_t)(&b->filed[at] - s.from);
        code = built_leak_of(b, &s);
    }
    if (code == OK) code = built_sum(b);
    return code == OK ? built_bill_of(b) : code;
}

status built_make_of(const built_input *in, arena *memory, built_job *out, fault *why) {
    building b = {.in = in, .p = in->p, .memory = memory, .out = out, .why = why};
    *out = (built_job){0};
    b.marks = names_new();
    b.materials = names_new();
    status code = b.marks && b.materials ? make(&b) : fault_memory(why);
    names_free(b.marks);
    names_free(b.materials);
    if (code != OK) *out = (built_job){0};
    return code;
}

status built_make(const plan *p, const record *records, size_t n, arena *memory, built_job *out, fault *why) {
    return built_make_of(&(built_input){.p = p, .records = records, .n = n}, memory, out, why);
}
