/* Reading, writing and comparing by the tables of fields.c. */
#include "survey/fields.h"

#include "core/date.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { HOUR_BYTES = 16 }; /* YYYY-MM-DDTHH:00 */

static const void *member(const survey_field *f, const void *from) {
    return (const char *)from + f->offset;
}

static const char *get_text(const survey_field *f, const void *from) {
    const char *value;
    memcpy(&value, member(f, from), sizeof value);
    return value;
}

static int get_word(const survey_field *f, const void *from) {
    int value;
    memcpy(&value, member(f, from), sizeof value);
    return value;
}

static bool get_bool(const survey_field *f, const void *from) {
    bool value;
    memcpy(&value, member(f, from), sizeof value);
    return value;
}

/* A number or a maybe, as a maybe. */
static maybe get_maybe(const survey_field *f, const void *from) {
    maybe value;
    if (f->kind == FIELD_MAYBE) {
        memcpy(&value, member(f, from), sizeof value);
        return value;
    }
    memcpy(&value.v, member(f, from), sizeof value.v);
    value.known = f->required || value.v != 0;
    return value;
}

/* U+FDD0 to U+FDEF and the last two of each plane are no characters (Unicode, 23.7): a PDF cannot hold them. */
static bool is_none(const unsigned char *c) {
    if (c[0] == 0xEF && c[1] == 0xB7) return c[2] >= 0x90 && c[2] <= 0xAF;
    if (c[0] == 0xEF) return c[1] == 0xBF && c[2] >= 0xBE;
    return c[0] >= 0xF0 && (c[1] & 0x0F) == 0x0F && c[2] == 0xBF && c[3] >= 0xBE;
}

/* Why a text is not fit for its field, or NULL. */
static const char *text_objection(survey_field_kind kind, const char *t) {
    size_t length = strlen(t);
    long long days;
    for (const char *c = t; *c; c++) {
        bool control = (unsigned char)*c < 0x20 || *c == 0x7F;
        if (control && !(kind == FIELD_TEXT && (*c == '\n' || *c == '\t')))
            return "holds a control character";
        if (is_none((const unsigned char *)c)) return "holds a code that Unicode gives to no character";
    }
    if (kind == FIELD_DATE && !date_day(t, &days)) return "is no date; write YYYY-MM-DD";
    if (kind == FIELD_HOUR && !date_hour(t, &days)) return "is no full hour; write YYYY-MM-DDTHH:00";
    if (kind == FIELD_NAME && (t[0] == ' ' || t[length - 1] == ' ')) return "begins or ends with a blank";
    if (kind == FIELD_NAME && (strncmp(t, "# ", 2) == 0 || strcmp(t, "#") == 0))
        return "begins with \"# \", which marks a comment in CSV";
    bool climbs = strncmp(t, "../", 3) == 0 || strstr(t, "/../") || strcmp(t, "..") == 0;
    if (kind == FIELD_PATH && (t[0] == '/' || climbs))
        return "must be a path below the folder of the job file, without \"..\"";
    return NULL;
}

const char *survey_text_objection(const char *t) {
    return strlen(t) > SURVEY_NOTE_BYTES ? "is longer than 4000 bytes" : text_objection(FIELD_TEXT, t);
}

const char *survey_name_objection(const char *t) {
    size_t length = strlen(t);
    if (length == 0 || length > SURVEY_NAME_BYTES) return "must have 1 to 40 bytes";
    return text_is_utf8(t, length) ? text_objection(FIELD_NAME, t) : "is not UTF-8";
}

/* An hour as we write it. */
static const char *one_form(json_in *in, const char *hour) {
    char words[DATE_HOUR_BYTES];
    long long hours = 0;
    date_hour(hour, &hours);
    const char *copy = arena_copy(in->memory, date_hour_text(hours, words));
    if (!copy) fault_list_memory(in->faults);
    return copy;
}

static void read_text(json_in *in, const json_path *at, json_t *object, const survey_field *f, bool required,
                      void *to) {
    size_t limit = f->kind == FIELD_DATE ? 10 : f->kind == FIELD_HOUR ? HOUR_BYTES : f->limit;
    const char *value = NULL;
    if (!json_in_text(in, at, object, f->name, limit, required, &value)) return;
    if (value && !*value) value = NULL;
    const char *objection = value ? text_objection(f->kind, value) : NULL;
    if (objection)
        json_in_fault(in, at, f->name, "\"%.60s\" %s", value, objection);
    else {
        if (value && f->kind == FIELD_HOUR) value = one_form(in, value);
        memcpy(to, &value, sizeof value);
    }
}

static void read_currency(json_in *in, const json_path *at, json_t *object, const survey_field *f, char *to) {
    const char *value = NULL;
    if (!json_in_text(in, at, object, f->name, 3, true, &value)) return;
    bool good = strlen(value) == 3;
    for (int i = 0; good && i < 3; i++) good = value[i] >= 'A' && value[i] <= 'Z';
    if (good)
        memcpy(to, value, 4);
    else
        json_in_fault(in, at, f->name, "is \"%s\"; it must be three capital letters (ISO 4217), such as EUR",
                      value);
}

