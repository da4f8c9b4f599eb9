#include "ops/wall.h"

#include "plan/pieces.h"
#include "survey/names.h"

#include <string.h>

/* The plan is shared between threads: this one is a copy of the struct with an arena of its own for the texts. */
typedef struct {
    plan p;
    const ops_day *day;
    json_out o;
} writing;

/* The STOP that bars leak i: its own, or of the whole site; NULL when none does. */
static const char *stop_of(const plan *p, size_t i) {
    const char *marks[] = {p->leaks[i].defect->mark, "site"};
    for (int k = 0; k < 2; k++)
        for (size_t f = 0; f < p->findings.n; f++) {
            const finding *found = &p->findings.items[f];
            if (found->level == FINDING_STOP && !found->answer && strcmp(found->mark, marks[k]) == 0)
                return found->sentence;
        }
    return NULL;
}

static void write_asks(writing *w, const char *mark) {
    json_out_open(&w->o, "asks", '[');
    for (size_t f = 0; f < w->p.findings.n; f++) {
        const finding *found = &w->p.findings.items[f];
        if (found->level == FINDING_ASK && !found->answer && strcmp(found->mark, mark) == 0)
            json_out_text(&w->o, NULL, found->sentence);
    }
    json_out_close(&w->o, ']');
}

/* Sizes of the cut: width, and depth and plug at the deepest stretch. */
static void write_sizes(writing *w, size_t i) {
    const repair_design *d = &w->p.designs[i];
    const design_slot *deepest = NULL;
    for (size_t k = 0; k < d->n_slots; k++)
        if (!deepest || d->slots[k].depth_m > deepest->depth_m) deepest = &d->slots[k];
    if (!deepest) return;
    json_out_quantity(&w->o, "slot_length", UNITS_LENGTH, w->p.takeoff.leaks[i].slot_length_m);
    json_out_quantity(&w->o, "slot_width", UNITS_SIZE, d->slot_width_m);
    json_out_quantity(&w->o, "depth", UNITS_SIZE, deepest->depth_m);
    json_out_quantity(&w->o, "plug", UNITS_SIZE, deepest->plug_m);
}

static void write_mixes(writing *w, size_t i) {
    json_out_open(&w->o, "mixes", '[');
    for (int step = 0; step < MIX_COUNT; step++) {
        const takeoff_mix *mix = &w->p.takeoff.leaks[i].mixes[step];
        if (!mix->material) continue;
        json_out_open(&w->o, NULL, '{');
        plan_mix_json(&w->o, &w->p, i, (takeoff_step)step);
        plan_mix_recipe_json(&w->o, mix);
        json_out_close(&w->o, '}');
    }
    json_out_close(&w->o, ']');
}

static void write_leak(writing *w, size_t i) {
    const survey_defect *d = w->p.leaks[i].defect;
    const survey_face *face = survey_find_face(w->p.survey, d->parts[0].face);
    const char *stop = stop_of(&w->p, i);
    json_out_open(&w->o, NULL, '{');
    json_out_text(&w->o, "mark", d->mark);
    json_out_text(&w->o, "kind", survey_kind_words[d->kind]);
    json_out_text(&w->o, "face", d->parts[0].face);
    json_out_text(&w->o, "face_name", face && face->name ? face->name : d->parts[0].face);
    const char *place = plan_place(&w->p, i);
    if (!place) w->o.to->failed = true;
    json_out_text(&w->o, "place", place);
    json_out_text(&w->o, "seen", survey_wetness_words[w->p.leaks[i].worst]);
    json_out_text(&w->o, "method", method_words[w->p.designs[i].method.name]);
    json_out_text(&w->o, "stop", stop);
    write_asks(w, d->mark);
    write_sizes(w, i);
    plan_card_json(&w->o, &w->p.cards[i], stop != NULL);
    write_mixes(w, i);
    plan_stations_json(&w->o, &w->p, i);
    json_out_close(&w->o, '}');
}

/* Sizes to work by, or a person to decide. A card that only asks for a gauge is work for nobody at the wall. */
static bool is_work(const plan *p, size_t i) {
    const repair_design *d = &p->designs[i];
    return d->method.name == METHOD_ENGINEER || design_is_priced(d);
}

