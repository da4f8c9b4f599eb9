#include "survey/survey.h"

#include <string.h>

survey *survey_new(void) {
    arena *memory = arena_new();
    if (!memory) return NULL;
    survey *s = arena_get(memory, 1, sizeof *s);
    if (!s) {
        arena_free(memory);
        return NULL;
    }
    s->memory = memory;
    s->site.system = UNITS_METRIC;
    memcpy(s->site.currency, "EUR", 4);
    s->site.crew = 2;    /* our default */
    s->site.shift_h = 8; /* our default */
    return s;
}

void survey_free(survey *s) {
    if (s) arena_free(s->memory);
}

const survey_face *survey_find_face(const survey *s, const char *id) {
    for (size_t i = 0; i < s->n_faces; i++)
        if (strcmp(s->faces[i].id, id) == 0) return &s->faces[i];
    return NULL;
}

const survey_defect *survey_find_defect(const survey *s, const char *mark) {
    for (size_t i = 0; i < s->n_defects; i++)
        if (strcmp(s->defects[i].mark, mark) == 0) return &s->defects[i];
    return NULL;
}

const survey_tank *survey_find_tank(const survey *s, const char *id) {
    for (size_t i = 0; i < s->n_tanks; i++)
        if (strcmp(s->tanks[i].id, id) == 0) return &s->tanks[i];
    return NULL;
}

const survey_material *survey_find_role(const survey *s, survey_role role) {
    for (size_t i = 0; i < s->n_materials; i++)
        if (s->materials[i].role == role) return &s->materials[i];
    return NULL;
}

const survey_material *survey_find_resin(const survey *s, survey_resin family) {
    for (size_t i = 0; i < s->n_materials; i++)
        if (s->materials[i].role == ROLE_RESIN && s->materials[i].resin == family) return &s->materials[i];
    return NULL;
}

bool survey_is_line(survey_kind kind) {
    return kind == KIND_CRACK || kind == KIND_JOINT;
}

bool survey_stop_known(const survey_defect *d) {
    return d->waterstop == STOP_NONE || (d->waterstop == STOP_THERE && d->cutoff_m.known && d->n_opens > 0);
}
