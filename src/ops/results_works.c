/* Who does what when, as JSON. Times are minutes from 0 h of the first day of work; where that is told, local times too. */
#include "ops/results.h"

#include "core/date.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

typedef struct {
    json_out *o;
    const plan *p;
    const works_plan *w;
    bool dated;
    long long first_day;
} writing;

/* "start_min": 420, "start": "2026-03-02T07:00" */
static void write_moment(const writing *k, const char *name, int minute) {
    enum { HOUR_MIN = 60 };
    char member[40], words[40];
    snprintf(member, sizeof member, "%s_min", name);
    json_out_whole(k->o, member, minute);
    if (!k->dated || minute < 0) return;
    calendar_day day = date_of_days(k->first_day + minute / WORKS_DAY_MIN);
    snprintf(words, sizeof words, "%04d-%02d-%02dT%02d:%02d", day.year, day.month, day.day,
             minute % WORKS_DAY_MIN / HOUR_MIN, minute % HOUR_MIN);
    json_out_text(k->o, name, words);
}

static void write_batch(const writing *k, const works_batch *b) {
    json_out *o = k->o;
    json_out_open(o, NULL, '{');
    json_out_text(o, "material", b->material->id);
    json_out_quantity(o, "volume", UNITS_VOLUME, b->volume_m3);
    if (b->powder_kg > 0) {
        json_out_quantity(o, "powder", UNITS_MASS, b->powder_kg);
        json_out_quantity(o, "water", UNITS_VOLUME, b->water_m3);
    }
    json_out_quantity(o, "tub", UNITS_VOLUME, b->tub_m3);
    json_out_number(o, "powder_tubs", b->powder_tubs);
    if (b->powder_kg > 0) json_out_number(o, "water_tubs", b->water_tubs);
    write_moment(k, "mixed", b->mixed_min);
    if (b->use_by_min < INT_MAX) write_moment(k, "use_by", b->use_by_min);
    write_moment(k, "placed", b->placed_min);
    json_out_close(o, '}');
}

static void write_needs(const writing *k, const works_task *t) {
    static const char *const people[WORKER_KINDS] = {"cutter", "placer", "mixer", "any"};
    json_out *o = k->o;
    json_out_open(o, "people", '{');
    for (int i = 0; i < WORKER_KINDS; i++)
        if (t->people[i]) json_out_whole(o, people[i], t->people[i]);
    json_out_close(o, '}');
    json_out_open(o, "plant", '[');
    for (int i = 0; i < PLANT_COUNT; i++)
        if (t->plant & 1u << i) json_out_text(o, NULL, survey_plant_words[i]);
    json_out_close(o, ']');
    json_out_open(o, "workers", '[');
    for (size_t i = 0; i < t->n_workers; i++) json_out_text(o, NULL, k->w->workers[t->workers[i]]);
    json_out_close(o, ']');
}

