/* xlsx_leaks.c - the sheets with one row a leak. */
#include "report/book.h"
#include "report/slots.h"

#include <string.h>

static const char *titled(book *b, const char *what, units_quantity q) {
    return say_print(&b->words, "%s, %s", what, say_unit(&b->words, q));
}

static double in_units(const book *b, units_quantity q, double si) {
    return units_from_si(q, b->words.system, si);
}

static void number_if(book *b, lxw_worksheet *sheet, size_t row, size_t column, units_quantity q,
                      maybe value) {
    if (value.known) book_number(b, sheet, row, column, in_units(b, q, value.v));
}

static const char *open_findings(book *b, const char *mark) {
    text all = {0};
    for (size_t i = 0; i < b->plan->findings.n; i++) {
        const finding *f = &b->plan->findings.items[i];
        if (f->answer || strcmp(f->mark, mark) != 0) continue;
        text_print(&all, "%s%s: %s", all.length ? "\n" : "", f->level == FINDING_STOP ? "STOP" : "ASK",
                   f->sentence);
    }
    if (all.failed) b->words.failed = true;
    const char *kept = say_print(&b->words, "%s", text_get(&all));
    text_free(&all);
    return kept;
}

/* A number where all stretches agree, "20-50" where they do not. */
static void size_range(book *b, lxw_worksheet *sheet, size_t row, size_t column, double least_m,
                       double most_m) {
    if (!(most_m > 0)) return;
    if (least_m < most_m)
        book_words(b, sheet, row, column, slots_number_range(&b->words, least_m, most_m));
    else
        book_number(b, sheet, row, column, in_units(b, UNITS_SIZE, most_m));
}

static void cut_cells(book *b, lxw_worksheet *sheet, size_t row, const repair_design *design) {
    slots_span cut = slots_taken_together(design);
    double across = design->method.name == METHOD_HOLE ? design->hole_diameter_m : design->slot_width_m;
    number_if(b, sheet, row, 11, UNITS_SIZE, (maybe){cut.deepest_m > 0 && across > 0, across});
    size_range(b, sheet, row, 12, cut.least_m, cut.deepest_m);
    size_range(b, sheet, row, 13, cut.plug_least_m, cut.plug_most_m);
    if (design->n_slots) book_words(b, sheet, row, 14, cut.weak ? "does not hold" : "yes");
    number_if(b, sheet, row, 15, UNITS_SIZE, (maybe){design->relief.wanted, design->relief.bore_m});
}

static void leak_row(book *b, lxw_worksheet *sheet, size_t row, size_t i) {
    const leak_water *leak = &b->plan->leaks[i];
    const repair_design *design = &b->plan->designs[i];
    book_words(b, sheet, row, 0, leak->defect->mark);
    book_words(b, sheet, row, 1, say_kind_words[leak->defect->kind]);
    book_words(b, sheet, row, 2, say_faces(&b->words, b->plan->survey, leak->defect));
    book_words(b, sheet, row, 3, leak_grade_shown(leak->grade, b->plan->survey->site.system));
    book_words(b, sheet, row, 4, method_words[design->method.name]);
    const struct {
        units_quantity q;
        maybe value;
    } values[] = {{UNITS_LENGTH, {leak->length_m > 0, leak->length_m}},
                  {UNITS_LENGTH, {leak->length_m > 0, leak->wet_m}},
                  {UNITS_SIZE, leak->widest_m},
                  {UNITS_LENGTH, {leak->level_known, leak->head_today_m}},
                  {UNITS_LENGTH, {leak->level_known, leak->head_design_m}},
                  {UNITS_FLOW, leak->flow_m3_s}};
    for (size_t k = 0; k < sizeof values / sizeof *values; k++)
        number_if(b, sheet, row, 5 + k, values[k].q, values[k].value);
    cut_cells(b, sheet, row, design);
    book_words(b, sheet, row, 16, open_findings(b, leak->defect->mark));
}

static void leaks_sheet(book *b) {
    const book_column columns[] = {{"Mark", 10},
                                   {"Kind", 18},
                                   {"Face", 24},
                                   {"Grade", 18},
                                   {"Method", 20},
                                   {titled(b, "Length", UNITS_LENGTH), 10},
                                   {titled(b, "Wet", UNITS_LENGTH), 10},
                                   {titled(b, "Widest", UNITS_SIZE), 10},
                                   {titled(b, "Head today", UNITS_LENGTH), 10},
                                   {titled(b, "Head, design", UNITS_LENGTH), 10},
                                   {titled(b, "Flow", UNITS_FLOW), 10},
                                   {titled(b, "Slot or hole, width", UNITS_SIZE), 10},
                                   {titled(b, "Depth", UNITS_SIZE), 10},
                                   {titled(b, "Plug", UNITS_SIZE), 10},
                                   {"Holds with its factor", 14},
                                   {titled(b, "Relief bore", UNITS_SIZE), 10},
                                   {"Open questions", 60}};
    lxw_worksheet *sheet = book_sheet(b, "Leaks", columns, sizeof columns / sizeof *columns);
    if (!sheet) return;
    for (size_t i = 0; i < b->plan->n_leaks; i++) leak_row(b, sheet, i + 1, i);
}

