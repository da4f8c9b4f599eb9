/* The tasks of one leak: the steps of its card that take somebody's time, in their order, and the waits between them. */
#include "works/parts.h"

#include <stdio.h>
#include <string.h>

/* Waits that no card times, our defaults: concrete that leaks is full of water behind its face; a paste hardens; a washed
 * groove dries; a primer flashes off; resin and sealant cure (the maker's data sheet governs); what belongs together follows
 * within TIE_MIN; a face found damp is covered before it dries; what is begun at a place goes on within GO_ON_MIN. */
enum {
    SOAK_LEAKING_MIN = 60,
    HARDEN_MIN = 120,
    DRY_MIN = 120,
    PRIMER_MIN = 30,
    RESIN_CURE_MIN = WORKS_DAY_MIN,
    SEALANT_CURE_MIN = 7 * WORKS_DAY_MIN,
    TIE_MIN = 30,
    DAMP_MIN = 60,
    GO_ON_MIN = 240,
    ROUTED_MOST_MIN = WORKS_DAY_MIN, /* routed to sealed: UFC 3-270-03, pavement practice, as on the card */
    PARTS_MOST = 1000
};

typedef struct {
    works_step step;
    int min_lag, max_lag; /* after the step before */
    int within;           /* part after part; SCHEDULE_NO_LIMIT: as they fit */
    int parts;
    works_step_kind kind; /* of one part */
} item;

typedef struct {
    works_making *m;
    size_t leak;
    item items[STEP_COUNT];
    int n;
} listing;

static void add(listing *l, works_step step, int min_lag) {
    l->items[l->n++] = (item){.step = step,
                              .min_lag = min_lag,
                              .max_lag = SCHEDULE_NO_LIMIT,
                              .within = SCHEDULE_NO_LIMIT,
                              .parts = 1};
}

static int cure_of(const works_making *m, size_t leak) {
    return m->cure_min && m->cure_min[leak] > m->cure_usual_min ? m->cure_min[leak] : m->cure_usual_min;
}

static void list_fill(listing *l) {
    const takeoff_leak *t = &l->m->takeoff->leaks[l->leak];
    bool plugged = t->mixes[MIX_PLUG].material != NULL, relief = l->m->designs[l->leak].relief.wanted;
    if (relief) add(l, STEP_RELIEF, 0);
    if (plugged) {
        add(l, STEP_PLUG, 0);
        if (relief) add(l, STEP_CLOSE_RELIEF, 0);
        add(l, STEP_STOPPED, 0);
    }
    if (t->mixes[MIX_FIRST_COAT].material) add(l, STEP_FIRST_COAT, 0);
    if (t->mixes[MIX_PACK].material) add(l, STEP_PACK, 0);
    if (t->mixes[MIX_LAST_COAT].material) add(l, STEP_LAST_COAT, WORKS_LAST_AFTER_MIN);
}

static void list_slot(listing *l) {
    const works_making *m = l->m;
    const repair_design *d = &m->designs[l->leak];
    bool line = d->method.name == METHOD_SLOT_PLUG || d->method.name == METHOD_SLOT_PACK;
    if (d->n_slots) add(l, STEP_SCAN, 0);
    if (line || (d->method.name != METHOD_COAT && d->n_slots)) add(l, STEP_CUT, 0);
    if (m->takeoff->leaks[l->leak].mixes[MIX_PLUG].material) add(l, STEP_MEASURE, 0);
    add(l, STEP_WASH, 0);
    add(l, STEP_SOAK, m->leaks[l->leak].worst >= WET_SEEP ? SOAK_LEAKING_MIN : WORKS_SOAK_MIN);
    list_fill(l);
    add(l, STEP_OPEN, cure_of(m, l->leak));
}

