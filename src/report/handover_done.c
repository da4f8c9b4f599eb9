/* handover_done.c - what was done: steps and hold points, quantities as built against planned, materials. */
#include "report/handover_parts.h"

#include <string.h>

static const table_column step_columns[] = {{"", 0.30, ALIGN_LEFT, false},
                                            {"Begun", 0.16, ALIGN_LEFT, false},
                                            {"Ended", 0.16, ALIGN_LEFT, false},
                                            {"By, people, hours", 0.25, ALIGN_LEFT, false},
                                            {"From", 0.13, ALIGN_LEFT, true}};
static const table_column built_columns[] = {{"", 0.22, ALIGN_LEFT, false},
                                             {"Planned", 0.13, ALIGN_LEFT, false},
                                             {"As built", 0.13, ALIGN_LEFT, false},
                                             {"Difference, and why", 0.36, ALIGN_LEFT, false},
                                             {"From", 0.16, ALIGN_LEFT, true}};
static const table_column material_columns[] = {{"", 0.30, ALIGN_LEFT, false},
                                                {"Planned", 0.15, ALIGN_RIGHT, false},
                                                {"Used", 0.15, ALIGN_RIGHT, false},
                                                {"Packs", 0.09, ALIGN_RIGHT, false},
                                                {"As built, without waste", 0.15, ALIGN_RIGHT, false},
                                                {"From", 0.16, ALIGN_LEFT, true}};

static const char *people(const handover *h, const built_step *s) {
    const char *all = s->by ? s->by : "";
    if (s->people > 0)
        all = handover_join(h, all, ", ",
                            say_print(h->words, "%s %s", say_plain(h->words, s->people, 1),
                                      s->people == 1 ? "person" : "people"));
    if (s->hours > 0)
        all = handover_join(h, all, ", ", say_print(h->words, "%s h", say_plain(h->words, s->hours, 2)));
    return all;
}

static const char *title_of(const handover *h, const built_step *s) {
    const char *title = s->title && *s->title ? s->title : *s->code ? s->code : "Work";
    return say_print(h->words, "%s%s%s", title, s->ticked ? "\nhold point, ticked" : "",
                     s->planned || !*s->code ? "" : "\nnot on the card");
}

/* Texts of the site that are no finding: notes, and why something was done otherwise. */
static void notes(const handover *h, handover_rows *to, const built_leak *b) {
    for (size_t i = 0; i < b->n_notes; i++) {
        const record *r = b->notes[i];
        if (r->what == RECORD_FOUND || !r->text) continue;
        handover_put(
            h, to,
            (const char *[]){say_print(h->words, "%s\n%s",
                                       r->what == RECORD_DEVIATION ? "Done otherwise" : "Note", r->text),
                             handover_time(h, r->at), "", r->by, handover_from_one(h, r->seq, BY_NONE)},
            ROW_PLAIN);
    }
}

static const char *from_of(const handover *h, const built_step *s) {
    handover_by rule = s->hours > 0 ? BY_HOURS : BY_NONE;
    return s->n_seqs ? handover_from(h, s->seqs, s->n_seqs, rule) : handover_from_one(h, s->seq, rule);
}

handover_rows handover_steps(const handover *h, const built_leak *b) {
    handover_rows rows = {.title = "What was done", .columns = step_columns, .n_columns = 5};
    for (size_t i = 0; i < b->n_steps; i++) {
        const built_step *s = &b->steps[i];
        bool done = s->started || s->finished || s->ticked;
        if (!done && s->seq <= 0) continue; /* left out: it stands among the deviations */
        handover_rows *to = &rows;
        handover_put(h, to,
                     (const char *[]){title_of(h, s), handover_time(h, s->started),
                                      handover_time(h, s->finished), people(h, s), from_of(h, s)},
                     ROW_PLAIN);
    }
    notes(h, &rows, b);
    if (rows.n == 0)
        handover_put(h, &rows, (const char *[]){"Nothing was recorded.", "", "", "", ""}, ROW_PLAIN);
    return rows;
}

static const char *difference(const handover *h, const built_line *l) {
    if (!l->deviates) return l->reason ? l->reason : "";
    return say_print(h->words, "differs: %s", l->reason ? l->reason : "no reason given");
}

static void line(const handover *h, handover_rows *to, const built_line *l) {
    if (!l->planned.known && !l->actual.known && !l->deviates) return;
    const char *from = l->n_seqs ? handover_from(h, l->seqs, l->n_seqs, l->deviates ? BY_DEVIATION : BY_BUILT)
                                 : handover_said(h, "P", l->deviates ? BY_DEVIATION : BY_BUILT);
    const char *planned = built_show_planned(h->view->plan, l), *actual = built_show_actual(h->view->plan, l);
    handover_put(
        h, to, (const char *[]){l->label, planned, *actual ? actual : "not recorded", difference(h, l), from},
        l->deviates ? ROW_TOTAL : ROW_PLAIN);
}

