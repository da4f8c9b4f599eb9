/* gantt_bars.c - the bars of a row: each kind of work by its height, tone and hatch. */
#include "report/gantt_view.h"

#include <math.h>
#include <string.h>

static const double FULL = 1.15;    /* height of a bar, in heights of type */
static const double DIAMOND = 0.42; /* half of it */
static const double LEAST = 0.22;   /* a task of five minutes is seen */

/* ---- one bar ---- */

typedef struct {
    sheet_ink ink;
    double low, high; /* parts of the full height */
    double hatch;     /* slope of its lines: 0 none, 1 rising, HUGE_VAL upright */
} bar_look;

static const bar_look LOOKS[BAR_KINDS] = {
    [BAR_PREPARE] = {INK_BAR_PREPARE, 0, 0.42, 0}, [BAR_CUT] = {INK_BAR_CUT, 0, 1, 0},
    [BAR_PLUG] = {INK_BAR_PLUG, 0, 1, 1},          [BAR_COAT] = {INK_BAR_COAT, 0.58, 1, 0},
    [BAR_PACK] = {INK_BAR_PACK, 0.22, 1, 0},       [BAR_FILL] = {INK_BAR_FILL, 0, 1, HUGE_VAL}};

/* Lines across a box, a third of a height of type apart, cut at its edges. */
static void hatch(sheet_box box, double slope, double apart, sheet *out) {
    double right = box.x + box.width, top = box.y + box.height;
    if (isinf(slope)) {
        for (double x = box.x + apart; x < right - 0.3 * apart; x += apart)
            sheet_line(out, INK_HATCH, (sheet_point){x, box.y}, (sheet_point){x, top});
        return;
    }
    for (double at = box.x - box.height + apart; at < right - 0.1 * apart; at += apart) {
        double from = fmax(at, box.x), to = fmin(at + box.height, right);
        if (to > from)
            sheet_line(out, INK_HATCH, (sheet_point){from, box.y + from - at},
                       (sheet_point){to, box.y + to - at});
    }
}

static void diamond(sheet_ink ink, double x, double y, double half, sheet *out) {
    sheet_path(out, ink, (sheet_point[]){{x, y + half}, {x + half, y}, {x, y - half}, {x - half, y}}, 4,
               true);
}

void gantt_draw_bar(const gantt *g, gantt_bar kind, double x, double width, double y, sheet *out) {
    double full = FULL * g->type, foot = y - full / 2, middle = x + width / 2;
    if (kind == BAR_OPEN) {
        diamond(INK_OPEN, middle, y, DIAMOND * g->type, out);
    } else if (kind == BAR_PROVE) {
        sheet_path(out, INK_PROVE, (sheet_point[]){{x, foot}, {x + width, foot}, {x + width, foot + full}}, 3,
                   true);
    } else if (kind == BAR_VISIT) {
        sheet_line(out, INK_VISIT, (sheet_point){middle, y - 0.36 * g->type},
                   (sheet_point){middle, y + 0.36 * g->type});
    } else {
        const bar_look *look = &LOOKS[kind];
        sheet_box box = {x, foot + look->low * full, width, (look->high - look->low) * full};
        sheet_rectangle(out, look->ink, box);
        if (look->hatch > 0) hatch(box, look->hatch, 0.36 * g->type, out);
    }
}

/* Over two bars: the second must follow the first at once. */
void gantt_draw_staple(const gantt *g, double from, double to, double y, sheet *out) {
    double foot = y + FULL * g->type / 2, top = foot + 0.2 * g->type;
    sheet_path(out, INK_STAPLE, (sheet_point[]){{from, foot}, {from, top}, {to, top}, {to, foot}}, 4, false);
}

void gantt_draw_done(const gantt *g, double x, double width, double y, sheet *out) {
    double foot = y - (FULL / 2 + 0.14) * g->type;
    sheet_line(out, INK_DONE, (sheet_point){x, foot}, (sheet_point){x + width, foot});
}

/* ---- a row ---- */

typedef struct {
    double x, width;
} reach;

static bool in_strip(const gantt_strip *strip, const works_task *t) {
    return t->start_min < strip->to && (t->end_min > strip->from || t->start_min >= strip->from);
}

static reach reach_of(const gantt *g, const gantt_strip *strip, const works_task *t) {
    if (t->end_min <= t->start_min)
        return (reach){fmin(gantt_x_at(g, strip, t->start_min), g->room.width_mm - DIAMOND * g->type), 0};
    double from = gantt_x_from(g, strip, t->start_min), to = gantt_x_to(g, strip, t->end_min);
    double width = fmax(to - from, LEAST * g->type);
    return (reach){fmin(from, gantt_right(g, strip) - width), width};
}

