#include "ops/view_works.h"

#include "report/day_sheet.h"

#include <stdlib.h>
#include <string.h>

typedef struct {
    const plan *p;
    const works_plan *works;
    say words;
    json_out o;
} writing;

static void write_list(json_out *o, const char *name, const char *const *list, size_t n) {
    json_out_open(o, name, '[');
    for (size_t i = 0; i < n; i++) json_out_text(o, NULL, list[i]);
    json_out_close(o, ']');
}

static const char *mark_of(const writing *w, const works_task *t) {
    return t->leak < w->p->survey->n_defects ? w->p->survey->defects[t->leak].mark : "";
}

static const char *face_of(const writing *w, const works_task *t) {
    const survey_face *f = &w->p->survey->faces[t->face];
    return f->name ? f->name : f->id;
}

static bool is_visit(const works_task *t) {
    return strcmp(t->step, "mist") == 0;
}

static void write_date(writing *w, int day) {
    calendar_day at;
    json_out_whole(&w->o, "day", day + 1);
    if (works_date(w->works, day, &at))
        json_out_text(&w->o, "date", say_print(&w->words, "%04d-%02d-%02d", at.year, at.month, at.day));
    else
        json_out_null(&w->o, "date");
}

static void write_workers(writing *w, const works_task *t) {
    json_out_open(&w->o, "workers", '[');
    for (size_t i = 0; i < t->n_workers; i++) json_out_text(&w->o, NULL, w->works->workers[t->workers[i]]);
    json_out_close(&w->o, ']');
}

/* ---- tasks in the order of their starts ---- */

typedef struct {
    const works_task *task;
} in_turn;

static int earlier(const void *a, const void *b) {
    const works_task *s = ((const in_turn *)a)->task, *t = ((const in_turn *)b)->task;
    if (s->start_min != t->start_min) return s->start_min < t->start_min ? -1 : 1;
    return (s > t) - (s < t); /* of one array */
}

static in_turn *sort_tasks(writing *w) {
    size_t n = w->works->n_tasks;
    in_turn *list = arena_get(w->words.memory, n, sizeof *list);
    if (!list) {
        w->words.failed = true;
        return NULL;
    }
    for (size_t i = 0; i < n; i++) list[i].task = &w->works->tasks[i];
    qsort(list, n, sizeof *list, earlier);
    return list;
}

static void write_task(writing *w, const works_task *t) {
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    json_out_text(o, "id", t->id);
    json_out_text(o, "mark", mark_of(w, t));
    json_out_text(o, "face", face_of(w, t));
    json_out_text(o, "title",
                  t->parts > 1 ? say_print(&w->words, "%s (%d of %d)", t->title, t->part, t->parts)
                               : t->title);
    json_out_text(o, "step", t->step);
    json_out_whole(o, "day", works_day_of(t->start_min) + 1);
    json_out_text(o, "when",
                  t->end_min > t->start_min ? works_said_span(&w->words, w->works, t->start_min, t->end_min)
                                            : works_said_moment(&w->words, w->works, t->start_min));
    write_workers(w, t);
    json_out_open(o, "plant", '[');
    for (int i = 0; i < PLANT_COUNT; i++)
        if (t->plant & 1u << i) json_out_text(o, NULL, survey_plant_words[i]);
    json_out_close(o, ']');
    json_out_bool(o, "done", t->done);
    json_out_bool(o, "begun", t->begun);
    json_out_whole(o, "batches", (long long)t->n_batches);
    json_out_close(o, '}');
}

static void write_visit(writing *w, const works_task *t) {
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    write_date(w, works_day_of(t->start_min));
    json_out_text(o, "at", works_said_moment(&w->words, w->works, t->start_min));
    json_out_text(o, "where", face_of(w, t));
    json_out_text(o, "title", t->title);
    write_workers(w, t);
    json_out_bool(o, "done", t->done);
    json_out_close(o, '}');
}

/* ---- days ---- */

static const char *hours_of(writing *w, int day) {
    const char *all = "";
    for (size_t i = 0; i < w->works->n_shifts; i++) {
        const works_shift *s = &w->works->shifts[i];
        if (s->day == day)
            all = say_print(&w->words, "%s%s%s", all, *all ? ", " : "",
                            works_said_hours(&w->words, s->from_min, s->to_min));
    }
    return all;
}

static bool is_over(const works_plan *works, int day) {
    for (size_t i = 0; i < works->n_exposures; i++)
        if (works->exposures[i].day == day &&
            (works->exposures[i].over_action || works->exposures[i].over_limit))
            return true;
    return false;
}

