/* What each step of a card takes: who, which plant, whether it is loud, how long. */
#include "works/parts.h"

#include <math.h>

#define CUTTER PLANT_BIT(PLANT_CUTTER)
#define DRILL PLANT_BIT(PLANT_DRILL)
#define MIXER PLANT_BIT(PLANT_MIXER)
#define VACUUM PLANT_BIT(PLANT_VACUUM)
#define PUMP PLANT_BIT(PLANT_PUMP)

/* Our defaults, all of it: people as {cutter, placer, mixer, anybody}, plant, noise, fixed minutes. Plug is mixed by hand, a
 * fistful at a time. The second of a cut looks after water and vacuum. Titles as on the cards. */
static const works_step_kind kinds[STEP_COUNT] = {
    {STEP_SETUP, "setup", "Set up", {0, 0, 0, 1}, 0, false, 0},
    {STEP_SCAN, "scan", "Scan before cutting", {0, 0, 0, 1}, 0, false, 0},
    {STEP_PORTS, "ports", "Drill and set the packers", {1, 0, 0, 0}, DRILL | VACUUM, true, 0},
    {STEP_SURFACE_SEAL, "surface_seal", "Seal the face", {0, 1, 0, 0}, 0, false, 0},
    {STEP_FLUSH, "flush", "Flush through the ports", {0, 0, 0, 1}, PUMP, false, 0},
    {STEP_INJECT, "inject", "Inject", {0, 1, 1, 0}, PUMP, false, 0},
    {STEP_STRIP, "strip", "Clear away", {0, 0, 0, 1}, 0, false, 0},
    {STEP_CHANNEL, "channel", "Fix the channel", {0, 1, 0, 1}, DRILL, true, 0},
    {STEP_OUTLET, "outlet", "Lead the water away", {0, 1, 0, 0}, 0, false, 0},
    {STEP_ROUT, "rout", "Rout the groove", {1, 0, 0, 1}, CUTTER | VACUUM, true, 0},
    {STEP_CUT, "cut", "Cut the slot", {1, 0, 0, 1}, CUTTER | VACUUM, true, 0},
    {STEP_MEASURE, "measure", "Measure and plan again", {0, 0, 0, 1}, 0, false, 10},
    {STEP_WASH, "wash", "Wash", {0, 0, 0, 1}, VACUUM, false, 0},
    {STEP_SOAK, "soak", "Saturated surface-dry", {0, 0, 0, 1}, 0, false, 5},
    {STEP_PRIME, "prime", "Prime the sides", {0, 1, 0, 0}, 0, false, 0},
    {STEP_BACKER, "backer", "Set the backer", {0, 1, 0, 0}, 0, false, 0},
    {STEP_SEAL, "seal", "Seal", {0, 1, 0, 0}, 0, false, 0},
    {STEP_RELIEF, "relief", "Set the relief tube", {1, 0, 0, 0}, DRILL, true, 0},
    {STEP_PLUG, "plug", "Plug", {0, 1, 1, 0}, 0, false, 0},
    {STEP_CLOSE_RELIEF, "close_relief", "Close the relief", {0, 1, 1, 0}, 0, false, 0},
    {STEP_STOPPED, "stopped", "Water stopped", {0, 0, 0, 1}, 0, false, 10}, /* as the card says */
    {STEP_FIRST_COAT, "first_coat", "First coat", {0, 1, 1, 0}, MIXER, false, 0},
    {STEP_PACK, "pack", "Dry-pack at once", {0, 1, 1, 0}, MIXER, false, 0},
    {STEP_LAST_COAT, "last_coat", "Last coat", {0, 1, 1, 0}, MIXER, false, 0},
    {STEP_OPEN, "open", "Open to water", {0, 0, 0, 0}, 0, false, 0},
    {STEP_PROVE, "prove", "Prove it dry", {0, 0, 0, 1}, 0, false, 15},
};

