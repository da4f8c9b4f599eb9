#include "survey/read_csv.h"

#include "core/csv.h"
#include "survey/csv_columns.h"
#include "survey/merge.h"
#include "survey/objects.h"

#include <math.h>
#include <string.h>

#define TAPE_M 0.05    /* our default: chainage by tape and by coordinates may differ this much ... */
#define TAPE_PART 0.02 /* ... or by this part of the chainage, along a crooked crack */

/* A defect while its rows come in. */
typedef struct {
    survey_defect defect;
    size_t line;    /* of its first row */
    double along_m; /* chainage of the last point */
} draft;

typedef struct {
    json_in in;
    csv_table table;
    csv_column columns[CSV_COLUMNS_MOST];
    size_t n_columns;
    size_t cell_of[CSV_COLUMNS_MOST]; /* place in the row, or NAMES_NONE */
    char headings[CSV_COLUMNS_MOST][FIELD_NAME_SIZE];
    const csv_row *row;
    const char *source;
    names *marks;
    draft *drafts;
    size_t n_drafts;
} csv_reader;

/* ---- the heading ---- */

static bool heading_of(const csv_reader *r, units_system system, const char *cell) {
    char name[FIELD_NAME_SIZE];
    for (size_t i = 0; i < r->n_columns; i++)
        if (strcmp(csv_column_name(&r->columns[i], system, name), cell) == 0) return true;
    return false;
}

/* US when a heading is US only; a file that also has a metric one is told so. */
static units_system find_system(csv_reader *r) {
    const char *metric = NULL, *us = NULL;
    for (size_t i = 0; i < r->row->n_cells; i++) {
        const char *cell = r->row->cells[i];
        bool in_metric = heading_of(r, UNITS_METRIC, cell), in_us = heading_of(r, UNITS_US, cell);
        if (in_metric && !in_us) metric = cell;
        if (in_us && !in_metric) us = cell;
    }
    if (metric && us)
        json_in_fault(&r->in, NULL, NULL,
                      "the columns %s and %s mix metric and US units; use one system in a file", metric, us);
    return us && !metric ? UNITS_US : UNITS_METRIC;
}

static void place_heading(csv_reader *r, size_t cell) {
    const char *known[CSV_COLUMNS_MOST], *heading = r->row->cells[cell];
    for (size_t i = 0; i < r->n_columns; i++) {
        known[i] = r->headings[i];
        if (strcmp(known[i], heading) != 0) continue;
        if (r->cell_of[i] == NAMES_NONE)
            r->cell_of[i] = cell;
        else
            json_in_fault(&r->in, NULL, NULL, "the column %s stands twice", heading);
        return;
    }
    if (!*heading) return; /* a column without a heading must be empty; take_row sees to it */
    int near = text_nearest(heading, known, r->n_columns);
    json_in_fault(&r->in, NULL, NULL, "unknown column \"%.60s\"%s%s%s", heading,
                  near >= 0 ? "; did you mean " : "", near >= 0 ? known[near] : "", near >= 0 ? "?" : "");
}

static bool read_heading(csv_reader *r) {
    size_t before = fault_list_count(r->in.faults);
    r->n_columns = csv_columns(r->columns);
    if (r->table.n_rows == 0) {
        json_in_fault(&r->in, NULL, NULL, "is empty; the first line must name the columns");
        return false;
    }
    r->row = &r->table.rows[0];
    r->in.system = find_system(r);
    if (fault_list_count(r->in.faults) != before) return false;
    for (size_t i = 0; i < r->n_columns; i++) {
        csv_column_name(&r->columns[i], r->in.system, r->headings[i]);
        r->cell_of[i] = NAMES_NONE;
    }
    for (size_t i = 0; i < r->row->n_cells; i++) place_heading(r, i);
    for (size_t i = 0; i < r->n_columns; i++) {
        csv_group group = r->columns[i].group;
        bool needed = i < 2 || group == GROUP_FACE || group == GROUP_POINT;
        if (needed && r->cell_of[i] == NAMES_NONE)
            json_in_fault(&r->in, NULL, NULL, "the column %s is missing", r->headings[i]);
    }
    return fault_list_count(r->in.faults) == before;
}

/* ---- cells ---- */

static const char *cell(const csv_reader *r, size_t column) {
    size_t at = r->cell_of[column];
    return at < r->row->n_cells ? r->row->cells[at] : "";
}

/* The only column of its group, or the first. */
static const char *group_cell(const csv_reader *r, csv_group group) {
    size_t i = 0;
    while (r->columns[i].group != group) i++;
    return cell(r, i);
}

