/* catalogue_lists.h - the tables of the catalogue, a row an entry; only for src/survey.
 * Threads  constant. */
#ifndef STANCH_SURVEY_CATALOGUE_LISTS_H
#define STANCH_SURVEY_CATALOGUE_LISTS_H

#include "survey/survey.h"

typedef struct {
    size_t n_packs;
    const survey_pack *packs;
    survey_material m;
} catalogue_material;

extern const catalogue_material catalogue_materials[];
extern const size_t catalogue_n_materials;
extern const survey_rate catalogue_rates[];
extern const size_t catalogue_n_rates;
extern const survey_price catalogue_prices[];
extern const size_t catalogue_n_prices;

#endif
