/* quantities.c - by leak, and what to order. */
#include "report/sections.h"
#include "report/slots.h"
#include "report/table.h"

static const char *mass(say *w, const takeoff_mix *m) {
    return m->material && m->powder_kg > 0 ? say_number(w, UNITS_MASS, m->powder_kg) : "–";
}

static const char *slot_size(say *w, const repair_design *d) {
    double deepest = slots_taken_together(d).deepest_m;
    if (!(deepest > 0)) return "–";
    if (d->method.name == METHOD_CUT_BACK) return say_print(w, "%s deep", say_number(w, UNITS_SIZE, deepest));
    double across = d->method.name == METHOD_HOLE ? d->hole_diameter_m : d->slot_width_m;
    return say_print(w, "%s × %s", say_number(w, UNITS_SIZE, across), say_number(w, UNITS_SIZE, deepest));
}

static const char *unless_zero(say *w, units_quantity q, double si) {
    return si > 0 ? say_number(w, q, si) : "–";
}

static void leak_row(doc *d, table *t, size_t i) {
    say *w = &d->words;
    const takeoff_leak *of = &d->plan->takeoff.leaks[i];
    const repair_design *design = &d->plan->designs[i];
    const char *cells[] = {d->plan->leaks[i].defect->mark,
                           method_words[design->method.name],
                           unless_zero(w, UNITS_LENGTH, of->slot_length_m),
                           slot_size(w, design),
                           unless_zero(w, UNITS_AREA, of->band_share_m2),
                           mass(w, &of->mixes[MIX_PLUG]),
                           mass(w, &of->mixes[MIX_FIRST_COAT]),
                           mass(w, &of->mixes[MIX_PACK]),
                           mass(w, &of->mixes[MIX_LAST_COAT]),
                           say_plain(w, d->plan->price.leaks[i].hours_total, 2),
                           say_print(w, "%d", d->card_pages[i])};
    table_row(t, cells, ROW_PLAIN);
}

static void totals_row(doc *d, table *t) {
    say *w = &d->words;
    double kg[MIX_COUNT] = {0}, hours = 0;
    for (size_t i = 0; i < d->plan->n_leaks; i++) {
        for (size_t k = 0; k < MIX_COUNT; k++) kg[k] += d->plan->takeoff.leaks[i].mixes[k].powder_kg;
        hours += d->plan->price.leaks[i].hours_total;
    }
    const char *cells[] = {"All",
                           "",
                           unless_zero(w, UNITS_LENGTH, d->plan->takeoff.slot_length_m),
                           "",
                           unless_zero(w, UNITS_AREA, d->plan->takeoff.coat_m2),
                           unless_zero(w, UNITS_MASS, kg[MIX_PLUG]),
                           unless_zero(w, UNITS_MASS, kg[MIX_FIRST_COAT]),
                           unless_zero(w, UNITS_MASS, kg[MIX_PACK]),
                           unless_zero(w, UNITS_MASS, kg[MIX_LAST_COAT]),
                           say_plain(w, hours, 2),
                           ""};
    table_row(t, cells, ROW_TOTAL);
}

