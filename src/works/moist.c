#include "works/moist.h"

#include "survey/catalogue.h"
#include "works/moist_parts.h"

#include <math.h>
#include <stdlib.h>

enum { HOUR_MIN = 60, DAY_H = 24, DAY_MIN = DAY_H * HOUR_MIN };
enum { AWAY_MIN = DAY_MIN }; /* nobody there for longer is told, our default */

typedef struct {
    const moist_air *air;
    const moist_cure *cures;
    size_t *order; /* of the cures: by face, then by beginning */
    size_t n;
    const works_shift *shifts;
    size_t n_shifts;
    int visit_min;
    arena *memory;
    moist_plan *out;
    fault *why;
} moistening;

/* Cures of one face that lap over each other: order[first] to order[last]. */
typedef struct {
    size_t first, last, face;
    int begin_min, end_min;
} spell;

static status warn(const moistening *m, const char *sentence) {
    return moist_add_text(m->memory, &m->out->warnings, &m->out->n_warnings, sentence, m->why);
}

static const char *unknown_text(const moistening *m, const moist_cure *c) {
    const char *mark = m->air->s->defects[c->leak].mark;
    char cold[UNITS_SHOWN];
    if (!moist_air_ends(m->air, c->begin_min))
        return arena_print(m->memory,
                           "%s: it stays too cold; within %d days no water may come against it. Heat it, or "
                           "work in a warmer season.",
                           mark, MOIST_LONGEST_DAYS);
    units_show(UNITS_TEMPERATURE, m->air->s->site.system, CURE_COLD_C, 0, cold);
    return arena_print(m->memory,
                       "%s: when water may come against it is not known, the weather given ends first. %.1f "
                       "days are planned; see to it that it stays above %s.",
                       mark, moist_lag_min(m->air, c->begin_min) / (double)DAY_MIN, cold);
}

static status open_all(const moistening *m) {
    status code = OK;
    for (size_t i = 0; code == OK && i < m->n; i++) {
        const moist_cure *c = &m->cures[i];
        bool known = moist_open_after_min(m->air, c->begin_min) < HUGE_VAL;
        int open_min = c->begin_min + moist_lag_min(m->air, c->begin_min);
        m->out->openings[i] = (moist_opening){c->leak, open_min, known};
        if (!known) code = warn(m, unknown_text(m, c));
    }
    return code;
}

/* By face, then by beginning; an insertion sort, since few faces have many cures and most come in order. */
static void sort_cures(const moistening *m) {
    for (size_t i = 0; i < m->n; i++) {
        size_t at = i;
        const moist_cure *c = &m->cures[i];
        for (; at > 0; at--) {
            const moist_cure *before = &m->cures[m->order[at - 1]];
            if (before->face < c->face || (before->face == c->face && before->begin_min <= c->begin_min))
                break;
            m->order[at] = m->order[at - 1];
        }
        m->order[at] = i;
    }
}

static spell spell_at(const moistening *m, size_t first) {
    const moist_cure *c = &m->cures[m->order[first]];
    spell s = {first, first, c->face, c->begin_min, m->out->openings[m->order[first]].open_min};
    while (s.last + 1 < m->n) {
        size_t next = m->order[s.last + 1];
        if (m->cures[next].face != s.face || m->cures[next].begin_min > s.end_min) break;
        if (m->out->openings[next].open_min > s.end_min) s.end_min = m->out->openings[next].open_min;
        s.last++;
    }
    return s;
}

/* The hours of a spell; beyond the end of the air those of a day before stand in, for the visits only. *known: up to there. */
static cure_hour *hours_of(const moistening *m, const spell *s, size_t *n, size_t *known) {
    static const cure_hour nothing = {MOIST_AIR_C, MOIST_AIR_C, MOIST_HUMIDITY, 0};
    *n = (size_t)((s->end_min - s->begin_min + HOUR_MIN - 1) / HOUR_MIN);
    *known = 0;
    cure_hour *hours = arena_get(m->memory, *n, sizeof *hours);
    for (size_t i = 0; hours && i < *n; i++) {
        size_t at = moist_clock_hour(s->begin_min, i);
        bool there = at < m->air->n_hours;
        hours[i] = there ? m->air->hours[at] : i >= DAY_H ? hours[i - DAY_H] : nothing;
        if (there) *known = i + 1;
    }
    return hours;
}

