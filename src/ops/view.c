#include "ops/view.h"

#include "ops/view_why.h"
#include "plan/pieces.h"
#include "survey/names.h"

#include <math.h>
#include <string.h>

/* The plan may be shared between threads: this one is a copy of the struct with an arena of its own for the texts. */
typedef struct {
    plan p;
    const ops_view *view;
    json_out o;
    json_t *changes; /* NULL: none */
} writing;

/* ---- what changed since the plan before ---- */

static status read_changes(const char *json, json_t **out, fault *why) {
    if (!json) return OK;
    fault_list *faults = fault_list_new();
    if (!faults) return fault_memory(why);
    json_in in = {.source = "changes since the last plan", .faults = faults};
    *out = json_in_parse(&in, json, strlen(json));
    if (*out && !json_is_array(*out)) json_in_fault(&in, NULL, NULL, "no list [ ]");
    status code = fault_list_status(faults, why);
    fault_list_free(faults);
    if (code != E_INPUT) return code;
    if (why) why->code = E_FORMAT; /* it was not typed by anybody: the job file holds it */
    return E_FORMAT;
}

/* A member as text; "" when it is none. */
static const char *word(const json_t *change, const char *name) {
    const char *value = json_string_value(json_object_get(change, name));
    return value ? value : "";
}

/* Of one leak without the mark; `mark` NULL: all, with it. */
static void write_changes(writing *w, const char *mark) {
    size_t i;
    const json_t *change;
    json_out_open(&w->o, "changes", '[');
    json_array_foreach(w->changes, i, change) {
        if (mark && strcmp(word(change, "mark"), mark) != 0) continue;
        json_out_open(&w->o, NULL, '{');
        if (!mark) json_out_text(&w->o, "mark", word(change, "mark"));
        json_out_text(&w->o, "label", word(change, "label"));
        json_out_text(&w->o, "before", word(change, "before"));
        json_out_text(&w->o, "after", word(change, "after"));
        json_out_close(&w->o, '}');
    }
    json_out_close(&w->o, ']');
}

/* ---- both views begin and end alike ---- */

static status begin(writing *w, const plan *p, const ops_view *view, text *out, fault *why) {
    *w = (writing){.p = *p, .view = view, .o = {.to = out, .system = p->survey->site.system}};
    w->p.memory = arena_new();
    if (!w->p.memory) return fault_memory(why);
    return read_changes(view->changes, &w->changes, why);
}

static status end(writing *w, status code, fault *why) {
    json_decref(w->changes);
    arena_free(w->p.memory);
    return code == OK && w->o.to->failed ? fault_memory(why) : code;
}

/* Leaks without sizes are not in the price: null, where 0 would say that they cost nothing. */
static void write_money(writing *w, size_t i, const char *hours) {
    const estimate_leak *e = &w->p.price.leaks[i];
    if (design_is_priced(&w->p.designs[i])) {
        json_out_number(&w->o, hours, e->hours_total);
        json_out_number(&w->o, "cost", e->cost);
    } else {
        json_out_null(&w->o, hours);
        json_out_null(&w->o, "cost");
    }
}

static void write_list(writing *w, const char *name, const char *const *list, size_t n) {
    json_out_open(&w->o, name, '[');
    for (size_t i = 0; i < n; i++) json_out_text(&w->o, NULL, list[i]);
    json_out_close(&w->o, ']');
}

/* ---- the whole plan ---- */

/* What is counted by leak in one pass over findings and changes. */
typedef struct {
    bool stop;
    int asks, changed;
} tally;

static void count_findings(const plan *p, const names *marks, tally *of) {
    for (size_t k = 0; k < p->findings.n; k++) {
        const finding *f = &p->findings.items[k];
        size_t at = names_find(marks, f->mark);
        if (f->answer || at == NAMES_NONE) continue;
        if (f->level == FINDING_STOP)
            of[at].stop = true;
        else
            of[at].asks++;
    }
    for (size_t i = 0; finding_stops(&p->findings, "site") && i < p->n_leaks; i++) of[i].stop = true;
}