static json_t *cell_value(csv_reader *r, size_t column) {
    const survey_field *f = r->columns[column].field;
    const char *given = cell(r, column);
    double number;
    bool yes = strcmp(given, "true") == 0 || strcmp(given, "TRUE") == 0; /* a spreadsheet has capitals */
    if (f->kind == FIELD_BOOL && (yes || strcmp(given, "false") == 0 || strcmp(given, "FALSE") == 0))
        return json_boolean(yes);
    if (f->kind != FIELD_NUMBER && f->kind != FIELD_MAYBE) return json_string(given);
    if (csv_table_number(&r->table, given, &number)) return json_real(number);
    json_in_fault(&r->in, NULL, r->headings[column], "\"%.40s\" is no number", given);
    return json_null();
}

/* The cells of a group that are filled, as an object with the members' names. NULL when all are empty. */
static json_t *group_object(csv_reader *r, csv_group group) {
    char name[FIELD_NAME_SIZE];
    json_t *object = NULL;
    for (size_t i = 0; i < r->n_columns; i++) {
        if (r->columns[i].group != group || !*cell(r, i)) continue;
        if (!object) object = json_object();
        survey_field_name(r->columns[i].field, r->in.system, name);
        if (object && json_object_set_new(object, name, cell_value(r, i)) == 0) continue;
        fault_list_memory(r->in.faults);
        json_decref(object);
        return NULL;
    }
    return object;
}

static void *push(csv_reader *r, void *array, size_t *n, size_t size) {
    void *more = arena_push(r->in.memory, array, n, size);
    if (!more) fault_list_memory(r->in.faults);
    return more;
}

/* ---- one row ---- */

static json_t *split_words(const char *words) {
    json_t *list = json_array();
    while (list && *words) {
        size_t length = strcspn(words, " ");
        if (length && json_array_append_new(list, json_stringn(words, length)) != 0) {
            json_decref(list);
            return NULL;
        }
        words += length;
        words += strspn(words, " ");
    }
    return list;
}

/* A cell of words as a set. */
static void take_words(csv_reader *r, csv_group group, const char *field, const objects_words *of,
                       unsigned *out) {
    const json_path at = {NULL, field, 0};
    const char *words = group_cell(r, group);
    json_t *list = *words ? split_words(words) : NULL;
    if (list) objects_read_words(&r->in, &at, list, of, out);
    if (*words && !list) fault_list_memory(r->in.faults);
    json_decref(list);
}

static void take_overrule(csv_reader *r, survey_overrule *out) {
    const json_path at = {NULL, "overrule", 0};
    json_t *object = group_object(r, GROUP_OVERRULE);
    if (!object) return;
    survey_fields_read(&r->in, &at, object, survey_overrule_fields, NULL, 0, false, out);
    out->given = true;
    json_decref(object);
}

/* What was said of the defect again may only be the same. */
static bool same_head(const survey_defect *a, const survey_defect *b) {
    return survey_fields_equal(survey_defect_fields, a, b) && a->signs == b->signs &&
           a->excluded == b->excluded && a->overrule.given == b->overrule.given &&
           (!a->overrule.given || survey_fields_equal(survey_overrule_fields, &a->overrule, &b->overrule));
}

/* mark, kind and the other members of the defect: set by the first row, repeated or empty in the others. */
static void take_head(csv_reader *r, draft *d, bool first) {
    json_t *object = group_object(r, GROUP_HEAD);
    survey_defect *defect = &d->defect, again = *defect, *into = first ? defect : &again;
    if (!object) {
        fault_list_memory(r->in.faults);
        return;
    }
    survey_fields_read(&r->in, NULL, object, survey_defect_fields, NULL, 0, !first, into);
    take_words(r, GROUP_SIGNS, "signs", &objects_signs, &into->signs);
    take_words(r, GROUP_EXCLUDE, "exclude", &objects_methods, &into->excluded);
    take_overrule(r, &into->overrule);
    if (!first && !same_head(defect, &again))
        json_in_fault(
            &r->in, NULL, NULL,
            "what belongs to the whole of %s (kind, diameter, waterstop, signs and so on) differs from "
            "line %zu; give it once",
            defect->mark, d->line);
    json_decref(object);
}

/* The part that a point on `face` belongs to, perhaps a new one. NULL without memory. */
static survey_part *part_for(csv_reader *r, draft *d, const char *face) {
    survey_defect *defect = &d->defect;
    survey_part *last = defect->n_parts ? &defect->parts[defect->n_parts - 1] : NULL;
    if (last && strcmp(last->face, face) == 0) return last;
    survey_part *parts = push(r, defect->parts, &defect->n_parts, sizeof *parts);
    if (!parts) return NULL;
    defect->parts = parts;
    parts[defect->n_parts - 1].face = face;
    return &parts[defect->n_parts - 1];
}

