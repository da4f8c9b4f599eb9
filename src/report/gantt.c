#include "report/gantt.h"

#include "report/gantt_view.h"
#include "report/report.h"
#include "report/sheet_out.h"

#include <math.h>

const char *const gantt_form_words[GANTT_FORMS] = {"by leak", "by person"};

/* ---- laying out ---- */

static double label_room(const gantt *g) {
    double most = 3 * g->type;
    for (size_t i = 0; i < g->n_rows; i++) {
        const gantt_row *row = &g->rows[i];
        if (row->kind == ROW_FACE) continue;
        const char *words =
            row->kind == ROW_PERSON ? g->works->workers[row->index] : g->survey->defects[row->index].mark;
        most = fmax(most, sheet_text_width(words, g->type, false));
    }
    return fmin(most, 0.2 * g->room.width_mm) + g->type;
}

static bool fits(const gantt *g, works_day_form form) {
    for (size_t i = 0; i < g->n_days; i++) {
        const char *words = works_said_day(g->words, g->works, g->days[i].day, form);
        if (sheet_text_width(words, g->type, true) > g->days[i].width - 0.3 * g->type) return false;
    }
    return true;
}

/* The longest names of days that all days have room for, and whether the month needs a line of its own. */
static void choose_names(gantt *g) {
    works_day_form form = DAY_FULL;
    while (form < DAY_NUMBER && !fits(g, form)) form++;
    calendar_day at;
    g->days_said = form;
    g->months_said = form >= DAY_SHORT && works_date(g->works, 0, &at);
}

gantt *gantt_new(const survey *s, const works_plan *works, gantt_form form, gantt_room room, say *words) {
    gantt *g = arena_get(words->memory, 1, sizeof *g);
    if (!g) return NULL;
    *g = (gantt){
        .survey = s, .works = works, .words = words, .form = form, .room = room, .type = room.type_mm};
    g->pitch = (form == GANTT_LEAKS ? 1.75 : 2.7) * g->type;
    if (!gantt_find_days(g) || !gantt_find_rows(g)) return NULL;
    g->left = label_room(g);
    g->days_said = DAY_NUMBER;
    g->months_said = true; /* the head at its highest, until the width of the days is known */
    if (!gantt_find_strips(g)) return NULL;
    choose_names(g);
    return words->failed ? NULL : g;
}

size_t gantt_strips(const gantt *g) {
    return g->n_strips;
}

/* ---- drawing ---- */

void gantt_draw_strip(const gantt *g, size_t at, sheet *out) {
    const gantt_strip *strip = &g->strips[at];
    double top = -gantt_head(g, strip, out) - 0.2 * g->type;
    double foot = top - (double)strip->n_rows * g->pitch;
    out->width = g->room.width_mm;
    gantt_ground(g, strip, top, foot, out);
    for (size_t i = 0; i < strip->n_rows; i++) {
        double y = top - ((double)i + 0.5) * g->pitch, edge = y + g->pitch / 2;
        const gantt_row *row = &g->rows[strip->rows[i]];
        double from = row->kind == ROW_FACE || g->form == GANTT_PEOPLE ? 0 : g->left;
        sheet_line(out, INK_GRID, (sheet_point){from, edge}, (sheet_point){gantt_right(g, strip), edge});
        if (g->form == GANTT_PEOPLE) y -= 0.4 * g->type;
        gantt_draw_row(g, strip, row, y, out);
    }
    sheet_line(out, INK_GRID, (sheet_point){0, foot}, (sheet_point){gantt_right(g, strip), foot});
    sheet_settle(out, -foot + 0.3 * g->type);
}

void gantt_draw_heading(const gantt *g, sheet *out) {
    say *w = g->words;
    bool whole = g->room.day == GANTT_ALL_DAYS;
    const char *day = whole ? "The works" : works_said_day(w, g->works, g->room.day, DAY_FULL);
    sheet_place place = {{0, -1.35 * g->type}, 1.35 * g->type, g->room.width_mm, 0, ALIGN_LEFT, true};
    double y =
        sheet_paragraph(out, INK_TEXT, place, 2, say_print(w, "%s, %s", day, gantt_form_words[g->form]));
    out->width = g->room.width_mm;
    place.bold = false;
    place.height = g->type;
    place.at.y = -y - 1.1 * g->type;
    if (whole) y += sheet_paragraph(out, INK_TEXT, place, 12, works_said_all(w, g->survey, g->works));
    sheet_settle(out, y + 0.6 * g->type);
}

/* ---- a file of its own ---- */

static bool draw_file(const gantt *g, arena *memory, text *out) {
    size_t n = gantt_strips(g) + 2;
    sheet *all = arena_get(memory, n, sizeof *all);
    double y = 0, height = 0;
    bool whole = all != NULL;
    for (size_t i = 0; whole && i < n; i++) {
        all[i].memory = memory;
        if (i == 0)
            gantt_draw_heading(g, &all[i]);
        else if (i == 1)
            gantt_draw_legend(g, &all[i]);
        else
            gantt_draw_strip(g, i - 2, &all[i]);
        whole = !all[i].failed;
        height += all[i].height + (i > 2 ? g->type : 0);
    }
    if (!whole) return false;
    sheet_svg_begin(g->room.width_mm, height, say_print(g->words, "The works, %s", gantt_form_words[g->form]),
                    out);
    for (size_t i = 0; i < n; i++) {
        if (i > 2) y += g->type;
        sheet_svg(&all[i], y, out);
        y += all[i].height;
    }
    sheet_svg_end(out);
    return !g->words->failed && !out->failed;
}

status gantt_svg(const survey *s, const works_plan *works, gantt_form form, int day, text *out, fault *why) {
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    say words = {.memory = memory, .system = s->site.system, .currency = s->site.currency};
    gantt_room room = GANTT_FILE;
    room.day = day;
    const gantt *g = gantt_new(s, works, form, room, &words);
    bool whole = g && draw_file(g, memory, out);
    arena_free(memory);
    return whole ? OK : fault_memory(why);
}
