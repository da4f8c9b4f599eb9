#include "core/csv.h"

#include <csv.h>
#include <string.h>

typedef struct {
    csv_table *table;
    arena *memory;
    csv_row row; /* being read */
    size_t line;
    bool begun; /* the row has begun, at row.line */
    bool too_many;
    bool lost; /* no memory */
} reading;

/* Whether a spreadsheet would take the text behind its apostrophes for a formula. */
static bool looks_like_formula(const char *cell) {
    const char *first = cell + strspn(cell, "'");
    return *first && strchr("=+-@\t", *first);
}

/* libcsv calls this at the end of each cell. */
static void take_cell(void *bytes, size_t length, void *data) {
    reading *r = data;
    const char *from = bytes;
    if (r->row.n_cells == CSV_CELLS_MOST) {
        r->too_many = true;
        return;
    }
    char *copy = arena_get(r->memory, length + 1, 1);
    const char **cells = copy ? arena_push(r->memory, r->row.cells, &r->row.n_cells, sizeof *cells) : NULL;
    if (!cells) {
        r->lost = true;
        return;
    }
    size_t used = 0;
    for (size_t i = 0; i < length; i++)
        if (from[i] != '\r' || i + 1 == length || from[i + 1] != '\n') copy[used++] = from[i];
    if (copy[0] == '\'' && looks_like_formula(copy)) copy++;
    cells[r->row.n_cells - 1] = copy;
    r->row.cells = cells;
}

/* And this at the end of each row that is not empty. */
static void take_row(int ended_by, void *data) {
    reading *r = data;
    (void)ended_by;
    csv_row *rows = arena_push(r->memory, r->table->rows, &r->table->n_rows, sizeof *rows);
    if (rows) {
        rows[r->table->n_rows - 1] = r->row;
        r->table->rows = rows;
    } else
        r->lost = true;
    r->row = (csv_row){.line = r->line}; /* the next one, should it begin on the same line (CR alone) */
    r->begun = false;
}

static size_t line_length(const char *from, size_t left) {
    const char *end = memchr(from, '\n', left);
    return end ? (size_t)(end - from) + 1 : left;
}

static char find_separator(const char *bytes, size_t length) {
    size_t comma = 0, semicolon = 0, tab = 0;
    bool quoted = false;
    for (size_t i = 0; i < length && (quoted || bytes[i] != '\n'); i++) {
        if (bytes[i] == '"') quoted = !quoted;
        if (quoted) continue;
        comma += bytes[i] == ',';
        semicolon += bytes[i] == ';';
        tab += bytes[i] == '\t';
    }
    if (semicolon > comma && semicolon >= tab) return ';';
    return tab > comma ? '\t' : ',';
}

static bool is_blank(const char *from, size_t length) {
    for (size_t i = 0; i < length; i++)
        if (from[i] != ' ' && from[i] != '\r' && from[i] != '\n') return false;
    return true;
}

/* True when every line is UTF-8; else a fault with the first line that is not. */
static bool check_utf8(const char *source, const char *bytes, size_t length, fault_list *faults) {
    size_t line = 1;
    for (size_t at = 0; at < length; line++) {
        size_t step = line_length(bytes + at, length - at);
        if (!text_is_utf8(bytes + at, step)) {
            fault_list_add(faults, "%s: line %zu: is not UTF-8 text; save the table as \"CSV UTF-8\"", source,
                           line);
            return false;
        }
        at += step;
    }
    return true;
}

/* Feed line by line, so that we know where we are when a row or a fault shows itself. */
static void parse(struct csv_parser *p, reading *r, const char *source, const char *bytes, size_t length,
                  fault_list *faults) {
    for (size_t at = 0; at < length && !r->lost;) {
        size_t step = line_length(bytes + at, length - at);
        size_t line = ++r->line;
        if (!r->begun && !is_blank(bytes + at, step)) {
            r->begun = true;
            r->row.line = line;
        }
        if (csv_parse(p, bytes + at, step, take_cell, take_row, r) != step) {
            if (csv_error(p) == CSV_EPARSE)
                fault_list_add(
                    faults, "%s: line %zu: a quotation mark out of place (write \"\" inside a quoted cell)",
                    source, line);
            else
                r->lost = true;
            return;
        }
        if (r->too_many) {
            fault_list_add(faults, "%s: line %zu: has more than %d cells", source, line, CSV_CELLS_MOST);
            return;
        }
        at += step;
    }
    if (r->lost || csv_fini(p, take_cell, take_row, r) == 0) return;
    if (csv_error(p) == CSV_EPARSE)
        fault_list_add(faults, "%s: line %zu: a quoted cell begins in this row and never ends", source,
                       r->row.line);
    else
        r->lost = true;
}

bool csv_table_read(const char *source, const char *bytes, size_t length, arena *memory, csv_table *out,
                    fault_list *faults) {
    static const char mark[3] = {'\xEF', '\xBB', '\xBF'};
    size_t before = fault_list_count(faults);
    *out = (csv_table){0};
    if (length >= sizeof mark && memcmp(bytes, mark, sizeof mark) == 0) {
        bytes += sizeof mark;
        length -= sizeof mark;
    }
    if (!check_utf8(source, bytes, length, faults)) return false;
    struct csv_parser parser;
    csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI);
    csv_set_realloc_func(&parser, mem_realloc);
    csv_set_free_func(&parser, mem_free);
    csv_set_blk_size(&parser, length / 8 + 4096); /* its steps are linear: a cell of 10 MB took minutes */
    out->separator = find_separator(bytes, length);
    csv_set_delim(&parser, (unsigned char)out->separator);
    reading r = {.table = out, .memory = memory};
    parse(&parser, &r, source, bytes, length, faults);
    csv_free(&parser);
    if (r.lost) fault_list_memory(faults);
    return fault_list_count(faults) == before;
}

bool csv_table_number(const csv_table *table, const char *cell, double *value) {
    char copy[64];
    const char *comma = strchr(cell, ',');
    if (!comma) return text_to_number(cell, value);
    if (table->separator == ',' || strlen(cell) >= sizeof copy || strchr(comma + 1, ',') || strchr(cell, '.'))
        return false;
    memcpy(copy, cell, strlen(cell) + 1);
    copy[comma - cell] = '.';
    return text_to_number(copy, value);
}

void csv_put_cell(text *to, const char *cell) {
    size_t length = strlen(cell);
    double number;
    const char *guard = looks_like_formula(cell) && !text_to_number(cell, &number) ? "'" : "";
    bool plain =
        strcspn(cell, ",;\t\"\r\n") == length && (length == 0 || (cell[0] != ' ' && cell[length - 1] != ' '));
    if (plain) {
        text_print(to, "%s%s", guard, cell);
        return;
    }
    text_print(to, "\"%s", guard);
    for (const char *c = cell; *c; c++) {
        if (*c == '"') text_add(to, "\"");
        text_add_bytes(to, c, 1);
    }
    text_add(to, "\"");
}
