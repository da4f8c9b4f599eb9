/* Quantities and orders of the job, and what a leak takes where it is injected, sealed or drained. */
#include "plan/pieces.h"

#include "plan/show.h"

/* A text that was shown is never empty: without memory the writer learns it. */
static void shown(json_out *o, const char *name, const char *value) {
    if (!value || !*value) o->to->failed = true;
    json_out_text(o, name, value);
}

static const char *show_count(const plan *p, double n) {
    return show_plain(p, n, 0);
}

typedef struct {
    const char *label;
    const char *(*show)(const plan *, double);
    double value;
    bool always; /* else only where there is any */
} quantity;

static void write_quantities(json_out *o, const plan *p, const quantity *rows, size_t n) {
    for (size_t i = 0; i < n; i++) {
        if (!rows[i].always && !(rows[i].value > 0)) continue;
        json_out_open(o, NULL, '{');
        json_out_text(o, "label", rows[i].label);
        shown(o, "value", rows[i].show(p, rows[i].value));
        json_out_close(o, '}');
    }
}

void plan_quantities_json(json_out *o, const plan *p) {
    const takeoff_job *t = &p->takeoff;
    const quantity rows[] = {
        {"Slots", show_length, t->slot_length_m, true},
        {"Slots and holes cut out, volume", show_volume, t->slot_volume_m3, true},
        {"Coat", show_area, t->coat_m2, true},
        {"Overlap of bands saved", show_area, t->overlap_saved_m2, true},
        {"First coat, with the sides of the slots", show_area, t->first_coat_m2, true},
        {"Last coat", show_area, t->last_coat_m2, true},
        {"Packers to set", show_count, t->packers, false},
        {"Holes drilled for packers", show_length, t->drill_m, false},
        {"Resin to inject", show_volume, t->resin_m3, false},
        {"Sealant", show_volume, t->sealant_m3, false},
        {"Backer rod", show_length, t->backer_m, false},
        {"Drain channel", show_length, t->channel_m, false},
        {"Washing and profile", show_area, t->wash_m2, true},
        {"Wash water, alkaline, to catch and take away", show_volume, t->wash_water_m3, true},
        {"Spoil to take away", show_mass, t->spoil_kg, true},
    };
    json_out_open(o, "quantities", '[');
    write_quantities(o, p, rows, sizeof rows / sizeof *rows);
    json_out_close(o, ']');
}

static const char *show_amount(const plan *p, units_quantity q, double si) {
    return q == UNITS_VOLUME ? show_volume(p, si) : show_mass(p, si);
}

/* "3 x 5.0 kg + 2 x 25.0 kg" */
static const char *packs_of(const plan *p, const takeoff_order *order) {
    text all = {0};
    for (size_t k = 0; k < order->n_packs; k++) {
        const char *size = show_amount(p, takeoff_amount_of(order).q,
                                       takeoff_pack_size(order->material, order->packs[k].pack));
        if (!*size) all.failed = true;
        text_print(&all, "%s%d x %s", k ? " + " : "", order->packs[k].count, size);
    }
    const char *copy = all.failed ? NULL : arena_copy(p->memory, text_get(&all));
    text_free(&all);
    return copy;
}

void plan_orders_json(json_out *o, const plan *p) {
    json_out_open(o, "orders", '[');
    for (size_t i = 0; i < p->takeoff.n_orders; i++) {
        const takeoff_order *order = &p->takeoff.orders[i];
        const takeoff_amount amount = takeoff_amount_of(order);
        const char *packs = packs_of(p, order);
        if (!packs) o->to->failed = true;
        json_out_open(o, NULL, '{');
        json_out_text(o, "material", order->material->name ? order->material->name : order->material->id);
        shown(o, "need", show_amount(p, amount.q, amount.need));
        json_out_text(o, "packs", packs);
        if (order->problem)
            json_out_text(o, "left", "");
        else
            shown(o, "left", show_amount(p, amount.q, amount.left));
        json_out_number(o, "cost", order->cost);
        json_out_text(o, "problem", order->problem ? order->problem : "");
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static void write_fill(json_out *o, const plan *p, const takeoff_fill *fill) {
    json_out_text(o, "material", fill->material->name ? fill->material->name : fill->material->id);
    json_out_text(o, "material_id", fill->material->id);
    shown(o, "volume", show_volume(p, fill->volume_m3));
    json_out_whole(o, "batches", fill->batches);
    shown(o, "batch_volume", show_volume(p, fill->batch_volume_m3));
    json_out_text(o, "usable", fill->usable_s > 0 ? show_minutes(p, fill->usable_s) : "");
    json_out_number(o, "usable_s", fill->usable_s);
}

void plan_ways_json(json_out *o, const plan *p, size_t leak) {
    const takeoff_leak *t = &p->takeoff.leaks[leak];
    const quantity rows[] = {{"Packers to set", show_count, t->packers, false},
                             {"Holes drilled for packers", show_length, t->drill_m, false},
                             {"Backer rod", show_length, t->backer_m, false},
                             {"Drain channel", show_length, t->channel_m, false}};
    if (t->fill.material) {
        json_out_open(o, "fill", '{');
        write_fill(o, p, &t->fill);
        json_out_close(o, '}');
    } else {
        json_out_null(o, "fill");
    }
    json_out_open(o, "parts", '[');
    write_quantities(o, p, rows, sizeof rows / sizeof *rows);
    json_out_close(o, ']');
}
