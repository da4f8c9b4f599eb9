#include "record/scan.h"

#include <stdlib.h>
#include <string.h>

static bool skip(char **at, const char *mark) {
    size_t length = strlen(mark);
    if (strncmp(*at, mark, length) != 0) return false;
    *at += length;
    return true;
}

/* Text up to the closing quote, which becomes its end. */
static bool take_text(char **at, const char **out) {
    *out = *at;
    char *end = strchr(*at, '"');
    if (!end) return false;
    *end = '\0';
    *at = end + 1;
    return true;
}

static bool take_number(char **at, double *out) {
    char *end;
    size_t length = strspn(*at, "0123456789+-.eE");
    if (length == 0) return false;
    *out = strtod(*at, &end);
    bool whole = end == *at + length;
    *at = end;
    return whole;
}

static bool in_range(const json_range *r, double v) {
    bool low = r->above ? v > r->low : v >= r->low, high = r->below ? v < r->high : v <= r->high;
    return low && high;
}

static bool is_number(const survey_field *f) {
    return f->kind == FIELD_NUMBER || f->kind == FIELD_MAYBE;
}

/* As survey_field_name has it, in metric. */
static bool has_name(const survey_field *f, const char *name) {
    size_t length = strlen(f->name);
    if (strncmp(f->name, name, length) != 0) return false;
    const char *suffix = is_number(f) ? units_suffix(f->q, UNITS_METRIC) : "";
    return *suffix ? name[length] == '_' && strcmp(name + length + 1, suffix) == 0 : name[length] == '\0';
}

static bool place_number(const survey_field *f, char **at, char *to) {
    double shown;
    if (!take_number(at, &shown)) return false;
    double si = units_to_si(f->q, UNITS_METRIC, shown) + 0.0;
    const maybe value = {true, si};
    if (f->kind == FIELD_MAYBE)
        memcpy(to, &value, sizeof value);
    else
        memcpy(to, &si, sizeof si);
    return in_range(&f->range, si);
}

static bool place_text(const survey_field *f, char **at, char *to) {
    const char *value;
    if (!skip(at, "\"") || !take_text(at, &value) || !*value) return false;
    if (f->kind != FIELD_WORD) {
        memcpy(to, &value, sizeof value);
        return true;
    }
    for (int i = 0; i < (int)f->n_words; i++) {
        if (strcmp(f->words[i], value) != 0) continue;
        memcpy(to, &i, sizeof i);
        return true;
    }
    return false;
}

bool record_scan(char *body, record *out) {
    char *at = body;
    size_t next = 0; /* fields before it have been met or are not there */
    *out = (record){0};
    if (strchr(body, '\\') || !skip(&at, "{")) return false;
    do {
        const char *name;
        if (!skip(&at, "\"") || !take_text(&at, &name) || !skip(&at, ": ")) return false;
        for (; next < record_fields.n && !has_name(&record_fields.fields[next], name); next++)
            if (record_fields.fields[next].required) return false;
        if (next == record_fields.n) return false;
        const survey_field *f = &record_fields.fields[next++];
        char *to = (char *)out + f->offset;
        if (is_number(f) ? !place_number(f, &at, to) : !place_text(f, &at, to)) return false;
    } while (skip(&at, ", "));
    for (; next < record_fields.n; next++)
        if (record_fields.fields[next].required) return false;
    return strcmp(at, "}") == 0;
}
