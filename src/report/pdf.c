/* pdf.c - the document as a whole: a dry run until the page numbers stand, then the PDF. */
#include "report/pdf.h"
#include "report/date.h"
#include "report/day_sheet.h"
#include "report/sections.h"

#include <cairo-pdf.h>
#include <stdio.h>

/* Never an error for Cairo, which falls over one in the head of the file (1.16); `finish` asks the text. */
static cairo_status_t take(void *to, const unsigned char *bytes, unsigned length) {
    text_add_bytes(to, (const char *)bytes, length);
    return CAIRO_STATUS_SUCCESS;
}

static void whole_plan(doc *d) {
    section_cover(d);
    section_faces(d);
    section_cards(d);
    section_quantities(d);
    section_price(d);
    section_works(d);
    section_closing(d);
}

static void run(doc *d, pdf_pages write, bool dry) {
    d->dry = dry;
    d->page = 0;
    write(d);
    doc_close_page(d);
}

/* Once more when a character without a font was met: the cover then has a line about it. */
static void run_dry(doc *d, pdf_pages write) {
    run(d, write, true);
    if (d->replaced) run(d, write, true);
    d->pages = d->page;
}

static void set_metadata(doc *d) {
    char stamp[32];
    snprintf(stamp, sizeof stamp, "%.10sT00:00:00Z", d->options->date);
    const char *name = d->plan->survey->site.name;
    cairo_pdf_surface_set_metadata(d->surface, CAIRO_PDF_METADATA_CREATE_DATE, stamp);
    cairo_pdf_surface_set_metadata(d->surface, CAIRO_PDF_METADATA_MOD_DATE, stamp);
    cairo_pdf_surface_set_metadata(d->surface, CAIRO_PDF_METADATA_TITLE, name ? name : "Repair plan");
    cairo_pdf_surface_set_metadata(d->surface, CAIRO_PDF_METADATA_SUBJECT,
                                   d->subject ? d->subject : "Repair plan for leaking concrete");
    cairo_pdf_surface_set_metadata(d->surface, CAIRO_PDF_METADATA_CREATOR, "stanch");
}

static void open_fonts(doc *d) {
    d->fonts = pango_cairo_font_map_new();
    d->pango = pango_font_map_create_context(d->fonts);
    /* Nothing of the user's settings may reach the paper. */
    pango_context_set_language(d->pango, pango_language_from_string("en"));
    cairo_font_options_t *plain = cairo_font_options_create();
    cairo_font_options_set_hint_style(plain, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(plain, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(plain, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(d->pango, plain);
    cairo_font_options_destroy(plain);
}

static status finish(doc *d, const text *out, fault *why) {
    cairo_surface_finish(d->surface);
    cairo_status_t drawn = cairo_status(d->cr), written = cairo_surface_status(d->surface);
    cairo_destroy(d->cr);
    cairo_surface_destroy(d->surface);
    g_object_unref(d->pango);
    g_object_unref(d->fonts);
    if (d->words.failed || out->failed || drawn == CAIRO_STATUS_NO_MEMORY ||
        written == CAIRO_STATUS_NO_MEMORY)
        return fault_memory(why);
    if (drawn != CAIRO_STATUS_SUCCESS || written != CAIRO_STATUS_SUCCESS)
        return fault_set(why, E_IO, "the PDF could not be made: %s",
                         cairo_status_to_string(drawn != CAIRO_STATUS_SUCCESS ? drawn : written));
    return OK;
}

status pdf_make(doc *d, pdf_pages write, text *out, fault *why) {
    status checked = date_check(d->options->date, why);
    if (checked != OK) return checked;
    const plan *p = d->plan;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    memo heights = {0};
    d->words =
        (say){.memory = memory, .system = p->survey->site.system, .currency = p->survey->site.currency};
    d->card_pages = arena_get(memory, p->n_leaks, sizeof *d->card_pages);
    d->card_sizes = arena_get(memory, p->n_leaks, sizeof *d->card_sizes);
    d->plane_pages = arena_get(memory, p->n_planes, sizeof *d->plane_pages);
    if (!d->card_pages || !d->card_sizes || !d->plane_pages) {
        arena_free(memory);
        return fault_memory(why);
    }
    d->heights = &heights;
    d->surface = cairo_pdf_surface_create_for_stream(take, out, 595, 842);
    d->cr = cairo_create(d->surface);
    open_fonts(d);
    set_metadata(d);
    run_dry(d, write);
    if (!d->words.failed) run(d, write, false);
    status done = finish(d, out, why);
    memo_free(&heights);
    d->heights = NULL;
    arena_free(memory);
    return done;
}

status report_pdf(const plan *p, const report_options *options, text *out, fault *why) {
    doc d = {.plan = p, .works = p->works, .options = options};
    return pdf_make(&d, whole_plan, out, why);
}

status report_day_pdf(const plan *p, const works_plan *works, const report_options *options,
                      const int days[2], text *out, fault *why) {
    doc d = {.plan = p, .works = works, .options = options, .first_day = days[0], .last_day = days[1]};
    return pdf_make(&d, section_days, out, why);
}
