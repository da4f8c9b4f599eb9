/* card_movement.c - the plots of a leak's gauges, after its step card and the figure of its plane. */
#include "report/card.h"
#include "report/movement_figure.h"

static const double ABOVE_PT = 12;

void card_movement_figures(doc *d, size_t leak) {
    const diagnosis *of = &d->plan->diagnoses[leak];
    const movement_figure_size size = {doc_inner(d) / DOC_MM, MOVEMENT_FIGURE_TYPE_MM};
    for (size_t i = 0; i < of->n_gauges; i++) {
        sheet drawing = {.memory = d->words.memory};
        if (!movement_figure_draw(d->plan->leaks[leak].defect->mark, &of->gauges[i], size, &d->words,
                                  &drawing)) {
            d->words.failed = true;
            return;
        }
        double height = drawing.height * DOC_MM;
        if (!doc_need(d, ABOVE_PT + height)) d->y += ABOVE_PT;
        doc_sheet(d, &drawing, DOC_MARGIN, d->y);
        d->y += height;
    }
}