static void list_injection(listing *l) {
    add(l, STEP_SCAN, 0);
    add(l, STEP_PORTS, 0);
    add(l, STEP_SURFACE_SEAL, 0);
    add(l, STEP_FLUSH, HARDEN_MIN);
    add(l, STEP_INJECT, 0);
    add(l, STEP_STRIP, RESIN_CURE_MIN);
    add(l, STEP_OPEN, 0);
}

static void list_flexible(listing *l) {
    add(l, STEP_SCAN, 0);
    add(l, STEP_ROUT, 0);
    add(l, STEP_WASH, 0);
    add(l, STEP_PRIME, DRY_MIN);
    add(l, STEP_BACKER, PRIMER_MIN);
    add(l, STEP_SEAL, 0);
    add(l, STEP_OPEN, SEALANT_CURE_MIN);
}

static void list_drain(listing *l) {
    add(l, STEP_SCAN, 0);
    add(l, STEP_CHANNEL, 0);
    add(l, STEP_OUTLET, 0);
    add(l, STEP_OPEN, 0);
}

static void list_steps(listing *l) {
    const repair_design *d = &l->m->designs[l->leak];
    add(l, STEP_SETUP, 0);
    if (method_is_injection(d->method.name))
        list_injection(l);
    else if (d->method.name == METHOD_FLEXIBLE)
        list_flexible(l);
    else if (d->method.name == METHOD_DRAIN)
        list_drain(l);
    else
        list_slot(l);
    add(l, STEP_PROVE, 0);
}

static item *find(listing *l, works_step step) {
    for (int i = 0; i < l->n; i++)
        if (l->items[i].step == step) return &l->items[i];
    return NULL;
}

static int minutes_of(const item *i) {
    return i ? i->kind.minutes * i->parts : 0;
}

/* ---- parts ---- */

static works_hours_kind hours_kind(const item *i) {
    return i->kind.noisy ? HOURS_NOISY : HOURS_USUAL;
}

static status too_long(const listing *l, const item *i) {
    const works_hours *h = &l->m->hours;
    const char *mark = l->m->leaks[l->leak].defect->mark;
    int longest = h->longest_min[hours_kind(i)];
    if (longest == 0)
        return fault_set(
            l->m->why, E_INPUT,
            "work: noise is allowed from %02d:%02d to %02d:%02d, in no hour of the shift; step %s "
            "of leak %s is noisy",
            h->noise.from_min / 60, h->noise.from_min % 60, h->noise.to_min / 60, h->noise.to_min % 60,
            i->kind.code, mark);
    return fault_set(l->m->why, E_INPUT,
                     "work: step %s of leak %s, %d minutes, fits no stretch of a shift; the longest has %d",
                     i->kind.code, mark, i->kind.minutes, longest);
}

/* In one go where a stretch holds it, with `other` where that follows at once; else in the fewest parts. */
static status split(const listing *l, item *i, item *other) {
    const works_making *m = l->m;
    for (int parts = 1; parts <= PARTS_MOST;) {
        status code = steps_look(m, l->leak, i->step, parts, &i->kind);
        if (code == OK && other) code = steps_look(m, l->leak, other->step, parts, &other->kind);
        if (code != OK) return code;
        i->parts = parts;
        if (other) other->parts = parts;
        works_hours_kind kind = hours_kind(i);
        int minutes = i->kind.minutes + (other ? other->kind.minutes : 0);
        int limit = parts == 1 ? m->hours.longest_min[kind] : m->hours.split_min[kind];
        if (minutes <= limit) return OK;
        if (limit == 0) break;
        int more = (int)((long)minutes * parts / limit);
        parts = more > parts ? more : parts + 1;
    }
    return too_long(l, i);
}

static status size_items(listing *l) {
    item *coat = find(l, STEP_FIRST_COAT), *pack = find(l, STEP_PACK);
    for (int k = 0; k < l->n; k++) {
        item *i = &l->items[k];
        if (coat && i == pack) continue; /* with its coat */
        status code = split(l, i, i == coat ? pack : NULL);
        if (code != OK) return code;
    }
    return OK;
}

