#include "accept/proof_parts.h"

#include <string.h>

#define LEVEL_ROUNDING_M 1e-6 /* of a level typed in feet and kept in metres */

survey_tightness proof_class(const survey *s) {
    return s->site.tightness == TIGHT_NOT_AGREED ? PROOF_WITHOUT_CLASS : s->site.tightness;
}

/* 1 + the place of a word; 0: not told. */
static int told(const char *word, const char *const words[], int n) {
    for (int i = 0; word && i < n; i++)
        if (strcmp(words[i], word) == 0) return i + 1;
    return 0;
}

/* Of the faces that the leak lies on. */
static maybe face_area(const survey *s, const survey_defect *d) {
    double area_m2 = 0;
    for (size_t i = 0; i < d->n_parts; i++) {
        bool again = false;
        for (size_t k = 0; k < i; k++) again = again || strcmp(d->parts[k].face, d->parts[i].face) == 0;
        const survey_face *f = again ? NULL : survey_find_face(s, d->parts[i].face);
        if (!f) continue;
        const face_run outline = {f->outline.points, f->outline.n_points};
        area_m2 += face_ring_area_m2(&outline);
        for (size_t k = 0; k < f->n_openings; k++) {
            const face_run opening = {f->openings[k].points, f->openings[k].n_points};
            area_m2 -= face_ring_area_m2(&opening);
        }
    }
    return (maybe){area_m2 > 0, area_m2};
}

/* A point or an area is one piece of 1. */
static void find_stretch(const leak_water *water, bool is_line, proof_test *t) {
    bool part = is_line && t->r->from_m.known && t->r->to_m.known;
    t->from_m = part ? t->r->from_m.v : 0;
    t->to_m = part ? t->r->to_m.v : is_line ? water->length_m : 1;
}

static void find_water(const leak_water *water, proof_test *t) {
    t->level_m = t->r->water_level_m;
    t->level_needed_m = (maybe){water->level_known, water->level_today_m};
    t->low_water = !t->level_m.known || !t->level_needed_m.known ||
                   !(t->level_m.v >= t->level_needed_m.v - LEVEL_ROUNDING_M);
}

/* Never litres from drips: with drips and nothing collected the flow is not known. */
static void find_flow(const tightness_test *x, bool is_line, proof_test *t) {
    bool dry = x->hand == TOUCH_DRY && !(x->drips_per_min.known && x->drips_per_min.v > 0);
    double length_m = t->to_m - t->from_m;
    t->flow_m3_s = x->flow_m3_s;
    t->drips_per_min = x->drips_per_min;
    if (dry && !t->flow_m3_s.known) t->flow_m3_s = (maybe){true, 0};
    if (dry && !t->drips_per_min.known) t->drips_per_min = (maybe){true, 0};
    if (is_line && t->drips_per_min.known && length_m > 0)
        t->drips_m = (maybe){true, t->drips_per_min.v / length_m};
}

static tightness_test test_of(const survey *s, const survey_defect *d, const record *r) {
    tightness_test x = {.drips_per_min = r->drips_per_min, .area_m2 = face_area(s, d)};
    int word = told(r->wetness, survey_wetness_words, WET_COUNT);
    x.hand = (tightness_hand)told(r->hand, record_hand_words, RECORD_HANDS);
    x.paper = (tightness_paper)told(r->blotter, record_blotter_words, RECORD_BLOTTERS);
    x.wetness = (maybe){word > 0, word - 1};
    if (r->volume_m3.known && r->time_s.known && r->time_s.v > 0)
        x.flow_m3_s = (maybe){true, r->volume_m3.v / r->time_s.v};
    return x;
}

void proof_class_test(const proving *m, size_t leak, proof_test *t) {
    const tightness_test x = test_of(m->p->survey, m->p->leaks[leak].defect, t->r);
    const char *missing, *placed_at = m->placed_at[leak];
    find_stretch(&m->p->leaks[leak], m->leaks[leak].is_line, t);
    find_water(&m->p->leaks[leak], t);
    find_flow(&x, m->leaks[leak].is_line, t);
    t->before_work = placed_at && strcmp(t->r->at, placed_at) < 0;
    t->seen = tightness_of_test(m->class_id, &x, &missing);
    if (!t->low_water) t->reached = tightness_reached(m->class_id, &x);
    t->keeps = t->seen == TIGHT_KEPT && !t->low_water && !t->before_work;
    t->sentence = proof_say_test(m, leak, t, missing);
}
