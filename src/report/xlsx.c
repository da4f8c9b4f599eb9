/* xlsx.c - the spreadsheet: opened, filled, closed, renamed into place. */
#include "report/book.h"

#include "core/date.h"
#include "report/date.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

static void note(book *b, lxw_error error) {
    if (b->error == LXW_NO_ERROR) b->error = error;
}

lxw_worksheet *book_sheet(book *b, const char *name, const book_column *columns, size_t n) {
    lxw_worksheet *sheet = workbook_add_worksheet(b->book, name);
    if (!sheet) {
        note(b, LXW_ERROR_MEMORY_MALLOC_FAILED);
        return NULL;
    }
    worksheet_freeze_panes(sheet, 1, 1);
    for (size_t i = 0; i < n; i++) {
        worksheet_set_column(sheet, (lxw_col_t)i, (lxw_col_t)i, columns[i].width, NULL);
        note(b, worksheet_write_string(sheet, 0, (lxw_col_t)i, columns[i].title, b->head));
    }
    worksheet_set_landscape(sheet);
    worksheet_fit_to_pages(sheet, 1, 0);
    worksheet_repeat_rows(sheet, 0, 0);
    return sheet;
}

void book_words(book *b, lxw_worksheet *sheet, size_t row, size_t column, const char *words) {
    enum { LONGEST = 8000 }; /* bytes; a cell holds 32,767 characters */
    if (!words || !*words) return;
    const char *kept = words;
    if (strlen(words) > LONGEST) {
        char *cut = arena_copy(b->words.memory, words);
        if (!cut) b->words.failed = true;
        if (cut) text_cut_utf8(cut, LONGEST);
        kept = cut ? cut : "";
    }
    note(b, worksheet_write_string(sheet, (lxw_row_t)row, (lxw_col_t)column, kept, b->wrap));
}

void book_number(book *b, lxw_worksheet *sheet, size_t row, size_t column, double value) {
    note(b, worksheet_write_number(sheet, (lxw_row_t)row, (lxw_col_t)column, value, b->number));
}

void book_formula(book *b, book_cell cell, const char *formula, double value) {
    note(b, worksheet_write_formula_num(cell.sheet, (lxw_row_t)cell.row, (lxw_col_t)cell.column, formula,
                                        cell.format, value));
}

void book_sum(book *b, book_cell cell, double value) {
    char from[LXW_MAX_CELL_NAME_LENGTH], to[LXW_MAX_CELL_NAME_LENGTH];
    lxw_rowcol_to_cell(from, 1, (lxw_col_t)cell.column);
    lxw_rowcol_to_cell(to, (lxw_row_t)(cell.row - 1), (lxw_col_t)cell.column);
    book_formula(b, cell, say_print(&b->words, "=SUM(%s:%s)", from, to), value);
}

static void make_formats(book *b) {
    enum { FORMATS = 8 };
    lxw_format *all[FORMATS];
    for (size_t i = 0; i < FORMATS; i++) {
        all[i] = workbook_add_format(b->book);
        if (!all[i]) {
            note(b, LXW_ERROR_MEMORY_MALLOC_FAILED);
            return;
        }
        format_set_align(all[i], LXW_ALIGN_VERTICAL_TOP);
        if (i == 0 || (i >= 4 && i <= 6)) format_set_bold(all[i]);
        if (i >= 4 && i <= 6) format_set_top(all[i], LXW_BORDER_THIN);
    }
    format_set_text_wrap(all[0]);
    format_set_text_wrap(all[3]);
    format_set_bg_color(all[0], 0xe9edf0);
    format_set_num_format(all[1], "0.000");
    format_set_num_format(all[2], "#,##0.00");
    format_set_num_format(all[4], "0.000");
    format_set_num_format(all[5], "#,##0.00");
    format_set_num_format(all[7], "0.00##");
    format_set_bg_color(all[7], 0xfff7d6);
    format_set_border(all[7], LXW_BORDER_HAIR);
    b->head = all[0];
    b->number = all[1];
    b->money = all[2];
    b->wrap = all[3];
    b->total = all[4];
    b->total_money = all[5];
    b->total_words = all[6];
    b->open = all[7];
}

/* Noon of the day in seconds since 1970: no zone's midnight moves it, and it is never 0, which would mean
 * "now". */
static time_t noon(const char *date) {
    calendar_day day;
    date_read(date, &day); /* checked before */
    return (time_t)date_days(day) * 86400 + 43200;
}

/* Writes through the whole library; the file at `part` may be there or not on error. */
static status fill(book *b, const book_paper *paper, const char *part, void (*sheets)(book *b), fault *why) {
    lxw_doc_properties about = {.created = noon(paper->date)};
    const char *name = b->plan->survey->site.name;
    char title[128], subject[128], creator[] = "stanch";
    snprintf(title, sizeof title, "%s", name ? name : "Repair plan");
    text_cut_utf8(title, 120);
    snprintf(subject, sizeof subject, "%s", paper->subject);
    about.title = title;
    about.author = creator;
    about.subject = subject;
    lxw_workbook_options defaults = {0};
    b->book = workbook_new_opt(part, &defaults);
    if (!b->book) return fault_memory(why);
    workbook_set_properties(b->book, &about);
    make_formats(b);
    if (b->error == LXW_NO_ERROR) sheets(b);
    lxw_error closed = workbook_close(b->book);
    note(b, closed);
    if (b->words.failed || b->error == LXW_ERROR_MEMORY_MALLOC_FAILED) return fault_memory(why);
    if (b->error == LXW_NO_ERROR) return OK;
    return fault_set(why, E_IO, "%s: the spreadsheet could not be written: %s", part, lxw_strerror(b->error));
}

/* The library tells the terminal when it cannot open its file; so the question is asked before. */
static status try_file(const char *part, fault *why) {
    FILE *file = fopen(part, "wb");
    if (!file || fclose(file) != 0) return fault_set(why, E_IO, "%s: %s", part, strerror(errno));
    return OK;
}

status book_write(book *b, const book_paper *paper, void (*sheets)(book *b), fault *why) {
    status code = date_check(paper->date, why);
    if (code != OK) return code;
    arena *memory = arena_new();
    const char *part = memory ? arena_print(memory, "%s.part", paper->path) : NULL;
    if (!part) {
        arena_free(memory);
        return fault_memory(why);
    }
    const survey_site *site = &b->plan->survey->site;
    b->words = (say){.memory = memory, .system = site->system, .currency = site->currency};
    code = try_file(part, why);
    if (code == OK) code = fill(b, paper, part, sheets, why);
    if (code == OK && rename(part, paper->path) != 0)
        code = fault_set(why, E_IO, "%s: %s", paper->path, strerror(errno));
    if (code != OK) remove(part);
    arena_free(memory);
    return code;
}

static void whole_plan(book *b) {
    book_leaks(b);
    book_planes(b);
    book_orders(b);
    book_price(b);
}

status report_xlsx(const plan *p, const report_options *options, const char *path, fault *why) {
    book b = {.plan = p};
    const book_paper paper = {options->date, "Quantities and price of a repair plan for leaking concrete",
                              path};
    return book_write(&b, &paper, whole_plan, why);
}