/* In the arena; NULL without memory. */
static tally *count_by_leak(writing *w) {
    tally *of = arena_get(w->p.memory, w->p.n_leaks, sizeof *of);
    names *marks = names_new();
    bool good = of && marks;
    for (size_t i = 0; good && i < w->p.n_leaks; i++) good = names_put(marks, w->p.leaks[i].defect->mark, i);
    if (good) {
        size_t i;
        const json_t *change;
        count_findings(&w->p, marks, of);
        json_array_foreach(w->changes, i, change) {
            size_t at = names_find(marks, word(change, "mark"));
            if (at != NAMES_NONE) of[at].changed++;
        }
    }
    names_free(marks);
    return good ? of : NULL;
}

static status write_leaks(writing *w, fault *why) {
    const tally *of = count_by_leak(w);
    if (!of) return fault_memory(why);
    json_out_open(&w->o, "leaks", '[');
    for (size_t i = 0; i < w->p.n_leaks; i++) {
        json_out_open(&w->o, NULL, '{');
        plan_leak_line_json(&w->o, &w->p, i);
        write_money(w, i, "hours");
        json_out_whole(&w->o, "changed", of[i].changed);
        json_out_bool(&w->o, "stop", of[i].stop);
        json_out_whole(&w->o, "asks", of[i].asks);
        json_out_close(&w->o, '}');
    }
    json_out_close(&w->o, ']');
    return OK;
}

static void write_groups(writing *w) {
    const estimate *e = &w->p.price;
    json_out_open(&w->o, "groups", '[');
    for (int group = 0; group < LINE_GROUPS; group++) {
        double sum = 0;
        for (size_t i = 0; i < e->n_lines; i++)
            if ((int)e->lines[i].group == group) sum += e->lines[i].amount;
        if (!(sum > 0)) continue;
        json_out_open(&w->o, NULL, '{');
        json_out_text(&w->o, "group", estimate_group_words[group]);
        json_out_number(&w->o, "amount", round(sum * 100) / 100); /* of whole cents */
        json_out_close(&w->o, '}');
    }
    json_out_close(&w->o, ']');
}

static void write_price(writing *w) {
    const estimate *e = &w->p.price;
    json_out_open(&w->o, "price", '{');
    write_groups(w);
    json_out_open(&w->o, "lines", '[');
    for (size_t i = 0; i < e->n_lines; i++) {
        const estimate_line *line = &e->lines[i];
        json_out_open(&w->o, NULL, '{');
        json_out_text(&w->o, "group", estimate_group_words[line->group]);
        json_out_text(&w->o, "label", line->label ? line->label : "");
        json_out_number(&w->o, "quantity", line->quantity);
        json_out_text(&w->o, "unit", line->unit ? line->unit : "");
        json_out_number(&w->o, "rate", line->rate);
        json_out_number(&w->o, "amount", line->amount);
        json_out_text(&w->o, "basis", line->basis ? line->basis : "");
        json_out_close(&w->o, '}');
    }
    json_out_close(&w->o, ']');
    json_out_number(&w->o, "hours", e->hours_total);
    json_out_number(&w->o, "crew_days", e->crew_days);
    json_out_number(&w->o, "subtotal", e->subtotal);
    json_out_number(&w->o, "total", e->total);
    json_out_close(&w->o, '}');
}

static status write_plan(writing *w, fault *why) {
    const plan *p = &w->p;
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    json_out_text(o, "state", "planned");
    json_out_whole(o, "revision", w->view->revision);
    json_out_bool(o, "current", w->view->current);
    json_out_bool(o, "planes", p->planes_on);
    json_out_text(o, "inputs_hash", p->price_hash);
    json_out_text(o, "job", w->view->job);
    json_out_text(o, "currency", p->survey->site.currency);
    json_out_whole(o, "open_stops", (long long)plan_open_stops(p));
    json_out_whole(o, "open_asks", (long long)plan_open_asks(p));
    plan_findings_json(o, p, NULL);
    status code = write_leaks(w, why);
    if (code != OK) return code;
    plan_quantities_json(o, p);
    plan_orders_json(o, p);
    write_price(w);
    write_changes(w, NULL);
    write_list(w, "assumptions", p->assumptions, p->n_assumptions);
    write_list(w, "cautions", plan_general_cautions, plan_n_general_cautions);
    write_list(w, "sources", plan_sources(p->survey->site.system), PLAN_SOURCES);
    json_out_close(o, '}');
    return OK;
}