/* ---- what follows at once ---- */

/* A plug that is begun is finished and closed without a night between where a day holds it, over a break where no stretch
 * does. Where no day does, only what shuts the water: the tube drains until then. */
static void tie_plug(listing *l) {
    item *plug = find(l, STEP_PLUG), *shut = find(l, STEP_CLOSE_RELIEF), *stopped = find(l, STEP_STOPPED);
    const works_hours *h = &l->m->hours;
    if (!plug) return;
    int all = minutes_of(plug) + minutes_of(shut) + minutes_of(stopped), day = 0, within = TIE_MIN;
    for (int k = 0; k < h->n_stretches; k++) day += h->stretch[k].to_min - h->stretch[k].from_min;
    if (all > h->longest_min[HOURS_USUAL] && h->n_stretches > 1)
        within += h->stretch[1].from_min - h->stretch[0].to_min;
    bool fits = all <= h->longest_min[HOURS_USUAL] || all <= day - TIE_MIN;
    if (fits) plug->within = within;
    if (fits && shut) shut->max_lag = within;
    if (fits || shut) stopped->max_lag = within;
}

/* Who finds the face damp places at once. */
static void tie_soak(listing *l) {
    item *soak = find(l, STEP_SOAK);
    if (soak && soak + 1 < l->items + l->n && soak[1].step != STEP_RELIEF && soak[1].parts == 1 &&
        soak[1].step != STEP_OPEN)
        soak[1].max_lag = DAMP_MIN;
}

/* Who has set up and marked the bars goes on with it: nobody opens ten places and leaves them. Nor is a cut left unwashed
 * over a night. Not across long cuts, which are done in parts. */
static void tie_opening(listing *l) {
    int together = 0;
    bool noisy = false;
    for (int k = 0; k < l->n; k++) {
        item *i = &l->items[k];
        if (i->parts > 1 || i->min_lag > 0 || i->step == STEP_SURFACE_SEAL || i->step == STEP_OUTLET) return;
        together += i->kind.minutes;
        noisy = noisy || i->kind.noisy;
        if (together > l->m->hours.longest_min[noisy ? HOURS_NOISY : HOURS_USUAL]) return;
        if (k > 0) i->max_lag = GO_ON_MIN;
    }
}

static void tie_pack(listing *l) {
    item *coat = find(l, STEP_FIRST_COAT), *pack = find(l, STEP_PACK);
    if (coat && pack) pack->max_lag = l->m->tacky_min;
}

/* ---- into the plan ---- */

static const char *id_of(const listing *l, const item *i, int part) {
    char words[32];
    snprintf(words, sizeof words, "%s", i->kind.code);
    for (char *c = words; *c; c++)
        if (*c == '_') *c = ' ';
    const char *mark = l->m->leaks[l->leak].defect->mark;
    arena *memory = l->m->memory;
    return i->parts == 1 ? arena_print(memory, "%s %s", mark, words)
                         : arena_print(memory, "%s %s %d of %d", mark, words, part, i->parts);
}

/* A task of a step; after the one made last, unless it is the leak's first. */
static status make_task(listing *l, const item *i, int part, int min_lag, int max_lag) {
    works_making *m = l->m;
    works_task *tasks = arena_push(m->memory, m->out->tasks, &m->out->n_tasks, sizeof *tasks);
    if (!tasks) return fault_memory(m->why);
    m->out->tasks = tasks;
    size_t at = m->out->n_tasks - 1;
    works_made *made = arena_push(m->memory, m->made, &m->n_made, sizeof *made);
    if (!made) return fault_memory(m->why);
    m->made = made;
    made[at].step = i->step;
    made[at].after = arena_get(m->memory, WORKS_AFTER_MOST, sizeof *made[at].after);
    tasks[at] = (works_task){.id = id_of(l, i, part),
                             .title = i->kind.title,
                             .step = i->kind.code,
                             .leak = l->leak,
                             .face = m->of_leak[l->leak].face,
                             .part = part,
                             .parts = i->parts,
                             .minutes = i->kind.minutes,
                             .plant = i->kind.plant,
                             .noisy = i->kind.noisy,
                             .after = made[at].after};
    memcpy(tasks[at].people, i->kind.people, sizeof tasks[at].people);
    if (!tasks[at].id || !made[at].after) return fault_memory(m->why);
    works_leak_tasks *of = &m->of_leak[l->leak];
    if (of->n++ == 0)
        of->first = at;
    else
        tasks_tie(m, at, at - 1, min_lag, max_lag);
    return OK;
}

