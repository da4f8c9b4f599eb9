#include "survey/csv_columns.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

static size_t add(csv_column *into, size_t n, csv_group group, const char *prefix,
                  const survey_field *field) {
    assert(n < CSV_COLUMNS_MOST);
    into[n] = (csv_column){group, prefix, field};
    return n + 1;
}

static size_t add_table(csv_column *into, size_t n, csv_group group, const char *prefix,
                        survey_fields table) {
    for (size_t i = 0; i < table.n; i++) n = add(into, n, group, prefix, &table.fields[i]);
    return n;
}

size_t csv_columns(csv_column into[CSV_COLUMNS_MOST]) {
    const survey_fields head = survey_defect_fields;
    size_t n = 0;
    for (size_t i = 0; i < 2; i++) n = add(into, n, GROUP_HEAD, "", &head.fields[i]); /* mark, kind */
    n = add(into, n, GROUP_FACE, "face", NULL);
    n = add_table(into, n, GROUP_POINT, "", survey_point_fields);
    n = add_table(into, n, GROUP_STATION, "", survey_station_fields);
    for (size_t i = 2; i < head.n; i++) n = add(into, n, GROUP_HEAD, "", &head.fields[i]);
    n = add(into, n, GROUP_SIGNS, "signs", NULL);
    n = add(into, n, GROUP_EXCLUDE, "exclude", NULL);
    n = add_table(into, n, GROUP_OVERRULE, "overrule_", survey_overrule_fields);
    n = add_table(into, n, GROUP_FLOW, "flow_", survey_flow_fields);
    n = add_table(into, n, GROUP_OPEN, "open_", survey_open_fields);
    n = add(into, n, GROUP_NOTE, "note", NULL);
    return add_table(into, n, GROUP_PHOTO, "photo_", survey_photo_fields);
}

char *csv_column_name(const csv_column *column, units_system system, char into[FIELD_NAME_SIZE]) {
    char name[FIELD_NAME_SIZE] = "";
    if (column->field) survey_field_name(column->field, system, name);
    snprintf(into, FIELD_NAME_SIZE, "%.16s%.30s", column->prefix, name);
    return into;
}
