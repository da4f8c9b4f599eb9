#include "cli/calc_table.h"

#include <math.h>
#include <string.h>

enum { WIDTH = 100 };

/* Words of `from`, wrapped, each line after the first indented. The cursor stands at column `at`. */
static void wrap(text *to, const char *from, size_t at, size_t indent) {
    bool first = true;
    while (*from) {
        size_t length = strcspn(from, " ");
        bool fits = at + (first ? 0 : 1) + length <= WIDTH;
        if (!fits && at > indent) {
            text_print(to, "\n%*s", (int)indent, "");
            at = indent;
            first = true;
        }
        text_add(to, first ? "" : " ");
        text_add_bytes(to, from, length);
        at += length + (first ? 0 : 1);
        from += length + strspn(from + length, " ");
        first = false;
    }
    text_add(to, "\n");
}

static void titled(text *to, const char *title, const char *body) {
    enum { INDENT = 10 };
    text_print(to, "%-*s", INDENT, title);
    wrap(to, body, INDENT, INDENT);
}

void calc_list(text *to) {
    for (size_t i = 0; i < calc_rows_count; i++)
        text_print(to, "%-12s %s\n", calc_rows[i]->name, calc_rows[i]->summary);
}

static void write_range(const calc_field *f, text *to) {
    char low[TEXT_NUMBER], high[TEXT_NUMBER];
    if (isfinite(f->range.low) && isfinite(f->range.high))
        text_print(to, "; %s %s to %s", f->range.above ? "above" : "from", text_number(f->range.low, low),
                   text_number(f->range.high, high));
}

static void write_kind(const calc_field *f, text *to) {
    const char *unit = f->unit ? f->unit : units_symbol(f->quantity, UNITS_METRIC);
    switch (f->kind) {
    case CALC_NUMBER: text_print(to, "number%s%s", *unit ? ", " : "", unit); break;
    case CALC_WORD: text_add(to, "word: "); break;
    case CALC_TEXT: text_print(to, "text of 1 to %g bytes", f->range.high); break;
    case CALC_NUMBERS: text_print(to, "list of numbers%s%s", *unit ? ", " : "", unit); break;
    case CALC_MATRIX: text_add(to, f->columns == 2 ? "list of [a, b]" : "list of lists of numbers"); break;
    case CALC_OBJECT: text_add(to, "object"); break;
    case CALC_OBJECTS: text_add(to, "list of objects"); break;
    case CALC_CUSTOM: text_add(to, f->shape); break;
    }
    for (size_t i = 0; f->kind == CALC_WORD && i < f->words_count; i++)
        text_print(to, "%s%s", i ? ", " : "", f->words[i]);
    if (f->kind == CALC_NUMBER || f->kind == CALC_NUMBERS || f->kind == CALC_MATRIX) write_range(f, to);
}

static void write_need(const calc_field *f, text *to) {
    char number[TEXT_NUMBER];
    if (f->required)
        text_add(to, "; required");
    else if (f->origin && f->kind == CALC_WORD)
        text_print(to, "; default %s (%s)", f->words[(size_t)f->fallback], f->origin);
    else if (f->origin)
        text_print(to, "; default %s (%s)", text_number(f->fallback, number), f->origin);
    else
        text_add(to, "; may be left out");
}

static void write_fields(const calc_field *fields, size_t count, size_t indent, text *to) {
    for (size_t i = 0; i < count; i++) {
        const calc_field *f = &fields[i];
        text about = {0};
        write_kind(f, &about);
        write_need(f, &about);
        text_print(to, "%*s%s: ", (int)indent, "", f->name);
        wrap(to, text_get(&about), indent + strlen(f->name) + 2, indent + 4);
        text_print(to, "%*s", (int)indent + 4, "");
        wrap(to, f->text, indent + 4, indent + 4);
        text_free(&about);
        write_fields(f->fields, f->fields_count, indent + 4, to);
    }
}

void calc_explain(const calc_row *row, text *to) {
    text_print(to, "%s: %s\n\n", row->name, row->summary);
    titled(to, "Model", row->model);
    titled(to, "Equation", row->equation);
    for (size_t i = 0; i < row->sources_count; i++) titled(to, i ? "" : "Sources", row->sources[i]);
    text_add(to, "\nInput, one JSON object:\n");
    write_fields(row->fields, row->fields_count, 2, to);
    text_print(to, "\nExample: stanch calc %s --example | stanch calc %s\n", row->name, row->name);
}
