/* Materials of a leak: planned with waste, used, and what the volumes as built would take without it. */
#include "accept/built_parts.h"

#include <math.h>
#include <string.h>

static const char *const mix_steps[MIX_COUNT] = {"plug", "first_coat", "pack",
                                                 "last_coat"}; /* codes of the cards */

static built_stuff *stuff_of(const building *b, const survey_material *m) {
    return &b->stuff[m ? (size_t)(m - b->p->survey->materials) : b->p->survey->n_materials];
}

static void plan_stuff(building *b, size_t leak) {
    if (leak >= b->p->n_leaks) return;
    const takeoff_leak *t = &b->p->takeoff.leaks[leak];
    for (int k = 0; k < MIX_COUNT; k++) {
        if (!t->mixes[k].material) continue;
        built_stuff *of = stuff_of(b, t->mixes[k].material);
        of->planned = true;
        of->planned_kg += t->mixes[k].powder_kg;
        of->planned_water_m3 += t->mixes[k].water_m3;
        of->steps |= BUILT_BIT(built_step_of(mix_steps[k]));
    }
    if (!t->fill.material) return;
    built_stuff *of = stuff_of(b, t->fill.material);
    of->planned = true;
    of->planned_m3 += t->fill.volume_m3;
    of->steps |= BUILT_BIT(built_step_of(t->fill.material->role == ROLE_RESIN ? "inject" : "seal"));
}

/* By its name, else by the step, else the only one of the leak; NULL: not known. */
static const survey_material *material_of(const building *b, size_t leak, const record *r) {
    const survey *s = b->p->survey;
    if (r->material) {
        size_t at = names_find(b->materials, r->material);
        return at == NAMES_NONE ? NULL : &s->materials[at];
    }
    const takeoff_leak *t = leak < b->p->n_leaks ? &b->p->takeoff.leaks[leak] : NULL;
    const survey_material *only = NULL;
    for (int k = 0; t && r->step && k < MIX_COUNT; k++)
        if (t->mixes[k].material && strcmp(mix_steps[k], r->step) == 0) return t->mixes[k].material;
    for (size_t i = 0; i < s->n_materials; i++) {
        if (!b->stuff[i].planned) continue;
        if (only) return NULL;
        only = &s->materials[i];
    }
    return only;
}

/* Size of its only pack, kg or m3; 0: there are several, or none. */
static double only_pack(const survey_material *m) {
    return m && m->n_packs == 1 ? takeoff_pack_size(m, &m->packs[0]) : 0;
}

/* Powder in kg, or the volume of what is counted so; not known where it was not told. */
static maybe amount_of(const survey_material *m, const record *r) {
    double pack = only_pack(m);
    if (m && takeoff_by_volume(m)) {
        if (r->volume_m3.known) return r->volume_m3;
        if (r->powder_kg.known && m->density_kg_m3.known && m->density_kg_m3.v > 0)
            return (maybe){true, r->powder_kg.v / m->density_kg_m3.v};
    } else if (r->powder_kg.known) {
        return r->powder_kg;
    }
    if (r->packs.known && pack > 0) return (maybe){true, r->packs.v * pack};
    return (maybe){0};
}

static status use(building *b, const built_slice *s, const record *r) {
    const survey_material *m = material_of(b, s->leak, r);
    built_stuff *of = stuff_of(b, m);
    maybe amount = amount_of(m, r);
    bool any = amount.known || r->water_m3.known || r->packs.known || r->material;
    status code = OK;
    if (!any) return OK; /* hours alone */
    if (!of->used) of->powder_told = true;
    of->used = true;
    if (!amount.known && (r->packs.known || !r->water_m3.known)) of->powder_told = false;
    if (amount.known) {
        *(m && takeoff_by_volume(m) ? &of->m3 : &of->kg) += amount.v;
        of->kg_known = true;
        code = built_push_seq(b, &of->seqs, &of->n_seqs, r->seq);
    }
    if (code == OK && r->water_m3.known) {
        of->water_m3 += r->water_m3.v;
        of->water_known = true;
        code = built_push_seq(b, &of->water_seqs, &of->n_water, r->seq);
    }
    if (code == OK && r->packs.known && !amount.known)
        code = built_note(
            b, s->out, r,
            m ? "packs without their powder: the material has several sizes, its powder is not counted"
              : "packs of a material that is not told");
    if (code == OK && r->packs.known) {
        of->packs += r->packs.v;
        of->packs_known = true;
        code = built_push_seq(b, &of->pack_seqs, &of->n_packs, r->seq);
    }
    return code;
}

static const char *label(building *b, const survey_material *m, const char *what) {
    const char *name = m ? m->name : "Material not told";
    return *what ? arena_print(b->memory, "%s, %s", name, what) : name;
}

/* Less than this is told by no scale or jug on site: our defaults, in SI. */
static double least(units_quantity q) {
    return q == UNITS_VOLUME ? 2e-5 : 0.05;
}

static bool differs(double planned, maybe actual, bool finished) {
    double by = actual.v - planned, most = BUILT_TOLERANCE * planned * (1 + 1e-9);
    if (!actual.known) return false;
    return planned > 0 ? by > most || (finished && -by > most) : actual.v > 0;
}

