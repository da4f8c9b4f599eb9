/* gantt_rows.c - which row has which tasks, in what order the rows stand, and which of them each strip shows. */
#include "report/gantt_view.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

gantt_bar gantt_kind(const char *step) {
    static const struct {
        const char *step;
        gantt_bar kind;
    } known[] = {{"cut", BAR_CUT},         {"rout", BAR_CUT},       {"plug", BAR_PLUG},
                 {"first_coat", BAR_COAT}, {"last_coat", BAR_COAT}, {"surface_seal", BAR_COAT},
                 {"pack", BAR_PACK},       {"inject", BAR_FILL},    {"seal", BAR_FILL},
                 {"channel", BAR_FILL},    {"outlet", BAR_FILL},    {"prove", BAR_PROVE},
                 {"mist", BAR_VISIT},      {"cure", BAR_VISIT},     {"open", BAR_OPEN}};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (strcmp(step, known[i].step) == 0) return known[i].kind;
    return BAR_PREPARE;
}

bool gantt_at_once(const works_plan *works, const works_task *task, const schedule_after *after) {
    if (after->max_lag == SCHEDULE_NO_LIMIT) return false;
    bool pack = gantt_kind(task->step) == BAR_PACK && gantt_kind(works->tasks[after->task].step) == BAR_COAT;
    return pack || after->max_lag <= WORKS_TACKY_MIN;
}

static bool push(gantt *g, gantt_row *row, size_t task) {
    size_t *tasks = arena_push(g->words->memory, row->tasks, &row->n_tasks, sizeof *tasks);
    if (!tasks) return false;
    row->tasks = tasks;
    tasks[row->n_tasks - 1] = task;
    const works_task *t = &g->works->tasks[task];
    if (row->n_tasks == 1 || t->start_min < row->from) row->from = t->start_min;
    if (row->n_tasks == 1 || t->end_min > row->to) row->to = t->end_min;
    return true;
}

/* By start; they come nearly so. */
static void sort_tasks(const gantt *g, gantt_row *row) {
    for (size_t i = 1; i < row->n_tasks; i++)
        for (size_t k = i; k > 0; k--) {
            size_t *at = &row->tasks[k], task = *at;
            if (g->works->tasks[at[-1]].start_min <= g->works->tasks[task].start_min) break;
            *at = at[-1];
            at[-1] = task;
        }
}

static void note_kinds(gantt *g) {
    for (size_t i = 0; i < g->works->n_tasks; i++) {
        const works_task *t = &g->works->tasks[i];
        g->drawn[gantt_kind(t->step)] = true;
        g->done = g->done || t->done;
        for (size_t k = 0; k < t->n_after; k++)
            if (gantt_at_once(g->works, t, &t->after[k])) g->bonds = true;
    }
}

/* ---- a row a leak ---- */

/* From the last work on it to the water coming back. */
static void find_cure(const gantt *g, gantt_row *row) {
    row->cure = row->open = 0;
    for (size_t i = 0; i < row->n_tasks; i++) {
        const works_task *t = &g->works->tasks[row->tasks[i]];
        if (gantt_kind(t->step) == BAR_OPEN) row->open = t->start_min;
    }
    row->cure = row->open;
    bool found = false;
    for (size_t i = 0; i < row->n_tasks && row->open > 0; i++) {
        const works_task *t = &g->works->tasks[row->tasks[i]];
        gantt_bar kind = gantt_kind(t->step);
        if (kind == BAR_OPEN || kind == BAR_PROVE || t->end_min > row->open) continue;
        if (!found || t->end_min > row->cure) row->cure = t->end_min;
        found = true;
    }
}

/* The mist visits of a face are visits of each of its leaks that cures then. */
static bool add_visits(gantt *g, gantt_row *row) {
    for (size_t i = 0; i < g->works->n_tasks; i++) {
        const works_task *t = &g->works->tasks[i];
        if (t->leak != SIZE_MAX || t->face != row->face || gantt_kind(t->step) != BAR_VISIT) continue;
        if (t->start_min >= row->cure && t->end_min <= row->open && !push(g, row, i)) return false;
    }
    return true;
}