/* Parts of the hours that the estimate has as one, our defaults: a relief is set and closed; an injection is flushed, then
 * pumped; what is left of a flexible seal after routing is cleaned, primed, backed and gunned. */
static const double RELIEF_SET = 0.5, FLUSH_PART = 0.25, CLEAN_PART = 0.2, PRIME_PART = 0.2,
                    BACKER_PART = 0.2, GUN_PART = 0.4;
static const double RATE_HANDS = 2; /* the rates of placing are those of a pair (survey/catalogue_rates.c) */
static const double LADDER_FACTOR = 1.25; /* off a ladder, our default */
static const double BAR_MIN = 5;          /* by hand round a crossing bar, our default */

static double part_of(double some, double other) {
    return some + other > 0 ? some / (some + other) : 0;
}

static double rate(const works_making *m, const char *id) {
    return takeoff_rate(m->s, id);
}

/* Hours of an injection besides the pumping, as price/ways.c counts them, without the factor for a soffit. */
static double injection_part(const works_making *m, size_t leak, works_step step) {
    const design_injection *j = &m->designs[leak].injection;
    const takeoff_leak *t = &m->takeoff->leaks[leak];
    double face = rate(m, "surface_seal_h_m") * j->face_m * (j->from_far_side_sealed ? 2 : 1);
    double strip = rate(m, "strip_h_port") * t->packers;
    double pumped = fmax(rate(m, "inject_h_port") * t->packers,
                         2 * t->fill.volume_m3 * 1000 / rate(m, "inject_place_l_min") / 60);
    double all = face + strip + pumped;
    double part = step == STEP_SURFACE_SEAL ? face
                  : step == STEP_STRIP      ? strip
                  : step == STEP_FLUSH      ? pumped * FLUSH_PART
                                            : pumped * (1 - FLUSH_PART);
    return all > 0 ? part / all : 0;
}

static double seal_part(const works_making *m, works_step step) {
    double rout = part_of(rate(m, "rout_h_m"), rate(m, "seal_h_m"));
    if (step == STEP_ROUT) return rout;
    double part = step == STEP_PRIME    ? PRIME_PART
                  : step == STEP_BACKER ? BACKER_PART
                  : step == STEP_SEAL   ? GUN_PART
                                        : CLEAN_PART;
    return (1 - rout) * part;
}

static double drain_part(const works_making *m, size_t leak, works_step step) {
    double channel =
        part_of(rate(m, "drain_h_m") * m->takeoff->leaks[leak].channel_m, rate(m, "outlet_h_each"));
    return step == STEP_CHANNEL ? channel : 1 - channel;
}

/* Labour-hours of a step, out of the estimate's. */
static double hours_of(const works_making *m, size_t leak, works_step step) {
    const double *h = m->price->leaks[leak].hours;
    const takeoff_leak *t = &m->takeoff->leaks[leak];
    bool flexible = m->designs[leak].method.name == METHOD_FLEXIBLE;
    switch (step) {
    case STEP_SETUP: return h[HOURS_SETUP];
    case STEP_SCAN: return h[HOURS_SCAN];
    case STEP_PORTS: return h[HOURS_DRILL];
    case STEP_SURFACE_SEAL:
    case STEP_FLUSH:
    case STEP_INJECT:
    case STEP_STRIP: return h[HOURS_INJECT] * injection_part(m, leak, step);
    case STEP_CHANNEL:
    case STEP_OUTLET: return h[HOURS_DRAIN] * drain_part(m, leak, step);
    case STEP_ROUT:
    case STEP_PRIME:
    case STEP_BACKER:
    case STEP_SEAL: return h[HOURS_SEAL] * seal_part(m, step);
    case STEP_WASH: return flexible ? h[HOURS_SEAL] * seal_part(m, step) : h[HOURS_WASH];
    case STEP_CUT: return h[HOURS_CUT];
    case STEP_RELIEF: return h[HOURS_RELIEF] * RELIEF_SET;
    case STEP_CLOSE_RELIEF: return h[HOURS_RELIEF] * (1 - RELIEF_SET);
    case STEP_PLUG: return h[HOURS_PLUG];
    case STEP_PACK: return h[HOURS_PACK];
    case STEP_FIRST_COAT: return h[HOURS_COAT] * part_of(t->first_coat_m2, t->last_coat_m2);
    case STEP_LAST_COAT: return h[HOURS_COAT] * part_of(t->last_coat_m2, t->first_coat_m2);
    case STEP_MEASURE:
    case STEP_SOAK:
    case STEP_STOPPED:
    case STEP_OPEN:
    case STEP_PROVE:
    case STEP_COUNT: break;
    }
    return 0;
}

