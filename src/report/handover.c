/* handover.c - the handover document as a whole. */
#include "report/handover_parts.h"
#include "report/pdf.h"

#include <string.h>

handover *handover_of(doc *d) {
    handover *h = d->content;
    h->words = &d->words;
    return h;
}

/* Who must look, where it is not one leak's question. */
static void site(doc *d) {
    static const table_column columns[] = {{"Questions of the site", 0.17, ALIGN_LEFT, false},
                                           {"", 0.5, ALIGN_LEFT, false},
                                           {"Answer", 0.33, ALIGN_LEFT, false}};
    handover *h = handover_of(d);
    handover_rows rows = {.columns = columns, .n_columns = 3};
    for (size_t i = 0; i < d->plan->findings.n; i++) {
        const finding *f = &d->plan->findings.items[i];
        const survey_answer *a = f->answer;
        if (strcmp(f->mark, "site") != 0) continue;
        const char *answer = a ? say_print(&d->words, "%s\n%s%s%s", a->what ? a->what : "answered",
                                           a->by ? a->by : "no name", a->on ? ", " : "", a->on ? a->on : "")
                               : "not answered: it remains open";
        handover_put(h, &rows,
                     (const char *[]){f->level == FINDING_STOP ? "STOP" : "ASK", f->sentence, answer},
                     a ? ROW_PLAIN : ROW_TOTAL);
    }
    handover_draw(d, &rows, 8);
}

static void write(doc *d) {
    handover_cover(d);
    site(d);
    handover_faces(d);
    handover_leaks(d);
    handover_site(d);
    handover_tanks(d);
    handover_after(d);
    handover_bill(d);
    handover_sources(d);
}

static status check(const handover_view *view, fault *why) {
    size_t n = view->plan->n_leaks;
    if (view->accept->n_leaks != n || view->built->n_leaks != n)
        return fault_set(why, E_INPUT, "the plan has %zu leaks, the proof %zu, the work as built %zu", n,
                         view->accept->n_leaks, view->built->n_leaks);
    return OK;
}

status report_handover_pdf(const handover_view *view, const handover_options *options, text *out,
                           fault *why) {
    char stamp[64] = "no record";
    report_options paper = {options->date, options->version, options->link};
    handover h = {.view = view, .options = options, .survey = view->plan->survey};
    status code = check(view, why);
    if (code != OK) return code;
    if (options->draft) snprintf(stamp, sizeof stamp, "no record · DRAFT");
    if (options->head_seq > 0)
        snprintf(stamp, sizeof stamp, "record %lld, %.12s%s", options->head_seq, options->head_hash,
                 options->draft ? " · DRAFT" : "");
    doc d = {.plan = view->plan,
             .options = &paper,
             .content = &h,
             .subject = "Handover of leaks sealed in concrete",
             .stamp = stamp};
    return pdf_make(&d, write, out, why);
}
