/* What a leak does and the sizes of what is injected, sealed or drained, as JSON. */
#include "ops/results.h"

static void write_gauges(json_out *o, const diagnosis *d) {
    json_out_open(o, "gauges", '[');
    for (size_t i = 0; i < d->n_gauges; i++) {
        const diagnosis_gauge *g = &d->gauges[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "gauge", g->gauge);
        json_out_text(o, "verdict", movement_verdict_words[g->fit.verdict]);
        json_out_text(o, "rule", g->fit.rule);
        if (g->fit.fitted) json_out_quantity(o, "per_year", UNITS_SIZE, g->fit.per_year_m);
        json_out_maybe(o, "movement", UNITS_SIZE, g->movement_m);
        json_out_maybe(o, "widest", UNITS_SIZE, g->widest_m);
        json_out_maybe(o, "narrowest", UNITS_SIZE, g->narrowest_m);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

void results_write_why(json_out *o, const plan *p, size_t leak) {
    const diagnosis *d = &p->diagnoses[leak];
    json_out_open(o, "why", '{');
    json_out_text(o, "movement", movement_verdict_words[d->verdict]);
    json_out_text(o, "movement_reason", d->reason);
    json_out_maybe(o, "movement", UNITS_SIZE, d->movement_m);
    json_out_maybe(o, "seen", UNITS_SIZE, d->seen_m);
    write_gauges(o, d);
    if (d->healing_known) {
        json_out_text(o, "healing_rule", healing_rule_name(d->healing_in.rule));
        json_out_quantity(o, "healing_limit", UNITS_SIZE, d->healing.limit_m);
        json_out_bool(o, "heals", d->healing.heals);
    }
    json_out_close(o, '}');
}

static void write_injection(json_out *o, const design_injection *d) {
    json_out_open(o, "injection", '{');
    json_out_quantity(o, "from", UNITS_LENGTH, d->from_m);
    json_out_quantity(o, "to", UNITS_LENGTH, d->to_m);
    json_out_quantity(o, "spacing", UNITS_SIZE, d->spacing_m);
    json_out_text(o, "spacing_rule", d->spacing_rule);
    json_out_number(o, "angle_deg", d->angle_deg);
    json_out_quantity(o, "offset", UNITS_SIZE, d->offset_m);
    json_out_quantity(o, "hole_length", UNITS_SIZE, d->hole_length_m);
    json_out_quantity(o, "hole", UNITS_SIZE, d->hole_m);
    json_out_quantity(o, "width", UNITS_SIZE, d->width_m);
    json_out_bool(o, "width_assumed", d->width_assumed);
    json_out_quantity(o, "net", UNITS_VOLUME, d->net_m3);
    json_out_quantity(o, "order", UNITS_VOLUME, d->order_m3);
    json_out_open(o, "ports", '[');
    for (size_t i = 0; i < d->n_ports; i++) {
        json_out_open(o, NULL, '{');
        json_out_whole(o, "order", d->ports[i].order);
        json_out_quantity(o, "at", UNITS_LENGTH, d->ports[i].at_m);
        json_out_quantity(o, "offset", UNITS_SIZE, d->ports[i].offset_m);
        json_out_bool(o, "near_bar", d->ports[i].near_bar);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
    json_out_close(o, '}');
}

static void write_flexible(json_out *o, const design_flexible *d) {
    json_out_open(o, "flexible", '{');
    json_out_quantity(o, "movement", UNITS_SIZE, d->input.movement_m);
    json_out_text(o, "movement_basis", d->movement_basis ? d->movement_basis : "");
    json_out_number(o, "class_percent", 100 * d->input.class_fraction);
    json_out_quantity(o, "width", UNITS_SIZE, d->groove.width_m);
    json_out_quantity(o, "depth", UNITS_SIZE, d->groove.depth_m);
    json_out_quantity(o, "groove_depth", UNITS_SIZE, d->groove.groove_depth_m);
    json_out_quantity(o, "backer", UNITS_SIZE, d->groove.backer_m);
    json_out_quantity(o, "length", UNITS_LENGTH, d->length_m);
    json_out_quantity(o, "sealant", UNITS_VOLUME, d->sealant_m3);
    json_out_close(o, '}');
}

static void write_drain(json_out *o, const design_drain *d) {
    json_out_open(o, "drain", '{');
    json_out_quantity(o, "length", UNITS_LENGTH, d->length_m);
    json_out_quantity(o, "flow", UNITS_FLOW, d->flow_m3_s);
    json_out_quantity(o, "channel", UNITS_SIZE, d->channel_m);
    json_out_quantity(o, "pipe", UNITS_SIZE, d->pipe_m);
    json_out_quantity(o, "outlet_at", UNITS_LENGTH, d->outlet_at_m);
    json_out_close(o, '}');
}

void results_write_ways(json_out *o, const plan *p, size_t leak) {
    const repair_design *d = &p->designs[leak];
    const method_choice *m = &d->method;
    if (m->overruled) {
        json_out_text(o, "by_table", method_words[m->by_table]);
        json_out_text(o, "overruled_by", m->overruled->by);
        json_out_text(o, "overruled_why", m->overruled->why);
        if (m->objection) json_out_text(o, "against", m->objection);
    }
    if (!design_is_priced(d)) return;
    if (method_is_injection(m->name)) write_injection(o, &d->injection);
    if (m->name == METHOD_FLEXIBLE) write_flexible(o, &d->flexible);
    if (m->name == METHOD_DRAIN) write_drain(o, &d->drain);
    if (d->place_volume_m3 > 0) json_out_quantity(o, "place_volume", UNITS_VOLUME, d->place_volume_m3);
}