static const char *title_of(const works_making *m, size_t leak, works_step step) {
    survey_method name = m->designs[leak].method.name;
    if (step == STEP_CUT && name == METHOD_HOLE) return "Open the hole";
    if (step == STEP_CUT && name == METHOD_RING) return "Cut the ring";
    if (step == STEP_CUT && name == METHOD_CUT_BACK) return "Cut back";
    if (step == STEP_SCAN && (method_is_injection(name) || name == METHOD_DRAIN))
        return "Scan before drilling";
    if (step == STEP_SCAN && name == METHOD_FLEXIBLE) return "Scan before routing";
    if (step == STEP_WASH && name == METHOD_FLEXIBLE) return "Clean and dry";
    if (step == STEP_PROVE && name == METHOD_DRAIN) return "Prove it collects all";
    return kinds[step].title;
}

static survey_access access_of(const works_making *m, size_t leak) {
    const survey_defect *d = m->leaks[leak].defect;
    survey_access hardest = ACCESS_GROUND;
    for (size_t i = 0; i < d->n_parts; i++) {
        const survey_face *face = survey_find_face(m->s, d->parts[i].face);
        if (face && face->access > hardest) hardest = face->access;
    }
    return hardest;
}

/* Without a second pair of hands the same person does both, one after the other: he takes as many hours. */
static status find_people(const works_making *m, size_t leak, works_step_kind *k, fault *why) {
    static const char *const may[WORKER_KINDS] = {"cut", "place", "mix", "work"};
    const works_crew *c = &m->crew;
    for (int w = 0; w < WORKS_SKILLS; w++)
        if (k->people[w] && c->able[1 << w] == 0)
            return fault_set(why, E_INPUT, "work: nobody of the crew may %s, which leak %s needs", may[w],
                             m->leaks[leak].defect->mark);
    if (!crews_fit(c, k->people) && k->people[WORKER_CUTTER] + k->people[WORKER_PLACER] > 0)
        k->people[WORKER_ANY] = 0;
    if (!crews_fit(c, k->people) && k->people[WORKER_PLACER] > 0) k->people[WORKER_MIXER] = 0;
    if (crews_fit(c, k->people)) return OK;
    return fault_set(why, E_INPUT, "work: the crew of %d is too small for step %s of leak %s", c->all,
                     k->code, m->leaks[leak].defect->mark);
}

/* Of vacuum, mixer and compressor a job can do without: buckets, a paddle, an electric hammer. */
static status find_plant(const works_making *m, size_t leak, works_step_kind *k, fault *why) {
    const unsigned spared = VACUUM | MIXER | PLANT_BIT(PLANT_COMPRESSOR);
    const survey_defect *d = m->leaks[leak].defect;
    if (k->step == STEP_CUT && d->slot_faces == SLOT_CHIPPED) k->plant |= PLANT_BIT(PLANT_COMPRESSOR);
    if (k->step != STEP_OPEN && access_of(m, leak) == ACCESS_LIFT) k->plant |= PLANT_BIT(PLANT_LIFT);
    for (int p = 0; p < PLANT_COUNT; p++) {
        if (!(k->plant & PLANT_BIT(p)) || m->crew.plant[p] > 0) continue;
        if (!(spared & PLANT_BIT(p)))
            return fault_set(why, E_INPUT, "work: there is no %s, which step %s of leak %s needs",
                             survey_plant_words[p], k->code, d->mark);
        k->plant &= ~PLANT_BIT(p);
    }
    return OK;
}

