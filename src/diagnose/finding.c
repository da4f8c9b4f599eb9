#include "diagnose/finding.h"

#include "diagnose/finding_parts.h"

#include <string.h>

status finding_add(const survey *s, arena *memory, finding_list *list, finding_level level, const char *mark,
                   const char *code, const char *sentence, fault *why) {
    finding *items = arena_push(memory, list->items, &list->n, sizeof *items);
    char *copy = arena_copy(memory, sentence);
    if (items) list->items = items;
    if (!items || !copy) {
        if (items) list->n--;
        return fault_memory(why);
    }
    finding *added = &items[list->n - 1];
    *added = (finding){.level = level, .mark = mark, .code = code, .sentence = copy};
    for (size_t i = 0; i < s->n_answers; i++) /* the last answer counts */
        if (strcmp(s->answers[i].mark, mark) == 0 && strcmp(s->answers[i].finding, code) == 0)
            added->answer = &s->answers[i];
    return OK;
}

bool finding_stops(const finding_list *list, const char *mark) {
    for (size_t i = 0; i < list->n; i++) {
        const finding *f = &list->items[i];
        if (f->level == FINDING_STOP && !f->answer && strcmp(f->mark, mark) == 0) return true;
    }
    return false;
}

status finding_of_site(const survey *s, arena *memory, finding_list *list, fault *why) {
    const survey_site *site = &s->site;
    status code = OK;
    if (site->drinking_water && !site->materials_approved)
        code = finding_add(
            s, memory, list, FINDING_STOP, "site", "drinking_water",
            "The water behind or inside is drinking water and no approval of the materials is recorded. "
            "Who approves them for contact with drinking water?",
            why);
    if (code == OK && site->hazardous_liquid && !site->materials_approved)
        code = finding_add(
            s, memory, list, FINDING_STOP, "site", "hazardous_liquid",
            "A hazardous liquid stands behind or inside and no approval is recorded. Who approves method "
            "and materials?",
            why);
    return code;
}

/* One row a sign (trade rules 14 and 15); SIGN_GROWING: finding_of_movement. */
static const struct {
    survey_sign sign;
    finding_level level;
    const char *sentence;
} signs[] = {
    {SIGN_OFFSET, FINDING_STOP,
     "The two faces of the crack stand apart: the member may have moved. Which engineer has looked at it?"},
    {SIGN_BULGING, FINDING_STOP, "The member bulges or leans. Which engineer has looked at it?"},
    {SIGN_PRESTRESS, FINDING_STOP,
     "The member is prestressed: cutting may meet a strand. Which engineer allows the cut?"},
    {SIGN_SOIL, FINDING_STOP,
     "The water carries soil: ground is being lost behind the concrete. Which engineer has looked at it?"},
    {SIGN_BAR_CUT, FINDING_STOP, "A bar is cut or has lost section. Which engineer has looked at it?"},
    {SIGN_DRAINAGE, FINDING_STOP,
     "Sealing takes drainage from a part that is not known to bear the full head or uplift. Which engineer "
     "has checked it?"},
    {SIGN_RUST, FINDING_ASK, "Rust stain at the leak: is the bar sound, without loss of section?"},
};

/* Rule 15 lets a still crack under 0.5 mm go on as a question; from 0.5 mm up an unknown cause stops. */
static status ask_about_cause(const finding_look *l, fault *why) {
    if (!(l->leak->defect->signs & SIGN_BIT(SIGN_CAUSE_UNKNOWN))) return OK;
    movement_verdict v = l->why_leaks->verdict;
    bool moves = v == MOVEMENT_GROWING || v == MOVEMENT_CLOSING || v == MOVEMENT_CYCLIC;
    bool narrow = l->leak->widest_m.known && l->leak->widest_m.v < 0.5e-3;
    if (narrow && !moves)
        return finding_say(l, FINDING_ASK, "cause_unknown", why,
                           "The cause of the crack is not known: is it still, and has its cause stopped?");
    if (narrow)
        return finding_say(l, FINDING_STOP, "cause_unknown", why,
                           "The cause of a crack that moves is not known. Which engineer has looked at it?");
    return finding_say(
        l, FINDING_STOP, "cause_unknown", why,
        "The cause of a crack of %s or more, or of unknown width, is not known. Which engineer "
        "has looked at it?",
        phrase_limit(&l->say, 0.5e-3));
}

/* What the design needs and nobody wrote down. */
static status ask_about_gaps(const finding_look *l, fault *why) {
    const survey_defect *d = l->leak->defect;
    bool strong = l->leak->worst == WET_JET || l->leak->worst == WET_RUN;
    const struct {
        bool asked;
        const char *code, *sentence;
    } gaps[] = {
        {!l->leak->level_known, "level",
         "No water level is known: plug and pressure cannot be checked. How high can the water stand?"},
        {survey_is_line(d->kind) && d->n_stations == 0, "stations",
         "No station was recorded along the line: how wide and how wet is it, and where?"},
        {d->kind == KIND_JOINT && l->leak->worst != WET_DRY && !survey_stop_known(d), "waterstop",
         "Has this joint a waterstop, how deep, and where does it let water through? Until that is known no "
         "best "
         "order is computed; what is drawn takes the joint as open all through."},
        {d->kind == KIND_TIE_HOLE && !d->diameter_m.known, "diameter",
         "How wide is the tie hole? 25 mm (1 in) is taken, our default."},
        {strong && !l->leak->flow_measured_m3_s.known, "flow",
         "Water runs here and was not measured: collect it over a timed minute before anything is cut."},
    };
    status code = OK;
    for (size_t i = 0; code == OK && i < sizeof gaps / sizeof *gaps; i++)
        if (gaps[i].asked) code = finding_say(l, FINDING_ASK, gaps[i].code, why, "%s", gaps[i].sentence);
    return code;
}

status finding_of_leak(const survey *s, const leak_water *leak, const diagnosis *why_leaks, arena *memory,
                       finding_list *list, fault *why) {
    const survey_defect *d = leak->defect;
    finding_look l = {s, leak, why_leaks, list, {memory, s->site.system}};
    status code = finding_of_movement(&l, why);
    for (size_t i = 0; code == OK && i < sizeof signs / sizeof *signs; i++)
        if (d->signs & SIGN_BIT(signs[i].sign))
            code = finding_say(&l, signs[i].level, survey_sign_words[signs[i].sign], why, "%s",
                               signs[i].sentence);
    if (code == OK) code = ask_about_cause(&l, why);
    if (code == OK) code = finding_of_shape(&l, why);
    if (code == OK) code = finding_of_flow(&l, why);
    if (code == OK) code = finding_of_material(&l, why);
    return code == OK ? ask_about_gaps(&l, why) : code;
}
