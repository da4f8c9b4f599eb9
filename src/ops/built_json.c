/* The job as built, as docs/page.md has it. */
#include "ops/proof.h"
#include "plan/show.h"

#include <string.h>

/* The plan may be shared between threads: this one is a copy of the struct with an arena of its own for the texts. */
typedef struct {
    plan p;
    const built_job *built;
    json_out o;
} writing;

static void write_line(writing *w, const built_line *line) {
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    json_out_text(o, "mark", line->mark);
    json_out_text(o, "label", line->label);
    json_out_text(o, "step", line->step);
    json_out_text(o, "planned", built_show_planned(&w->p, line));
    json_out_text(o, "actual", built_show_actual(&w->p, line));
    json_out_bool(o, "deviates", line->deviates);
    json_out_text(o, "reason", line->reason);
    json_out_open(o, "seqs", '[');
    for (size_t i = 0; i < line->n_seqs; i++) json_out_whole(o, NULL, line->seqs[i]);
    json_out_close(o, ']');
    json_out_close(o, '}');
}

static void write_lines(writing *w, const char *name, const built_line *lines, size_t n) {
    json_out_open(&w->o, name, '[');
    for (size_t i = 0; i < n; i++) write_line(w, &lines[i]);
    json_out_close(&w->o, ']');
}

