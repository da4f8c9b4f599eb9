/* faces.c - the elevations of the plan, with method, size and the page of the card of each leak. */
#include "report/board.h"
#include "report/elevation.h"
#include "report/frame.h"
#include "report/sections.h"

static bool shown(const plan *p, size_t face) {
    for (size_t i = 0; i < p->n_leaks; i++) {
        if (frame_has(p->leaks[i].defect, &p->survey->faces[face])) return true;
    }
    for (size_t i = 0; i < p->takeoff.n_coats; i++) {
        if (p->takeoff.coats[i].face == face) return true;
    }
    return false;
}

static void draw(doc *d, size_t face, double scale, sheet *out) {
    elevation_draw(d->plan, face, scale, &d->words, out);
}

static const char *words_of(doc *d, size_t leak) {
    const leak_water *of = &d->plan->leaks[leak];
    return say_print(&d->words, "page %d · %s, %s, %s", d->card_pages[leak], say_kind_words[of->defect->kind],
                     leak_grade_shown(of->grade, d->plan->survey->site.system),
                     method_words[d->plan->designs[leak].method.name]);
}

void section_faces(doc *d) {
    static const board_kind kind = {.outline = "Elevations",
                                    .heading = "Elevations, seen from the dry side",
                                    .legend = elevation_legend,
                                    .shown = shown,
                                    .draw = draw,
                                    .words = words_of};
    board_faces(d, &kind);
}