static void take_point(csv_reader *r, draft *d, const char *face, survey_point point) {
    survey_part *part = part_for(r, d, face);
    survey_point *points = part ? push(r, part->points, &part->n_points, sizeof *points) : NULL;
    if (!points) return;
    part->points = points;
    size_t last = part->n_points - 1;
    points[last] = point;
    if (last > 0 && survey_is_line(d->defect.kind))
        d->along_m += hypot(point.u_m - points[last - 1].u_m, point.v_m - points[last - 1].v_m);
}

/* face, u, v. True when the row gives a point. */
static bool take_place(csv_reader *r, draft *d) {
    const survey_defect *defect = &d->defect;
    const char *face = group_cell(r, GROUP_FACE);
    const char *now = defect->n_parts ? defect->parts[defect->n_parts - 1].face : NULL;
    json_t *object = group_object(r, GROUP_POINT);
    survey_point point = {0, 0};
    size_t before = fault_list_count(r->in.faults);
    if (!object) {
        if (*face && (!now || strcmp(face, now) != 0))
            json_in_fault(&r->in, NULL, "face",
                          "is \"%.40s\" in a row without u and v; a new face needs a point on it", face);
        return false;
    }
    survey_fields_read(&r->in, NULL, object, survey_point_fields, NULL, 0, false, &point);
    json_decref(object);
    if (!*face && !now) json_in_fault(&r->in, NULL, "face", "is missing");
    if (fault_list_count(r->in.faults) != before) return false;
    take_point(r, d, *face ? face : now, point);
    return true;
}

/* A chainage taken from coordinates, as it reads in the units of the file, so that writing and reading keep
 * it. */
static double typed_length_m(units_system system, double si) {
    char number[TEXT_NUMBER];
    double shown = 0;
    text_to_number(units_text(UNITS_LENGTH, system, si, number), &shown);
    return units_to_si(UNITS_LENGTH, system, shown);
}

static void check_chainage(csv_reader *r, const draft *d, double chainage_m) {
    char given[UNITS_SHOWN], found[UNITS_SHOWN];
    double allowed = fmax(TAPE_M, TAPE_PART * d->along_m);
    if (fabs(chainage_m - d->along_m) <= allowed) return;
    json_in_fault(
        &r->in, NULL, NULL,
        "the chainage is %s, but the point u, v of this row lies at %s along the trace; correct one of them "
        "or leave the chainage empty",
        units_show(UNITS_LENGTH, r->in.system, chainage_m, 3, given),
        units_show(UNITS_LENGTH, r->in.system, d->along_m, 3, found));
}

static void take_station(csv_reader *r, draft *d, bool has_point) {
    survey_field fields[FIELDS_MOST];
    survey_fields table = {fields, survey_station_fields.n};
    json_t *object = group_object(r, GROUP_STATION);
    if (!object) return;
    memcpy(fields, survey_station_fields.fields, table.n * sizeof *fields);
    const char *chainage = group_cell(r, GROUP_STATION); /* the first of the group */
    fields[0].required = !has_point;
    survey_station *stations = push(r, d->defect.stations, &d->defect.n_stations, sizeof *stations);
    if (stations) {
        d->defect.stations = stations;
        survey_station *station = &stations[d->defect.n_stations - 1];
        survey_fields_read(&r->in, NULL, object, table, NULL, 0, false, station);
        if (has_point && !*chainage) station->chainage_m = typed_length_m(r->in.system, d->along_m);
        if (has_point && *chainage) check_chainage(r, d, station->chainage_m);
    }
    json_decref(object);
}

static void take_flow(csv_reader *r, survey_defect *d) {
    json_t *object = group_object(r, GROUP_FLOW);
    if (!object) return;
    survey_flow *flows = push(r, d->flows, &d->n_flows, sizeof *flows);
    if (flows) {
        d->flows = flows;
        survey_fields_read(&r->in, NULL, object, survey_flow_fields, NULL, 0, false, &flows[d->n_flows - 1]);
    }
    json_decref(object);
}

static void take_open(csv_reader *r, survey_defect *d) {
    const json_path at = {NULL, "open", 0}; /* a flow reading has the same members */
    json_t *object = group_object(r, GROUP_OPEN);
    if (!object) return;
    survey_open *opens = push(r, d->opens, &d->n_opens, sizeof *opens);
    if (opens) {
        d->opens = opens;
        survey_fields_read(&r->in, &at, object, survey_open_fields, NULL, 0, false, &opens[d->n_opens - 1]);
    }
    json_decref(object);
}

static void take_photo(csv_reader *r, survey_defect *d) {
    json_t *object = group_object(r, GROUP_PHOTO);
    if (!object) return;
    survey_photo *photos = push(r, d->photos, &d->n_photos, sizeof *photos);
    if (photos) {
        d->photos = photos;
        survey_fields_read(&r->in, NULL, object, survey_photo_fields, NULL, 0, false,
                           &photos[d->n_photos - 1]);
    }
    json_decref(object);
}