static int by_face(const void *a, const void *b) {
    const gantt_row *x = a, *y = b;
    if (x->face != y->face) return x->face < y->face ? -1 : 1;
    if (x->from != y->from) return x->from < y->from ? -1 : 1;
    return x->index < y->index ? -1 : x->index > y->index;
}

typedef struct {
    size_t face;
    int from;
} face_start;

static int by_start(const void *a, const void *b) {
    const face_start *x = a, *y = b;
    if (x->from != y->from) return x->from < y->from ? -1 : 1;
    return x->face < y->face ? -1 : x->face > y->face;
}

/* Faces by their first work, each followed by its leaks. */
static bool group_by_face(gantt *g, gantt_row *leaks, size_t n) {
    arena *memory = g->words->memory;
    face_start *faces = NULL;
    size_t n_faces = 0;
    if (n > 1) qsort(leaks, n, sizeof *leaks, by_face);
    for (size_t i = 0; i < n; i++) {
        if (i > 0 && leaks[i].face == leaks[i - 1].face) continue;
        face_start *grown = arena_push(memory, faces, &n_faces, sizeof *grown);
        if (!grown) return false;
        faces = grown;
        faces[n_faces - 1] = (face_start){leaks[i].face, leaks[i].from};
    }
    if (faces) qsort(faces, n_faces, sizeof *faces, by_start);
    g->rows = arena_get(memory, n + n_faces, sizeof *g->rows);
    if (!g->rows) return false;
    for (size_t f = 0; f < n_faces; f++) {
        g->rows[g->n_rows++] = (gantt_row){.kind = ROW_FACE, .index = faces[f].face, .face = faces[f].face};
        for (size_t i = 0; i < n; i++)
            if (leaks[i].face == faces[f].face) g->rows[g->n_rows++] = leaks[i];
    }
    return true;
}

static bool find_leaks(gantt *g) {
    const works_plan *works = g->works;
    size_t n = g->survey->n_defects, kept = 0;
    gantt_row *rows = arena_get(g->words->memory, n, sizeof *rows);
    if (!rows) return false;
    for (size_t i = 0; i < works->n_tasks; i++) {
        size_t leak = works->tasks[i].leak;
        if (leak >= n) continue;
        if (rows[leak].n_tasks == 0)
            rows[leak] = (gantt_row){.kind = ROW_LEAK, .index = leak, .face = works->tasks[i].face};
        if (!push(g, &rows[leak], i)) return false;
    }
    for (size_t i = 0; i < n; i++) {
        if (rows[i].n_tasks == 0) continue;
        find_cure(g, &rows[i]);
        g->cures = g->cures || rows[i].open > rows[i].cure;
        if (!add_visits(g, &rows[i])) return false;
        rows[kept++] = rows[i];
    }
    return group_by_face(g, rows, kept);
}

/* ---- a row a person ---- */

static bool find_people(gantt *g) {
    g->rows = arena_get(g->words->memory, g->works->n_workers, sizeof *g->rows);
    if (!g->rows) return false;
    g->n_rows = g->works->n_workers;
    for (size_t i = 0; i < g->n_rows; i++) g->rows[i] = (gantt_row){.kind = ROW_PERSON, .index = i};
    for (size_t i = 0; i < g->works->n_tasks; i++) {
        const works_task *t = &g->works->tasks[i];
        for (size_t k = 0; k < t->n_workers; k++) {
            bool known = t->workers[k] >= 0 && (size_t)t->workers[k] < g->n_rows;
            if (known && !push(g, &g->rows[t->workers[k]], i)) return false;
        }
    }
    for (size_t i = 0; i < g->n_rows; i++) sort_tasks(g, &g->rows[i]);
    return true;
}

bool gantt_find_rows(gantt *g) {
    note_kinds(g);
    return g->form == GANTT_LEAKS ? find_leaks(g) : find_people(g);
}

