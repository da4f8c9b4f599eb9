#include "plan/pieces.h"

#include "plan/show.h"

/* A text that was shown is never empty: without memory the writer learns it. */
static void shown(json_out *o, const char *name, const char *value) {
    if (!value || !*value) o->to->failed = true;
    json_out_text(o, name, value);
}

const char *plan_place(const plan *p, size_t leak) {
    const survey_defect *d = p->leaks[leak].defect;
    const survey_part *part = &d->parts[0];
    const survey_face *face = survey_find_face(p->survey, part->face);
    return arena_print(p->memory, "%s%s, at %s, %s", face && face->name ? "" : "face ",
                       face && face->name ? face->name : part->face, show_length(p, part->points[0].u_m),
                       show_length(p, part->points[0].v_m));
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
