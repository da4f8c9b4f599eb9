#include "survey/catalogue.h"

#include "survey/catalogue_lists.h"
#include "survey/fields.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A value of the table as a person would type it in the units of the job: three digits. */
static double typed(units_quantity q, units_system system, double si) {
    char digits[TEXT_NUMBER];
    snprintf(digits, sizeof digits, "%.3g", units_from_si(q, system, si));
    return units_to_si(q, system, strtod(digits, NULL));
}

/* The table is metric; a US job gets round US numbers, which its files can carry exactly. */
static void retype(survey_fields table, units_system system, void *object) {
    for (size_t i = 0; i < table.n && system == UNITS_US; i++) {
        const survey_field *f = &table.fields[i];
        char *at = (char *)object + f->offset;
        maybe m = {true, 0};
        if (f->q == UNITS_PLAIN || (f->kind != FIELD_MAYBE && f->kind != FIELD_NUMBER)) continue;
        if (f->kind == FIELD_MAYBE)
            memcpy(&m, at, sizeof m);
        else
            memcpy(&m.v, at, sizeof m.v);
        m.v = typed(f->q, system, m.v);
        if (f->kind == FIELD_MAYBE && m.known)
            memcpy(at, &m, sizeof m);
        else if (f->kind == FIELD_NUMBER)
            memcpy(at, &m.v, sizeof m.v);
    }
}

static bool add_material(survey *s, size_t at) {
    const survey_material *m = &catalogue_materials[at].m;
    for (size_t i = 0; i < s->n_materials; i++)
        if (strcmp(s->materials[i].id, m->id) == 0) return true;
    survey_pack *packs = arena_get(s->memory, catalogue_materials[at].n_packs, sizeof *packs);
    survey_material *list = packs ? arena_push(s->memory, s->materials, &s->n_materials, sizeof *list) : NULL;
    if (!list) return false;
    memcpy(packs, catalogue_materials[at].packs, catalogue_materials[at].n_packs * sizeof *packs);
    s->materials = list;
    survey_material *added = &list[s->n_materials - 1];
    *added = *m;
    added->packs = packs;
    added->n_packs = catalogue_materials[at].n_packs;
    added->origin = "catalogue";
    retype(survey_material_fields, s->site.system, added);
    for (size_t i = 0; i < added->n_packs; i++) retype(survey_pack_fields, s->site.system, &packs[i]);
    return true;
}

static bool add_rate(survey *s, const survey_rate *rate) {
    double value;
    if (survey_rate_value(s, rate->id, &value)) return true;
    survey_rate *list = arena_push(s->memory, s->rates, &s->n_rates, sizeof *list);
    if (!list) return false;
    s->rates = list;
    list[s->n_rates - 1] = *rate;
    return true;
}

static bool add_price(survey *s, const survey_price *price) {
    double value;
    if (survey_price_value(s, price->id, &value)) return true;
    survey_price *list = arena_push(s->memory, s->prices, &s->n_prices, sizeof *list);
    if (!list) return false;
    s->prices = list;
    list[s->n_prices - 1] = *price;
    return true;
}

status survey_catalogue_fill(survey *s, fault *why) {
    bool good = true;
    for (size_t i = 0; i < catalogue_n_materials && good; i++) good = add_material(s, i);
    for (size_t i = 0; i < catalogue_n_rates && good; i++) good = add_rate(s, &catalogue_rates[i]);
    for (size_t i = 0; i < catalogue_n_prices && good; i++) good = add_price(s, &catalogue_prices[i]);
    return good ? OK : fault_memory(why);
}

const survey_rate *survey_catalogue_rate(const char *id) {
    for (size_t i = 0; i < catalogue_n_rates; i++)
        if (strcmp(catalogue_rates[i].id, id) == 0) return &catalogue_rates[i];
    return NULL;
}

const survey_price *survey_catalogue_price(const char *id) {
    for (size_t i = 0; i < catalogue_n_prices; i++)
        if (strcmp(catalogue_prices[i].id, id) == 0) return &catalogue_prices[i];
    return NULL;
}

bool survey_rate_value(const survey *s, const char *id, double *value) {
    for (size_t i = 0; i < s->n_rates; i++) {
        if (strcmp(s->rates[i].id, id) != 0) continue;
        *value = s->rates[i].value;
        return true;
    }
    return false;
}

bool survey_price_value(const survey *s, const char *id, double *price) {
    for (size_t i = 0; i < s->n_prices; i++) {
        if (strcmp(s->prices[i].id, id) != 0) continue;
        *price = s->prices[i].price;
        return true;
    }
    return false;
}
