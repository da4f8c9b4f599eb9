#include "survey/write_gauges.h"

#include "core/csv.h"
#include "survey/fields.h"

static void put_reading(const survey_defect *d, const survey_reading *r, units_system system, text *to) {
    csv_put_cell(to, d->mark);
    for (size_t i = 0; i < survey_reading_fields.n; i++) {
        text cell = {0};
        survey_field_text(&survey_reading_fields.fields[i], system, r, &cell);
        text_add(to, ",");
        csv_put_cell(to, text_get(&cell));
        to->failed = to->failed || cell.failed;
        text_free(&cell);
    }
    text_add(to, "\n");
}

void survey_write_gauges(const survey *s, text *to) {
    char name[FIELD_NAME_SIZE];
    text_add(to, "mark");
    for (size_t i = 0; i < survey_reading_fields.n; i++)
        text_print(to, ",%s", survey_field_name(&survey_reading_fields.fields[i], s->site.system, name));
    text_add(to, "\n");
    for (size_t i = 0; i < s->n_defects; i++)
        for (size_t k = 0; k < s->defects[i].n_readings; k++)
            put_reading(&s->defects[i], &s->defects[i].readings[k], s->site.system, to);
}
