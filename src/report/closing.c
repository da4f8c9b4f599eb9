/* closing.c - the assumptions behind the figures, and where the rules come from. */
#include "report/sections.h"

void section_closing(doc *d) {
    doc_heading(d, DOC_HEAD, "Assumptions");
    doc_outline(d, 0, "Assumptions and sources");
    if (d->plan->n_assumptions == 0) doc_paragraph(d, DOC_SMALL, "None: every figure was given.");
    for (size_t i = 0; i < d->plan->n_assumptions; i++)
        doc_paragraph(d, DOC_SMALL, say_print(&d->words, "•  %s", d->plan->assumptions[i]));
    doc_heading(d, DOC_HEAD, "Sources");
    const char *const *sources = plan_sources(d->plan->survey->site.system);
    for (size_t i = 0; i < PLAN_SOURCES; i++)
        doc_paragraph(d, DOC_SMALL, say_print(&d->words, "•  %s", sources[i]));
    doc_paragraph(d, DOC_SOFT, say_print(&d->words, "This plan: %s", d->plan->price_hash));
}