void tasks_tie(works_making *m, size_t task, size_t before, int min_lag, int max_lag) {
    works_task *t = &m->out->tasks[task];
    m->made[task].after[t->n_after++] = (schedule_after){before, min_lag, max_lag};
}

static void note(listing *l, works_step step, bool first) {
    works_leak_tasks *of = &l->m->of_leak[l->leak];
    size_t at = l->m->out->n_tasks - 1;
    if (step == STEP_PLUG && first) of->plug = at;
    if (step == STEP_PLUG || step == STEP_CLOSE_RELIEF) of->shut = at;
    if (step != STEP_OPEN && step != STEP_PROVE && step != STEP_STRIP) of->fresh = at;
    if (step == STEP_OPEN) of->open = at;
}

static status make_parts(listing *l, const item *i, const item *with) {
    status code = OK;
    for (int part = 1; code == OK && part <= i->parts; part++) {
        code = make_task(l, i, part, part == 1 ? i->min_lag : 0, part == 1 ? i->max_lag : i->within);
        if (code == OK) note(l, i->step, part == 1);
        if (code == OK && with) code = make_task(l, with, part, with->min_lag, with->max_lag);
        if (code == OK && with) note(l, with->step, part == 1);
    }
    return code;
}

/* Sealed within a day of routing, where one stretch holds what lies between. */
static void tie_seal(listing *l, size_t routed, size_t sealed) {
    const works_task *tasks = l->m->out->tasks;
    int between = DRY_MIN + PRIMER_MIN;
    for (size_t t = routed + 1; t < sealed; t++) between += tasks[t].minutes;
    if (between <= l->m->hours.longest_min[HOURS_USUAL]) tasks_tie(l->m, sealed, routed, 0, ROUTED_MOST_MIN);
}

static status make_all(listing *l) {
    size_t routed = SIZE_MAX;
    item *pack = find(l, STEP_PACK);
    bool coated = find(l, STEP_FIRST_COAT) != NULL;
    for (int k = 0; k < l->n; k++) {
        const item *i = &l->items[k];
        if (i == pack && coated) continue; /* made with its coat */
        status code = make_parts(l, i, i->step == STEP_FIRST_COAT ? pack : NULL);
        if (code != OK) return code;
        size_t last = l->m->out->n_tasks - 1;
        if (i->step == STEP_ROUT) routed = last;
        if (i->step == STEP_SEAL && routed != SIZE_MAX) tie_seal(l, routed, last - (size_t)i->parts + 1);
    }
    return OK;
}

status tasks_of_leak(works_making *m, size_t leak) {
    listing l = {.m = m, .leak = leak};
    works_leak_tasks *of = &m->of_leak[leak];
    const survey_face *face = survey_find_face(m->s, m->leaks[leak].defect->parts[0].face);
    *of = (works_leak_tasks){.plug = SIZE_MAX, .face = face ? (size_t)(face - m->s->faces) : 0};
    if (!design_is_priced(&m->designs[leak])) return OK;
    list_steps(&l);
    status code = size_items(&l);
    if (code != OK) return code;
    tie_opening(&l);
    tie_plug(&l);
    tie_soak(&l);
    tie_pack(&l);
    return make_all(&l);
}
