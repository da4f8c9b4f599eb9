#include "ops/works_at.h"

#include "ops/again.h"
#include "report/works_words.h"

#include <math.h>
#include <string.h>

/* What is mixed of one material for one step, in all. */
typedef struct {
    int batches;
    double largest_m3, waste_m3, usable_s, set_s; /* HUGE_VAL: not known */
} mixed;

typedef struct {
    takeoff_step step;
    const survey_material *material;
    mixed now, at;
    const char *told; /* NULL, or why it may not be placed */
} row;

typedef struct {
    const plan *p;
    const works_plan *now, *at; /* at NULL: there is none, for the reason in `problem` */
    double temperature_c;
    const char *problem;
    row *rows;
    size_t n_rows;
    arena *memory;
    say words;
    json_out o;
} writing;

/* ---- batches ---- */

static row *row_of(writing *w, takeoff_step step, const survey_material *material) {
    for (size_t i = 0; i < w->n_rows; i++)
        if (w->rows[i].step == step && w->rows[i].material == material) return &w->rows[i];
    row *rows = arena_push(w->memory, w->rows, &w->n_rows, sizeof *rows);
    if (!rows) {
        w->words.failed = true;
        return NULL;
    }
    w->rows = rows;
    const mixed none = {.usable_s = HUGE_VAL, .set_s = HUGE_VAL};
    rows[w->n_rows - 1] = (row){.step = step, .material = material, .now = none, .at = none};
    return &rows[w->n_rows - 1];
}

/* As they stand in a plan of the works: those of what is still to be done. */
static void count_planned(writing *w, const works_plan *works, bool at) {
    for (size_t i = 0; i < works->n_tasks; i++)
        for (size_t k = 0; k < works->tasks[i].n_batches; k++) {
            const works_batch *b = &works->tasks[i].batches[k];
            row *r = row_of(w, b->step, b->material);
            if (!r) return;
            mixed *to = at ? &r->at : &r->now;
            to->batches++;
            to->largest_m3 = fmax(to->largest_m3, b->volume_m3);
            to->waste_m3 += b->volume_m3 - b->placed_m3;
            to->usable_s = fmin(to->usable_s, b->usable_s);
        }
}

static void note_set(mixed *of, double set_s) {
    if (set_s > 0) of->set_s = fmin(of->set_s, set_s);
}

/* Sets, what may not be placed there, and, without a plan of that temperature, the batches one by one. */
static status look_at(writing *w, size_t leak, takeoff_step step, fault *why) {
    const takeoff_leak *taken = &w->p->takeoff.leaks[leak];
    takeoff_mix mix = batches_mix(taken, step);
    works_batches_at there;
    if (!mix.material || !(mix.volume_m3 > 0)) return OK;
    row *r = row_of(w, step, mix.material);
    if (!r) return fault_memory(why);
    status code = batches_at(w->p->survey, taken, step, w->temperature_c, w->memory, &there, why);
    if (code != OK) return code;
    if (there.told) r->told = there.told;
    if (step == MIX_PLUG) {
        note_set(&r->now, mix.set_s);
        note_set(&r->at, there.set_s);
    }
    if (w->at) return OK;
    r->at.batches += there.batches;
    r->at.largest_m3 = fmax(r->at.largest_m3, there.batch_m3);
    r->at.waste_m3 += there.waste_m3;
    if (there.batches > 0) r->at.usable_s = fmin(r->at.usable_s, there.usable_s);
    return OK;
}

static status count_batches(writing *w, fault *why) {
    count_planned(w, w->now, false);
    if (w->at) count_planned(w, w->at, true);
    status code = OK;
    for (size_t i = 0; code == OK && i < w->p->n_leaks; i++)
        for (int step = 0; code == OK && step <= MIX_COUNT; step++)
            code = look_at(w, i, (takeoff_step)step, why);
    return code;
}

static const char *span(writing *w, double seconds, const char *unknown) {
    return isfinite(seconds) ? say_time(&w->words, seconds) : unknown;
}

/* Nothing is mixed: every text is empty. */
static void write_mixed(writing *w, const char *name, const mixed *m, bool plug) {
    json_out *o = &w->o;
    bool any = m->batches > 0;
    json_out_open(o, name, '{');
    json_out_text(o, "batches", any ? say_print(&w->words, "%d", m->batches) : "");
    json_out_text(o, "size", any ? say_value(&w->words, UNITS_VOLUME, m->largest_m3) : "");
    json_out_text(o, "usable", any ? span(w, m->usable_s, "not known") : "");
    json_out_text(o, "set", any && plug ? span(w, m->set_s, "") : "");
    json_out_text(o, "waste", any ? say_value(&w->words, UNITS_VOLUME, m->waste_m3) : "");
    json_out_close(o, '}');
}

