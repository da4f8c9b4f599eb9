#include "survey/write_csv.h"

#include "core/csv.h"
#include "survey/csv_columns.h"
#include "survey/objects.h"

#include <math.h>

#define SAME_PLACE_M 1e-9 /* our default: a station this near a point of the trace shares its row */

/* What one row holds; any of it may be missing. */
typedef struct {
    const survey_defect *head; /* mark and kind go into every row, the rest where `first` */
    bool first;
    const char *face;
    const survey_point *point;
    const survey_station *station;
} row_data;

typedef struct {
    text *to;
    units_system system;
    csv_column columns[CSV_COLUMNS_MOST];
    size_t n_columns;
    size_t row; /* of this defect: flows, open places, notes and photos go one to a row */
} csv_writer;

static void put_cell(csv_writer *w, size_t column, const char *cell) {
    if (column) text_add(w->to, ",");
    csv_put_cell(w->to, cell);
}

static void put_member(csv_writer *w, size_t column, const void *from) {
    text cell = {0};
    if (from) survey_field_text(w->columns[column].field, w->system, from, &cell);
    put_cell(w, column, text_get(&cell));
    w->to->failed = w->to->failed || cell.failed;
    text_free(&cell);
}

static void put_words(csv_writer *w, size_t column, const objects_words *of, unsigned bits) {
    text cell = {0};
    for (size_t i = 0; i < of->n; i++)
        if (bits & 1u << i) text_print(&cell, "%s%s", cell.length ? " " : "", of->words[i]);
    put_cell(w, column, text_get(&cell));
    w->to->failed = w->to->failed || cell.failed;
    text_free(&cell);
}

static void put_column(csv_writer *w, size_t column, const row_data *r) {
    const survey_defect *d = r->head;
    const csv_column *c = &w->columns[column];
    size_t i = w->row;
    switch (c->group) {
    case GROUP_HEAD: put_member(w, column, r->first || column < 2 ? d : NULL); break;
    case GROUP_SIGNS: put_words(w, column, &objects_signs, r->first ? d->signs : 0); break;
    case GROUP_EXCLUDE: put_words(w, column, &objects_methods, r->first ? d->excluded : 0); break;
    case GROUP_OVERRULE: put_member(w, column, r->first && d->overrule.given ? &d->overrule : NULL); break;
    case GROUP_FACE: put_cell(w, column, r->face ? r->face : ""); break;
    case GROUP_POINT: put_member(w, column, r->point); break;
    case GROUP_STATION: put_member(w, column, r->station); break;
    case GROUP_FLOW: put_member(w, column, i < d->n_flows ? &d->flows[i] : NULL); break;
    case GROUP_OPEN: put_member(w, column, i < d->n_opens ? &d->opens[i] : NULL); break;
    case GROUP_NOTE: put_cell(w, column, i < d->n_notes ? d->notes[i] : ""); break;
    case GROUP_PHOTO: put_member(w, column, i < d->n_photos ? &d->photos[i] : NULL); break;
    }
}

static void put_row(csv_writer *w, row_data r) {
    r.first = w->row == 0;
    for (size_t i = 0; i < w->n_columns; i++) put_column(w, i, &r);
    text_add(w->to, "\n");
    w->row++;
}