static void take_note(csv_reader *r, survey_defect *d) {
    const char *note = group_cell(r, GROUP_NOTE);
    if (!*note) return;
    const char *objection = survey_text_objection(note);
    if (objection) {
        json_in_fault(&r->in, NULL, "note", "%s", objection);
        return;
    }
    const char **notes = push(r, d->notes, &d->n_notes, sizeof *notes);
    if (!notes) return;
    d->notes = notes;
    notes[d->n_notes - 1] = note;
}

/* The draft of this row's mark; *first when the row begins it. NULL after a fault. */
static draft *find_draft(csv_reader *r, bool *first) {
    const char *mark = cell(r, 0);
    if (!*mark) {
        json_in_fault(&r->in, NULL, "mark", "is missing");
        return NULL;
    }
    size_t at = names_find(r->marks, mark);
    *first = at == NAMES_NONE;
    if (!*first) return &r->drafts[at];
    draft *drafts = push(r, r->drafts, &r->n_drafts, sizeof *drafts);
    if (!drafts) return NULL;
    r->drafts = drafts;
    draft *d = &drafts[r->n_drafts - 1];
    d->line = r->row->line;
    d->defect.mark = mark;
    d->defect.origin = r->in.source;
    if (names_put(r->marks, mark, r->n_drafts - 1)) return d;
    fault_list_memory(r->in.faults);
    return NULL;
}

/* Empty rows and comments are skipped; a filled cell without a heading is a fault. */
static bool is_data(csv_reader *r) {
    bool filled = false;
    for (size_t i = 0; i < r->row->n_cells; i++) filled = filled || *r->row->cells[i];
    return filled && strncmp(r->row->cells[0], "# ", 2) != 0 && strcmp(r->row->cells[0], "#") != 0;
}

static void check_headed(csv_reader *r) {
    const csv_row *heading = &r->table.rows[0];
    for (size_t i = 0; i < r->row->n_cells; i++) {
        if (!*r->row->cells[i] || (i < heading->n_cells && *heading->cells[i])) continue;
        json_in_fault(&r->in, NULL, NULL, "cell %zu holds \"%.40s\" but its column has no heading", i + 1,
                      r->row->cells[i]);
        return;
    }
}

static void take_row(csv_reader *r, const csv_row *row) {
    bool first;
    r->row = row;
    if (!is_data(r)) return;
    const char *where = arena_print(r->in.memory, "%s: line %zu", r->source, row->line);
    if (!where) {
        fault_list_memory(r->in.faults);
        return;
    }
    r->in.source = where;
    check_headed(r);
    draft *d = find_draft(r, &first);
    if (!d) return;
    take_head(r, d, first);
    bool has_point = take_place(r, d);
    take_station(r, d, has_point);
    take_flow(r, &d->defect);
    take_open(r, &d->defect);
    take_note(r, &d->defect);
    take_photo(r, &d->defect);
}

/* ---- the whole ---- */

/* Readings of gauges travel in a table of their own: those of the job stay. */
static void merge_draft(merger *m, survey *into, survey_defect *defect) {
    size_t there = names_find(m->before[MERGE_DEFECTS], defect->mark);
    if (there != NAMES_NONE) {
        defect->readings = into->defects[there].readings;
        defect->n_readings = into->defects[there].n_readings;
    }
    merge_defect(m, NULL, defect);
}

static void merge_drafts(csv_reader *r, survey *into) {
    merger m;
    if (merge_begin(&m, into, &r->in))
        for (size_t i = 0; i < r->n_drafts; i++) {
            r->in.source = r->drafts[i].defect.origin;
            if (r->drafts[i].defect.n_parts == 0)
                json_in_fault(&r->in, NULL, NULL, "no row of %s gives u and v", r->drafts[i].defect.mark);
            else
                merge_draft(&m, into, &r->drafts[i].defect);
        }
    merge_end(&m);
}

bool survey_read_csv(survey *into, const char *source, const char *bytes, size_t length, fault_list *faults) {
    size_t before = fault_list_count(faults);
    csv_reader r = {.in = {source, faults, UNITS_METRIC, into->memory}, .source = source};
    if (!csv_table_read(source, bytes, length, into->memory, &r.table, faults)) return false;
    r.marks = names_new();
    if (!r.marks)
        fault_list_memory(faults);
    else if (read_heading(&r)) {
        for (size_t i = 1; i < r.table.n_rows; i++) take_row(&r, &r.table.rows[i]);
        if (fault_list_count(faults) == before) merge_drafts(&r, into);
    }
    names_free(r.marks);
    return fault_list_count(faults) == before;
}