static void write_batches(writing *w) {
    json_out *o = &w->o;
    json_out_open(o, "batches", '[');
    for (size_t i = 0; i < w->n_rows; i++) {
        const row *r = &w->rows[i];
        mixed none = {0};
        json_out_open(o, NULL, '{');
        json_out_text(o, "step", r->step < MIX_COUNT ? takeoff_step_words[r->step] : "fill");
        json_out_text(o, "material", r->material->name);
        write_mixed(w, "now", &r->now, r->step == MIX_PLUG);
        write_mixed(w, "at", r->told ? &none : &r->at, r->step == MIX_PLUG);
        json_out_text(o, "saying", r->told ? r->told : "");
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

/* ---- the whole ---- */

static const char *or_none(const char *words) {
    return words ? words : "";
}

static size_t count_visits(const works_plan *works) {
    size_t n = 0;
    for (size_t i = 0; i < works->n_tasks; i++)
        if (strcmp(works->tasks[i].step, "mist") == 0) n++;
    return n;
}

static const char *ends(say *s, const works_plan *works) {
    return works_said_moment(s, works, works->makespan_min);
}
static const char *days(say *s, const works_plan *works) {
    return say_print(s, "%zu", works_days_worked(works, s->memory));
}
static const char *visits(say *s, const works_plan *works) {
    return say_print(s, "%zu", count_visits(works));
}

static void write_rows(writing *w) {
    static const struct {
        const char *label;
        const char *(*say)(say *, const works_plan *);
    } lines[] = {{"The works end", ends},
                 {"Days of work", days},
                 {"Out of service", works_said_out},
                 {"Back in service", works_said_deadline},
                 {"Curing visits", visits}};
    json_out *o = &w->o;
    json_out_open(o, "rows", '[');
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        const char *now = or_none(lines[i].say(&w->words, w->now));
        if (!*now) continue;
        json_out_open(o, NULL, '{');
        json_out_text(o, "label", lines[i].label);
        json_out_text(o, "now", now);
        json_out_text(o, "at", w->at ? or_none(lines[i].say(&w->words, w->at)) : "");
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static bool is_in(const works_plan *works, const char *sentence) {
    for (size_t i = 0; i < works->n_warnings; i++)
        if (strcmp(works->warnings[i], sentence) == 0) return true;
    return false;
}

static void write_all(writing *w) {
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    json_out_text(o, "state", "made");
    json_out_text(o, "at", say_value(&w->words, UNITS_TEMPERATURE, w->temperature_c));
    json_out_text(o, "problem", w->problem);
    write_rows(w);
    write_batches(w);
    json_out_open(o, "warnings", '[');
    for (size_t i = 0; w->at && i < w->at->n_warnings; i++)
        if (!is_in(w->now, w->at->warnings[i])) json_out_text(o, NULL, w->at->warnings[i]);
    json_out_close(o, ']');
    json_out_close(o, '}');
}

/* What was recorded, as the plan had it. `in`: the survey with an arena of this call: that of the plan is shared. */
static status load_past(const char *path, const survey *in, const works_at_request *request,
                        const works_past **past, fault *why) {
    const ops_plan_request as = {
        .works = true, .now = request->now, .utc_offset_min = request->utc_offset_min};
    store *job = NULL;
    status code = store_open(path, false, &job, why);
    if (code == OK) code = again_load(job, in, &as, past, why);
    store_close(job);
    return code;
}

static status make(writing *w, const char *path, const works_at_request *request, fault *why) {
    survey in = *w->p->survey;
    works_options with = {
        .seed = PLAN_WORKS_SEED, .stop = request->stop, .temperature_c = {true, request->temperature_c}};
    works_plan *made = arena_get(w->memory, 1, sizeof *made);
    fault reason = {0};
    in.memory = w->memory;
    if (!made) return fault_memory(why);
    status code = load_past(path, &in, request, &with.past, why);
    if (code != OK) return code;
    code = plan_works(w->p, &with, w->memory, made, &reason);
    if (request->stop && atomic_load(request->stop)) return fault_set(why, E_STATE, "stopped");
    if (code == E_MEMORY) return fault_memory(why);
    if (code == OK)
        w->at = made;
    else
        w->problem = arena_copy(w->memory, reason.text);
    return w->at || w->problem ? OK : fault_memory(why);
}

status works_at_check(const survey *s, double temperature_c, fault *why) {
    char here[UNITS_SHOWN], least[UNITS_SHOWN], most[UNITS_SHOWN];
    if (temperature_c >= WORKS_AT_LEAST_C && temperature_c <= WORKS_AT_MOST_C) return OK;
    units_system u = s->site.system;
    return fault_set(why, E_INPUT, "the temperature is %s; it must lie in %s to %s",
                     units_show(UNITS_TEMPERATURE, u, temperature_c, 1, here),
                     units_show(UNITS_TEMPERATURE, u, WORKS_AT_LEAST_C, 0, least),
                     units_show(UNITS_TEMPERATURE, u, WORKS_AT_MOST_C, 0, most));
}

status ops_works_at_json(const char *path, const plan *p, const works_at_request *request, text *out,
                         fault *why) {
    writing w = {.p = p,
                 .now = p->works,
                 .temperature_c = request->temperature_c,
                 .memory = arena_new(),
                 .o = {.to = out, .system = p->survey->site.system}};
    w.words = (say){w.memory, p->survey->site.system, p->survey->site.currency, false};
    if (!w.memory) return fault_memory(why);
    status code = works_at_check(p->survey, request->temperature_c, why);
    if (code == OK && (!p->works || p->works->n_tasks == 0))
        code = fault_set(why, E_STATE, "no works are planned: %s",
                         p->works_problem ? p->works_problem : "no leak can be worked on yet");
    if (code == OK) code = make(&w, path, request, why);
    if (code == OK) code = count_batches(&w, why);
    if (code == OK) write_all(&w);
    if (code == OK && (out->failed || w.words.failed)) code = fault_memory(why);
    arena_free(w.memory);
    return code;
}
