/* handover_rows.c - rows with the places that their figures come from. */
#include "report/handover_parts.h"

#include <string.h>

enum { MOST_NAMED = 5 }; /* runs of records named one by one in a cell */

void handover_put(const handover *h, handover_rows *to, const char *const *cells, table_row_style style) {
    handover_row *rows = arena_push(h->words->memory, to->rows, &to->n, sizeof *rows);
    if (!rows) {
        h->words->failed = true;
        return;
    }
    to->rows = rows;
    rows[to->n - 1].style = style;
    for (size_t i = 0; i < to->n_columns; i++) rows[to->n - 1].cells[i] = cells[i] ? cells[i] : "";
}

/* The head with at least two rows stays together; so do few rows. */
void handover_draw(doc *d, const handover_rows *rows, double size) {
    table_column columns[TABLE_COLUMNS];
    if (rows->n == 0) return;
    memcpy(columns, rows->columns, rows->n_columns * sizeof *columns);
    if (rows->title) columns[0].title = rows->title;
    doc_need(d, size * (rows->n < 3 ? 6 : 9));
    table t = table_begin(d, columns, rows->n_columns, size);
    for (size_t i = 0; i < rows->n; i++) table_row(&t, rows->rows[i].cells, rows->rows[i].style);
    table_end(&t);
}

static const char *with_rule(const handover *h, const char *before, handover_by rule) {
    if (rule == BY_NONE) return before;
    return say_print(h->words, "%s%sE%d", before, *before ? " " : "", (int)rule);
}

/* The end of the run of numbers that begins at `from`. */
static size_t run_end(const long long *seqs, size_t n, size_t from) {
    size_t end = from + 1;
    while (end < n && seqs[end] == seqs[end - 1] + 1) end++;
    return end;
}

static size_t count_runs(const long long *seqs, size_t n) {
    size_t runs = 0;
    for (size_t i = 0; i < n; i = run_end(seqs, n, i)) runs++;
    return runs;
}

const char *handover_from(const handover *h, const long long *seqs, size_t n, handover_by rule) {
    const char *all = "";
    if (count_runs(seqs, n) > MOST_NAMED)
        return with_rule(h, say_print(h->words, "%zu of #%lld-#%lld", n, seqs[0], seqs[n - 1]), rule);
    for (size_t i = 0, end; i < n; i = end) {
        end = run_end(seqs, n, i);
        const char *gap = *all ? ", " : "", *to = end - i == 2 ? ", #" : "-#";
        all = end - i == 1 ? say_print(h->words, "%s%s#%lld", all, gap, seqs[i])
                           : say_print(h->words, "%s%s#%lld%s%lld", all, gap, seqs[i], to, seqs[end - 1]);
    }
    return with_rule(h, all, rule);
}

const char *handover_from_one(const handover *h, long long seq, handover_by rule) {
    return handover_from(h, &seq, seq > 0, rule);
}

const char *handover_said(const handover *h, const char *source, handover_by rule) {
    return with_rule(h, source, rule);
}

const char *handover_time(const handover *h, const char *at) {
    if (!at) return "";
    if (strlen(at) < 16) return at;
    return say_print(h->words, "%.10s\u00a0%.5s", at, at + 11);
}

const char *handover_join(const handover *h, const char *before, const char *mark, const char *more) {
    if (!*more) return before;
    return say_print(h->words, "%s%s%s", before, *before ? mark : "", more);
}

const record *handover_record(const handover *h, long long seq) {
    size_t low = 0, high = h->view->n_records;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (h->view->records[middle].seq < seq)
            low = middle + 1;
        else
            high = middle;
    }
    return low < h->view->n_records && h->view->records[low].seq == seq ? &h->view->records[low] : NULL;
}

typedef struct {
    const handover *h;
    const char *all;
} summing;

static void add(summing *s, const char *more) {
    s->all = handover_join(s->h, s->all, ", ", more);
}

static void add_value(summing *s, const char *before, units_quantity q, maybe value, const char *after) {
    if (!value.known) return;
    const char *shown = q == UNITS_PLAIN    ? say_plain(s->h->words, value.v, 2)
                        : q == UNITS_LENGTH ? say_length(s->h->words, value.v)
                                            : say_value(s->h->words, q, value.v);
    add(s, say_print(s->h->words, "%s%s%s", before, shown, after));
}

static void add_found(summing *s, const record *r) {
    add_value(s, "", UNITS_LENGTH, r->length_m, " long");
    add_value(s, "", UNITS_SIZE, r->width_m, " wide");
    add_value(s, "", UNITS_SIZE, r->depth_m, " deep");
    add_value(s, "cover ", UNITS_SIZE, r->cover_m, "");
    if (r->wetness) add(s, r->wetness);
    if (r->hand) add(s, say_print(s->h->words, "hand %s", r->hand));
    if (r->blotter) add(s, say_print(s->h->words, "blotter %s", r->blotter));
    add_value(s, "", UNITS_PLAIN, r->drips_per_min, " drips a minute");
    add_value(s, "", UNITS_VOLUME, r->volume_m3, "");
    add_value(s, "in ", UNITS_SECONDS, r->time_s, "");
    add_value(s, "water at ", UNITS_LENGTH, r->water_level_m, "");
}

static void add_used(summing *s, const record *r) {
    if (r->material) add(s, r->material);
    add_value(s, "", UNITS_MASS, r->powder_kg, "");
    add_value(s, "water ", UNITS_VOLUME, r->water_m3, "");
    add_value(s, "", UNITS_PLAIN, r->packs, " packs");
    add_value(s, "", UNITS_PLAIN, r->people, r->people.v == 1 ? " person" : " people");
    add_value(s, "", UNITS_PLAIN, r->hours, " h");
    add_value(s, "air ", UNITS_TEMPERATURE, r->air_c, "");
    add_value(s, "wall ", UNITS_TEMPERATURE, r->wall_c, "");
    add_value(s, "water ", UNITS_TEMPERATURE, r->leak_water_c, "");
    add_value(s, "humidity ", UNITS_PLAIN, r->humidity_percent, " %");
}

static void add_tank(summing *s, const record *r) {
    if (r->tank) add(s, say_print(s->h->words, "tank %s", r->tank));
    add_value(s, "level ", UNITS_SIZE, r->level_m, "");
    add_value(s, "pan ", UNITS_SIZE, r->pan_level_m, "");
    add_value(s, "rain ", UNITS_SIZE, r->rain_m, "");
    add_value(s, "water ", UNITS_TEMPERATURE, r->tank_water_c, "");
}

const char *handover_sum_up(const handover *h, const record *r) {
    summing s = {h, ""};
    if (r->step) add(&s, r->step);
    add_found(&s, r);
    add_used(&s, r);
    add_tank(&s, r);
    if (r->photo) add(&s, r->photo);
    if (r->text) add(&s, r->text);
    return s.all;
}
