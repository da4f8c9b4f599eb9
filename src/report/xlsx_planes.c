/* xlsx_planes.c - the orders of plugging, a row a step. */
#include "report/book.h"
#include "report/plane_figure.h"

static void step_row(book *b, lxw_worksheet *page, size_t row, const plan_plane *plane, size_t step) {
    const plugging_step *s = &plane->run.orders[plane->run.drawn].steps[step];
    const survey_defect *of = &b->plan->survey->defects[plane->group->owners[s->on.panel].defect];
    units_system in = b->words.system;
    book_words(b, page, row, 0, b->plan->survey->defects[plane->group->leaks[0]].mark);
    worksheet_write_number(page, (lxw_row_t)row, 1, (double)(step + 1), NULL);
    book_words(b, page, row, 2, of->mark);
    book_number(b, page, row, 3, units_from_si(UNITS_LENGTH, in, s->on.from_m));
    book_number(b, page, row, 4, units_from_si(UNITS_LENGTH, in, s->on.to_m));
    book_number(b, page, row, 5, units_from_si(UNITS_FLOW, in, s->flow_m3_s));
    book_number(b, page, row, 6, units_from_si(UNITS_LENGTH, in, s->fresh_head_m));
    book_words(b, page, row, 7, s->relief >= 0 ? "round a tube" : "");
}

void book_planes(book *b) {
    size_t rows = 0;
    for (size_t i = 0; i < b->plan->n_planes; i++) rows += !plane_figure_problem(&b->plan->planes[i]);
    if (rows == 0) return;
    const char *length = say_unit(&b->words, UNITS_LENGTH), *flow = say_unit(&b->words, UNITS_FLOW);
    const book_column columns[] = {{"Plane of", 12},
                                   {"Order", 8},
                                   {"Mark", 12},
                                   {say_print(&b->words, "From, %s", length), 10},
                                   {say_print(&b->words, "To, %s", length), 10},
                                   {say_print(&b->words, "Flow met, %s", flow), 12},
                                   {say_print(&b->words, "Head behind the fresh plug, %s", length), 16},
                                   {"Note", 16}};
    lxw_worksheet *page = book_sheet(b, "Plugging", columns, sizeof columns / sizeof *columns);
    size_t row = 1;
    for (size_t i = 0; page && i < b->plan->n_planes; i++) {
        const plan_plane *plane = &b->plan->planes[i];
        if (plane_figure_problem(plane)) continue;
        for (size_t k = 0; k < plane->run.orders[plane->run.drawn].steps_n; k++)
            step_row(b, page, row++, plane, k);
    }
}