static void read_number(json_in *in, const json_path *at, json_t *object, const survey_field *f,
                        bool required, void *to) {
    maybe value;
    if (!json_in_quantity(in, at, object, f->name, f->q, &f->range, required, &value)) return;
    value.v += 0.0; /* -0 becomes 0: files and the job file know only one zero */
    if (f->kind == FIELD_MAYBE)
        memcpy(to, &value, sizeof value);
    else
        memcpy(to, &value.v, sizeof value.v);
}

static void read_field(json_in *in, const json_path *at, json_t *object, const survey_field *f, bool required,
                       void *into) {
    void *to = (char *)into + f->offset;
    int word = 0;
    switch (f->kind) {
    case FIELD_NAME:
    case FIELD_TEXT:
    case FIELD_DATE:
    case FIELD_HOUR:
    case FIELD_PATH: read_text(in, at, object, f, required, to); break;
    case FIELD_CURRENCY: read_currency(in, at, object, f, to); break;
    case FIELD_WORD:
        if (json_in_word(in, at, object, f->name, f->words, f->n_words, required, &word))
            memcpy(to, &word, sizeof word);
        break;
    case FIELD_BOOL: json_in_bool(in, at, object, f->name, false, to); break;
    case FIELD_NUMBER:
    case FIELD_MAYBE: read_number(in, at, object, f, required, to); break;
    }
}

void survey_fields_read(json_in *in, const json_path *at, json_t *object, survey_fields table,
                        const char *const others[], size_t n_others, bool keep, void *into) {
    const char *known[2 * FIELDS_MOST];
    char names[FIELDS_MOST][FIELD_NAME_SIZE];
    assert(table.n <= FIELDS_MOST && n_others <= FIELDS_MOST);
    for (size_t i = 0; i < table.n; i++) {
        known[i] = survey_field_name(&table.fields[i], in->system, names[i]);
        if (keep && !json_object_get(object, known[i])) continue;
        read_field(in, at, object, &table.fields[i], table.fields[i].required, into);
    }
    for (size_t i = 0; i < n_others; i++) known[table.n + i] = others[i];
    json_in_only(in, at, object, known, table.n + n_others);
}

static void write_field(json_out *o, const survey_field *f, bool all, const void *from) {
    switch (f->kind) {
    case FIELD_NAME:
    case FIELD_TEXT:
    case FIELD_DATE:
    case FIELD_HOUR:
    case FIELD_PATH:
        if (get_text(f, from)) json_out_text(o, f->name, get_text(f, from));
        break;
    case FIELD_CURRENCY: json_out_text(o, f->name, member(f, from)); break;
    case FIELD_WORD:
        if (all || f->required || get_word(f, from)) json_out_text(o, f->name, f->words[get_word(f, from)]);
        break;
    case FIELD_BOOL:
        if (all || get_bool(f, from)) json_out_bool(o, f->name, get_bool(f, from));
        break;
    case FIELD_NUMBER:
    case FIELD_MAYBE: json_out_maybe(o, f->name, f->q, get_maybe(f, from)); break;
    }
}

void survey_fields_write(json_out *o, survey_fields table, bool all, const void *from) {
    for (size_t i = 0; i < table.n; i++) write_field(o, &table.fields[i], all, from);
}

void survey_field_text(const survey_field *f, units_system system, const void *from, text *to) {
    char number[TEXT_NUMBER];
    maybe value;
    switch (f->kind) {
    case FIELD_NAME:
    case FIELD_TEXT:
    case FIELD_DATE:
    case FIELD_HOUR:
    case FIELD_PATH:
        if (get_text(f, from)) text_add(to, get_text(f, from));
        break;
    case FIELD_CURRENCY: text_add(to, member(f, from)); break;
    case FIELD_WORD:
        if (f->required || get_word(f, from)) text_add(to, f->words[get_word(f, from)]);
        break;
    case FIELD_BOOL: text_add(to, get_bool(f, from) ? "true" : ""); break;
    case FIELD_NUMBER:
    case FIELD_MAYBE:
        value = get_maybe(f, from);
        if (value.known) text_add(to, units_text(f->q, system, value.v, number));
        break;
    }
}

static bool field_equal(const survey_field *f, const void *a, const void *b) {
    maybe left, right;
    switch (f->kind) {
    case FIELD_NAME:
    case FIELD_TEXT:
    case FIELD_DATE:
    case FIELD_HOUR:
    case FIELD_PATH: return survey_text_equal(get_text(f, a), get_text(f, b));
    case FIELD_CURRENCY: return memcmp(member(f, a), member(f, b), 4) == 0;
    case FIELD_WORD: return get_word(f, a) == get_word(f, b);
    case FIELD_BOOL: return get_bool(f, a) == get_bool(f, b);
    case FIELD_NUMBER:
    case FIELD_MAYBE:
        left = get_maybe(f, a);
        right = get_maybe(f, b);
        return left.known == right.known && (!left.known || left.v == right.v);
    }
    return false;
}

bool survey_fields_equal(survey_fields table, const void *a, const void *b) {
    for (size_t i = 0; i < table.n; i++)
        if (!field_equal(&table.fields[i], a, b)) return false;
    return true;
}