static cure_stretch *stretches_of(const moistening *m, const spell *s, size_t *n) {
    cure_stretch *list = arena_get(m->memory, m->n_shifts, sizeof *list);
    *n = 0;
    for (size_t i = 0; list && i < m->n_shifts; i++)
        if (m->shifts[i].to_min > s->begin_min && m->shifts[i].from_min < s->end_min)
            list[(*n)++] =
                (cure_stretch){m->shifts[i].from_min - s->begin_min, m->shifts[i].to_min - s->begin_min};
    return list;
}

/* The lightest cover under which nobody must come back sooner than MOIST_SHORTEST_MIN. */
static status choose_cover(const moistening *m, const spell *s, cure_input *in, moist_cover *cover,
                           cure_result *out) {
    double film = moist_film_kg_m2(m->air->s->faces[s->face].lie);
    const double films[] = {film, MOIST_CLOTH_KG_M2, HUGE_VAL};
    status code = OK;
    for (int c = COVER_NONE; code == OK && c <= COVER_SHEET; c++) {
        *cover = (moist_cover)c;
        in->film_kg_m2 = films[c];
        if (c == COVER_CLOTH && !(films[c] > film)) continue;
        code = cure_run(in, m->memory, out, m->why);
        if (code == OK && out->shortest_min >= MOIST_SHORTEST_MIN && out->dry_min == 0) break;
    }
    return code;
}

/* Marks of the leaks of a spell that are in cure at a minute. */
static const char *marks_at(const moistening *m, const spell *s, int minute) {
    const char *marks = "";
    for (size_t i = s->first; marks && i <= s->last; i++) {
        size_t c = m->order[i];
        if (m->cures[c].begin_min > minute || m->out->openings[c].open_min <= minute) continue;
        marks = arena_print(m->memory, "%s%s%s", marks, *marks ? ", " : "",
                            m->air->s->defects[m->cures[c].leak].mark);
    }
    return marks;
}

static status add_visits(const moistening *m, const spell *s, const cure_input *in, moist_cover cover,
                         const cure_result *cure) {
    for (size_t i = 0; i < cure->n_visits; i++) {
        const cure_visit *v = &cure->visits[i];
        const cure_hour *h = &in->hours[v->at_min / HOUR_MIN];
        moist_visit *list = arena_push(m->memory, m->out->visits, &m->out->n_visits, sizeof *list);
        const char *marks = list ? marks_at(m, s, s->begin_min + v->at_min) : NULL;
        if (!marks) return fault_memory(m->why);
        m->out->visits = list;
        bool frost = fmin(h->air_c, h->concrete_c) <= CURE_FROST_C;
        moist_visit *to = &list[m->out->n_visits - 1];
        *to = (moist_visit){
            s->face, s->begin_min + v->at_min, m->visit_min,
            moist_visit_text(&m->air->s->faces[s->face], marks, v->kind, cover, frost, m->memory)};
        if (!to->sentence) return fault_memory(m->why);
    }
    return OK;
}

/* Alarms of a kind that touch are one, whatever the face: the air is the same. */
static status add_alarm(const moistening *m, moist_alarm a) {
    moist_plan *out = m->out;
    for (size_t i = 0; i < out->n_alarms;) {
        moist_alarm *b = &out->alarms[i];
        if (b->kind != a.kind || b->to_min < a.from_min || b->from_min > a.to_min) {
            i++;
            continue;
        }
        bool least = a.kind == CURE_COLD || a.kind == CURE_FROST || a.kind == CURE_WET;
        a.from_min = b->from_min < a.from_min ? b->from_min : a.from_min;
        a.to_min = b->to_min > a.to_min ? b->to_min : a.to_min;
        a.worst = least ? fmin(a.worst, b->worst) : fmax(a.worst, b->worst);
        *b = out->alarms[--out->n_alarms];
        i = 0;
    }
    moist_alarm *list = arena_push(m->memory, out->alarms, &out->n_alarms, sizeof *list);
    if (!list) return fault_memory(m->why);
    out->alarms = list;
    list[out->n_alarms - 1] = a;
    return OK;
}

static status add_alarms(const moistening *m, const spell *s, size_t known, const cure_result *cure) {
    /* By the clock's hours, whose air it is. */
    int zero = (int)moist_clock_hour(s->begin_min, 0) * HOUR_MIN;
    status code = OK;
    for (size_t i = 0; code == OK && i < cure->n_alarms; i++) {
        const cure_alarm *a = &cure->alarms[i];
        if (a->from_h >= (int)known) continue;
        int to_h = a->to_h < (int)known ? a->to_h : (int)known;
        code = add_alarm(
            m, (moist_alarm){a->kind, zero + a->from_h * HOUR_MIN, zero + to_h * HOUR_MIN, a->worst, NULL});
    }
    return code;
}