/* Points of the trace and stations, merged by chainage; a station at a point shares its row. */
static void put_defect(csv_writer *w, const survey_defect *d) {
    double along_m = 0;
    size_t next = 0;
    const char *face = NULL;
    w->row = 0;
    for (size_t i = 0; i < d->n_parts; i++) {
        const survey_part *p = &d->parts[i];
        for (size_t k = 0; k < p->n_points; k++) {
            if (k > 0 && survey_is_line(d->kind))
                along_m +=
                    hypot(p->points[k].u_m - p->points[k - 1].u_m, p->points[k].v_m - p->points[k - 1].v_m);
            for (; next < d->n_stations && d->stations[next].chainage_m < along_m - SAME_PLACE_M; next++)
                put_row(w, (row_data){.head = d, .face = face, .station = &d->stations[next]});
            face = p->face;
            row_data row = {.head = d, .face = face, .point = &p->points[k]};
            if (next < d->n_stations && d->stations[next].chainage_m <= along_m + SAME_PLACE_M)
                row.station = &d->stations[next++];
            put_row(w, row);
        }
    }
    for (; next < d->n_stations; next++)
        put_row(w, (row_data){.head = d, .face = face, .station = &d->stations[next]});
    while (w->row < d->n_flows || w->row < d->n_opens || w->row < d->n_notes || w->row < d->n_photos)
        put_row(w, (row_data){.head = d});
}

static csv_writer begin(units_system system, text *to) {
    csv_writer w = {.to = to, .system = system};
    char name[FIELD_NAME_SIZE];
    w.n_columns = csv_columns(w.columns);
    for (size_t i = 0; i < w.n_columns; i++) put_cell(&w, i, csv_column_name(&w.columns[i], system, name));
    text_add(to, "\n");
    return w;
}

void survey_write_csv(const survey *s, text *to) {
    csv_writer w = begin(s->site.system, to);
    for (size_t i = 0; i < s->n_defects; i++) put_defect(&w, &s->defects[i]);
}

/* A length that is a round number in either system. */
static double round_si(units_quantity q, units_system system, double metric, double us) {
    return units_to_si(q, system, system == UNITS_US ? us : metric);
}

void survey_write_template(units_system system, text *to) {
    csv_writer w = begin(system, to);
    survey_point trace[3] = {
        {round_si(UNITS_LENGTH, system, 1.2, 4), 0},
        {round_si(UNITS_LENGTH, system, 1.2, 4), round_si(UNITS_LENGTH, system, 1, 3)},
        {round_si(UNITS_LENGTH, system, 1.2, 4), round_si(UNITS_LENGTH, system, 2.4, 8)}};
    survey_point hole[1] = {{round_si(UNITS_LENGTH, system, 3, 10), round_si(UNITS_LENGTH, system, 1.5, 5)}};
    survey_station stations[3] = {
        {0, {true, round_si(UNITS_SIZE, system, 0.4, 0.016)}, WET_RUN, BAR_NOT_SCANNED, {0}, {0}},
        {trace[1].v_m,
         {true, round_si(UNITS_SIZE, system, 0.2, 0.008)},
         WET_DAMP,
         BAR_CROSSING,
         {true, round_si(UNITS_SIZE, system, 45, 1.75)},
         {true, round_si(UNITS_SIZE, system, 12, 0.5)}},
        {trace[2].v_m, {true, 0}, WET_DRY, BAR_NOT_SCANNED, {0}, {0}}};
    survey_station seep = {.wetness = WET_SEEP};
    survey_flow flow = {
        0, trace[1].v_m, {true, round_si(UNITS_VOLUME, system, 2, 0.5)}, {true, 60}, {0}, STATE_UNCUT, NULL};
    const char *note = "example rows: lines that begin with # are not read";
    survey_part line = {"N", trace, 3}, point = {"N", hole, 1};
    survey_defect examples[2] = {{.mark = "# C1",
                                  .kind = KIND_CRACK,
                                  .parts = &line,
                                  .n_parts = 1,
                                  .stations = stations,
                                  .n_stations = 3,
                                  .flows = &flow,
                                  .n_flows = 1,
                                  .notes = &note,
                                  .n_notes = 1},
                                 {.mark = "# T1",
                                  .kind = KIND_TIE_HOLE,
                                  .parts = &point,
                                  .n_parts = 1,
                                  .stations = &seep,
                                  .n_stations = 1,
                                  .diameter_m = {true, round_si(UNITS_SIZE, system, 25, 1)}}};
    for (size_t i = 0; i < 2; i++) put_defect(&w, &examples[i]);
}
