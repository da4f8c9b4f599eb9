/* Words in a list (signs, ways that may not be used) and a person's choice of method, in and out. */
#include "survey/fields.h"
#include "survey/objects.h"

#include <string.h>

void objects_read_words(json_in *in, const json_path *at, json_t *list, const objects_words *of,
                        unsigned *out) {
    *out = 0;
    for (size_t i = 0; i < json_array_size(list); i++) {
        json_path one = {at, NULL, i};
        json_t *word = json_array_get(list, i);
        const char *given = json_is_string(word) ? json_string_value(word) : "";
        size_t k = 0;
        while (k < of->n && strcmp(of->words[k], given) != 0) k++;
        if (k < of->n) {
            *out |= 1u << k;
            continue;
        }
        int near = text_nearest(given, of->words, of->n);
        json_in_fault(in, &one, NULL, "\"%.40s\" is no %s%s%s%s", given, of->called,
                      near >= 0 ? "; did you mean " : "", near >= 0 ? of->words[near] : "",
                      near >= 0 ? "?" : "");
    }
}

const objects_words objects_signs = {survey_sign_words, SIGN_COUNT, "sign"};
const objects_words objects_methods = {survey_method_words, METHOD_ENGINEER, "method that can be excluded"};

void objects_read_words_member(json_in *in, const json_path *at, json_t *object, const char *field,
                               const objects_words *of, unsigned *out) {
    json_path here = {at, field, 0};
    json_t *list = json_in_array(in, at, object, field, false);
    if (list) objects_read_words(in, &here, list, of, out);
}

void objects_write_words(json_out *o, const char *name, const objects_words *of, unsigned bits) {
    int indent = o->indent;
    if (!bits) return;
    json_out_open(o, name, '[');
    o->indent = 0;
    for (size_t i = 0; i < of->n; i++)
        if (bits & 1u << i) json_out_text(o, NULL, of->words[i]);
    json_out_close(o, ']');
    o->indent = indent;
}

void objects_read_overrule(json_in *in, const json_path *at, json_t *object, survey_overrule *out) {
    json_path here = {at, "overrule", 0};
    json_t *value = json_object_get(object, "overrule");
    *out = (survey_overrule){0};
    if (!value || json_is_null(value)) return;
    if (json_in_is_object(in, &here, value))
        survey_fields_read(in, &here, value, survey_overrule_fields, NULL, 0, false, out);
    out->given = true;
}

void objects_write_overrule(json_out *o, const survey_overrule *overrule) {
    int indent = o->indent;
    if (!overrule->given) return;
    json_out_open(o, "overrule", '{');
    o->indent = 0;
    survey_fields_write(o, survey_overrule_fields, false, overrule);
    json_out_close(o, '}');
    o->indent = indent;
}
