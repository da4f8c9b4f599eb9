#include "core/json_in.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static void shorten(char *value) {
    enum { SHOWN = 60 };
    if (strlen(value) <= SHOWN) return;
    text_cut_utf8(value, SHOWN);
    strcat(value, "...");
}

/* A value as a person would quote it, cut to a short piece. */
static char *show_value(const json_t *value, char into[80]) {
    char number[TEXT_NUMBER];
    switch (json_typeof(value)) {
    case JSON_STRING:
        snprintf(into, 80, "\"%.64s", json_string_value(value));
        shorten(into);
        strcat(into, "\"");
        break;
    case JSON_INTEGER: snprintf(into, 80, "%lld", (long long)json_integer_value(value)); break;
    case JSON_REAL: snprintf(into, 80, "%s", text_number(json_real_value(value), number)); break;
    case JSON_TRUE: snprintf(into, 80, "true"); break;
    case JSON_FALSE: snprintf(into, 80, "false"); break;
    case JSON_NULL: snprintf(into, 80, "null"); break;
    case JSON_ARRAY: snprintf(into, 80, "a list"); break;
    case JSON_OBJECT: snprintf(into, 80, "an object"); break;
    }
    return into;
}

/* jansson names the key that stands twice only when it is short. The error stands right behind the key. */
static void name_duplicate(const char *bytes, const json_error_t *error, char *into, size_t size) {
    size_t end = error->position > 0 ? (size_t)error->position : 0, start;
    while (end > 0 && bytes[end - 1] != '"') end--;
    start = end > 0 ? end - 1 : 0;
    while (start > 0 && bytes[start - 1] != '"') start--;
    snprintf(into, size, "duplicate object key '%.*s'", end > start ? (int)(end - 1 - start) : 0,
             bytes + start);
}

json_t *json_in_parse(json_in *in, const char *bytes, size_t length) {
    json_error_t error;
    json_t *root = json_loadb(bytes, length, JSON_REJECT_DUPLICATES | JSON_DECODE_ANY, &error);
    if (root) return root;
    if (json_error_code(&error) == json_error_out_of_memory || !*error.text) {
        fault_list_memory(in->faults);
        return NULL;
    }
    if (json_error_code(&error) == json_error_duplicate_key)
        name_duplicate(bytes, &error, error.text, sizeof error.text - 1);
    for (char *c = error.text; *c; c++)
        if (*c == '\n') *c = ' ';
    shorten(error.text);
    json_in_fault(in, NULL, NULL, "line %d, column %d: not valid JSON: %s", error.line, error.column,
                  error.text);
    return NULL;
}

static size_t write_path(const json_path *at, char *into, size_t size) {
    if (!at || size == 0) return 0;
    size_t used = write_path(at->up, into, size);
    if (used >= size) return size;
    int wrote = at->name ? snprintf(into + used, size - used, "%s%s", used ? "." : "", at->name)
                         : snprintf(into + used, size - used, "[%zu]", at->index);
    return wrote < 0 ? used : used + (size_t)wrote;
}

char *json_in_path(const json_path *at, const char *field, char *into, size_t size) {
    json_path leaf = {at, field, 0};
    into[0] = '\0';
    write_path(field ? &leaf : at, into, size);
    return into;
}

void json_in_fault(json_in *in, const json_path *at, const char *field, const char *format, ...) {
    char path[200], sentence[400];
    va_list args;
    va_start(args, format);
    vsnprintf(sentence, sizeof sentence, format, args);
    va_end(args);
    json_in_path(at, field, path, sizeof path);
    fault_list_add(in->faults, "%s%s%s%s%s", in->source, *in->source ? ": " : "", path, *path ? ": " : "",
                   sentence);
}

bool json_in_is_object(json_in *in, const json_path *at, const json_t *value) {
    char shown[80];
    if (json_is_object(value)) return true;
    json_in_fault(in, at, NULL, "%s where an object { } belongs", show_value(value, shown));
    return false;
}

void json_in_only(json_in *in, const json_path *at, json_t *object, const char *const known[], size_t count) {
    const char *key;
    json_t *value;
    json_object_foreach(object, key, value) {
        bool found = false;
        for (size_t i = 0; i < count && !found; i++) found = strcmp(key, known[i]) == 0;
        if (found) continue;
        char shown[70];
        snprintf(shown, sizeof shown, "%.60s", key);
        text_cut_utf8(shown, 60);
        int near = text_nearest(shown, known, count);
        if (near >= 0)
            json_in_fault(in, at, shown, "unknown field; did you mean %s?", known[near]);
        else
            json_in_fault(in, at, shown, "unknown field");
    }
}

/* "0 to 50", "above 0", "at most 3". */
static void show_range(const json_range *r, units_quantity q, units_system s, char *into, size_t size) {
    char low[TEXT_NUMBER] = "",
         high[TEXT_NUMBER] = ""; /* limits are round in SI; six digits are plenty in US units */
    const char *symbol = units_symbol(q, s), *space = *symbol ? " " : "";
    if (isfinite(r->low)) snprintf(low, sizeof low, "%.6g", units_from_si(q, s, r->low));
    if (isfinite(r->high)) snprintf(high, sizeof high, "%.6g", units_from_si(q, s, r->high));
    if (isfinite(r->low) && isfinite(r->high))
        snprintf(into, size, "lie %s %s %s %s%s%s", r->above ? "above" : "in", low,
                 r->above ? (r->below ? "and below" : "and up to") : (r->below ? "to below" : "to"), high,
                 space, symbol);
    else if (isfinite(r->low))
        snprintf(into, size, "be %s %s%s%s", r->above ? "above" : "at least", low, space, symbol);
    else if (isfinite(r->high))
        snprintf(into, size, "be %s %s%s%s", r->below ? "below" : "at most", high, space, symbol);
    else
        snprintf(into, size, "be a finite number");
}

