#include "report/day_sheet.h"

#include "repair/tools.h"

#include <limits.h>
#include <string.h>

/* ---- the parts of a sheet ---- */

typedef struct {
    const plan *plan;
    const works_plan *works;
    say *words;
    day_sheet *out;
    const works_task **tasks; /* of the day, by start */
    size_t n;
} writing;

/* One more element of a list; sets `failed` without memory. */
#define ADD(list, count) add(w, (void **)&w->out->list, &w->out->count, sizeof *w->out->list)
static void *add(writing *w, void **list, size_t *n, size_t size) {
    void *grown = arena_push(w->words->memory, *list, n, size);
    if (!grown) {
        w->words->failed = true;
        return NULL;
    }
    *list = grown;
    return (char *)grown + (*n - 1) * size;
}

static bool is_visit(const works_task *t) {
    return strcmp(t->step, "mist") == 0;
}

/* As the title of a visit has its face: by name, or by id. */
static const char *face_said(const writing *w, const works_task *t) {
    const survey *s = w->plan->survey;
    if (t->leak < s->n_defects || t->face >= s->n_faces) return "";
    return s->faces[t->face].name ? s->faces[t->face].name : s->faces[t->face].id;
}

/* Short, for a narrow column. */
static const char *where(const writing *w, const works_task *t) {
    const survey *s = w->plan->survey;
    if (t->leak < s->n_defects) return s->defects[t->leak].mark;
    return t->face < s->n_faces ? say_print(w->words, "face %s", s->faces[t->face].id) : "";
}

static void find_tasks(writing *w, int day) {
    for (size_t i = 0; i < w->works->n_tasks; i++) {
        const works_task *t = &w->works->tasks[i];
        if (works_day_of(t->start_min) != day) continue;
        const works_task **all = arena_push(w->words->memory, w->tasks, &w->n, sizeof(works_task *));
        if (!all) {
            w->words->failed = true;
            return;
        }
        w->tasks = all;
        size_t k = w->n - 1;
        for (; k > 0 && all[k - 1]->start_min > t->start_min; k--) all[k] = all[k - 1];
        all[k] = t;
    }
}

static const char *people_of(const writing *w, const works_task *t) {
    const char *all = "";
    int needed = 0;
    for (size_t i = 0; i < t->n_workers; i++) {
        bool known = t->workers[i] >= 0 && (size_t)t->workers[i] < w->works->n_workers;
        if (known)
            all = say_print(w->words, "%s%s%s", all, *all ? ", " : "", w->works->workers[t->workers[i]]);
    }
    for (int i = 0; i < WORKER_KINDS; i++) needed += t->people[i];
    if (*all || needed == 0) return all;
    return say_print(w->words, "%d %s", needed, needed == 1 ? "person" : "people");
}

static const char *plant_of(const writing *w, unsigned plant) {
    const char *all = "";
    for (int i = 0; i < PLANT_COUNT; i++)
        if (plant & 1u << i)
            all = say_print(w->words, "%s%s%s", all, *all ? ", " : "", survey_plant_words[i]);
    return all;
}

static bool same_people(const works_task *a, const works_task *b) {
    if (a->n_workers != b->n_workers || a->n_workers == 0) return false;
    return memcmp(a->workers, b->workers, a->n_workers * sizeof *a->workers) == 0;
}

/* The row of the task that this one goes on from, of those of the day before it; NULL: it has a row of its own. */
static day_task *goes_on(const writing *w, size_t at, const size_t *row_of) {
    const works_task *t = w->tasks[at];
    for (size_t i = at; i-- > 0;) {
        const works_task *before = w->tasks[i];
        if (before->leak != t->leak || before->end_min != t->start_min || is_visit(t) ||
            before->done != t->done)
            continue;
        if (before->end_min > before->start_min && same_people(before, t)) return &w->out->tasks[row_of[i]];
    }
    return NULL;
}