/* ---- strips ---- */

static bool shows(const gantt *g, const gantt_strip *strip, const gantt_row *row) {
    if (row->kind == ROW_PERSON) return true;
    if (row->open > row->cure && row->cure < strip->to && row->open >= strip->from) return true;
    for (size_t i = 0; i < row->n_tasks; i++) {
        const works_task *t = &g->works->tasks[row->tasks[i]];
        if (t->start_min < strip->to && (t->end_min > strip->from || t->start_min >= strip->from))
            return true;
    }
    return false;
}

static gantt_strip *add_strip(gantt *g, const gantt_strip *like) {
    gantt_strip *strips = arena_push(g->words->memory, g->strips, &g->n_strips, sizeof *strips);
    if (!strips) return NULL;
    g->strips = strips;
    gantt_strip *strip = &strips[g->n_strips - 1];
    *strip = *like;
    strip->n_rows = 0;
    strip->rows = arena_get(g->words->memory, g->n_rows + 1, sizeof *strip->rows);
    return strip->rows ? strip : NULL;
}

/* The rows of some days, in as many strips as their height asks for; a face is named again at the head of each. */
static bool fill_strips(gantt *g, const gantt_strip *days) {
    double room = g->room.strip_mm - gantt_head(g, days, NULL) - 0.5 * g->type;
    double fit = floor(room / g->pitch);
    size_t most = fit > 3 ? fit < 1e6 ? (size_t)fit : 1000000 : 3;
    gantt_strip *strip = add_strip(g, days);
    size_t face = SIZE_MAX, told = SIZE_MAX;
    for (size_t i = 0; strip && i < g->n_rows; i++) {
        if (g->rows[i].kind == ROW_FACE) {
            face = i;
            continue;
        }
        if (!shows(g, days, &g->rows[i])) continue;
        size_t need = face != SIZE_MAX && told != face ? 2 : 1;
        if (strip->n_rows && strip->n_rows + need > most) {
            strip = add_strip(g, days);
            told = SIZE_MAX;
        }
        if (!strip) return false;
        if (face != SIZE_MAX && told != face) strip->rows[strip->n_rows++] = face;
        told = face;
        strip->rows[strip->n_rows++] = i;
    }
    return strip != NULL;
}

bool gantt_find_strips(gantt *g) {
    /* A day is at least so wide that its name has air. */
    double least = 1.4 * sheet_text_width("Wed\u00a028", g->type, false), room = g->room.width_mm - g->left;
    size_t most = room > least ? (size_t)(room / least) : 1;
    size_t parts = (g->n_days + most - 1) / most, each = (g->n_days + parts - 1) / parts;
    g->minute_mm = HUGE_VAL;
    for (size_t first = 0; first < g->n_days; first += each) {
        size_t n = g->n_days - first < each ? g->n_days - first : each;
        double gaps = gantt_place_days(g, first, n, 0) - g->left, minutes = 0;
        for (size_t i = g->days[first].first; i < g->n_stretches; i++)
            if (g->stretches[i].day <= g->days[first + n - 1].day)
                minutes += g->stretches[i].to - g->stretches[i].from;
        g->minute_mm = fmin(g->minute_mm, (room - gaps - 0.1 * g->type) / minutes);
    }
    for (size_t first = 0; first < g->n_days; first += each) {
        size_t n = g->n_days - first < each ? g->n_days - first : each;
        bool last = first + n == g->n_days;
        gantt_strip days = {.first_day = first, .n_days = n};
        days.from = first ? g->stretches[g->days[first].first].from : INT_MIN;
        days.to = last ? INT_MAX : g->stretches[g->days[first + n].first].from;
        if (g->room.day != GANTT_ALL_DAYS) {
            days.from = g->room.day * WORKS_DAY_MIN;
            days.to = days.from + WORKS_DAY_MIN;
        }
        gantt_place_days(g, first, n, g->minute_mm);
        if (!fill_strips(g, &days)) return false;
    }
    return true;
}
