/* card_plane.c - the order of plugging on a step card: one line, and its figure after the card. */
#include "report/card.h"
#include "report/plane_figure.h"

#include <math.h>

static const double ABOVE_PT = 12, BETWEEN_PT = 6;

/* The page of the figure and what it comes to, or why there is none; NULL: nothing to say. */
static const char *line_of(doc *d, size_t leak) {
    say *w = &d->words;
    const plan *p = d->plan;
    const plan_plane *plane = p->plane_of[leak];
    if (!plane && !p->plane_skipped[leak]) return NULL;
    if (!plane) return say_print(w, "Order of plugging: none was computed: %s.", p->plane_skipped[leak]);
    const char *problem = plane_figure_problem(plane);
    if (problem) return say_print(w, "Order of plugging: none was computed: %s.", problem);
    int page = d->plane_pages[plane - p->planes];
    if (plane->group->leaks[0] != leak)
        return say_print(w, "Order of plugging: together with %s, drawn on page %d.",
                         p->survey->defects[plane->group->leaks[0]].mark, page);
    const plugging_outcome *o = &plane->run.orders[plane->run.drawn];
    return say_print(w, "Order of plugging: drawn on page %d, %zu %s, %s.", page, o->steps_n,
                     o->steps_n == 1 ? "step" : "steps", o->reliefs_n ? "the tube last" : "without a tube");
}

void card_plane_line(doc *d, size_t leak, double size) {
    const char *words = line_of(d, leak);
    if (!words) return;
    doc_style style = {size, true, 0x111111, ALIGN_LEFT};
    doc_need(d, doc_measure(d, style, doc_inner(d), words));
    d->y += doc_text_at(d, style, DOC_MARGIN, d->y, doc_inner(d), words) + 4;
}

void card_plane_figure(doc *d, size_t leak) {
    const plan *p = d->plan;
    const plan_plane *plane = p->plane_of[leak];
    if (!plane || plane->group->leaks[0] != leak || plane_figure_problem(plane)) return;
    plane_figure figure;
    if (!plane_figure_draw(p, plane, doc_inner(d) / DOC_MM, &d->words, &figure)) {
        d->words.failed = true;
        return;
    }
    double height = ABOVE_PT;
    for (size_t i = 0; i < figure.n; i++) height += figure.sheets[i].height * DOC_MM + BETWEEN_PT;
    if (d->y + height <= d->bottom)
        d->y += ABOVE_PT;
    else
        doc_page(d, false);
    d->plane_pages[plane - p->planes] = d->page;
    for (size_t i = 0; i < figure.n; i++) {
        doc_need(d, figure.sheets[i].height * DOC_MM);
        doc_sheet(d, &figure.sheets[i], DOC_MARGIN, d->y);
        d->y += figure.sheets[i].height * DOC_MM + BETWEEN_PT;
    }
}
