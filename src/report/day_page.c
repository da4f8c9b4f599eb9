/* day_page.c - the day sheet on paper: a page a day, in type as large as the page holds. */
#include "report/code.h"
#include "report/day_sheet.h"
#include "report/gantt.h"
#include "report/sections.h"
#include "report/table.h"

#include <math.h>

static const double CODE_PT = 76; /* room of the code */
/* Type of the tables, and whether the bars are drawn: the next where the page does not hold it. The table has all that
 * the bars show. */
typedef struct {
    double size;
    bool bars;
} day_look;
static const day_look LOOKS[] = {{9, true},    {8.5, true}, {8, true},    {7.5, true}, {7, true},
                                 {7.5, false}, {7, false},  {6.6, false}, {6.2, false}};

static void heading(doc *d, const day_sheet *s) {
    say *w = &d->words;
    double top = d->y, side = 0, room = doc_inner(d);
    if (d->options->link) {
        const char *day = s->date ? s->date : say_print(w, "%d", s->day + 1);
        const char *link = say_print(w, "%sworks/day/%s", d->options->link, day);
        side = doc_code(d, link, DOC_MARGIN + room - CODE_PT, top);
        side +=
            doc_text_at(d, DOC_SOFT, DOC_MARGIN + room - CODE_PT, top + side, CODE_PT, "The day on a phone");
        room -= CODE_PT + 10;
    }
    d->y += doc_text_at(d, DOC_SOFT, DOC_MARGIN, d->y, room, "DAY SHEET") + 2;
    d->y += doc_text_at(d, DOC_TITLE, DOC_MARGIN, d->y, room, s->title) + 2;
    d->y += doc_text_at(d, DOC_BOLD, DOC_MARGIN, d->y, room, s->site) + 2;
    d->y +=
        doc_text_at(d, DOC_BODY, DOC_MARGIN, d->y, room, say_print(w, "%s. Crew: %s.", s->hours, s->crew)) +
        2;
    if (*s->visits)
        d->y +=
            doc_text_at(d, DOC_BODY, DOC_MARGIN, d->y, room, say_print(w, "Keep moist: %s.", s->visits)) + 2;
    d->y = fmax(d->y, top + side) + 6;
}

static void figure(doc *d, int day) {
    gantt_room room = {doc_inner(d) / DOC_MM, GANTT_PAGE_TYPE_MM, HUGE_VAL, day};
    const gantt *g = gantt_new(d->plan->survey, d->works, GANTT_PEOPLE, room, &d->words);
    sheet strip = {.memory = d->words.memory};
    if (!g) {
        d->words.failed = true;
        return;
    }
    gantt_draw_strip(g, 0, &strip);
    doc_need(d, strip.height * DOC_MM);
    doc_sheet(d, &strip, DOC_MARGIN, d->y);
    d->y += strip.height * DOC_MM + 6;
}

static void tasks(doc *d, const day_sheet *s, double size) {
    static const table_column columns[] = {
        {"Time", 1.25, ALIGN_LEFT, false}, {"Where", 0.8, ALIGN_LEFT, false},
        {"What", 2.4, ALIGN_LEFT, false},  {"Who", 1.8, ALIGN_LEFT, false},
        {"Plant", 1.2, ALIGN_LEFT, false}, {"Begun, ended", 1.1, ALIGN_LEFT, false}};
    table t = table_begin(d, columns, 6, size);
    for (size_t i = 0; i < s->n_tasks; i++) {
        const day_task *row = &s->tasks[i];
        table_row(&t, (const char *[]){row->hours, row->where, row->task, row->people, row->plant, ""},
                  ROW_PLAIN);
    }
    table_end(&t);
}

static void some_batches(doc *d, const day_sheet *s, const size_t range[2], double size,
                         const double span[2]) {
    static const table_column columns[] = {{"Batch for", 1.5, ALIGN_LEFT, false},
                                           {"Mix at", 1.3, ALIGN_LEFT, false},
                                           {"Use by", 1.3, ALIGN_LEFT, false},
                                           {"Take", 1.8, ALIGN_LEFT, false},
                                           {"Measure", 1.5, ALIGN_LEFT, false}};
    table t = table_begin_at(d, columns, 5, size, span[0], span[1]);
    for (size_t i = range[0]; i < range[1]; i++) {
        const day_batch *b = &s->batches[i];
        table_row(&t, (const char *[]){b->what, b->mixed, b->use_by, b->take, b->measure}, ROW_PLAIN);
    }
    table_end(&t);
}

static void some_holds(doc *d, const day_sheet *s, const size_t range[2], double size, const double span[2]) {
    static const table_column columns[] = {{"", 0.25, ALIGN_LEFT, false},
                                           {"Hold point", 1.7, ALIGN_LEFT, false},
                                           {"Leak", 0.8, ALIGN_LEFT, false},
                                           {"Name, time", 1.8, ALIGN_LEFT, false}};
    table t = table_begin_at(d, columns, 4, size, span[0], span[1]);
    for (size_t i = range[0]; i < range[1]; i++) {
        double top = d->y, box = 0.75 * size;
        int page = d->page;
        table_row(&t, (const char *[]){"", s->holds[i].title, s->holds[i].where, ""}, ROW_PLAIN);
        if (d->page != page) top = d->y - 1.9 * size; /* it went to the next page */
        doc_box(d, (sheet_box){span[0] + 3, (top + d->y - box) / 2, box, box}, 0x222222, 0xffffff);
    }
    table_end(&t);
}