status ops_plan_view_json(const plan *p, const ops_view *view, text *out, fault *why) {
    writing w;
    status code = begin(&w, p, view, out, why);
    if (code == OK) code = write_plan(&w, why);
    return end(&w, code, why);
}

/* ---- one leak ---- */

static void write_rows(writing *w, const plan_reason *rows, size_t n) {
    json_out_open(&w->o, "rows", '[');
    for (size_t i = 0; i < n; i++) {
        if (!rows[i].label || !*rows[i].label)
            w->o.to->failed = true; /* labels with a place in them are allocated */
        json_out_open(&w->o, NULL, '{');
        json_out_text(&w->o, "group", rows[i].group);
        json_out_text(&w->o, "label", rows[i].label);
        json_out_text(&w->o, "value", rows[i].value);
        json_out_text(&w->o, "equation", rows[i].equation);
        json_out_text(&w->o, "inputs", rows[i].inputs);
        json_out_text(&w->o, "source", rows[i].source);
        json_out_close(&w->o, '}');
    }
    json_out_close(&w->o, ']');
}

static void write_mixes(writing *w, size_t i) {
    json_out_open(&w->o, "mixes", '[');
    for (int step = 0; step < MIX_COUNT; step++) {
        if (!w->p.takeoff.leaks[i].mixes[step].material) continue;
        json_out_open(&w->o, NULL, '{');
        plan_mix_json(&w->o, &w->p, i, (takeoff_step)step);
        json_out_close(&w->o, '}');
    }
    json_out_close(&w->o, ']');
}

static void write_hours(writing *w, size_t i) {
    json_out_open(&w->o, "hours", '[');
    for (int k = 0; k < HOURS_COUNT; k++) {
        double hours = w->p.price.leaks[i].hours[k];
        if (!(hours > 0)) continue;
        json_out_open(&w->o, NULL, '{');
        json_out_text(&w->o, "work", estimate_work_words[k]);
        json_out_number(&w->o, "hours", hours);
        json_out_close(&w->o, '}');
    }
    json_out_close(&w->o, ']');
}

static void write_leak(writing *w, size_t i, const plan_reason *rows, size_t n_rows) {
    const survey_defect *d = w->p.leaks[i].defect;
    json_out *o = &w->o;
    const char *place = plan_place(&w->p, i);
    if (!place) o->to->failed = true;
    json_out_open(o, NULL, '{');
    json_out_text(o, "mark", d->mark);
    json_out_text(o, "kind", survey_kind_words[d->kind]);
    json_out_text(o, "face", d->parts[0].face);
    json_out_text(o, "place", place);
    json_out_bool(o, "current", w->view->current);
    plan_findings_json(o, &w->p, d->mark);
    view_method_json(o, &w->p, i);
    view_diagnosis_json(o, &w->p, i);
    view_steel_json(o, &w->p, i);
    write_rows(w, rows, n_rows);
    plan_card_json(o, &w->p.cards[i], false); /* under a STOP it has the one step "answer" */
    write_mixes(w, i);
    plan_ways_json(o, &w->p, i);
    write_hours(w, i);
    write_money(w, i, "hours_total");
    plan_plane_json(o, &w->p, i);
    write_changes(w, d->mark);
    json_out_close(o, '}');
}

status ops_leak_view_json(const plan *p, const char *mark, const ops_view *view, text *out, fault *why) {
    writing w;
    plan_reason *rows;
    size_t n;
    status code = begin(&w, p, view, out, why);
    if (code == OK) code = plan_explain(&w.p, mark, &rows, &n, why);
    if (code == OK) {
        size_t i = (size_t)(survey_find_defect(p->survey, mark) - p->survey->defects);
        write_leak(&w, i, rows, n);
    }
    return end(&w, code, why);
}