typedef struct {
    const char *what, *unit;
    units_quantity q;
    double planned;
    maybe actual;
    const long long *seqs;
    size_t n_seqs;
    double wanted; /* what it is held against; below 0: nothing */
    bool both;     /* less shows before the leak is finished too */
} figure;

static status figure_line(building *b, const built_slice *s, const survey_material *m, const figure *f) {
    const built_stuff *of = stuff_of(b, m);
    if (!(f->planned > 0) && !f->actual.known) return OK;
    int step = 0;
    while (step < RECORD_STEPS && of->steps != BUILT_BIT(step)) step++;
    built_said said = {.line = {.label = label(b, m, f->what),
                                .step = step < RECORD_STEPS ? record_step_words[step] : NULL,
                                .q = f->q,
                                .unit = f->unit,
                                .planned = {f->planned > 0, f->planned},
                                .actual = f->actual,
                                .seqs = f->seqs,
                                .n_seqs = f->n_seqs},
                       .steps = of->steps ? of->steps : BUILT_ALL_STEPS};
    if (!said.line.label) return fault_memory(b->why);
    said.deviates = f->wanted >= 0 && s->leak < b->p->n_leaks &&
                    fabs(f->actual.v - f->wanted) >= least(f->q) &&
                    differs(f->wanted, f->actual, s->out->finished || f->both);
    return built_add_line(b, s, &said);
}

static status stuff_lines(building *b, const built_slice *s, const survey_material *m) {
    const built_stuff *of = stuff_of(b, m);
    bool volume = m && takeoff_by_volume(m);
    /* Water is held against what the powder used wants by the mix, where each record tells both. */
    bool mixed =
        of->powder_told && of->n_water == of->n_seqs && of->planned_kg > 0 && of->planned_water_m3 > 0;
    double wanted = mixed ? of->planned_water_m3 / of->planned_kg * of->kg : -1;
    double planned = volume ? of->planned_m3 : of->planned_kg;
    const figure figures[] = {
        {"",
         NULL,
         volume ? UNITS_VOLUME : UNITS_MASS,
         planned,
         {of->kg_known, volume ? of->m3 : of->kg},
         of->seqs,
         of->n_seqs,
         planned,
         false},
        {"water",
         NULL,
         UNITS_VOLUME,
         of->planned_water_m3,
         {of->water_known, of->water_m3},
         of->water_seqs,
         of->n_water,
         wanted,
         true},
        {"packs",
         "packs",
         UNITS_PLAIN,
         0,
         {of->packs_known, of->packs},
         of->pack_seqs,
         of->n_packs,
         -1,
         false},
    };
    status code = OK;
    for (size_t i = 0; code == OK && i < sizeof figures / sizeof *figures; i++)
        code = figure_line(b, s, m, &figures[i]);
    return code;
}

/* Plug and pack grow with the volume cut, coats with its length: a band is 300 mm wide, its slot's sides a few tens. */
static void count_net(building *b, const built_slice *s) {
    const survey *job = b->p->survey;
    const built_work *w = s->work;
    const takeoff_leak *t = s->leak < b->p->n_leaks ? &b->p->takeoff.leaks[s->leak] : NULL;
    bool sized = w->found_length_m.known || (!w->length_m.known && w->found_depth_m.known);
    double waste = 1 + takeoff_rate(job, "waste_percent") / 100;
    for (size_t i = 0; t && sized && i < job->n_materials; i++) {
        if (!b->stuff[i].used || !b->stuff[i].powder_told || !b->stuff[i].planned ||
            !(b->stuff[i].planned_kg > 0))
            continue;
        b->net_known[i] = true;
        b->measured_kg[i] += b->stuff[i].kg;
        for (int k = 0; k < MIX_COUNT; k++)
            if (t->mixes[k].material == &job->materials[i])
                b->net_kg[i] +=
                    t->mixes[k].powder_kg / waste * (k == MIX_PLUG || k == MIX_PACK ? w->larger : w->longer);
    }
}

static void add_to_all(building *b) {
    for (size_t i = 0; i <= b->p->survey->n_materials; i++) {
        const built_stuff *of = &b->stuff[i];
        built_stuff *all = &b->all[i];
        all->planned = all->planned || of->planned;
        all->used = all->used || of->used;
        all->kg_known = all->kg_known || of->kg_known;
        all->planned_kg += of->planned_kg;
        all->planned_m3 += of->planned_m3;
        all->kg += of->kg;
        all->m3 += of->m3;
        all->packs += of->packs;
    }
}

status built_materials_of(building *b, const built_slice *s) {
    const survey *job = b->p->survey;
    memset(b->stuff, 0, (job->n_materials + 1) * sizeof *b->stuff);
    plan_stuff(b, s->leak);
    status code = OK;
    for (size_t i = 0; code == OK && i < s->n; i++)
        if (s->from[i].r->what == RECORD_USED) code = use(b, s, s->from[i].r);
    for (size_t i = 0; code == OK && i <= job->n_materials; i++)
        code = stuff_lines(b, s, i < job->n_materials ? &job->materials[i] : NULL);
    count_net(b, s);
    add_to_all(b);
    return code;
}
