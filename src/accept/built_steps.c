/* The steps of a leak: begun, done, ticked, by whom, in how many hours. */
#include "accept/built_parts.h"

#include "core/date.h"
#include "survey/work.h"

#include <math.h>
#include <string.h>

enum { SPAN_MOST_DAYS = 366 }; /* our default: a finish so late is a mistake */

/* Without the clock of the site: over a night both ends lie within shifts of `length` hours, so that the number of nights is
 * that of whole days nearest to the span. The break of the first and the last day is counted, as within one day. */
double built_hours_between(const building *b, long long from_s, long long to_s, bool *night) {
    const survey_site *site = &b->p->survey->site;
    work_shift shift = work_shift_of(site);
    double length = shift.to_h - shift.from_h, span = (double)(to_s - from_s) / 3600;
    *night = false;
    if (!(span >= 24 - length) || length >= 24) return span > 0 ? span : 0;
    *night = true;
    long long days = (long long)fmax(1, round(span / 24)), worked = 0;
    if (days > SPAN_MOST_DAYS) return -1;
    for (long long d = 1; d < days; d++) worked += work_on_day(&site->work, built_day(b, from_s) + d);
    double ends = fmax(span - 24 * (double)days + length, 0);
    return ends + (double)worked * site->shift_h;
}

status built_push_seq(building *b, const long long **list, size_t *n, long long seq) {
    union {
        const long long *in;
        long long *out;
    } old = {*list};
    long long *longer = arena_push(b->memory, old.out, n, sizeof *longer);
    if (!longer) return fault_memory(b->why);
    longer[*n - 1] = seq;
    *list = longer;
    return OK;
}

status built_keep_note(building *b, built_leak *leak, const record *r) {
    const record **list = arena_push(b->memory, leak->notes, &leak->n_notes, sizeof *list);
    if (!list) return fault_memory(b->why);
    list[leak->n_notes - 1] = r;
    leak->notes = list;
    return OK;
}

status built_note(building *b, built_leak *leak, const record *about, const char *sentence) {
    record *r = arena_get(b->memory, 1, sizeof *r);
    if (!r || !sentence) return fault_memory(b->why);
    *r = (record){.id = about->id,
                  .mark = leak->mark,
                  .what = RECORD_NOTE,
                  .step = about->step,
                  .at = about->at,
                  .text = sentence,
                  .seq = about->seq};
    return built_keep_note(b, leak, r);
}

static void start(built_tally *t, const built_filed *f) {
    if (t->open) return; /* begun twice: the first holds, the conflict is told */
    t->open = true;
    t->open_s = f->seconds;
    t->open_people = f->r->people.known ? f->r->people.v : 0;
    if (!t->started) t->started = f->r->at;
    if (!t->by) t->by = f->r->by;
    t->begun = true;
}

/* A finish after a tick goes on from the same start. */
static status end(building *b, const built_slice *s, built_tally *t, const built_filed *f) {
    const record *r = f->r;
    bool ticked_after = r->what == RECORD_HOLD && !t->open && t->finished; /* it had ended before */
    bool again = !t->open && t->last_s > 0 && r->what == RECORD_FINISH;
    if (t->open || again) {
        bool night;
        double people = r->people.known ? r->people.v : t->open_people > 0 ? t->open_people : 1;
        double hours = built_hours_between(b, t->open_s, f->seconds, &night);
        status code = OK;
        if (night)
            code = built_note(b, s->out, r,
                              hours < 0
                                  ? "begun and finished more than a year apart: its hours are not counted"
                                  : arena_print(b->memory,
                                                "over night: %.1f of %.1f hours from start to finish are the "
                                                "shift's and counted",
                                                hours, (double)(f->seconds - t->open_s) / 3600));
        if (code != OK) return code;
        if (again) t->hours -= t->last_h;
        t->last_h = people * fmax(hours, 0);
        t->hours += t->last_h;
        t->last_s = r->what == RECORD_HOLD ? f->seconds : 0;
    }
    t->open = false;
    t->done = true;
    if (!ticked_after) {
        t->finished = r->at;
        t->end_seq = r->seq;
    }
    if (r->by && (!t->ticked || r->what == RECORD_HOLD)) t->by = r->by;
    if (r->what == RECORD_HOLD) t->ticked = true;
    return OK;
}

/* The records that times and hours come from, rising: they come in the order of time. */
static status name_record(building *b, built_tally *t, long long seq) {
    long long *list = arena_push(b->memory, t->seqs, &t->n_seqs, sizeof *list);
    if (!list) return fault_memory(b->why);
    size_t at = t->n_seqs - 1;
    for (; at > 0 && list[at - 1] > seq; at--) list[at] = list[at - 1];
    list[at] = seq;
    t->seqs = list;
    return OK;
}