static void write_after(const writing *k, const works_task *t) {
    json_out *o = k->o;
    json_out_open(o, "after", '[');
    for (size_t i = 0; i < t->n_after; i++) {
        const schedule_after *a = &t->after[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "task", k->w->tasks[a->task].id);
        json_out_whole(o, "least_min", a->min_lag);
        if (a->max_lag != SCHEDULE_NO_LIMIT) json_out_whole(o, "most_min", a->max_lag);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static void write_task(const writing *k, const works_task *t) {
    json_out *o = k->o;
    json_out_open(o, NULL, '{');
    json_out_text(o, "id", t->id);
    json_out_text(o, "title", t->title);
    json_out_text(o, "step", t->step);
    if (t->leak < k->p->n_leaks) json_out_text(o, "mark", k->p->leaks[t->leak].defect->mark);
    json_out_text(o, "face", k->p->survey->faces[t->face].id);
    json_out_whole(o, "minutes", t->minutes);
    write_moment(k, "start", t->start_min);
    write_moment(k, "end", t->end_min);
    json_out_bool(o, "noisy", t->noisy);
    json_out_bool(o, "done", t->done);
    json_out_bool(o, "begun", t->begun);
    write_needs(k, t);
    write_after(k, t);
    json_out_open(o, "batches", '[');
    for (size_t i = 0; i < t->n_batches; i++) write_batch(k, &t->batches[i]);
    json_out_close(o, ']');
    json_out_close(o, '}');
}

static void write_exposure(const writing *k, const works_day_exposure *e) {
    json_out *o = k->o;
    json_out_open(o, NULL, '{');
    json_out_whole(o, "day", e->day);
    json_out_text(o, "worker", k->w->workers[e->worker]);
    json_out_number(o, "vibration_points", e->vibration_points);
    json_out_number(o, "a8_m_s2", e->a8_m_s2);
    json_out_number(o, "noise_dose_percent", e->noise_dose_percent);
    json_out_number(o, "noise_twa_dba", e->noise_twa_dba);
    json_out_number(o, "silica_min", e->silica_min);
    json_out_whole(o, "respirator_apf", e->respirator_apf);
    json_out_bool(o, "over_action", e->over_action);
    json_out_bool(o, "over_limit", e->over_limit);
    if (e->sentence) json_out_text(o, "sentence", e->sentence);
    json_out_close(o, '}');
}

static void write_service(const writing *k) {
    const works_plan *w = k->w;
    json_out *o = k->o;
    write_moment(k, "makespan", w->makespan_min);
    json_out_whole(o, "lower_bound_min", w->lower_bound_min);
    json_out_number(o, "gap_percent", w->gap_percent);
    json_out_whole(o, "schedules", w->schedules);
    write_moment(k, "out_from", w->out_from_min);
    write_moment(k, "out_to", w->out_to_min);
    if (w->back_min >= 0) {
        write_moment(k, "back", w->back_min);
        json_out_bool(o, "late", w->late);
        json_out_whole(o, "late_min", w->late_min);
    }
}

static void write_lists(const writing *k) {
    const works_plan *w = k->w;
    json_out *o = k->o;
    json_out_open(o, "workers", '[');
    for (size_t i = 0; i < w->n_workers; i++) json_out_text(o, NULL, w->workers[i]);
    json_out_close(o, ']');
    json_out_open(o, "tasks", '[');
    for (size_t i = 0; i < w->n_tasks; i++) write_task(k, &w->tasks[i]);
    json_out_close(o, ']');
    json_out_open(o, "exposures", '[');
    for (size_t i = 0; i < w->n_exposures; i++) write_exposure(k, &w->exposures[i]);
    json_out_close(o, ']');
    json_out_open(o, "warnings", '[');
    for (size_t i = 0; i < w->n_warnings; i++) json_out_text(o, NULL, w->warnings[i]);
    json_out_close(o, ']');
}

static void write_moved(const writing *k) {
    json_out_open(k->o, "moved", '[');
    for (size_t i = 0; i < k->p->n_moved; i++) {
        const works_moved *m = &k->p->moved[i];
        json_out_open(k->o, NULL, '{');
        json_out_text(k->o, "task", m->task);
        if (m->from_min >= 0) write_moment(k, "from", m->from_min);
        if (m->to_min >= 0) write_moment(k, "to", m->to_min);
        json_out_text(k->o, "sentence", m->sentence);
        json_out_close(k->o, '}');
    }
    json_out_close(k->o, ']');
}

void results_write_works(json_out *o, const plan *p) {
    writing k = {.o = o, .p = p, .w = p->works};
    if (p->works_problem) json_out_text(o, "problem", p->works_problem);
    if (!p->works) return;
    if (p->works->start_on) json_out_text(o, "start_on", p->works->start_on);
    k.dated = date_day(p->works->start_on, &k.first_day);
    write_service(&k);
    write_lists(&k);
    write_moved(&k);
}
