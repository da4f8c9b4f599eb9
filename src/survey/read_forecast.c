/* The table of a forecast: hour, air, humidity, wind. */
#include "core/date.h"
#include "survey/flat_csv.h"
#include "survey/read_table.h"
#include "survey/work.h"

typedef struct {
    const char *hour;
    survey_weather weather;
} forecast_row;

/* The hour, then the members of its weather. */
static survey_fields forecast_fields(survey_field into[FIELDS_MOST]) {
    into[0] = (survey_field){"hour", FIELD_HOUR, true, .offset = offsetof(forecast_row, hour)};
    for (size_t i = 0; i < survey_weather_fields.n; i++) {
        into[1 + i] = survey_weather_fields.fields[i];
        into[1 + i].offset += offsetof(forecast_row, weather);
    }
    return (survey_fields){into, 1 + survey_weather_fields.n};
}

/* Each hour follows the one above it: an hour left out would shift all that come after. One fault is enough. */
static void check_order(const flat_rows *rows, fault_list *faults) {
    const forecast_row *row = rows->rows;
    char words[DATE_HOUR_BYTES];
    long long before = 0, hour = 0;
    for (size_t i = 0; i < rows->n; i++, before = hour) {
        date_hour(row[i].hour, &hour);
        if (i == 0 || hour == before + 1) continue;
        fault_list_add(faults, "%s: is the hour %s; %s must come next", rows->origins[i], row[i].hour,
                       date_hour_text(before + 1, words));
        return;
    }
}

bool survey_read_forecast(survey *into, const char *source, const char *bytes, size_t length,
                          fault_list *faults) {
    survey_field list[FIELDS_MOST];
    flat_rows rows;
    size_t before = fault_list_count(faults);
    if (!flat_csv_read(source, bytes, length, forecast_fields(list), sizeof(forecast_row), into->memory,
                       &rows, faults))
        return false;
    const forecast_row *row = rows.rows;
    if (rows.n == 0 || rows.n > WORK_FORECAST_MOST_H)
        fault_list_add(faults, "%s: has %zu hours; a forecast has 1 to %d", source, rows.n,
                       WORK_FORECAST_MOST_H);
    check_order(&rows, faults);
    survey_weather *hours = arena_get(into->memory, rows.n ? rows.n : 1, sizeof *hours);
    if (!hours) fault_list_memory(faults);
    if (!hours || fault_list_count(faults) != before) return false;
    for (size_t i = 0; i < rows.n; i++) hours[i] = row[i].weather;
    into->site.forecast = (survey_forecast){row[0].hour, hours, rows.n};
    return true;
}
