/* One day of the works, as its sheet has it. */
#include "ops/view_works.h"

#include "report/day_sheet.h"

#include <string.h>

typedef struct {
    const plan *p;
    const works_plan *works;
    say words;
    json_out o;
} writing;

/* Members of a list of objects: name, text, name, text ..., NULL. */
static void write_row(json_out *o, const char *const members[]) {
    json_out_open(o, NULL, '{');
    for (; *members; members += 2) json_out_text(o, members[0], members[1] ? members[1] : "");
    json_out_close(o, '}');
}

#define ROW(...) write_row(o, (const char *const[]){__VA_ARGS__, NULL})

static bool has_worker(const works_task *t, size_t worker) {
    for (size_t i = 0; i < t->n_workers; i++)
        if (t->workers[i] >= 0 && (size_t)t->workers[i] == worker) return true;
    return false;
}

static const char *where(const survey *s, const works_task *t) {
    if (t->leak < s->n_defects) return s->defects[t->leak].mark;
    return s->faces[t->face].name ? s->faces[t->face].name : s->faces[t->face].id;
}

/* The task of a worker that begins next: after the one at `last`, by start and place in the plan. SIZE_MAX: none. */
static size_t next_task(const writing *w, int day, size_t worker, size_t last) {
    const works_task *tasks = w->works->tasks;
    size_t best = SIZE_MAX;
    for (size_t i = 0; i < w->works->n_tasks; i++) {
        const works_task *t = &tasks[i];
        if (works_day_of(t->start_min) != day || !has_worker(t, worker)) continue;
        if (last != SIZE_MAX &&
            (t->start_min < tasks[last].start_min || (t->start_min == tasks[last].start_min && i <= last)))
            continue;
        if (best == SIZE_MAX || t->start_min < tasks[best].start_min) best = i;
    }
    return best;
}

static void write_worker(writing *w, int day, size_t worker) {
    json_out *o = &w->o;
    size_t i = next_task(w, day, worker, SIZE_MAX);
    if (i == SIZE_MAX) return;
    json_out_open(o, NULL, '{');
    json_out_text(o, "who", w->works->workers[worker]);
    json_out_open(o, "tasks", '[');
    for (; i != SIZE_MAX; i = next_task(w, day, worker, i)) {
        const works_task *t = &w->works->tasks[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "hours", works_said_hours(&w->words, t->start_min, t->end_min));
        json_out_text(o, "where", where(w->p->survey, t));
        json_out_bool(o, "leak", t->leak < w->p->survey->n_defects);
        json_out_text(o, "task",
                      t->parts > 1 ? say_print(&w->words, "%s (%d of %d)", t->title, t->part, t->parts)
                                   : t->title);
        json_out_bool(o, "done", t->done);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
    json_out_close(o, '}');
}

static void write_tables(writing *w, const day_sheet *d) {
    json_out *o = &w->o;
    json_out_open(o, "tasks", '[');
    for (size_t i = 0; i < d->n_tasks; i++) {
        const day_task *t = &d->tasks[i];
        ROW("hours", t->hours, "where", t->where, "task", t->task, "people", t->people, "plant", t->plant);
    }
    json_out_close(o, ']');
    json_out_open(o, "batches", '[');
    for (size_t i = 0; i < d->n_batches; i++) {
        const day_batch *b = &d->batches[i];
        ROW("what", b->what, "mixed", b->mixed, "use_by", b->use_by, "take", b->take, "measure", b->measure);
    }
    json_out_close(o, ']');
    json_out_open(o, "holds", '[');
    for (size_t i = 0; i < d->n_holds; i++) ROW("where", d->holds[i].where, "title", d->holds[i].title);
    json_out_close(o, ']');
}

static void write_safety(writing *w, const day_sheet *d) {
    json_out *o = &w->o;
    json_out_open(o, "exposures", '[');
    for (size_t i = 0; i < d->n_people; i++) {
        const day_person *p = &d->people[i];
        ROW("who", p->who, "vibration", p->vibration, "noise", p->noise, "silica", p->silica, "respirator",
            p->respirator, "saying", p->sentence);
    }
    json_out_close(o, ']');
    json_out_open(o, "controls", '[');
    for (size_t i = 0; i < d->n_controls; i++)
        ROW("tool", d->controls[i].first, "control", d->controls[i].second);
    json_out_close(o, ']');
    json_out_open(o, "cautions", '[');
    for (size_t i = 0; i < d->n_cautions; i++)
        ROW("marks", d->cautions[i].first, "caution", d->cautions[i].second);
    json_out_close(o, ']');
}

/* The nearest day with work before or after, `step` -1 or 1; null: none. */
static void write_neighbour(writing *w, const char *name, int day, int step) {
    int last = works_day_of(w->works->makespan_min);
    for (day += step; day >= 0 && day <= last; day += step)
        if (day_sheet_worked(w->works, day)) {
            json_out_whole(&w->o, name, day + 1);
            return;
        }
    json_out_null(&w->o, name);
}

static void write_day(writing *w, const ops_view *view, const day_sheet *d) {
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    json_out_text(o, "job", view->job);
    json_out_bool(o, "current", view->current);
    json_out_whole(o, "day", d->day + 1);
    json_out_text(o, "date", d->date);
    json_out_text(o, "title", d->title);
    json_out_text(o, "site", d->site);
    json_out_text(o, "hours", d->hours);
    json_out_text(o, "people", d->crew);
    write_neighbour(w, "before", d->day, -1);
    write_neighbour(w, "after", d->day, 1);
    json_out_open(o, "crew", '[');
    for (size_t i = 0; i < w->works->n_workers; i++) write_worker(w, d->day, i);
    json_out_close(o, ']');
    write_tables(w, d);
    json_out_text(o, "tub", d->tub);
    json_out_text(o, "visits", d->visits);
    write_safety(w, d);
    json_out_close(o, '}');
}

status ops_day_view_json(const plan *p, const char *word, const ops_view *view, text *out, fault *why) {
    writing w = {.p = p, .works = p->works, .o = {.to = out, .system = p->survey->site.system}};
    day_sheet sheet;
    int day;
    if (!p->works || p->works->n_tasks == 0)
        return fault_set(why, E_STATE, "no works are planned: %s",
                         p->works_problem ? p->works_problem : "no leak can be worked on yet");
    w.words = (say){arena_new(), p->survey->site.system, p->survey->site.currency, false};
    if (!w.words.memory) return fault_memory(why);
    status code = day_sheet_find(p->works, word, &w.words, &day, why);
    if (code == OK) code = day_sheet_make(p, p->works, day, &w.words, &sheet, why);
    if (code == OK) write_day(&w, view, &sheet);
    if (code == OK && (out->failed || w.words.failed)) code = fault_memory(why);
    arena_free(w.words.memory);
    return code;
}