typedef void (*rows_drawn)(doc *, const day_sheet *, const size_t[2], double, const double[2]);

/* In two halves beside each other when there are many, and the page has room for them. */
static void in_halves(doc *d, const day_sheet *s, size_t n, double size, rows_drawn draw) {
    double width = doc_inner(d), left = (width - 12) / 2;
    size_t half = (n + 1) / 2;
    if (n == 0) return;
    doc_need(d, 1.9 * size * (n < 4 ? (double)n + 1 : 4)); /* the head with some rows */
    if (n <= 4) {
        draw(d, s, (size_t[]){0, n}, size, (double[]){DOC_MARGIN, width});
        return;
    }
    double top = d->y;
    int page = d->page;
    draw(d, s, (size_t[]){0, half}, size, (double[]){DOC_MARGIN, left});
    double below = d->y;
    bool beside = d->page == page; /* else more than a page of them: the second half follows the first */
    if (beside) d->y = top;
    draw(d, s, (size_t[]){half, n}, size, (double[]){beside ? DOC_MARGIN + width - left : DOC_MARGIN, left});
    if (beside) d->y = fmax(d->y, below);
}

static void batches(doc *d, const day_sheet *s, double size) {
    in_halves(d, s, s->n_batches, size, some_batches);
    if (!*s->tub) return;
    d->y -= 3;
    doc_paragraph(d, (doc_style){fmax(size - 1, 6.2), false, 0x555555, ALIGN_LEFT},
                  say_print(&d->words, "%s Each batch is mixed when the one before is placed.", s->tub));
    d->y += 2;
}

static void people(doc *d, const day_sheet *s, double size) {
    static const table_column columns[] = {
        {"Who", 1.1, ALIGN_LEFT, false},        {"Vibration (100 points: action)", 1.6, ALIGN_LEFT, false},
        {"Noise", 1.1, ALIGN_LEFT, false},      {"Dust", 0.8, ALIGN_LEFT, false},
        {"Respirator", 0.9, ALIGN_LEFT, false}, {"", 2.2, ALIGN_LEFT, false}};
    if (s->n_people == 0) return;
    table t = table_begin(d, columns, 6, size);
    for (size_t i = 0; i < s->n_people; i++) {
        const day_person *p = &s->people[i];
        table_row(&t, (const char *[]){p->who, p->vibration, p->noise, p->silica, p->respirator, p->sentence},
                  *p->sentence ? ROW_TOTAL : ROW_PLAIN);
    }
    table_end(&t);
}

static void lines(doc *d, const day_line *list, size_t n, double size) {
    doc_style style = {size, false, 0x111111, ALIGN_LEFT};
    for (size_t i = 0; i < n; i++)
        doc_paragraph(d, style,
                      say_print(&d->words, "•  %s%s%s", list[i].first,
                                *list[i].first && *list[i].second ? ": " : "", list[i].second));
    if (n) d->y += 3;
}

static void write_day(doc *d, const day_sheet *s, day_look look) {
    double small = look.size - 0.4;
    heading(d, s);
    if (look.bars) figure(d, s->day);
    tasks(d, s, look.size);
    batches(d, s, look.size);
    in_halves(d, s, s->n_holds, look.size, some_holds);
    people(d, s, small);
    lines(d, s->controls, s->n_controls, small);
    lines(d, s->cautions, s->n_cautions, small);
}

/* Height it takes on endless paper. */
static double height_of(doc *d, const day_sheet *s, day_look look) {
    doc saved = *d;
    d->dry = true;
    d->y = 0;
    d->bottom = HUGE_VAL;
    write_day(d, s, look);
    double height = d->y;
    saved.words = d->words;
    saved.replaced = d->replaced;
    *d = saved;
    return height;
}

static void place_day(doc *d, int day) {
    day_sheet s;
    size_t at = 0, n = sizeof LOOKS / sizeof *LOOKS;
    if (day_sheet_make(d->plan, d->works, day, &d->words, &s, NULL) != OK) {
        d->words.failed = true;
        return;
    }
    doc_page(d, false);
    doc_outline(d, 0, s.title);
    while (at + 1 < n && d->y + height_of(d, &s, LOOKS[at]) > d->bottom) at++;
    write_day(d, &s, LOOKS[at]);
}

void section_days(doc *d) {
    arena *outer = d->words.memory;
    for (int day = d->first_day; day <= d->last_day && !d->words.failed; day++) {
        if (!day_sheet_worked(d->works, day)) continue;
        arena *memory = arena_new();
        if (!memory) {
            d->words.failed = true;
            return;
        }
        d->words.memory = memory;
        place_day(d, day);
        d->words.memory = outer;
        arena_free(memory);
    }
}