/* The day's list in its order; or, without one, what has a design or waits for a person, and is not done. */
static status write_leaks(writing *w, fault *why) {
    names *listed = names_new();
    bool good = listed != NULL;
    size_t n = w->day->marks ? w->p.n_leaks : w->day->n_done;
    for (size_t i = 0; good && i < n; i++)
        good = names_put(listed, w->day->marks ? w->p.leaks[i].defect->mark : w->day->done[i], i);
    json_out_open(&w->o, "leaks", '[');
    for (size_t i = 0; good && w->day->marks && i < w->day->n_marks; i++) {
        size_t at = names_find(listed, w->day->marks[i]);
        if (at != NAMES_NONE) write_leak(w, at);
    }
    for (size_t i = 0; good && !w->day->marks && i < w->p.n_leaks; i++) {
        if (is_work(&w->p, i) && names_find(listed, w->p.leaks[i].defect->mark) == NAMES_NONE)
            write_leak(w, i);
    }
    json_out_close(&w->o, ']');
    names_free(listed);
    return good ? OK : fault_memory(why);
}

/* Whole degrees, and every second one in Fahrenheit: 0 to 40 C. */
static status write_times(writing *w, const survey_material *m, fault *why) {
    bool us = w->o.system == UNITS_US;
    for (int shown = us ? 32 : 0; shown <= (us ? 104 : 40); shown += us ? 2 : 1) {
        double c = units_to_si(UNITS_TEMPERATURE, w->o.system, shown), pot_s, set_s;
        status code = takeoff_times(m, c, &pot_s, &set_s, why);
        if (code != OK) return code;
        json_out_open(&w->o, NULL, '{');
        json_out_text(&w->o, "material_id", m->id);
        json_out_number(&w->o, us ? "temperature_f" : "temperature_c", shown);
        json_out_number(&w->o, "pot_s", pot_s);
        if (set_s > 0)
            json_out_number(&w->o, "set_s", set_s);
        else
            json_out_null(&w->o, "set_s");
        json_out_close(&w->o, '}');
    }
    return OK;
}

/* Materials that name a time, and those that the plan mixes by ours. */
static bool is_timed(const plan *p, const survey_material *m) {
    if (m->pot_life_s.known || m->set_time_s.known) return true;
    for (size_t i = 0; i < p->n_leaks; i++)
        for (int step = 0; step < MIX_COUNT; step++)
            if (p->takeoff.leaks[i].mixes[step].material == m) return true;
    return false;
}

static status write_all_times(writing *w, fault *why) {
    const survey *s = w->p.survey;
    status code = OK;
    json_out_open(&w->o, "times", '[');
    for (size_t i = 0; code == OK && i < s->n_materials; i++)
        if (is_timed(&w->p, &s->materials[i])) code = write_times(w, &s->materials[i], why);
    json_out_close(&w->o, ']');
    return code;
}

static status write_day(writing *w, fault *why) {
    const ops_day *day = w->day;
    json_out_open(&w->o, NULL, '{');
    json_out_whole(&w->o, "revision", day->revision);
    json_out_text(&w->o, "made", day->made);
    json_out_text(&w->o, "job", day->job);
    json_out_text(&w->o, "name", w->p.survey->site.name ? w->p.survey->site.name : day->job);
    json_out_text(&w->o, "units", w->o.system == UNITS_US ? "us" : "metric");
    json_out_text(&w->o, "date", day->date);
    json_out_text(&w->o, "address", day->address);
    json_out_number(&w->o, "mix_waste", takeoff_rate(w->p.survey, "waste_percent") / 100);
    status code = write_leaks(w, why);
    if (code == OK) code = write_all_times(w, why);
    json_out_open(&w->o, "cautions", '[');
    for (size_t i = 0; i < plan_n_general_cautions; i++) json_out_text(&w->o, NULL, plan_general_cautions[i]);
    json_out_close(&w->o, ']');
    json_out_close(&w->o, '}');
    return code;
}

status ops_day_json(const plan *p, const ops_day *day, text *out, fault *why) {
    writing w = {.p = *p, .day = day, .o = {.to = out, .system = p->survey->site.system}};
    w.p.memory = arena_new();
    if (!w.p.memory) return fault_memory(why);
    status code = write_day(&w, why);
    arena_free(w.p.memory);
    return code == OK && out->failed ? fault_memory(why) : code;
}