enum { QUANTITIES = 23 };
static const struct {
    const char *what;
    units_quantity q;
} quantities[QUANTITIES] = {{"Slot length", UNITS_LENGTH},
                            {"Cut out", UNITS_VOLUME},
                            {"Plug volume", UNITS_VOLUME},
                            {"Dry-pack volume", UNITS_VOLUME},
                            {"Band, share", UNITS_AREA},
                            {"First coat", UNITS_AREA},
                            {"Last coat", UNITS_AREA},
                            {"Wash", UNITS_AREA},
                            {"Plug powder", UNITS_MASS},
                            {"First coat powder", UNITS_MASS},
                            {"Dry-pack powder", UNITS_MASS},
                            {"Last coat powder", UNITS_MASS},
                            {"Mixing water", UNITS_VOLUME},
                            {"Resin", UNITS_VOLUME},
                            {"Sealant", UNITS_VOLUME},
                            {"Packers", UNITS_PLAIN},
                            {"Holes for packers", UNITS_LENGTH},
                            {"Backer rod", UNITS_LENGTH},
                            {"Drain channel", UNITS_LENGTH},
                            {"Wash water", UNITS_VOLUME},
                            {"Spoil", UNITS_MASS},
                            {"Labour, hours", UNITS_PLAIN},
                            {"Labour and material", UNITS_PLAIN}};

static void quantities_of(const plan *p, size_t i, double out[QUANTITIES]) {
    const takeoff_leak *t = &p->takeoff.leaks[i];
    bool resin = t->fill.material && t->fill.material->role == ROLE_RESIN;
    double water_m3 = 0;
    for (size_t k = 0; k < MIX_COUNT; k++) water_m3 += t->mixes[k].water_m3;
    const double values[QUANTITIES] = {t->slot_length_m,
                                       t->slot_volume_m3,
                                       t->plug_volume_m3,
                                       t->pack_volume_m3,
                                       t->band_share_m2,
                                       t->first_coat_m2,
                                       t->last_coat_m2,
                                       t->wash_m2,
                                       t->mixes[MIX_PLUG].powder_kg,
                                       t->mixes[MIX_FIRST_COAT].powder_kg,
                                       t->mixes[MIX_PACK].powder_kg,
                                       t->mixes[MIX_LAST_COAT].powder_kg,
                                       water_m3,
                                       resin ? t->fill.volume_m3 : 0,
                                       resin ? 0 : t->fill.volume_m3,
                                       t->packers,
                                       t->drill_m,
                                       t->backer_m,
                                       t->channel_m,
                                       t->wash_water_m3,
                                       t->spoil_kg,
                                       p->price.leaks[i].hours_total,
                                       p->price.leaks[i].cost};
    memcpy(out, values, sizeof values);
}

static void quantities_sheet(book *b) {
    book_column columns[2 + QUANTITIES] = {{"Mark", 10}, {"Method", 20}};
    for (size_t k = 0; k < QUANTITIES; k++)
        columns[2 + k] =
            (book_column){quantities[k].q == UNITS_PLAIN ? quantities[k].what
                                                         : titled(b, quantities[k].what, quantities[k].q),
                          11};
    columns[1 + QUANTITIES].title =
        say_print(&b->words, "%s, %s", quantities[QUANTITIES - 1].what, b->words.currency);
    lxw_worksheet *sheet = book_sheet(b, "Quantities", columns, 2 + QUANTITIES);
    if (!sheet) return;
    double sums[QUANTITIES] = {0};
    size_t n = b->plan->n_leaks;
    for (size_t i = 0; i < n; i++) {
        double values[QUANTITIES];
        quantities_of(b->plan, i, values);
        book_words(b, sheet, i + 1, 0, b->plan->leaks[i].defect->mark);
        book_words(b, sheet, i + 1, 1, method_words[b->plan->designs[i].method.name]);
        for (size_t k = 0; k < QUANTITIES; k++) {
            double shown = in_units(b, quantities[k].q, values[k]);
            book_number(b, sheet, i + 1, 2 + k, shown);
            sums[k] += shown;
        }
    }
    if (n == 0) return;
    worksheet_write_string(sheet, (lxw_row_t)n + 1, 0, "All", b->total_words);
    for (size_t k = 0; k < QUANTITIES; k++) book_sum(b, (book_cell){sheet, n + 1, 2 + k, b->total}, sums[k]);
}

void book_leaks(book *b) {
    leaks_sheet(b);
    quantities_sheet(b);
}