static bool within(const json_range *r, double v) {
    bool low = r->above ? v > r->low : v >= r->low, high = r->below ? v < r->high : v <= r->high;
    return low && high && isfinite(v);
}

/* A JSON number as a double; booleans and strings are faults. */
static bool take_number(json_in *in, const json_path *at, const char *field, const json_t *value,
                        double *out) {
    char shown[80];
    if (json_is_number(value)) {
        *out = json_number_value(value);
        return true;
    }
    json_in_fault(in, at, field, "%s where a number belongs", show_value(value, shown));
    return false;
}

static bool check_range(json_in *in, const json_path *at, const char *field, const json_t *value,
                        const json_range *range, units_quantity q, double si) {
    if (within(range, si)) return true;
    char shown[80], limits[120];
    show_range(range, q, in->system, limits, sizeof limits);
    json_in_fault(in, at, field, "is %s; it must %s", show_value(value, shown), limits);
    return false;
}

bool json_in_number(json_in *in, const json_path *at, json_t *object, const char *field,
                    const json_range *range, const double *fallback, double *out) {
    json_t *value = json_object_get(object, field);
    if (!value) {
        if (fallback)
            *out = *fallback;
        else
            json_in_fault(in, at, field, "is missing");
        return fallback != NULL;
    }
    double read;
    if (!take_number(in, at, field, value, &read)) return false;
    if (!check_range(in, at, field, value, range, UNITS_PLAIN, read)) return false;
    *out = read;
    return true;
}

bool json_in_quantity(json_in *in, const json_path *at, json_t *object, const char *base, units_quantity q,
                      const json_range *si_range, bool required, maybe *out) {
    char field[64];
    const char *suffix = units_suffix(q, in->system);
    snprintf(field, sizeof field, "%s%s%s", base, *suffix ? "_" : "", suffix);
    *out = (maybe){0};
    json_t *value = json_object_get(object, field);
    if (!value || json_is_null(value)) {
        if (required) json_in_fault(in, at, field, "is missing");
        return !required;
    }
    double read;
    if (!take_number(in, at, field, value, &read)) return false;
    double si = units_to_si(q, in->system, read);
    if (!check_range(in, at, field, value, si_range, q, si)) return false;
    *out = (maybe){true, si};
    return true;
}

bool json_in_text(json_in *in, const json_path *at, json_t *object, const char *field, size_t limit,
                  bool required, const char **out) {
    json_t *value = json_object_get(object, field);
    char shown[80];
    *out = NULL;
    if (!value || json_is_null(value)) {
        if (required) json_in_fault(in, at, field, "is missing");
        return !required;
    }
    if (!json_is_string(value)) {
        json_in_fault(in, at, field, "%s where text belongs", show_value(value, shown));
        return false;
    }
    size_t length = json_string_length(value);
    if ((required && length == 0) || length > limit) {
        json_in_fault(in, at, field, "has %zu bytes; it must have %s%zu", length,
                      required ? "1 to " : "at most ", limit);
        return false;
    }
    *out = arena_copy(in->memory, json_string_value(value));
    if (*out) return true;
    fault_list_memory(in->faults);
    return false;
}

bool json_in_word(json_in *in, const json_path *at, json_t *object, const char *field,
                  const char *const words[], size_t count, bool required, int *out) {
    json_t *value = json_object_get(object, field);
    char shown[80];
    if (!value || json_is_null(value)) {
        if (required) json_in_fault(in, at, field, "is missing");
        return !required;
    }
    for (size_t i = 0; json_is_string(value) && i < count; i++) {
        if (strcmp(words[i], json_string_value(value)) != 0) continue;
        *out = (int)i;
        return true;
    }
    text list = {0};
    for (size_t i = 0; i < count; i++) text_print(&list, "%s%s", i ? ", " : "", words[i]);
    json_in_fault(in, at, field, "is %s; it must be one of %s", show_value(value, shown), text_get(&list));
    text_free(&list);
    return false;
}

bool json_in_bool(json_in *in, const json_path *at, json_t *object, const char *field, bool fallback,
                  bool *out) {
    json_t *value = json_object_get(object, field);
    char shown[80];
    *out = fallback;
    if (!value || json_is_null(value)) return true;
    if (json_is_boolean(value)) {
        *out = json_is_true(value);
        return true;
    }
    json_in_fault(in, at, field, "is %s; it must be true or false", show_value(value, shown));
    return false;
}

json_t *json_in_array(json_in *in, const json_path *at, json_t *object, const char *field, bool required) {
    json_t *value = json_object_get(object, field);
    char shown[80];
    if (!value || json_is_null(value)) {
        if (required) json_in_fault(in, at, field, "is missing");
        return NULL;
    }
    if (json_is_array(value)) return value;
    json_in_fault(in, at, field, "%s where a list [ ] belongs", show_value(value, shown));
    return NULL;
}