static const char *joined(writing *w, const char *some, const char *more) {
    if (!*more || strstr(some, more)) return some;
    return *some ? say_print(w->words, "%s, %s", some, more) : more;
}

static void write_task(writing *w, size_t at, size_t *row_of) {
    const works_task *t = w->tasks[at];
    day_task *row = goes_on(w, at, row_of);
    const char *title = works_said_task(w->words, t, face_said(w, t));
    if (row) {
        row->to_min = t->end_min;
        row->hours = works_said_hours(w->words, row->from_min, row->to_min);
        row->task =
            say_print(w->words, "%s, %s %s", row->task, works_said_time(w->words, t->start_min), title);
        row->plant_bits |= t->plant;
        row->plant = plant_of(w, row->plant_bits);
    } else {
        row = ADD(tasks, n_tasks);
        if (!row) return;
        *row = (day_task){.hours = works_said_hours(w->words, t->start_min, t->end_min),
                          .where = where(w, t),
                          .task = t->done ? say_print(w->words, "Done: %s", title) : title,
                          .people = people_of(w, t),
                          .plant = plant_of(w, t->plant),
                          .plant_bits = t->plant,
                          .from_min = t->start_min,
                          .to_min = t->end_min};
    }
    row_of[at] = (size_t)(row - w->out->tasks);
    if (is_visit(t) && !t->done)
        w->out->visits =
            joined(w, w->out->visits,
                   say_print(w->words, "%s %s", works_said_time(w->words, t->start_min), where(w, t)));
}

static void write_tasks(writing *w) {
    size_t *row_of = arena_get(w->words->memory, w->n, sizeof *row_of);
    if (!row_of) w->words->failed = true;
    for (size_t i = 0; i < w->n && !w->words->failed; i++) write_task(w, i, row_of);
}

/* ---- batches ---- */

static const char *measured(writing *w, const works_batch *b) {
    if (!(b->tub_m3 > 0)) return "";
    say *s = w->words;
    const char *vessel = b->tub_m3 < WORKS_TUB_M3 ? "cup" : "tub";
    w->out->tub = say_print(s, "Powder + water. A tub holds %s, a cup %s, each with %d marks.",
                            say_value(s, UNITS_VOLUME, WORKS_TUB_M3),
                            say_value(s, UNITS_VOLUME, WORKS_CUP_M3), WORKS_TUB_PARTS);
    if (!(b->powder_kg > 0)) return say_print(s, "%s %s", say_plain(s, b->powder_tubs, 2), vessel);
    return say_print(s, "%s + %s %s", say_plain(s, b->powder_tubs, 2), say_plain(s, b->water_tubs, 2),
                     vessel);
}

enum { TIMES_SHOWN = 3 };

static void times_of(writing *w, const works_task *t, size_t from, size_t n, day_batch *row) {
    const works_batch *b = t->batches + from;
    say *s = w->words;
    int mixed[TIMES_SHOWN], use_by[TIMES_SHOWN];
    size_t shown = n < TIMES_SHOWN ? n : TIMES_SHOWN;
    for (size_t i = 0; i < shown; i++) {
        mixed[i] = b[i].mixed_min;
        use_by[i] = b[i].use_by_min;
    }
    row->mixed = works_said_times(s, mixed, shown);
    row->use_by = works_said_times(s, use_by, shown);
    if (b[0].use_by_min == INT_MAX) row->use_by = "not known: see its data sheet";
    if (n <= TIMES_SHOWN) return;
    row->mixed = say_print(s, "%zu, %s", n, works_said_hours(s, b[0].mixed_min, b[n - 1].mixed_min));
    if (b[0].use_by_min < INT_MAX)
        row->use_by = say_print(s, "each in %d min", b[0].use_by_min - b[0].mixed_min);
}

