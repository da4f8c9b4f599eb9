#include "cli/record_list.h"

#include "cli/wrap.h"

#include <string.h>

enum { INDENT = 6, BY_COLUMNS = 19 };

/* With blanks in place of `others`. */
static void add_blanked(text *line, const char *from, const char *others) {
    for (; *from; from++) text_add_bytes(line, strchr(others, *from) ? " " : from, 1);
}

/* "length 3 m, depth 37 mm" */
static void add_values(text *line, const record *r, units_system system) {
    for (size_t i = 0; i < record_fields.n; i++) {
        const survey_field *f = &record_fields.fields[i];
        const char *symbol = f->kind == FIELD_MAYBE ? units_symbol(f->q, system) : "";
        text value = {0};
        if (record_is_head(f->name)) continue;
        survey_field_text(f, system, r, &value);
        if (value.failed) line->failed = true;
        if (value.length > 0) {
            if (line->length > 0) text_add(line, ", ");
            add_blanked(line, f->name, "_");
            text_add(line, " ");
            add_blanked(line, text_get(&value), "\n\t");
            text_print(line, "%s%s", *symbol ? " " : "", symbol);
        }
        text_free(&value);
    }
}

static long long seq_of(const ops_records *all, const char *id) {
    for (size_t i = 0; i < all->n; i++)
        if (strcmp(all->items[i].id, id) == 0) return all->items[i].seq;
    return 0;
}

static void add_about(text *line, const ops_records *all, const record *r) {
    if (r->about) text_print(line, "about record %lld", seq_of(all, r->about));
    if (r->about && r->other) text_print(line, " and %lld", seq_of(all, r->other));
}

static status print_record(const ops_records *all, const record *r, fault *why) {
    text line = {0};
    printf("%4lld  %.10s %.5s  ", r->seq, r->at, r->at + 11);
    wrap_cell(stdout, r->mark, 8);
    printf("  %-10s  ", record_what_words[r->what]);
    wrap_cell(stdout, r->step ? r->step : "", 12);
    const char *by = r->by ? r->by : "-";
    printf("  ");
    wrap_cell(stdout, by, wrap_width(by) < BY_COLUMNS ? wrap_width(by) : BY_COLUMNS);
    printf("\n");
    add_about(&line, all, r);
    add_values(&line, r, all->system);
    bool failed = line.failed;
    if (line.length > 0) wrap_print(stdout, "      ", text_get(&line), INDENT);
    text_free(&line);
    return failed ? fault_memory(why) : OK;
}

static void print_conflict(const record_conflict *c) {
    char label[64];
    snprintf(label, sizeof label, "conflict of %lld and %lld: ", c->a->seq, c->b->seq);
    wrap_print(stdout, label, c->sentence, INDENT);
}

status record_list_print(const char *path, const char *mark, arena *memory, fault *why) {
    ops_records all;
    record_conflict_list conflicts;
    size_t shown = 0;
    status code = ops_records_load(path, memory, &all, why);
    if (code == OK) code = record_conflicts(all.items, all.n, memory, &conflicts, why);
    for (size_t i = 0; code == OK && i < all.n; i++) {
        if (mark && strcmp(all.items[i].mark, mark) != 0) continue;
        if (shown++ == 0) printf(" no.  at (UTC)          mark      what        step          by\n");
        code = print_record(&all, &all.items[i], why);
    }
    if (code != OK) return code;
    if (shown == 0) printf("no records%s%s\n", mark ? " of " : "", mark ? mark : "");
    for (size_t i = 0; i < conflicts.n; i++)
        if (!mark || strcmp(conflicts.items[i].a->mark, mark) == 0) print_conflict(&conflicts.items[i]);
    return OK;
}