handover_rows handover_built(const handover *h, const built_leak *b) {
    handover_rows rows = {.title = "As built", .columns = built_columns, .n_columns = 5};
    for (size_t i = 0; i < b->n_lines; i++) line(h, &rows, &b->lines[i]);
    if (b->wetter.known)
        handover_put(h, &rows,
                     (const char *[]){"Dry at the survey", "dry", b->wetter.v > 0 ? "wet" : "dry",
                                      "as found when it was cut", handover_said(h, "S", BY_BUILT)},
                     ROW_PLAIN);
    return rows;
}

static const char *span(const handover *h, units_quantity q, maybe low, maybe high) {
    if (!low.known || !high.known) return "not recorded";
    if (low.v == high.v) return say_value(h->words, q, low.v);
    return say_print(h->words, "%s to %s", say_value(h->words, q, low.v), say_value(h->words, q, high.v));
}

static const char *percent(const handover *h, double low, double high) {
    const char *from = say_plain(h->words, low, 0), *to = say_plain(h->words, high, 0);
    return strcmp(from, to) == 0 ? say_print(h->words, "%s %%", from)
                                 : say_print(h->words, "%s to %s %%", from, to);
}

static void weather(const handover *h, handover_rows *to) {
    const built_job *b = h->view->built;
    const char *from = handover_said(h, "records", BY_BUILT);
    if (b->air_low_c.known)
        handover_put(h, to,
                     (const char *[]){"Air", "", span(h, UNITS_TEMPERATURE, b->air_low_c, b->air_high_c),
                                      "lowest and highest recorded", from},
                     ROW_PLAIN);
    if (b->wall_low_c.known)
        handover_put(h, to,
                     (const char *[]){"Wall", "", span(h, UNITS_TEMPERATURE, b->wall_low_c, b->wall_high_c),
                                      "lowest and highest recorded", from},
                     ROW_PLAIN);
    if (b->humidity_low.known)
        handover_put(h, to,
                     (const char *[]){"Humidity of the air", "",
                                      percent(h, b->humidity_low.v, b->humidity_high.v),
                                      "lowest and highest recorded", from},
                     ROW_PLAIN);
}

handover_rows handover_built_job(const handover *h) {
    const built_job *b = h->view->built;
    handover_rows rows = {.title = "The whole job", .columns = built_columns, .n_columns = 5};
    for (size_t i = 0; i < b->n_totals; i++) line(h, &rows, &b->totals[i]);
    weather(h, &rows);
    return rows;
}

/* Records in which a material was used, corrected or not: the sum is built's. */
static const char *used_in(const handover *h, const char *material) {
    size_t n = 0;
    long long *seqs = NULL;
    for (size_t i = 0; i < h->view->n_records; i++) {
        const record *r = &h->view->records[i];
        if (!r->material || strcmp(r->material, material) != 0) continue;
        long long *grown = arena_push(h->words->memory, seqs, &n, sizeof *seqs);
        if (!grown) {
            h->words->failed = true;
            break;
        }
        seqs = grown;
        seqs[n - 1] = r->seq;
    }
    return handover_from(h, seqs, n, BY_BUILT);
}

static const char *name_of(const survey *s, const char *id) {
    for (size_t i = 0; i < s->n_materials; i++)
        if (strcmp(s->materials[i].id, id) == 0) return s->materials[i].name ? s->materials[i].name : id;
    return id;
}

handover_rows handover_materials(const handover *h) {
    const built_job *b = h->view->built;
    handover_rows rows = {.title = "Materials", .columns = material_columns, .n_columns = 6};
    for (size_t i = 0; i < b->n_materials; i++) {
        const built_material *m = &b->materials[i];
        bool volume = m->planned_m3 > 0 || m->used_m3 > 0;
        units_quantity q = volume ? UNITS_VOLUME : UNITS_MASS;
        double planned = volume ? m->planned_m3 : m->planned_kg, used = volume ? m->used_m3 : m->used_kg;
        handover_put(h, &rows,
                     (const char *[]){name_of(h->survey, m->material), say_value(h->words, q, planned),
                                      used > 0 ? say_value(h->words, q, used) : "not recorded",
                                      m->packs > 0 ? say_plain(h->words, m->packs, 1) : "",
                                      m->net_kg.known ? say_value(h->words, UNITS_MASS, m->net_kg.v) : "",
                                      handover_join(h, used_in(h, m->material), " ", "P")},
                     ROW_PLAIN);
    }
    return rows;
}
