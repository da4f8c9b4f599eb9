#include "survey/flat_csv.h"

#include "survey/names.h"

#include <string.h>

typedef struct {
    json_in in;
    csv_table table;
    survey_fields fields;
    char headings[FIELDS_MOST][FIELD_NAME_SIZE];
    size_t cell_of[FIELDS_MOST]; /* place in the row, or NAMES_NONE */
    const csv_row *row;
} flat_reader;

static bool is_heading(const flat_reader *r, units_system system, const char *cell) {
    char name[FIELD_NAME_SIZE];
    for (size_t i = 0; i < r->fields.n; i++)
        if (strcmp(survey_field_name(&r->fields.fields[i], system, name), cell) == 0) return true;
    return false;
}

static bool find_system(flat_reader *r) {
    const char *metric = NULL, *us = NULL;
    for (size_t i = 0; i < r->row->n_cells; i++) {
        const char *cell = r->row->cells[i];
        bool in_metric = is_heading(r, UNITS_METRIC, cell), in_us = is_heading(r, UNITS_US, cell);
        if (in_metric && !in_us) metric = cell;
        if (in_us && !in_metric) us = cell;
    }
    if (metric && us)
        json_in_fault(&r->in, NULL, NULL,
                      "the columns %s and %s mix metric and US units; use one system in a file", metric, us);
    r->in.system = us ? UNITS_US : UNITS_METRIC;
    return !(metric && us);
}

static void place_heading(flat_reader *r, size_t cell) {
    const char *known[FIELDS_MOST], *heading = r->row->cells[cell];
    for (size_t i = 0; i < r->fields.n; i++) {
        known[i] = r->headings[i];
        if (strcmp(known[i], heading) != 0) continue;
        if (r->cell_of[i] != NAMES_NONE)
            json_in_fault(&r->in, NULL, NULL, "the column %s stands twice", heading);
        r->cell_of[i] = cell;
        return;
    }
    if (!*heading) return; /* such a column must be empty */
    int near = text_nearest(heading, known, r->fields.n);
    json_in_fault(&r->in, NULL, NULL, "unknown column \"%.60s\"%s%s%s", heading,
                  near >= 0 ? "; did you mean " : "", near >= 0 ? known[near] : "", near >= 0 ? "?" : "");
}

static bool read_heading(flat_reader *r) {
    size_t before = fault_list_count(r->in.faults);
    if (r->table.n_rows == 0) {
        json_in_fault(&r->in, NULL, NULL, "is empty; the first line must name the columns");
        return false;
    }
    r->row = &r->table.rows[0];
    if (!find_system(r)) return false;
    for (size_t i = 0; i < r->fields.n; i++) {
        survey_field_name(&r->fields.fields[i], r->in.system, r->headings[i]);
        r->cell_of[i] = NAMES_NONE;
    }
    for (size_t i = 0; i < r->row->n_cells; i++) place_heading(r, i);
    for (size_t i = 0; i < r->fields.n; i++)
        if (r->fields.fields[i].required && r->cell_of[i] == NAMES_NONE)
            json_in_fault(&r->in, NULL, NULL, "the column %s is missing", r->headings[i]);
    return fault_list_count(r->in.faults) == before;
}

static json_t *cell_value(flat_reader *r, size_t field, const char *given) {
    const survey_field *f = &r->fields.fields[field];
    double number;
    if (f->kind != FIELD_NUMBER && f->kind != FIELD_MAYBE) return json_string(given);
    if (csv_table_number(&r->table, given, &number)) return json_real(number);
    json_in_fault(&r->in, NULL, r->headings[field], "\"%.40s\" is no number", given);
    return json_null();
}

/* Empty rows and comments are skipped. */
static bool is_data(const csv_row *row) {
    bool filled = false;
    for (size_t i = 0; i < row->n_cells; i++) filled = filled || *row->cells[i];
    return filled && strncmp(row->cells[0], "# ", 2) != 0 && strcmp(row->cells[0], "#") != 0;
}

/* A filled cell without a heading is a value that would be lost. */
static void check_headed(flat_reader *r) {
    const csv_row *heading = &r->table.rows[0];
    for (size_t i = 0; i < r->row->n_cells; i++) {
        if (!*r->row->cells[i] || (i < heading->n_cells && *heading->cells[i])) continue;
        json_in_fault(&r->in, NULL, NULL, "cell %zu holds \"%.40s\" but its column has no heading", i + 1,
                      r->row->cells[i]);
        return;
    }
}

static void take_row(flat_reader *r, void *into) {
    json_t *object = json_object();
    bool good = object != NULL;
    check_headed(r);
    for (size_t i = 0; i < r->fields.n && good; i++) {
        const char *given = r->cell_of[i] < r->row->n_cells ? r->row->cells[r->cell_of[i]] : "";
        if (*given) good = json_object_set_new(object, r->headings[i], cell_value(r, i, given)) == 0;
    }
    if (good)
        survey_fields_read(&r->in, NULL, object, r->fields, NULL, 0, false, into);
    else
        fault_list_memory(r->in.faults);
    json_decref(object);
}

bool flat_csv_read(const char *source, const char *bytes, size_t length, survey_fields table, size_t size,
                   arena *memory, flat_rows *out, fault_list *faults) {
    size_t before = fault_list_count(faults);
    flat_reader r = {.in = {source, faults, UNITS_METRIC, memory}, .fields = table};
    *out = (flat_rows){0};
    if (!csv_table_read(source, bytes, length, memory, &r.table, faults) || !read_heading(&r)) return false;
    out->rows = arena_get(memory, r.table.n_rows, size);
    out->origins = arena_get(memory, r.table.n_rows, sizeof *out->origins);
    for (size_t i = 1; out->rows && out->origins && i < r.table.n_rows; i++) {
        r.row = &r.table.rows[i];
        if (!is_data(r.row)) continue;
        r.in.source = arena_print(memory, "%s: line %zu", source, r.row->line);
        if (!r.in.source) break;
        out->origins[out->n] = r.in.source;
        take_row(&r, (char *)out->rows + out->n++ * size);
    }
    if (!out->rows || !out->origins || !r.in.source) fault_list_memory(faults);
    return fault_list_count(faults) == before;
}
