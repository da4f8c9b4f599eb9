#include "ops/results.h"

static void write_warnings(json_out *o, const char **sentences, size_t n) {
    json_out_open(o, "warnings", '[');
    for (size_t i = 0; i < n; i++) json_out_text(o, NULL, sentences[i]);
    json_out_close(o, ']');
}

void results_write_look(json_out *o, const plan *p, size_t leak) {
    const leak_water *l = &p->leaks[leak];
    if (l->level_known) {
        json_out_quantity(o, "level_today", UNITS_LENGTH, l->level_today_m);
        json_out_quantity(o, "level_design", UNITS_LENGTH, l->level_design_m);
        json_out_text(o, "level_design_known", survey_known_words[l->design_known]);
    }
    json_out_quantity(o, "head_today", UNITS_LENGTH, l->head_today_m);
    json_out_quantity(o, "head_design", UNITS_LENGTH, l->head_design_m);
    json_out_quantity(o, "length", UNITS_LENGTH, l->length_m);
    json_out_quantity(o, "wet", UNITS_LENGTH, l->wet_m);
    json_out_maybe(o, "flow_expected", UNITS_FLOW, l->flow_expected_m3_s);
    json_out_maybe(o, "flow_smooth", UNITS_FLOW, l->flow_smooth_m3_s);
    json_out_maybe(o, "flow_one_dimension", UNITS_FLOW, l->flow_1d_m3_s);
    json_out_maybe(o, "flow_measured", UNITS_FLOW, l->flow_measured_m3_s);
    json_out_maybe(o, "flow_factor", UNITS_PLAIN, l->flow_factor);
    json_out_maybe(o, "width_found_back", UNITS_SIZE, l->width_back_m);
    json_out_text(o, "grade", leak_grade_shown(l->grade, UNITS_METRIC));
    json_out_open(o, "stations", '[');
    for (size_t i = 0; i < l->n_stations; i++) {
        const leak_station *at = &l->stations[i];
        json_out_open(o, NULL, '{');
        json_out_quantity(o, "chainage", UNITS_LENGTH, at->chainage_m);
        json_out_quantity(o, "elevation", UNITS_LENGTH, at->elevation_m);
        json_out_quantity(o, "head_today", UNITS_LENGTH, at->head_today_m);
        json_out_quantity(o, "head_design", UNITS_LENGTH, at->head_design_m);
        json_out_quantity(o, "pressure_design", UNITS_PRESSURE, at->pressure_design_pa);
        json_out_maybe(o, "width_hydraulic", UNITS_SIZE, at->width_hydraulic_m);
        json_out_maybe(o, "flow", UNITS_FLOW_LENGTH, at->flow_m2_s);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
    write_warnings(o, l->warnings, l->n_warnings);
}

static void write_slots(json_out *o, const repair_design *d) {
    json_out_open(o, "slots", '[');
    for (size_t i = 0; i < d->n_slots; i++) {
        const design_slot *s = &d->slots[i];
        json_out_open(o, NULL, '{');
        json_out_quantity(o, "from", UNITS_LENGTH, s->from_m);
        json_out_quantity(o, "to", UNITS_LENGTH, s->to_m);
        json_out_quantity(o, "depth", UNITS_SIZE, s->depth_m);
        json_out_quantity(o, "plug", UNITS_SIZE, s->plug_m);
        json_out_bool(o, "holds", s->holds);
        json_out_number(o, "safety_found", s->safety_found);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

void results_write_design(json_out *o, const plan *p, size_t leak) {
    const repair_design *d = &p->designs[leak];
    json_out_text(o, "method", method_words[d->method.name]);
    json_out_text(o, "reason", d->method.reason);
    json_out_text(o, "runner_up", method_words[d->method.runner_up]);
    json_out_text(o, "what_would_tip", d->method.tip);
    json_out_quantity(o, "head", UNITS_LENGTH, d->head_m);
    json_out_quantity(o, "pressure", UNITS_PRESSURE, d->pressure_pa);
    json_out_quantity(o, "plug_needed", UNITS_SIZE, d->plug_need_m);
    json_out_quantity(o, "slot_width", UNITS_SIZE, d->slot_width_m);
    write_slots(o, d);
    results_write_why(o, p, leak);
    results_write_ways(o, p, leak);
    json_out_bool(o, "scan_first", d->scan_first);
    json_out_bool(o, "relief", d->relief.wanted);
    if (!d->relief.wanted) return;
    json_out_quantity(o, "relief_at", UNITS_LENGTH, d->relief.at_m);
    json_out_quantity(o, "relief_bore", UNITS_SIZE, d->relief.bore_m);
    json_out_quantity(o, "relief_depth", UNITS_SIZE, d->relief.depth_m);
    json_out_maybe(o, "relief_flow", UNITS_FLOW, d->relief.flow_m3_s);
    json_out_maybe(o, "relief_back_head", UNITS_LENGTH, d->relief.back_head_m);
}

/* Only what the leak takes: injection, flexible seal, drain. */
static void write_ways(json_out *o, const takeoff_leak *t) {
    if (t->fill.material) {
        json_out_open(o, "fill", '{');
        json_out_text(o, "material", t->fill.material->id);
        json_out_quantity(o, "volume", UNITS_VOLUME, t->fill.volume_m3);
        json_out_whole(o, "batches", t->fill.batches);
        json_out_quantity(o, "usable", UNITS_MINUTES, t->fill.usable_s);
        json_out_close(o, '}');
    }
    if (t->packers > 0) json_out_whole(o, "packers", t->packers);
    if (t->drill_m > 0) json_out_quantity(o, "drilled", UNITS_LENGTH, t->drill_m);
    if (t->backer_m > 0) json_out_quantity(o, "backer", UNITS_LENGTH, t->backer_m);
    if (t->channel_m > 0) json_out_quantity(o, "channel", UNITS_LENGTH, t->channel_m);
}

void results_write_takeoff(json_out *o, const plan *p, size_t leak) {
    const takeoff_leak *t = &p->takeoff.leaks[leak];
    json_out_quantity(o, "slot_length", UNITS_LENGTH, t->slot_length_m);
    json_out_quantity(o, "slot_volume", UNITS_VOLUME, t->slot_volume_m3);
    json_out_quantity(o, "band_own", UNITS_AREA, t->band_own_m2);
    json_out_quantity(o, "band_share", UNITS_AREA, t->band_share_m2);
    json_out_quantity(o, "wash", UNITS_AREA, t->wash_m2);
    json_out_open(o, "mixes", '[');
    for (int k = 0; k < MIX_COUNT; k++) {
        const takeoff_mix *m = &t->mixes[k];
        if (!m->material) continue;
        json_out_open(o, NULL, '{');
        json_out_text(o, "step", takeoff_step_words[k]);
        json_out_text(o, "material", m->material->id);
        json_out_quantity(o, "powder", UNITS_MASS, m->powder_kg);
        json_out_quantity(o, "water", UNITS_VOLUME, m->water_m3);
        json_out_whole(o, "batches", m->batches);
        json_out_quantity(o, "usable", UNITS_MINUTES, m->usable_s);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
    write_ways(o, t);
    json_out_quantity(o, "wash_water", UNITS_VOLUME, t->wash_water_m3);
    json_out_quantity(o, "spoil", UNITS_MASS, t->spoil_kg);
}

void results_write_price(json_out *o, const plan *p, size_t leak) {
    json_out_number(o, "hours", p->price.leaks[leak].hours_total);
    json_out_number(o, "cost", p->price.leaks[leak].cost);
}

void results_write_job_takeoff(json_out *o, const plan *p) {
    const takeoff_job *t = &p->takeoff;
    json_out_quantity(o, "slot_length", UNITS_LENGTH, t->slot_length_m);
    json_out_quantity(o, "coat", UNITS_AREA, t->coat_m2);
    json_out_quantity(o, "overlap_saved", UNITS_AREA, t->overlap_saved_m2);
    json_out_quantity(o, "wash_water", UNITS_VOLUME, t->wash_water_m3);
    json_out_quantity(o, "spoil", UNITS_MASS, t->spoil_kg);
    json_out_open(o, "orders", '[');
    for (size_t i = 0; i < t->n_orders; i++) {
        const takeoff_order *order = &t->orders[i];
        const takeoff_amount amount = takeoff_amount_of(order);
        json_out_open(o, NULL, '{');
        json_out_text(o, "material", order->material->id);
        json_out_quantity(o, "need", amount.q, amount.need);
        json_out_quantity(o, "bought", amount.q, amount.bought);
        json_out_number(o, "cost", order->cost);
        if (order->problem) json_out_text(o, "problem", order->problem);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

void results_write_job_price(json_out *o, const plan *p) {
    const estimate *e = &p->price;
    json_out_text(o, "currency", p->survey->site.currency);
    json_out_open(o, "lines", '[');
    for (size_t i = 0; i < e->n_lines; i++) {
        const estimate_line *line = &e->lines[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "group", estimate_group_words[line->group]);
        json_out_text(o, "label", line->label);
        json_out_number(o, "quantity", line->quantity);
        json_out_text(o, "unit", line->unit);
        json_out_number(o, "rate", line->rate);
        json_out_number(o, "amount", line->amount);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
    json_out_number(o, "hours", e->hours_total);
    json_out_number(o, "crew_days", e->crew_days);
    json_out_number(o, "subtotal", e->subtotal);
    json_out_number(o, "total", e->total);
}

void results_write_findings(json_out *o, const plan *p) {
    json_out_open(o, "findings", '[');
    for (size_t i = 0; i < p->findings.n; i++) {
        const finding *f = &p->findings.items[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "level", f->level == FINDING_STOP ? "STOP" : "ASK");
        json_out_text(o, "mark", f->mark);
        json_out_text(o, "finding", f->code);
        json_out_text(o, "sentence", f->sentence);
        json_out_bool(o, "open", f->answer == NULL);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}
