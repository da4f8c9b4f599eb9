/* card_parts.c - findings, mixes, steps and cautions of a card. */
#include "report/card.h"
#include "report/table.h"

#include <math.h>
#include <string.h>

static const double STRIP_FROM = 0.52; /* of a step's width: where its timer and signature begin */

void card_findings(doc *d, size_t leak, double size) {
    static const table_column columns[] = {
        {"", 0.08, ALIGN_LEFT, false}, {"", 0.62, ALIGN_LEFT, false}, {"", 0.30, ALIGN_LEFT, false}};
    const char *mark = d->plan->leaks[leak].defect->mark;
    table t = {0};
    for (size_t i = 0; i < d->plan->findings.n; i++) {
        const finding *f = &d->plan->findings.items[i];
        if (strcmp(f->mark, mark) != 0) continue;
        if (!t.d) t = table_begin(d, columns, 3, size);
        const survey_answer *a = f->answer;
        const char *answer = a ? say_print(&d->words, "%s\n%s%s%s", a->what ? a->what : "answered",
                                           a->by ? a->by : "", a->on ? ", " : "", a->on ? a->on : "")
                               : "open: name, date, decision";
        table_row(&t, (const char *[]){f->level == FINDING_STOP ? "STOP" : "ASK", f->sentence, answer},
                  a || f->level == FINDING_ASK ? ROW_PLAIN : ROW_TOTAL);
    }
    if (t.d) table_end(&t);
}

/* "3.5 : 1", or "see data" for what is not mixed by volume. */
static const char *parts(say *w, const survey_material *m) {
    if (!m->parts_powder.known || !m->parts_water.known) return "see data sheet";
    return say_print(w, "%s : %s", say_plain(w, m->parts_powder.v, 2), say_plain(w, m->parts_water.v, 2));
}

void card_mixes(doc *d, size_t leak, double size) {
    static const table_column columns[] = {{"Mix", 1.1, ALIGN_LEFT, false},
                                           {"Powder : water\nby volume", 1.25, ALIGN_RIGHT, false},
                                           {"Volume", 0.9, ALIGN_RIGHT, false},
                                           {"Powder", 0.95, ALIGN_RIGHT, false},
                                           {"Water", 0.9, ALIGN_RIGHT, false},
                                           {"Batches", 0.8, ALIGN_RIGHT, false},
                                           {"One batch\npowder + water", 1.7, ALIGN_RIGHT, false},
                                           {"Usable", 1.35, ALIGN_RIGHT, false}};
    say *w = &d->words;
    const takeoff_leak *of = &d->plan->takeoff.leaks[leak];
    table t = {0};
    for (size_t i = 0; i < MIX_COUNT; i++) {
        const takeoff_mix *m = &of->mixes[i];
        if (!m->material || !(m->powder_kg > 0)) continue;
        if (!t.d) {
            doc_need(d, 60);
            t = table_begin(d, columns, 8, size);
        }
        const char *batch = say_print(w, "%s + %s", say_value(w, UNITS_MASS, m->batch_powder_kg),
                                      say_value(w, UNITS_VOLUME, m->batch_water_m3));
        const char *usable = say_print(w, "%s at %s", say_time(w, m->usable_s),
                                       say_value(w, UNITS_TEMPERATURE, m->temperature_c));
        table_row(&t,
                  (const char *[]){
                      takeoff_step_words[i], parts(w, m->material), say_value(w, UNITS_VOLUME, m->volume_m3),
                      say_value(w, UNITS_MASS, m->powder_kg), say_value(w, UNITS_VOLUME, m->water_m3),
                      say_print(w, "%d", m->batches), batch, usable},
                  ROW_PLAIN);
    }
    if (t.d) table_end(&t);
}

/* One step as it is set: type, and the room for its words. */
typedef struct {
    doc *d;
    doc_style title, body;
    double x, width; /* of the words */
} setting;

/* What is filled in by hand, beside the title. */
static double write_strip(const setting *s, const plan_step *step, double y) {
    if (!step->hold && !(step->timer_s > 0)) return 0;
    doc_style style = s->body;
    style.align = ALIGN_RIGHT;
    const char *words =
        step->hold ? "name ________________________  time ______________" : "begun ______________";
    return doc_text_at(s->d, style, s->x + s->width * STRIP_FROM, y, s->width * (1 - STRIP_FROM), words);
}

static double write_step(const setting *s, const plan_step *step, size_t number) {
    doc *d = s->d;
    say *w = &d->words;
    double y = d->y + 2.5, strip = write_strip(s, step, y);
    const char *timer = "";
    if (step->timer_s > 0)
        timer = say_print(w, "  ·  %s %s", step->timer ? step->timer : "wait", say_time(w, step->timer_s));
    const char *title = say_print(w, "%zu  %s%s%s", number, step->hold ? "HOLD: " : "", step->title, timer);
    y +=
        fmax(strip, doc_text_at(d, s->title, s->x, y, s->width * (strip > 0 ? STRIP_FROM - 0.02 : 1), title));
    if (step->body && *step->body) y += doc_text_at(d, s->body, s->x, y, s->width, step->body);
    return y + 2 - d->y;
}

static double step_height(const setting *s, const plan_step *step, size_t number) {
    bool dry = s->d->dry;
    s->d->dry = true;
    double height = write_step(s, step, number);
    s->d->dry = dry;
    return height;
}

void card_steps(doc *d, size_t leak, double size) {
    static const double TICK = 9;
    const plan_card *card = &d->plan->cards[leak];
    setting s = {d,
                 {size, true, 0x111111, ALIGN_LEFT},
                 {size, false, 0x111111, ALIGN_LEFT},
                 DOC_MARGIN + TICK + 10,
                 doc_inner(d) - TICK - 16};
    for (size_t i = 0; i < card->n_steps; i++) {
        const plan_step *step = &card->steps[i];
        double height = step_height(&s, step, i + 1);
        if (doc_need(d, height))
            d->y += 4 + doc_text_at(d, DOC_BOLD, DOC_MARGIN, d->y, doc_inner(d),
                                    say_print(&d->words, "%s, continued", d->plan->leaks[leak].defect->mark));
        if (step->hold)
            doc_box(d, (sheet_box){DOC_MARGIN, d->y + 0.5, doc_inner(d), height - 1}, 0x9a6b00, 0xfff5db);
        doc_box(d, (sheet_box){DOC_MARGIN + 4, d->y + 5, TICK, TICK}, 0x222222, 0xffffff);
        write_step(&s, step, i + 1);
        d->y += height;
    }
    d->y += 2;
}

void card_cautions(doc *d, size_t leak, double size) {
    const plan_card *card = &d->plan->cards[leak];
    if (card->n_cautions == 0) return;
    text all = {0};
    for (size_t i = 0; i < card->n_cautions; i++)
        text_print(&all, "%s%s", i ? "  •  " : "Caution: ", card->cautions[i]);
    if (all.failed) d->words.failed = true;
    doc_style style = {size, false, 0x111111, ALIGN_LEFT};
    double width = doc_inner(d) - 10, height = doc_measure(d, style, width, text_get(&all)) + 8;
    doc_need(d, height);
    doc_box(d, (sheet_box){DOC_MARGIN, d->y, doc_inner(d), height}, 0xb00020, 0xfdf1ef);
    doc_text_at(d, style, DOC_MARGIN + 5, d->y + 4, width, text_get(&all));
    text_free(&all);
    d->y += height + 4;
}