static void draw_cure(const gantt *g, const gantt_strip *strip, const gantt_row *row, double y, sheet *out) {
    if (row->kind != ROW_LEAK || row->open <= row->cure) return;
    if (row->cure >= strip->to || row->open < strip->from) return;
    double from = row->cure < strip->from ? g->left : gantt_x_to(g, strip, row->cure);
    double to = row->open >= strip->to ? gantt_right(g, strip) : gantt_x_at(g, strip, row->open);
    if (to > from) sheet_line(out, INK_CURE, (sheet_point){from, y}, (sheet_point){to, y});
}

/* From a task of this row that ends at most so long before this one starts. */
static void draw_staples(const gantt *g, const gantt_strip *strip, const gantt_row *row, size_t task,
                         double y, sheet *out) {
    const works_task *t = &g->works->tasks[task];
    for (size_t i = 0; i < t->n_after; i++) {
        const works_task *first = &g->works->tasks[t->after[i].task];
        bool same = false;
        if (!gantt_at_once(g->works, t, &t->after[i]) || !in_strip(strip, first)) continue;
        for (size_t k = 0; k < row->n_tasks; k++) same = same || row->tasks[k] == t->after[i].task;
        if (!same) continue;
        reach a = reach_of(g, strip, first), b = reach_of(g, strip, t);
        gantt_draw_staple(g, a.x + a.width / 2, b.x + b.width / 2, y, out);
    }
}

/* End of the tasks of a person, in a row from the i-th on, that are on one leak with no other work and no break between. */
static size_t run_end(const gantt *g, const gantt_row *row, size_t i) {
    const works_task *all = g->works->tasks;
    size_t end = i + 1;
    while (end < row->n_tasks && all[row->tasks[end]].leak == all[row->tasks[i]].leak &&
           all[row->tasks[end]].start_min <= all[row->tasks[end - 1]].end_min)
        end++;
    return end;
}

/* The leak over the bars of a person, once a run, where it has room. */
static void name_runs(const gantt *g, const gantt_strip *strip, const gantt_row *row, double y, sheet *out) {
    double height = 0.85 * g->type, free = g->left;
    for (size_t i = 0, end; i < row->n_tasks; i = end) {
        const works_task *first = &g->works->tasks[row->tasks[i]];
        end = run_end(g, row, i);
        const works_task *last = &g->works->tasks[row->tasks[end - 1]];
        if (!in_strip(strip, first) || first->leak >= g->survey->n_defects) continue;
        const char *mark = g->survey->defects[first->leak].mark;
        reach a = reach_of(g, strip, first), b = reach_of(g, strip, last);
        double wide = sheet_text_width(mark, height, false), middle = (a.x + b.x + b.width) / 2;
        double x = fmax(fmin(fmax(a.x, middle - wide / 2), gantt_right(g, strip) - wide), free);
        if (x > b.x + b.width + 0.2 * g->type || x + wide > g->room.width_mm) continue;
        sheet_place place = {{x, y + (FULL / 2 + 0.35) * g->type}, height, 0, 0, ALIGN_LEFT, false};
        sheet_text(out, INK_TEXT, place, mark);
        free = x + wide + 0.3 * g->type;
    }
}

static const char *label_of(const gantt *g, const gantt_row *row) {
    if (row->kind == ROW_PERSON) return g->works->workers[row->index];
    if (row->kind == ROW_LEAK) return g->survey->defects[row->index].mark;
    const survey_face *face = &g->survey->faces[row->index];
    return face->name ? face->name : face->id;
}

void gantt_draw_row(const gantt *g, const gantt_strip *strip, const gantt_row *row, double y, sheet *out) {
    bool face = row->kind == ROW_FACE;
    double room = face ? g->room.width_mm : g->left - 0.8 * g->type;
    sheet_place place = {{0, y - (face ? 0.5 : 0.36) * g->type}, g->type, room, 0, ALIGN_LEFT, face};
    out->mark = row->kind == ROW_LEAK ? g->survey->defects[row->index].mark : NULL;
    sheet_text(out, face ? INK_TEXT_SOFT : INK_TEXT, place, label_of(g, row));
    draw_cure(g, strip, row, y, out);
    for (size_t i = 0; i < row->n_tasks; i++) {
        const works_task *t = &g->works->tasks[row->tasks[i]];
        if (!in_strip(strip, t)) continue;
        reach r = reach_of(g, strip, t);
        gantt_draw_bar(g, gantt_kind(t->step), r.x, r.width, y, out);
        if (t->done && r.width > 0) gantt_draw_done(g, r.x, r.width, y, out);
    }
    for (size_t i = 0; i < row->n_tasks; i++)
        if (in_strip(strip, &g->works->tasks[row->tasks[i]]))
            draw_staples(g, strip, row, row->tasks[i], y, out);
    if (row->kind == ROW_PERSON) name_runs(g, strip, row, y, out);
    out->mark = NULL;
}
