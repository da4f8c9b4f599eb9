/* card_ways.c - the sizes of an injection, a flexible seal and a drain, as rows of a card; and the ports along the crack. */
#include "report/card.h"
#include "report/ports.h"
#include "report/table.h"

static void fact(table *t, const char *label, const char *value) {
    table_row(t, (const char *[]){label, value}, ROW_PLAIN);
}

/* "0.429 l of injection epoxy in 2 batches, each used within 30 min" */
static void fill(doc *d, table *t, const takeoff_fill *f, const char *label) {
    say *w = &d->words;
    if (!f->material) return;
    const char *within =
        f->usable_s > 0 ? say_print(w, ", each used within %s", say_time(w, f->usable_s)) : "";
    fact(t, label,
         say_print(w, "%s of %s\nin %d batch%s of %s%s", say_value(w, UNITS_VOLUME, f->volume_m3),
                   f->material->name ? f->material->name : f->material->id, f->batches,
                   f->batches == 1 ? "" : "es", say_value(w, UNITS_VOLUME, f->batch_volume_m3), within));
}

static void line_ports(say *w, table *t, const design_injection *j) {
    fact(t, "Ports",
         say_print(w, "%zu, from %s to %s, one every %s\n%s", j->n_ports, say_length(w, j->from_m),
                   say_length(w, j->to_m), say_value(w, UNITS_SIZE, j->spacing_m),
                   j->spacing_rule ? j->spacing_rule : "our default"));
    fact(t, "Holes",
         say_print(w, "%s, %s long at %s°, %s beside the crack, on alternating sides",
                   say_value(w, UNITS_SIZE, j->hole_m), say_value(w, UNITS_SIZE, j->hole_length_m),
                   say_plain(w, j->angle_deg, 0), say_value(w, UNITS_SIZE, j->offset_m)));
}

/* A pair astride a pipe or tie; a grid over honeycomb, straight in. */
static void place_ports(say *w, table *t, const design_injection *j, survey_kind kind) {
    bool area = kind == KIND_HONEYCOMB;
    fact(t, "Ports",
         area ? say_print(w, "%zu, on a grid of %s at most\n%s", j->n_ports,
                          say_value(w, UNITS_SIZE, j->spacing_m),
                          j->spacing_rule ? j->spacing_rule : "our default")
              : say_print(w, "%zu, one on either side where there is room", j->n_ports));
    fact(t, "Holes",
         area
             ? say_print(w, "%s, %s deep, straight in", say_value(w, UNITS_SIZE, j->hole_m),
                         say_value(w, UNITS_SIZE, j->hole_length_m))
             : say_print(w, "%s, %s long at %s°, %s clear of the %s", say_value(w, UNITS_SIZE, j->hole_m),
                         say_value(w, UNITS_SIZE, j->hole_length_m), say_plain(w, j->angle_deg, 0),
                         say_value(w, UNITS_SIZE, j->offset_m), kind == KIND_TIE_HOLE ? "tie hole" : "pipe"));
}

static void injection(doc *d, table *t, size_t leak) {
    static const struct {
        char letter;
        const char *words;
    } categories[] = {{'F', "F, carries force"}, {'D', "D, gives with movement"}, {'S', "S, swells"}};
    say *w = &d->words;
    const design_injection *j = &d->plan->designs[leak].injection;
    survey_kind kind = d->plan->leaks[leak].defect->kind;
    if (!survey_is_line(kind))
        place_ports(w, t, j, kind);
    else
        line_ports(w, t, j);
    fill(d, t, &d->plan->takeoff.leaks[leak].fill, "Resin");
    if (j->width_m > 0)
        fact(t, "Volume taken",
             say_print(w, "%s of %s%s: %s net", survey_is_line(kind) ? "crack" : "gap",
                       say_value(w, UNITS_SIZE, j->width_m), j->width_assumed ? " (assumed)" : "",
                       say_value(w, UNITS_VOLUME, j->net_m3)));
    for (size_t i = 0; i < sizeof categories / sizeof *categories; i++)
        if (categories[i].letter == j->category) fact(t, "EN 1504-5", categories[i].words);
}

static void flexible(doc *d, table *t, size_t leak) {
    say *w = &d->words;
    const design_flexible *f = &d->plan->designs[leak].flexible;
    const flexible_result *g = &f->groove;
    if (!(g->width_m > 0)) {
        fact(t, "Groove", "not sized: the movement is not known");
        return;
    }
    fact(t, "Groove",
         say_print(w, "%s, from %s to %s\n%s of it sealant", say_slot(w, g->width_m, g->groove_depth_m),
                   say_length(w, f->from_m), say_length(w, f->to_m), say_value(w, UNITS_SIZE, g->depth_m)));
    fact(t, "Movement",
         say_print(w, "%s a year, %s; sealant of %s %%", say_value(w, UNITS_SIZE, f->input.movement_m),
                   f->movement_basis ? f->movement_basis : "told",
                   say_plain(w, f->input.class_fraction * 100, 1)));
    if (g->backer_m > 0)
        fact(t, "Backer",
             say_print(w, "%s round, %s", say_value(w, UNITS_SIZE, g->backer_m), say_length(w, f->backer_m)));
    fill(d, t, &d->plan->takeoff.leaks[leak].fill, "Sealant");
}

static void drain(doc *d, table *t, size_t leak) {
    say *w = &d->words;
    const design_drain *of = &d->plan->designs[leak].drain;
    const char *carries =
        of->flow_m3_s > 0 ? say_print(w, "\ncarries %s", say_value(w, UNITS_FLOW, of->flow_m3_s)) : "";
    fact(t, "Channel",
         say_print(w, "%s inside, %s long, from %s to %s%s", say_slot(w, of->channel_m, of->channel_m),
                   say_length(w, of->length_m), say_length(w, of->from_m), say_length(w, of->to_m), carries));
    fact(t, "Outlet",
         say_print(w, "%s bore at %s", say_value(w, UNITS_SIZE, of->pipe_m), say_length(w, of->outlet_at_m)));
    fact(t, "Remains", "the water still comes in: keep the outlet open");
}

void card_ways(doc *d, table *t, size_t leak) {
    const repair_design *design = &d->plan->designs[leak];
    survey_method name = design->method.name;
    if (ports_has(design)) injection(d, t, leak);
    if (name == METHOD_FLEXIBLE) flexible(d, t, leak);
    if (name == METHOD_DRAIN && design->drain.length_m > 0) drain(d, t, leak);
}

void card_ports(doc *d, size_t leak) {
    const repair_design *design = &d->plan->designs[leak];
    if (!ports_has(design)) return;
    sheet strip = {.memory = d->words.memory};
    ports_draw(&d->plan->leaks[leak], design, doc_inner(d) / DOC_MM, &d->words, &strip);
    doc_need(d, strip.height * DOC_MM);
    doc_sheet(d, &strip, DOC_MARGIN, d->y);
    d->y += strip.height * DOC_MM + 4;
}