static void by_leak(doc *d) {
    say *w = &d->words;
    const char *kg = say_unit(w, UNITS_MASS);
    const char *with_unit[] = {say_print(w, "Slot\n%s", say_unit(w, UNITS_LENGTH)),
                               say_print(w, "Deepest\n%s", say_unit(w, UNITS_SIZE)),
                               say_print(w, "Band\n%s", say_unit(w, UNITS_AREA)),
                               say_print(w, "Plug\n%s", kg),
                               say_print(w, "1st coat\n%s", kg),
                               say_print(w, "Dry-pack\n%s", kg),
                               say_print(w, "Last coat\n%s", kg)};
    const table_column columns[] = {
        {"Mark", 1.15, ALIGN_LEFT, false},        {"Method", 1.7, ALIGN_LEFT, false},
        {with_unit[0], 0.85, ALIGN_RIGHT, false}, {with_unit[1], 1.2, ALIGN_RIGHT, false},
        {with_unit[2], 0.9, ALIGN_RIGHT, false},  {with_unit[3], 0.9, ALIGN_RIGHT, false},
        {with_unit[4], 0.95, ALIGN_RIGHT, false}, {with_unit[5], 1, ALIGN_RIGHT, false},
        {with_unit[6], 1, ALIGN_RIGHT, false},    {"Hours", 0.8, ALIGN_RIGHT, false},
        {"Page", 0.7, ALIGN_RIGHT, false}};
    table t = table_begin(d, columns, sizeof columns / sizeof *columns, 8);
    for (size_t i = 0; i < d->plan->n_leaks; i++) leak_row(d, &t, i);
    totals_row(d, &t);
    table_end(&t);
    doc_paragraph(d, DOC_SOFT,
                  "Powders are dry, with waste. A band's overlap with its neighbours is counted once and "
                  "shared by area among those that meet. Hours are labour at the leak.");
}

static bool has_ways(const takeoff_leak *t) {
    return t->fill.material || t->packers > 0 || t->channel_m > 0;
}

static void way_row(doc *d, table *t, size_t i) {
    say *w = &d->words;
    const takeoff_leak *of = &d->plan->takeoff.leaks[i];
    const takeoff_fill *fill = &of->fill;
    const char *name = !fill->material        ? "–"
                       : fill->material->name ? fill->material->name
                                              : fill->material->id;
    const char *cells[] = {d->plan->leaks[i].defect->mark,
                           name,
                           unless_zero(w, UNITS_VOLUME, fill->volume_m3),
                           fill->batches > 0 ? say_print(w, "%d", fill->batches) : "–",
                           of->packers > 0 ? say_print(w, "%d", of->packers) : "–",
                           unless_zero(w, UNITS_LENGTH, of->drill_m),
                           unless_zero(w, UNITS_LENGTH, of->backer_m),
                           unless_zero(w, UNITS_LENGTH, of->channel_m)};
    table_row(t, cells, ROW_PLAIN);
}

/* Only where something is injected, sealed or drained. */
static void by_way(doc *d) {
    say *w = &d->words;
    const takeoff_job *job = &d->plan->takeoff;
    size_t n = 0;
    for (size_t i = 0; i < d->plan->n_leaks; i++) n += has_ways(&job->leaks[i]);
    if (n == 0) return;
    const char *length = say_unit(w, UNITS_LENGTH);
    const table_column columns[] = {
        {"Mark", 1.15, ALIGN_LEFT, false},
        {"Resin or sealant", 3, ALIGN_LEFT, false},
        {say_print(w, "Volume\n%s", say_unit(w, UNITS_VOLUME)), 1, ALIGN_RIGHT, false},
        {"Batches", 0.9, ALIGN_RIGHT, false},
        {"Packers", 0.9, ALIGN_RIGHT, false},
        {say_print(w, "Holes\n%s", length), 0.9, ALIGN_RIGHT, false},
        {say_print(w, "Backer\n%s", length), 0.9, ALIGN_RIGHT, false},
        {say_print(w, "Channel\n%s", length), 0.9, ALIGN_RIGHT, false}};
    doc_heading(d, DOC_SUBHEAD, "Injected, sealed, drained");
    table t = table_begin(d, columns, sizeof columns / sizeof *columns, 8);
    for (size_t i = 0; i < d->plan->n_leaks; i++)
        if (has_ways(&job->leaks[i])) way_row(d, &t, i);
    table_row(&t,
              (const char *[]){"All", "", "", "", job->packers > 0 ? say_print(w, "%d", job->packers) : "–",
                               unless_zero(w, UNITS_LENGTH, job->drill_m),
                               unless_zero(w, UNITS_LENGTH, job->backer_m),
                               unless_zero(w, UNITS_LENGTH, job->channel_m)},
              ROW_TOTAL);
    table_end(&t);
}