/* Days on which nobody comes. */
static status tell_away(const moistening *m, const spell *s) {
    int last = s->begin_min;
    for (size_t i = 0; i <= m->n_shifts; i++) {
        int from = i < m->n_shifts ? m->shifts[i].from_min : s->end_min;
        if (from > s->end_min) from = s->end_min;
        if (from - last > AWAY_MIN) {
            const char *face = m->air->s->faces[s->face].name, *a = moist_clock(m->air, last, m->memory),
                       *b = moist_clock(m->air, from, m->memory);
            if (!a || !b) return fault_memory(m->why);
            return warn(m, arena_print(m->memory,
                                       "%s: nobody is there from %s to %s while it cures. Have somebody look "
                                       "at it once a day, or begin it on another day.",
                                       face ? face : m->air->s->faces[s->face].id, a, b));
        }
        if (i < m->n_shifts && m->shifts[i].to_min > last) last = m->shifts[i].to_min;
    }
    return OK;
}

static status keep_moist(const moistening *m, const spell *s) {
    cure_input in = {.visit_min = m->visit_min,
                     .step_min = WORKS_STEP_MIN,
                     .keep_h = (s->end_min - s->begin_min) / (double)HOUR_MIN};
    cure_result cure;
    moist_cover cover = COVER_NONE;
    size_t known;
    in.hours = hours_of(m, s, &in.n_hours, &known);
    in.attended = stretches_of(m, s, &in.n_attended);
    if (!in.hours || !in.attended) return fault_memory(m->why);
    status code = choose_cover(m, s, &in, &cover, &cure);
    if (code == OK) code = add_visits(m, s, &in, cover, &cure);
    if (code == OK) code = add_alarms(m, s, known, &cure);
    return code == OK ? tell_away(m, s) : code;
}

static int by_time(const void *a, const void *b) {
    const moist_visit *x = a, *y = b;
    if (x->at_min != y->at_min) return x->at_min < y->at_min ? -1 : 1;
    return (x->face > y->face) - (x->face < y->face);
}

static int by_beginning(const void *a, const void *b) {
    const moist_alarm *x = a, *y = b;
    if (x->from_min != y->from_min) return x->from_min < y->from_min ? -1 : 1;
    return (x->kind > y->kind) - (x->kind < y->kind);
}

static status finish(const moistening *m) {
    moist_plan *out = m->out;
    if (out->n_visits > 0) qsort(out->visits, out->n_visits, sizeof *out->visits, by_time);
    if (out->n_alarms > 0) qsort(out->alarms, out->n_alarms, sizeof *out->alarms, by_beginning);
    for (size_t i = 0; i < out->n_alarms; i++) {
        out->alarms[i].sentence = moist_alarm_text(m->air, &out->alarms[i], m->memory);
        if (!out->alarms[i].sentence) return fault_memory(m->why);
    }
    return OK;
}

status moist_visits(const moist_air *air, const moist_cure *cures, size_t n_cures, const works_shift *shifts,
                    size_t n_shifts, arena *memory, moist_plan *out, fault *why) {
    double visit_h = 0;
    *out = (moist_plan){0};
    if (n_cures == 0) return OK;
    survey_rate_value(air->s, "cure_visit_h", &visit_h);
    moistening m = {.air = air,
                    .cures = cures,
                    .n = n_cures,
                    .shifts = shifts,
                    .n_shifts = n_shifts,
                    .visit_min = moist_up_min(fmax(visit_h * HOUR_MIN, WORKS_STEP_MIN)),
                    .memory = memory,
                    .out = out,
                    .why = why};
    m.order = arena_get(memory, n_cures, sizeof *m.order);
    out->openings = arena_get(memory, n_cures, sizeof *out->openings);
    if (!m.order || !out->openings) return fault_memory(why);
    status code = OK;
    for (size_t i = 0; code == OK && i < air->n_warnings; i++) code = warn(&m, air->warnings[i]);
    if (code == OK) code = open_all(&m);
    sort_cures(&m);
    for (size_t i = 0; code == OK && i < n_cures;) {
        spell s = spell_at(&m, i);
        code = keep_moist(&m, &s);
        i = s.last + 1;
    }
    return code == OK ? finish(&m) : code;
}
