#include "plan/parts.h"

#include <stdio.h>
#include <string.h>

const char *const plan_general_cautions[] = {
    "This plan sizes a water seal. It certifies no structure: a licensed engineer and the local code decide "
    "every structural question.",
    "Growing cracks, offset faces, bulging, rust-stained or soil-carrying water, prestress, drinking-water "
    "contact and any cut bar go to a "
    "licensed engineer first.",
    "The makers' data sheets govern the materials: replace the generic values by theirs.",
    "Never cut a bar. Scan and mark before cutting.",
    "Silica dust, vibration, noise, wet cement, electricity near water, confined space and ladders: local "
    "codes and the employer's risk "
    "assessment govern. Tanks, lift pits and sumps count as confined space until assessed.",
    "Plugging raises the pressure behind the wall from nothing to the full head: relief before a plug is set "
    "against a jet.",
};
const size_t plan_n_general_cautions = sizeof plan_general_cautions / sizeof *plan_general_cautions;

/* What is told without a size, in the order of the page. */
#define SOURCES_OF_WATER                                                                                     \
    "Crack flow: cubic law with a flow factor, Arabian Journal of Geosciences 2015 (s12517-015-2036-8) and " \
    "ARMA 05-867; factor 0.25: our default within 0.17-0.25 of Akhavan et al. 2012 (abstract).",             \
        "Water: IAPWS SR6-08 eq. 7 (viscosity, read through a page that quotes it); Tanaka et al. 2001 "     \
        "(density, value from memory).",                                                                     \
        "Full retained height where the water level is not known: BS 8102:2009 (read through a page that "   \
        "quotes it)."
#define SOURCES_OF_MIXES                                                                                     \
    "Relief tube: Darcy-Weisbach with Colebrook-White (Clamond 2009); inlet and exit losses: data sheet "    \
    "and "                                                                                                   \
    "Idelchik p. 349 (read through pages that quote them).",                                                 \
        "Mixes: absolute volumes (NAVEDTRA 14071 p. 17-7). Coat consumption: Construction Waterproofing "    \
        "Handbook p. 3.27.",                                                                                 \
        "Set and pot life with temperature: Arrhenius, 40 kJ/mol, our default."
#define SOURCES_OF_MONEY                                                                                     \
    "Rates: published where marked, else our defaults; prices of the shipped catalogue are invented."

static const char *const sources_metric[PLAN_SOURCES] = {
    "Slot, plug, coat, dry-pack, cure and their sizes (25 x 37 mm, 300-450 mm past the last wetness, 150 mm "
    "of coat): common practice.",
    SOURCES_OF_WATER,
    "Plug: force balance of pressure and bond on the perimeter, computed by us; bond 0.05 / 0.15 MPa and "
    "safety factor 4: our defaults.",
    SOURCES_OF_MIXES,
    "Cover: saw depth = cover - 10 mm, our default; scan and mark bars before cutting.",
    SOURCES_OF_MONEY,
};

static const char *const sources_us[PLAN_SOURCES] = {
    "Slot, plug, coat, dry-pack, cure and their sizes (1 x 1.5 in, 12-18 in past the last wetness, 6 in of "
    "coat): common practice.",
    SOURCES_OF_WATER,
    "Plug: force balance of pressure and bond on the perimeter, computed by us; bond 7 / 22 psi and safety "
    "factor 4: our defaults.",
    SOURCES_OF_MIXES,
    "Cover: saw depth = cover - 0.4 in, our default; scan and mark bars before cutting.",
    SOURCES_OF_MONEY,
};

const char *const *plan_sources(units_system system) {
    return system == UNITS_US ? sources_us : sources_metric;
}

static status add(plan *p, const char *sentence, fault *why) {
    const char **list = arena_push(p->memory, p->assumptions, &p->n_assumptions, sizeof *list);
    if (!list || !sentence) return fault_memory(why);
    list[p->n_assumptions - 1] = sentence;
    p->assumptions = list;
    return OK;
}

static status add_temperature(plan *p, const char *what, maybe given, double fallback_c, fault *why) {
    if (given.known) return OK;
    char shown[UNITS_SHOWN];
    units_show(UNITS_TEMPERATURE, p->survey->site.system, fallback_c, 0, shown);
    return add(p, arena_print(p->memory, "%s was not measured: %s taken (our default).", what, shown), why);
}