/* Batches of one kind and size, one after another, are one row. */
static size_t alike(const works_task *t, size_t from) {
    size_t end = from + 1;
    const works_batch *b = t->batches;
    while (end < t->n_batches && b[end].step == b[from].step && !(b[end].volume_m3 < b[from].volume_m3) &&
           !(b[end].volume_m3 > b[from].volume_m3) &&
           b[end].use_by_min - b[end].mixed_min == b[from].use_by_min - b[from].mixed_min)
        end++;
    return end - from;
}

static void write_batches(writing *w) {
    for (size_t i = 0; i < w->n; i++)
        for (size_t k = 0, n; k < w->tasks[i]->n_batches; k += n) {
            const works_task *t = w->tasks[i];
            const works_batch *b = &t->batches[k];
            day_batch *row = ADD(batches, n_batches);
            n = alike(t, k);
            if (!row) return;
            const char *what = b->step < MIX_COUNT ? takeoff_step_words[b->step]
                               : b->material       ? b->material->name
                                                   : "fill";
            bool powder = b->powder_kg > 0;
            const char *take =
                powder ? say_print(w->words, "%s + %s", say_value(w->words, UNITS_MASS, b->powder_kg),
                                   say_value(w->words, UNITS_VOLUME, b->water_m3))
                       : say_value(w->words, UNITS_VOLUME, b->volume_m3);
            *row = (day_batch){.what = say_print(w->words, "%s %s", where(w, t), what),
                               .take = take,
                               .measure = measured(w, b)};
            times_of(w, t, k, n, row);
        }
}

/* ---- hold points, controls, cautions: from the cards of the day's leaks ---- */

static const plan_step *step_of(const writing *w, const works_task *t) {
    if (t->leak >= w->plan->n_leaks) return NULL;
    const plan_card *card = &w->plan->cards[t->leak];
    for (size_t i = 0; i < card->n_steps; i++)
        if (strcmp(card->steps[i].code, t->step) == 0) return &card->steps[i];
    return NULL;
}

static void write_holds(writing *w) {
    for (size_t i = 0; i < w->n; i++) {
        const works_task *t = w->tasks[i];
        const plan_step *step = step_of(w, t);
        if (!step || !step->hold || t->done || t->part != t->parts) continue;
        day_hold *row = ADD(holds, n_holds);
        if (!row) return;
        *row = (day_hold){where(w, t), step->title};
    }
}

static void write_controls(writing *w) {
    bool told[EXPOSURE_TOOLS] = {false};
    for (size_t i = 0; i < w->n; i++) {
        const works_task *t = w->tasks[i];
        if (t->leak >= w->plan->n_leaks) continue;
        const exposure_tool *tool =
            tool_of_step(w->plan->leaks[t->leak].defect, &w->plan->designs[t->leak], t->step);
        if (!tool || told[tool - exposure_tools]) continue;
        told[tool - exposure_tools] = true;
        day_line *row = ADD(controls, n_controls);
        if (!row) return;
        *row = (day_line){tool->tool, tool->row < SILICA_ROWS ? exposure_control(tool->row) : ""};
    }
}

/* Marks of the day's leaks whose card has the caution; "" when all have it. */
static const char *cautioned(writing *w, const bool *of_day, const char *caution) {
    const char *marks = "";
    bool all = true;
    for (size_t i = 0; i < w->plan->n_leaks; i++) {
        const plan_card *card = &w->plan->cards[i];
        bool has = false;
        for (size_t k = 0; k < card->n_cautions; k++) has = has || strcmp(card->cautions[k], caution) == 0;
        if (!of_day[i]) continue;
        if (has)
            marks =
                say_print(w->words, "%s%s%s", marks, *marks ? ", " : "", w->plan->survey->defects[i].mark);
        all = all && has;
    }
    return all ? "" : marks;
}

static bool is_told(const day_sheet *d, const char *caution) {
    for (size_t i = 0; i < d->n_cautions; i++)
        if (strcmp(d->cautions[i].second, caution) == 0) return true;
    return false;
}

