#include "cli/calc_rows.h"

#include "cli/calc_table.h"

const calc_row *const calc_rows[] = {
    &calc_row_water,    &calc_row_crackflow,  &calc_row_crackplane, &calc_row_plugging, &calc_row_relief,
    &calc_row_plug,     &calc_row_mix,        &calc_row_maturity,   &calc_row_settime,  &calc_row_evaporation,
    &calc_row_bands,    &calc_row_regression, &calc_row_healing,    &calc_row_movement, &calc_row_injection,
    &calc_row_exposure, &calc_row_crewplan,   &calc_row_method,     &calc_row_spread,   &calc_row_watertest,
};
const size_t calc_rows_count = CALC_COUNT(calc_rows);