static status take(building *b, const built_slice *s, const built_filed *f) {
    const record *r = f->r;
    built_tally *t = &s->work->steps[built_step_of(r->step)];
    status code = OK;
    bool said = r->text && r->what != RECORD_PHOTO && r->what != RECORD_PROOF && r->what != RECORD_LEVEL;
    if (said) code = built_keep_note(b, s->out, r);
    if (code != OK || r->what == RECORD_NOTE || r->what == RECORD_DEVIATION || r->what >= RECORD_LEVEL ||
        r->what == RECORD_PHOTO)
        return code;
    if (r->what == RECORD_START) start(t, f);
    if (r->what == RECORD_FINISH || r->what == RECORD_HOLD) code = end(b, s, t, f);
    if (r->hours.known) {
        t->told = true;
        t->told_h += r->hours.v;
    }
    if (r->people.known) t->people = fmax(t->people, r->people.v);
    bool act = r->what == RECORD_START || r->what == RECORD_FINISH || r->what == RECORD_HOLD;
    if (act || r->hours.known || (r->what == RECORD_USED && r->step)) t->seen = true;
    t->seq = r->seq;
    return code == OK && (act || r->hours.known) ? name_record(b, t, r->seq) : code;
}

static const char *title_of(const building *b, size_t leak, const char *code) {
    const plan_card *card = leak < b->p->n_leaks ? &b->p->cards[leak] : NULL;
    for (size_t i = 0; card && i < card->n_steps; i++)
        if (strcmp(card->steps[i].code, code) == 0) return card->steps[i].title;
    return *code ? code : "Without a step";
}

static status add_step(building *b, const built_slice *s, int step) {
    built_tally *t = &s->work->steps[step];
    built_step *list = arena_push(b->memory, s->out->steps, &s->out->n_steps, sizeof *list);
    if (!list) return fault_memory(b->why);
    if (t->told) t->hours = t->told_h;
    const char *code = step < RECORD_STEPS ? record_step_words[step] : "";
    bool planned = step < RECORD_STEPS && (s->work->on_card & BUILT_BIT(step));
    list[s->out->n_steps - 1] = (built_step){.code = code,
                                             .title = title_of(b, s->leak, code),
                                             .started = t->started,
                                             .finished = t->open ? NULL : t->finished,
                                             .by = t->by,
                                             .people = t->people,
                                             .hours = t->hours,
                                             .planned = planned,
                                             .ticked = t->ticked,
                                             .seqs = t->seqs,
                                             .n_seqs = t->n_seqs,
                                             .seq = t->end_seq && !t->open ? t->end_seq : t->seq};
    s->out->steps = list;
    s->out->hours += t->hours;
    return OK;
}

/* Cure and proof come after the work. */
static void read_card(const building *b, const built_slice *s) {
    static const char *const after[] = {"cure", "prove", "answer", "gauge", "watch"};
    built_work *w = s->work;
    w->last_work = -1;
    const plan_card *card = s->leak < b->p->n_leaks ? &b->p->cards[s->leak] : NULL;
    for (size_t i = 0; card && i < card->n_steps; i++) {
        int step = built_step_of(card->steps[i].code);
        bool later = step == BUILT_NO_STEP;
        if (later) continue;
        w->on_card |= BUILT_BIT(step);
        if (card->steps[i].hold) w->holds |= BUILT_BIT(step);
        for (size_t k = 0; k < sizeof after / sizeof *after; k++)
            later = later || strcmp(after[k], card->steps[i].code) == 0;
        if (!later) w->last_work = step;
    }
}

static bool is_finished(const built_work *w) {
    const built_tally *whole = &w->steps[BUILT_NO_STEP], *prove = &w->steps[built_step_of("prove")];
    if (whole->done && !whole->open) return true;
    if (prove->done) return true;
    return w->last_work >= 0 && w->steps[w->last_work].done && !w->steps[w->last_work].open;
}

status built_steps_of(building *b, const built_slice *s) {
    status code = OK;
    read_card(b, s);
    for (size_t i = 0; code == OK && i < s->n; i++) code = take(b, s, &s->from[i]);
    /* The card's steps in its order, then what else was recorded. */
    const plan_card *card = s->leak < b->p->n_leaks ? &b->p->cards[s->leak] : NULL;
    for (size_t i = 0; code == OK && card && i < card->n_steps; i++) {
        int step = built_step_of(card->steps[i].code);
        if (step != BUILT_NO_STEP) code = add_step(b, s, step);
    }
    for (int step = 0; code == OK && step < BUILT_STEPS; step++)
        if (s->work->steps[step].seen && !(step < RECORD_STEPS && (s->work->on_card & BUILT_BIT(step))))
            code = add_step(b, s, step);
    s->out->finished = is_finished(s->work);
    return code;
}