/* Of leaks that are worked on: a proof or an opening cuts nothing and mixes nothing. */
static void write_cautions(writing *w) {
    bool *of_day = arena_get(w->words->memory, w->plan->n_leaks, sizeof *of_day);
    if (!of_day) {
        w->words->failed = true;
        return;
    }
    for (size_t i = 0; i < w->n; i++) {
        const works_task *t = w->tasks[i];
        if (t->leak < w->plan->n_leaks && strcmp(t->step, "open") != 0 && strcmp(t->step, "prove") != 0)
            of_day[t->leak] = true;
    }
    for (size_t i = 0; i < w->plan->n_leaks; i++)
        for (size_t k = 0; of_day[i] && k < w->plan->cards[i].n_cautions; k++) {
            const char *caution = w->plan->cards[i].cautions[k];
            /* Dust stands with the tools of this day and with its people. */
            if (strncmp(caution, "Silica", 6) == 0 || is_told(w->out, caution)) continue;
            day_line *row = ADD(cautions, n_cautions);
            if (!row) return;
            *row = (day_line){cautioned(w, of_day, caution), caution};
        }
}

/* ---- people ---- */

static void write_people(writing *w, int day) {
    for (size_t i = 0; i < w->works->n_exposures; i++) {
        const works_day_exposure *e = &w->works->exposures[i];
        if (e->day != day || e->worker < 0 || (size_t)e->worker >= w->works->n_workers) continue;
        day_person *row = ADD(people, n_people);
        if (!row) return;
        say *s = w->words;
        *row = (day_person){w->works->workers[e->worker],
                            say_print(s, "%s points, A(8) %s m/s²", say_plain(s, e->vibration_points, 0),
                                      say_plain(s, e->a8_m_s2, 1)),
                            e->noise_dose_percent > 0
                                ? say_print(s, "%s\u00a0%%, %s dBA", say_plain(s, e->noise_dose_percent, 0),
                                            say_plain(s, e->noise_twa_dba, 0))
                                : "none counted",
                            e->silica_min > 0 ? say_time(s, 60 * e->silica_min) : "none",
                            e->respirator_apf > 0 ? say_print(s, "APF %d", e->respirator_apf) : "none asked",
                            e->sentence ? e->sentence : ""};
    }
}

/* ---- the sheet ---- */

static const char *hours_of(const writing *w, int day) {
    const char *all = "";
    for (size_t i = 0; i < w->works->n_shifts; i++) {
        const works_shift *s = &w->works->shifts[i];
        if (s->day == day)
            all = say_print(w->words, "%s%s%s", all, *all ? ", " : "",
                            works_said_hours(w->words, s->from_min, s->to_min));
    }
    return *all ? all : "outside of the shifts";
}

static const char *crew_of(const writing *w) {
    const char *all = "";
    for (size_t i = 0; i < w->works->n_workers; i++)
        all = say_print(w->words, "%s%s%s", all, i ? ", " : "", w->works->workers[i]);
    return all;
}

status day_sheet_make(const plan *p, const works_plan *works, int day, say *words, day_sheet *out,
                      fault *why) {
    writing w = {.plan = p, .works = works, .words = words, .out = out};
    calendar_day at;
    *out = (day_sheet){.day = day, .visits = "", .tub = ""};
    out->title = works_said_day(words, works, day, DAY_FULL);
    if (works_date(works, day, &at)) {
        out->date = say_print(words, "%04d-%02d-%02d", at.year, at.month, at.day);
        out->title = say_print(words, "%s, day %d", out->title, day + 1);
    }
    out->site = p->survey->site.name ? p->survey->site.name : "";
    out->hours = hours_of(&w, day);
    out->crew = crew_of(&w);
    find_tasks(&w, day);
    write_tasks(&w);
    write_batches(&w);
    write_holds(&w);
    write_controls(&w);
    write_people(&w, day);
    write_cautions(&w);
    return words->failed ? fault_memory(why) : OK;
}