/* ---- what is mixed ---- */

static takeoff_step mix_of(works_step step) {
    if (step == STEP_PLUG) return MIX_PLUG;
    if (step == STEP_FIRST_COAT) return MIX_FIRST_COAT;
    if (step == STEP_PACK) return MIX_PACK;
    return step == STEP_LAST_COAT ? MIX_LAST_COAT : MIX_COUNT;
}

/* At another temperature pot life and set are those of the material there (takeoff.h). */
static status times_there(const works_making *m, takeoff_step step, takeoff_mix *mix) {
    maybe at = m->options->temperature_c;
    double pot_s, set_s;
    if (!at.known) return OK;
    mix->temperature_c = at.v;
    if (step == MIX_COUNT && !isfinite(mix->usable_s)) return OK;
    status code = takeoff_times(mix->material, at.v, &pot_s, &set_s, m->why);
    if (code != OK) return code;
    mix->usable_s = step == MIX_PLUG ? fmin(pot_s, set_s) : pot_s;
    if (step == MIX_PLUG) mix->set_s = set_s;
    return OK;
}

status steps_mix(const works_making *m, size_t leak, works_step step, int parts, int hands,
                 works_mixing *out) {
    bool fill = step == STEP_INJECT || step == STEP_SEAL;
    takeoff_step of = mix_of(step);
    *out = (works_mixing){.step = of};
    if (of == MIX_COUNT && !fill) return OK;
    out->mix = batches_mix(&m->takeoff->leaks[leak], of);
    if (!out->mix.material) return OK;
    status code = times_there(m, of, &out->mix);
    if (code != OK) return code;
    double rate_m3_min = takeoff_place_m3_min(m->s, &m->takeoff->leaks[leak], of) * hands / RATE_HANDS;
    out->mix.volume_m3 /= parts;
    out->mix.powder_kg /= parts;
    out->mix.water_m3 /= parts;
    return batches_size(&out->mix, rate_m3_min, out->mix.usable_s, &out->sizes, m->why);
}

/* ---- how long ---- */

static int whole_steps(double minutes) {
    int whole = (int)ceil(minutes / WORKS_STEP_MIN - 1e-9) * WORKS_STEP_MIN;
    return whole > WORKS_STEP_MIN ? whole : WORKS_STEP_MIN;
}

static int hands_of(const int people[WORKER_KINDS]) {
    int hands = 0;
    for (int k = 0; k < WORKER_KINDS; k++) hands += people[k];
    return hands;
}

/* The longer of the estimate's hours and of what the batches take. */
status steps_look(const works_making *m, size_t leak, works_step step, int parts, works_step_kind *out) {
    works_mixing mixing;
    *out = kinds[step];
    out->title = title_of(m, leak, step);
    status code = find_people(m, leak, out, m->why);
    if (code == OK) code = find_plant(m, leak, out, m->why);
    int hands = hands_of(out->people);
    if (code == OK) code = steps_mix(m, leak, step, parts, hands, &mixing);
    if (code != OK || step == STEP_OPEN) return code;
    double minutes = out->minutes ? out->minutes : hours_of(m, leak, step) * 60 / hands;
    if (step == STEP_CUT) minutes += BAR_MIN * (double)m->designs[leak].n_crossings;
    if (access_of(m, leak) == ACCESS_LADDER) minutes *= LADDER_FACTOR;
    out->minutes = whole_steps(fmax(minutes / parts, mixing.sizes.minutes));
    return OK;
}
