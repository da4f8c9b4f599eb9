#include "plan/pieces.h"

#include "plan/show.h"

#include <math.h>
#include <string.h>

/* A text that was shown is never empty: without memory the writer learns it. */
static void shown(json_out *o, const char *name, const char *value) {
    if (!value || !*value) o->to->failed = true;
    json_out_text(o, name, value);
}

const char *plan_place(const plan *p, size_t leak) {
    const survey_defect *d = p->leaks[leak].defect;
    const survey_part *part = &d->parts[0];
    const survey_face *face = survey_find_face(p->survey, part->face);
    const char *u = show_length(p, part->points[0].u_m), *v = show_length(p, part->points[0].v_m);
    if (!*u || !*v) return NULL;
    bool upright = !face || face->lie == LIE_WALL; /* a floor has no up: u and v, as in the drawing */
    return arena_print(p->memory, upright ? "%s%s, at %s along, %s up" : "%s%s, at u %s, v %s",
                       face && face->name ? "" : "face ", face && face->name ? face->name : part->face, u, v);
}

void plan_card_json(json_out *o, const plan_card *card, bool barred) {
    json_out_open(o, "card", '{');
    json_out_open(o, "steps", '[');
    for (size_t i = 0; !barred && i < card->n_steps; i++) {
        const plan_step *s = &card->steps[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "code", s->code);
        json_out_bool(o, "hold", s->hold);
        json_out_text(o, "title", s->title);
        json_out_text(o, "body", s->body);
        if (s->timer) json_out_text(o, "timer", s->timer);
        if (s->timer) json_out_number(o, "timer_s", s->timer_s);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
    json_out_open(o, "cautions", '[');
    for (size_t i = 0; i < card->n_cautions; i++) json_out_text(o, NULL, card->cautions[i]);
    json_out_close(o, ']');
    json_out_close(o, '}');
}

void plan_mix_json(json_out *o, const plan *p, size_t leak, takeoff_step step) {
    static const char *const codes[MIX_COUNT] = {"plug", "first_coat", "pack", "last_coat"};
    const takeoff_mix *m = &p->takeoff.leaks[leak].mixes[step];
    json_out_text(o, "step", codes[step]);
    json_out_text(o, "material", m->material->name ? m->material->name : m->material->id);
    json_out_text(o, "material_id", m->material->id);
    shown(o, "powder", show_mass(p, m->powder_kg));
    shown(o, "water", show_volume(p, m->water_m3));
    json_out_whole(o, "batches", m->batches);
    shown(o, "batch_powder", show_mass(p, m->batch_powder_kg));
    shown(o, "batch_water", show_volume(p, m->batch_water_m3));
    shown(o, "usable", show_minutes(p, m->usable_s));
    json_out_number(o, "usable_s", m->usable_s);
    json_out_number(o, "set_s", m->set_s);
}

void plan_mix_recipe_json(json_out *o, const takeoff_mix *mix) {
    const survey_material *m = mix->material;
    json_out_open(o, "recipe", '{');
    json_out_number(o, "parts_powder", m->parts_powder.v);
    json_out_number(o, "parts_water", m->parts_water.v);
    json_out_number(o, "bulk_kg_m3", m->bulk_kg_m3.v);
    json_out_number(o, "particle_kg_m3", m->particle_kg_m3.v);
    json_out_close(o, '}');
    json_out_quantity(o, "volume", UNITS_VOLUME, mix->volume_m3);
    json_out_quantity(o, "batch_volume", UNITS_VOLUME, mix->batch_volume_m3);
}

void plan_stations_json(json_out *o, const plan *p, size_t leak) {
    static const char *const bars[BAR_COUNT] = {"not scanned", "no bar", "bar crossing", "bar along"};
    const survey_defect *d = p->leaks[leak].defect;
    json_out_open(o, "stations", '[');
    for (size_t i = 0; i < d->n_stations; i++) {
        const survey_station *s = &d->stations[i];
        json_out_open(o, NULL, '{');
        shown(o, "at", show_length(p, s->chainage_m));
        if (s->cover_m.known)
            shown(o, "cover", show_size(p, s->cover_m.v));
        else
            json_out_null(o, "cover");
        json_out_text(o, "bar", bars[s->bar]);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

/* Two decimals as on the job sheet, unless they would say nothing. */
static const char *sheet_flow(const plan *p, double m3_s) {
    char into[UNITS_SHOWN];
    units_system system = p->survey->site.system;
    if (units_from_si(UNITS_FLOW, system, m3_s) < 0.005) return show_flow(p, m3_s);
    return arena_copy(p->memory, units_show(UNITS_FLOW, system, m3_s, 2, into));
}

static void write_flow(json_out *o, const plan *p, const leak_water *l) {
    static const char *const words[] = {
        [FLOW_UNKNOWN] = "", [FLOW_EXPECTED] = "expected", [FLOW_MEASURED] = "measured"};
    if (l->flow_m3_s.known)
        shown(o, "flow", sheet_flow(p, l->flow_m3_s.v));
    else
        json_out_text(o, "flow", "");
    json_out_text(o, "flow_basis", l->flow_m3_s.known ? words[l->basis] : "");
}

/* "37 mm", "20 to 50 mm" where steel holds a stretch up. */
static void write_depth(json_out *o, const plan *p, const repair_design *d) {
    double deepest = 0, least = HUGE_VAL;
    bool holds = true;
    for (size_t k = 0; k < d->n_slots; k++) {
        deepest = fmax(deepest, d->slots[k].depth_m);
        least = fmin(least, d->slots[k].depth_m);
        holds = holds && d->slots[k].holds;
    }
    if (!(deepest > 0)) {
        json_out_text(o, "depth", "");
    } else {
        const char *most = show_size(p, deepest), *low = show_size(p, least);
        bool one = strcmp(most, low) == 0;
        if (!*most || !*low) o->to->failed = true;
        int digits = (int)strcspn(low, " ");
        shown(o, "depth", one ? most : arena_print(p->memory, "%.*s to %s", digits, low, most));
    }
    json_out_bool(o, "holds", holds);
}

void plan_leak_line_json(json_out *o, const plan *p, size_t leak) {
    const leak_water *l = &p->leaks[leak];
    const repair_design *d = &p->designs[leak];
    double slot_m = p->takeoff.leaks[leak].slot_length_m;
    json_out_text(o, "mark", l->defect->mark);
    json_out_text(o, "kind", survey_kind_words[l->defect->kind]);
    json_out_text(o, "face", l->defect->parts[0].face);
    json_out_text(o, "seen", survey_wetness_words[l->worst]);
    write_flow(o, p, l);
    if (l->level_known)
        shown(o, "head", show_length(p, d->head_m > 0 ? d->head_m : l->head_design_m));
    else
        json_out_text(o, "head", "not known");
    json_out_text(o, "method", method_words[d->method.name]);
    if (slot_m > 0)
        shown(o, "slot", show_length(p, slot_m));
    else
        json_out_text(o, "slot", "");
    write_depth(o, p, d);
    json_out_bool(o, "scan_first", d->scan_first);
}

void plan_findings_json(json_out *o, const plan *p, const char *mark) {
    json_out_open(o, "findings", '[');
    for (size_t i = 0; i < p->findings.n; i++) {
        const finding *f = &p->findings.items[i];
        if (mark && strcmp(f->mark, mark) != 0 && strcmp(f->mark, "site") != 0) continue;
        json_out_open(o, NULL, '{');
        json_out_text(o, "level", f->level == FINDING_STOP ? "STOP" : "ASK");
        json_out_text(o, "mark", f->mark);
        json_out_text(o, "finding", f->code);
        json_out_text(o, "sentence", f->sentence);
        json_out_bool(o, "open", f->answer == NULL);
        json_out_text(o, "by", f->answer ? f->answer->by : NULL);
        json_out_text(o, "on", f->answer ? f->answer->on : NULL);
        json_out_text(o, "what", f->answer ? f->answer->what : NULL);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

/* ---- the crack plane ---- */

static void write_plane_orders(json_out *o, const plan *p, const plugging_result *run) {
    json_out_open(o, "orders", '[');
    for (int k = 0; k < PLUGGING_ORDERS; k++) {
        const plugging_outcome *order = &run->orders[k];
        if (order->steps_n == 0) continue;
        json_out_open(o, NULL, '{');
        json_out_text(o, "name", plugging_order_name((plugging_order)k));
        json_out_bool(o, "best", (int)run->best == k);
        json_out_bool(o, "drawn", (int)run->drawn == k);
        shown(o, "peak", show_flow_metre(p, order->peak_m2_s));
        shown(o, "met", show_flow(p, order->met_m3_s));
        json_out_whole(o, "over", (long long)order->over_washout);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static void write_plane_steps(json_out *o, const plan *p, const plan_plane *plane) {
    const plugging_outcome *drawn = &plane->run.orders[plane->run.drawn];
    json_out_open(o, "steps", '[');
    for (size_t i = 0; i < drawn->steps_n; i++) {
        const plugging_step *s = &drawn->steps[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "mark", p->leaks[plane->group->owners[s->on.panel].defect].defect->mark);
        shown(o, "from", show_length(p, s->on.from_m));
        shown(o, "to", show_length(p, s->on.to_m));
        shown(o, "met", show_flow(p, s->flow_m3_s));
        shown(o, "total", show_flow(p, s->total_m3_s));
        shown(o, "behind", show_length(p, s->max_back_head_m));
        shown(o, "fresh", show_length(p, s->fresh_head_m));
        json_out_bool(o, "relief", s->relief >= 0);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

void plan_plane_json(json_out *o, const plan *p, size_t leak) {
    static const plan_plane none = {0};
    const plan_plane *plane = p->planes_on ? p->plane_of[leak] : NULL;
    const char *skipped = p->planes_on && p->plane_skipped ? p->plane_skipped[leak] : NULL;
    if (!plane && !skipped) {
        json_out_null(o, "plane");
        return;
    }
    const plan_plane *got = plane ? plane : &none;
    size_t n = plane ? plane->group->n_leaks : 0;
    json_out_open(o, "plane", '{');
    json_out_text(o, "why_not", plane ? plane->problem : skipped);
    json_out_open(o, "leaks", '[');
    for (size_t i = 0; i < n; i++) json_out_text(o, NULL, p->leaks[plane->group->leaks[i]].defect->mark);
    json_out_close(o, ']');
    shown(o, "uncut", got->uncut_m3_s.known ? show_flow(p, got->uncut_m3_s.v) : "not known");
    json_out_bool(o, "search", got->run.orders[PLUGGING_COMPUTED].steps_n > 0);
    write_plane_orders(o, p, &got->run);
    write_plane_steps(o, p, got);
    json_out_open(o, "warnings", '[');
    for (size_t i = 0; i < got->run.warnings_n; i++) json_out_text(o, NULL, got->run.warnings[i]);
    json_out_close(o, ']');
    json_out_close(o, '}');
}