static void write_steps(writing *w, const built_leak *leak) {
    json_out *o = &w->o;
    json_out_open(o, "steps", '[');
    for (size_t i = 0; i < leak->n_steps; i++) {
        const built_step *step = &leak->steps[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "code", step->code);
        json_out_text(o, "title", step->title);
        json_out_text(o, "started", step->started);
        json_out_text(o, "finished", step->finished);
        json_out_text(o, "by", step->by);
        json_out_number(o, "people", step->people);
        json_out_number(o, "hours", step->hours);
        json_out_bool(o, "planned", step->planned);
        json_out_bool(o, "ticked", step->ticked);
        json_out_whole(o, "seq", step->seq);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static void write_leak(writing *w, const built_leak *leak) {
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    json_out_text(o, "mark", leak->mark);
    json_out_number(o, "hours", leak->hours);
    json_out_number(o, "hours_planned", leak->hours_planned);
    json_out_bool(o, "finished", leak->finished);
    if (leak->wetter.known)
        json_out_bool(o, "wetter", leak->wetter.v > 0);
    else
        json_out_null(o, "wetter");
    write_steps(w, leak);
    write_lines(w, "lines", leak->lines, leak->n_lines);
    json_out_open(o, "notes", '[');
    for (size_t i = 0; i < leak->n_notes; i++) {
        const record *r = leak->notes[i];
        json_out_open(o, NULL, '{');
        json_out_whole(o, "seq", r->seq);
        json_out_text(o, "at", r->at);
        json_out_text(o, "by", r->by);
        json_out_text(o, "text", r->text);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
    json_out_close(o, '}');
}

static void write_range(writing *w, const char *label, maybe low, maybe high, bool percent) {
    if (!low.known) return;
    const char *from = percent ? show_plain(&w->p, low.v, 0) : show_temperature(&w->p, low.v),
               *to = percent ? show_plain(&w->p, high.v, 0) : show_temperature(&w->p, high.v);
    bool same = strcmp(from, to) == 0;
    const char *said =
        arena_print(w->p.memory, "%s%s%s%s", from, same ? "" : " to ", same ? "" : to, percent ? " %" : "");
    json_out_open(&w->o, NULL, '{');
    json_out_text(&w->o, "label", label);
    json_out_text(&w->o, "value", said ? said : "");
    json_out_close(&w->o, '}');
}

static void write_weather(writing *w) {
    const built_job *b = w->built;
    json_out_open(&w->o, "weather", '[');
    write_range(w, "Air", b->air_low_c, b->air_high_c, false);
    write_range(w, "Wall", b->wall_low_c, b->wall_high_c, false);
    write_range(w, "Humidity of the air", b->humidity_low, b->humidity_high, true);
    json_out_close(&w->o, ']');
}

static const char *name_of(const survey *s, const char *material) {
    for (size_t i = 0; i < s->n_materials; i++)
        if (strcmp(s->materials[i].id, material) == 0 && s->materials[i].name) return s->materials[i].name;
    return material;
}

static void write_materials(writing *w) {
    json_out *o = &w->o;
    json_out_open(o, "materials", '[');
    for (size_t i = 0; i < w->built->n_materials; i++) {
        const built_material *m = &w->built->materials[i];
        bool volume = m->planned_m3 > 0 || m->used_m3 > 0;
        json_out_open(o, NULL, '{');
        json_out_text(o, "material", m->material);
        json_out_text(o, "name", name_of(w->p.survey, m->material));
        json_out_text(o, "planned",
                      volume ? show_volume(&w->p, m->planned_m3) : show_mass(&w->p, m->planned_kg));
        json_out_text(o, "used", volume ? show_volume(&w->p, m->used_m3) : show_mass(&w->p, m->used_kg));
        json_out_text(o, "packs", m->packs > 0 ? show_plain(&w->p, m->packs, 1) : "");
        json_out_text(o, "net", m->net_kg.known ? show_mass(&w->p, m->net_kg.v) : "");
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static void write_photos(writing *w) {
    json_out *o = &w->o;
    json_out_open(o, "photos", '[');
    for (size_t i = 0; i < w->built->n_photos; i++) {
        const built_photo *photo = &w->built->photos[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "mark", photo->mark);
        json_out_text(o, "file", photo->file);
        json_out_text(o, "caption", photo->caption);
        json_out_text(o, "at", photo->at);
        json_out_text(o, "by", photo->by);
        json_out_whole(o, "seq", photo->seq);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static void write_bills(writing *w) {
    json_out *o = &w->o;
    json_out_open(o, "bills", '[');
    for (size_t i = 0; i < w->built->n_bills; i++) {
        const built_bill *bill = &w->built->bills[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "label", bill->label);
        json_out_text(o, "unit", bill->unit);
        if (bill->quantity.known)
            json_out_number(o, "quantity", bill->quantity.v);
        else
            json_out_null(o, "quantity");
        json_out_number(o, "offered", bill->offered);
        json_out_number(o, "rate", bill->rate);
        json_out_number(o, "amount", bill->amount);
        json_out_text(o, "basis", bill->basis);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
    json_out_text(o, "currency", w->p.survey->site.currency);
    json_out_number(o, "subtotal", w->built->bill_subtotal);
    json_out_number(o, "total", w->built->bill_total);
}

static bool has_site(const built_leak *site) {
    return site->n_steps > 0 || site->n_lines > 0 || site->n_notes > 0;
}

status ops_built_json(const plan *p, const ops_proof *proof, text *out, fault *why) {
    const built_job *b = &proof->built;
    writing w = {.p = *p, .built = b, .o = {.to = out, .system = p->survey->site.system}};
    json_out *o = &w.o;
    w.p.memory = arena_new();
    if (!w.p.memory) return fault_memory(why);
    json_out_open(o, NULL, '{');
    json_out_text(o, "state", "built");
    json_out_bool(o, "current", !proof->stale);
    json_out_text(o, "first", b->first);
    json_out_text(o, "last", b->last);
    json_out_open(o, "people", '[');
    for (size_t i = 0; i < b->n_people; i++) json_out_text(o, NULL, b->people[i]);
    json_out_close(o, ']');
    write_weather(&w);
    json_out_whole(o, "deviations", (long long)b->n_deviations);
    json_out_whole(o, "unreasoned", (long long)b->n_unreasoned);
    write_lines(&w, "totals", b->totals, b->n_totals);
    json_out_open(o, "leaks", '[');
    for (size_t i = 0; i < b->n_leaks; i++) write_leak(&w, &b->leaks[i]);
    if (has_site(&b->site)) write_leak(&w, &b->site);
    json_out_close(o, ']');
    write_materials(&w);
    write_photos(&w);
    write_bills(&w);
    json_out_close(o, '}');
    arena_free(w.p.memory);
    return out->failed ? fault_memory(why) : OK;
}