static void of_the_job(doc *d) {
    say *w = &d->words;
    const takeoff_job *job = &d->plan->takeoff;
    static const table_column columns[] = {{"", 0.6, ALIGN_LEFT, false}, {"", 0.4, ALIGN_RIGHT, false}};
    const struct {
        const char *label;
        units_quantity q;
        double value;
    } rows[] = {{"Slots and holes cut out, volume", UNITS_VOLUME, job->slot_volume_m3},
                {"First coat, with the sides of the slots", UNITS_AREA, job->first_coat_m2},
                {"Last coat", UNITS_AREA, job->last_coat_m2},
                {"Overlap of bands saved", UNITS_AREA, job->overlap_saved_m2},
                {"Washing and profile", UNITS_AREA, job->wash_m2},
                {"Wash water, alkaline, to catch and take away", UNITS_VOLUME, job->wash_water_m3},
                {"Spoil to take away", UNITS_MASS, job->spoil_kg}};
    table t = table_begin(d, columns, 2, 8.5);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        table_row(&t, (const char *[]){rows[i].label, say_value(w, rows[i].q, rows[i].value)}, ROW_PLAIN);
    table_end(&t);
}

static const char *packs(doc *d, const takeoff_order *order) {
    if (order->problem) return order->problem;
    text all = {0};
    for (size_t i = 0; i < order->n_packs; i++) {
        text_print(&all, "%s%d × %s", i ? ", " : "", order->packs[i].count,
                   say_value(&d->words, takeoff_amount_of(order).q,
                             takeoff_pack_size(order->material, order->packs[i].pack)));
    }
    if (all.failed) d->words.failed = true;
    const char *kept = say_print(&d->words, "%s", text_get(&all));
    text_free(&all);
    return kept;
}

static void orders(doc *d) {
    say *w = &d->words;
    const table_column columns[] = {
        {"Material", 2.6, ALIGN_LEFT, false}, {"Packs to buy", 1.8, ALIGN_LEFT, false},
        {"Need", 1, ALIGN_RIGHT, false},      {"Bought", 1, ALIGN_RIGHT, false},
        {"Left over", 1, ALIGN_RIGHT, false}, {w->currency, 1.1, ALIGN_RIGHT, false}};
    doc_heading(d, DOC_SUBHEAD, "To order");
    if (d->plan->takeoff.n_orders == 0) {
        doc_paragraph(d, DOC_BODY, "Nothing needs to be bought for this plan.");
        return;
    }
    table t = table_begin(d, columns, 6, 8.5);
    for (size_t i = 0; i < d->plan->takeoff.n_orders; i++) {
        const takeoff_order *o = &d->plan->takeoff.orders[i];
        const takeoff_amount amount = takeoff_amount_of(o);
        const survey_material *m = o->material;
        const char *name = say_print(w, "%s%s%s", m->name ? m->name : m->id, m->data_note ? "\n" : "",
                                     m->data_note ? m->data_note : "");
        table_row(&t,
                  (const char *[]){name, packs(d, o), say_value(w, amount.q, amount.need),
                                   say_value(w, amount.q, amount.bought), say_value(w, amount.q, amount.left),
                                   say_money(w, o->cost)},
                  ROW_PLAIN);
    }
    table_end(&t);
}

void section_quantities(doc *d) {
    doc_page(d, false);
    d->first_table = d->page;
    doc_outline(d, 0, "Quantities and orders");
    doc_heading(d, DOC_HEAD, "Quantities");
    if (d->plan->n_leaks)
        by_leak(d);
    else
        doc_paragraph(d, DOC_BODY, "The survey has no leaks.");
    by_way(d);
    doc_heading(d, DOC_SUBHEAD, "The whole job");
    of_the_job(d);
    orders(d);
}