static status add_levels(plan *p, fault *why) {
    const survey *s = p->survey;
    for (size_t i = 0; i < p->n_leaks; i++) {
        const leak_water *leak = &p->leaks[i];
        if (!leak->level_known || leak->design_known != KNOWN_ASSUMED) continue;
        char shown[UNITS_SHOWN];
        units_show(UNITS_LENGTH, s->site.system, leak->level_design_m, 2, shown);
        return add(
            p,
            arena_print(p->memory,
                        "The design water level was not told: full retained height, elevation %s, assumed.",
                        shown),
            why);
    }
    return OK;
}

static status add_catalogue(plan *p, fault *why) {
    const survey *s = p->survey;
    size_t defaults = 0, generic = 0;
    for (size_t i = 0; i < s->n_rates; i++) defaults += s->rates[i].basis == BASIS_DEFAULT;
    for (size_t i = 0; i < p->takeoff.n_orders; i++)
        generic += p->takeoff.orders[i].material->data_note != NULL;
    status code = OK;
    if (generic > 0)
        code = add(p,
                   arena_print(p->memory, "%zu material%s generic: replace by your maker's data sheet.",
                               generic, generic == 1 ? " is" : "s are"),
                   why);
    if (code == OK && defaults > 0)
        code =
            add(p, arena_print(p->memory, "%zu rates are our defaults, not yet your own records.", defaults),
                why);
    return code;
}

static status add_unpriced(plan *p, fault *why) {
    size_t n = 0;
    for (size_t i = 0; i < p->n_leaks; i++)
        n += p->designs[i].method.name != METHOD_WATCH && !design_is_priced(&p->designs[i]);
    if (n == 0) return OK;
    return add(p,
               arena_print(p->memory, "%zu leak%s neither designed nor priced here: see the findings.", n,
                           n == 1 ? " is" : "s are"),
               why);
}

/* Trade rule 3: leaving out the free surface errs by 21 % at H = t and 3 % at H = 3 t. */
static bool any_shallow(const plan *p) {
    for (size_t i = 0; i < p->n_leaks; i++)
        if (p->leaks[i].head_today_m > 0 && p->leaks[i].head_today_m < 3 * p->leaks[i].thickness_m)
            return true;
    return false;
}

status plan_list_assumptions(plan *p, fault *why) {
    const survey_site *site = &p->survey->site;
    status code = add_levels(p, why);
    if (code == OK) code = add_temperature(p, "The leaking water", site->leak_water_c, LEAK_WATER_C, why);
    if (code == OK) code = add_temperature(p, "The wall's temperature", site->wall_c, 10, why);
    if (code == OK) code = add_temperature(p, "The temperature of the mixed material", site->mix_c, 20, why);
    if (code == OK && any_shallow(p))
        code = add(p,
                   "Where the head is under three wall thicknesses, leaving out the free surface overstates "
                   "the flow by 3 % and more (21 % at one; computed by us).",
                   why);
    if (code == OK)
        code = add(p,
                   p->planes_on ? "Flows of leaks without a crack plane are the one-dimensional estimate, "
                                  "straight through the wall."
                                : "Flows are the one-dimensional estimate, straight through the wall.",
                   why);
    if (code == OK) code = add_unpriced(p, why);
    return code == OK ? add_catalogue(p, why) : code;
}

status plan_check_temperatures(plan *p, fault *why) {
    const survey *s = p->survey;
    if (!s->site.wall_c.known) return OK;
    static const survey_role placed[] = {ROLE_PLUG, ROLE_SLURRY, ROLE_PACK};
    for (size_t i = 0; i < sizeof placed / sizeof *placed; i++) {
        const survey_material *m = survey_find_role(s, placed[i]);
        if (!m) continue;
        bool cold = m->lowest_c.known && s->site.wall_c.v < m->lowest_c.v,
             hot = m->highest_c.known && s->site.wall_c.v > m->highest_c.v;
        if (!cold && !hot) continue;
        char sentence[300], wall[UNITS_SHOWN], limit[UNITS_SHOWN];
        snprintf(
            sentence, sizeof sentence, "The wall is at %s; %s may not be placed %s %s. How is it %s?",
            units_show(UNITS_TEMPERATURE, s->site.system, s->site.wall_c.v, 0, wall), m->name,
            cold ? "below" : "above",
            units_show(UNITS_TEMPERATURE, s->site.system, cold ? m->lowest_c.v : m->highest_c.v, 0, limit),
            cold ? "warmed" : "cooled");
        return finding_add(s, p->memory, &p->findings, FINDING_ASK, "site", "temperature", sentence, why);
    }
    return OK;
}