/* Of the tasks from *at on those of `day`; *at goes behind them. Marks in the order of the first task. */
static void write_day(writing *w, int day, const in_turn *list, size_t *at) {
    const survey *s = w->p->survey;
    json_out *o = &w->o;
    bool *told = arena_get(w->words.memory, s->n_defects, sizeof *told);
    int tasks = 0, visits = 0;
    if (!told) {
        w->words.failed = true;
        return;
    }
    json_out_open(o, NULL, '{');
    write_date(w, day);
    json_out_text(o, "label", works_said_day(&w->words, w->works, day, DAY_MONTH));
    json_out_text(o, "hours", hours_of(w, day));
    json_out_open(o, "marks", '[');
    for (; *at < w->works->n_tasks && works_day_of(list[*at].task->start_min) <= day; ++*at) {
        const works_task *t = list[*at].task;
        if (works_day_of(t->start_min) < day || t->minutes <= 0) continue;
        if (is_visit(t))
            visits++;
        else
            tasks++;
        if (t->leak >= s->n_defects || told[t->leak]) continue;
        told[t->leak] = true;
        json_out_text(o, NULL, s->defects[t->leak].mark);
    }
    json_out_close(o, ']');
    json_out_whole(o, "tasks", tasks);
    json_out_whole(o, "visits", visits);
    json_out_bool(o, "over", is_over(w->works, day));
    json_out_close(o, '}');
}

static void write_days(writing *w, const in_turn *list) {
    size_t at = 0, n = w->works->n_tasks;
    int last = n ? works_day_of(list[n - 1].task->start_min) : -1;
    json_out_open(&w->o, "days", '[');
    for (int day = n ? works_day_of(list[0].task->start_min) : 0; day <= last && !w->words.failed; day++)
        if (day_sheet_worked(w->works, day)) write_day(w, day, list, &at);
    json_out_close(&w->o, ']');
}

/* ---- the rest ---- */

/* What is passed; all figures of a day stand on its own sheet. */
static void write_exposures(writing *w) {
    json_out *o = &w->o;
    json_out_open(o, "exposures", '[');
    for (size_t i = 0; i < w->works->n_exposures; i++) {
        const works_day_exposure *e = &w->works->exposures[i];
        if (!e->over_action && !e->over_limit && !e->sentence) continue;
        json_out_open(o, NULL, '{');
        json_out_whole(o, "day", e->day + 1);
        json_out_text(o, "label", works_said_day(&w->words, w->works, e->day, DAY_MONTH));
        json_out_text(o, "worker", w->works->workers[e->worker]);
        json_out_text(o, "over", e->over_limit ? "limit" : e->over_action ? "action" : "");
        json_out_text(o, "saying", e->sentence ? e->sentence : "");
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static bool has_begun(const works_plan *works) {
    for (size_t i = 0; i < works->n_tasks; i++)
        if (works->tasks[i].done || works->tasks[i].begun) return true;
    return false;
}

static void say_any(json_out *o, const char *name, const char *value) {
    json_out_text(o, name, value ? value : "");
}

static void write_head(writing *w) {
    const works_plan *works = w->works;
    json_out *o = &w->o;
    say *s = &w->words;
    json_out_text(o, "start_on", works->start_on);
    say_any(o, "when", works_said_when(s, works));
    say_any(o, "out", works_said_out(s, works));
    say_any(o, "deadline", works_said_deadline(s, works));
    json_out_bool(o, "late", works->late);
    say_any(o, "bound", works_said_bound(s, works));
    say_any(o, "absent", works_said_absent(s, w->p->survey, works));
    json_out_bool(o, "begun", has_begun(works));
}

static void write_works(writing *w, const in_turn *list) {
    json_out *o = &w->o;
    size_t n = w->works->n_tasks;
    write_head(w);
    write_days(w, list);
    json_out_open(o, "tasks", '[');
    for (size_t i = 0; i < n; i++)
        if (!is_visit(list[i].task)) write_task(w, list[i].task);
    json_out_close(o, ']');
    json_out_open(o, "visits", '[');
    for (size_t i = 0; i < n; i++)
        if (is_visit(list[i].task)) write_visit(w, list[i].task);
    json_out_close(o, ']');
    write_exposures(w);
    write_list(o, "warnings", w->works->warnings, w->works->n_warnings);
    json_out_open(o, "moved", '[');
    for (size_t i = 0; i < w->p->n_moved; i++) json_out_text(o, NULL, w->p->moved[i].sentence);
    json_out_close(o, ']');
}

status ops_works_view_json(const plan *p, const ops_view *view, text *out, fault *why) {
    writing w = {.p = p, .works = p->works, .o = {.to = out, .system = p->survey->site.system}};
    w.words = (say){arena_new(), p->survey->site.system, p->survey->site.currency, false};
    if (!w.words.memory) return fault_memory(why);
    bool any = p->works && p->works->n_tasks > 0;
    json_out_open(&w.o, NULL, '{');
    json_out_text(&w.o, "state", any ? "planned" : "problem");
    json_out_whole(&w.o, "revision", view->revision);
    json_out_bool(&w.o, "current", view->current);
    if (any) {
        const in_turn *list = sort_tasks(&w);
        if (list) write_works(&w, list);
    } else {
        json_out_text(&w.o, "problem",
                      p->works_problem ? p->works_problem : "There is no leak that can be worked on yet.");
    }
    json_out_close(&w.o, '}');
    arena_free(w.words.memory);
    return out->failed || w.words.failed ? fault_memory(why) : OK;
}
