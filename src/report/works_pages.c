/* works_pages.c - the works in the document: by leak, and by person where there are several; what else must be known of them. */
#include "report/gantt.h"
#include "report/sections.h"

static const double PART_FULL = 0.6; /* of a page: what follows begins on the next */
static const double BETWEEN_PT = 10, LEAST_PT = 120;

static void place(doc *d, const sheet *s) {
    doc_sheet(d, s, DOC_MARGIN, d->y);
    d->y += s->height * DOC_MM;
}

static void strips(doc *d, const gantt *g) {
    for (size_t i = 0; i < gantt_strips(g) && !d->words.failed; i++) {
        sheet strip = {.memory = d->words.memory};
        gantt_draw_strip(g, i, &strip);
        if (!doc_need(d, (i ? BETWEEN_PT : 0) + strip.height * DOC_MM) && i) d->y += BETWEEN_PT;
        place(d, &strip);
    }
}

/* A strip fits what is left of the page under the heading. */
static void figure(doc *d, gantt_form form) {
    double left = d->bottom - d->y - 50; /* the legend: three lines */
    gantt_room room = {doc_inner(d) / DOC_MM, GANTT_PAGE_TYPE_MM,
                       (left > LEAST_PT ? left : LEAST_PT) / DOC_MM, GANTT_ALL_DAYS};
    const gantt *g = gantt_new(d->plan->survey, d->works, form, room, &d->words);
    sheet legend = {.memory = d->words.memory};
    if (!g) {
        d->words.failed = true;
        return;
    }
    gantt_draw_legend(g, &legend);
    place(d, &legend);
    strips(d, g);
}

static void warnings(doc *d) {
    if (d->works->n_warnings == 0) return;
    doc_heading(d, DOC_SUBHEAD, "To be known of these works");
    for (size_t i = 0; i < d->works->n_warnings; i++)
        doc_paragraph(d, DOC_SMALL, say_print(&d->words, "•  %s", d->works->warnings[i]));
}

void section_works(doc *d) {
    if (!d->works || d->works->n_tasks == 0) return;
    say *w = &d->words;
    for (int form = 0; form < GANTT_FORMS; form++) {
        if (form == GANTT_PEOPLE && d->works->n_workers < 2) continue;
        if (form == 0 || d->y > PART_FULL * d->bottom) doc_page(d, true);
        if (form == 0) {
            d->first_works = d->page;
            doc_outline(d, 0, "The works");
        }
        doc_heading(d, DOC_HEAD, say_print(w, "The works, %s", gantt_form_words[form]));
        if (form == 0) doc_paragraph(d, DOC_BODY, works_said_all(w, d->plan->survey, d->works));
        d->y += 4;
        figure(d, (gantt_form)form);
    }
    warnings(d);
    doc_page(d, false);
}
