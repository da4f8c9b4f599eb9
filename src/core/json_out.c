#include "core/json_out.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static bool one_line(const json_out *o) {
    return o->indent == 0 || (o->compact_from > 0 && o->depth >= o->compact_from);
}

static void new_line(json_out *o) {
    text_add(o->to, "\n");
    for (int i = 0; i < o->depth * o->indent; i++) text_add_bytes(o->to, " ", 1);
}

static void quote(text *to, const char *from) {
    text_add(to, "\"");
    const char *start = from;
    for (const char *c = from; *c; c++) {
        unsigned char u = (unsigned char)*c;
        if (u >= 0x20 && u != '"' && u != '\\') continue;
        text_add_bytes(to, start, (size_t)(c - start));
        start = c + 1;
        if (u == '"')
            text_add(to, "\\\"");
        else if (u == '\\')
            text_add(to, "\\\\");
        else if (u == '\n')
            text_add(to, "\\n");
        else
            text_print(to, "\\u%04x", u);
    }
    text_add(to, start);
    text_add(to, "\"");
}

static void begin(json_out *o, const char *name) {
    if (o->depth > 0) {
        if (o->has_member[o->depth]) text_add(o->to, one_line(o) ? ", " : ",");
        if (!one_line(o)) new_line(o);
        o->has_member[o->depth] = true;
    }
    if (!name) return;
    quote(o->to, name);
    text_add(o->to, ": ");
}

void json_out_open(json_out *o, const char *name, char bracket) {
    begin(o, name);
    text_add_bytes(o->to, &bracket, 1);
    o->depth++;
    assert(o->depth < JSON_OUT_DEPTH);
    o->has_member[o->depth] = false;
}

void json_out_close(json_out *o, char bracket) {
    bool had = o->has_member[o->depth], line = one_line(o);
    assert(o->depth > 0);
    o->depth--;
    if (had && !line) new_line(o);
    text_add_bytes(o->to, &bracket, 1);
    if (o->depth == 0 && o->indent > 0) text_add(o->to, "\n");
}

void json_out_number(json_out *o, const char *name, double value) {
    char number[TEXT_NUMBER];
    assert(isfinite(value));
    begin(o, name);
    text_add(o->to, text_number(value, number));
}

void json_out_whole(json_out *o, const char *name, long long value) {
    begin(o, name);
    text_print(o->to, "%lld", value);
}

void json_out_text(json_out *o, const char *name, const char *value) {
    begin(o, name);
    if (value)
        quote(o->to, value);
    else
        text_add(o->to, "null");
}

void json_out_bool(json_out *o, const char *name, bool value) {
    begin(o, name);
    text_add(o->to, value ? "true" : "false");
}

void json_out_json(json_out *o, const char *name, const text *value) {
    begin(o, name);
    if (value->failed) o->to->failed = true;
    text_add_bytes(o->to, text_get(value), value->length);
}

void json_out_null(json_out *o, const char *name) {
    begin(o, name);
    text_add(o->to, "null");
}

void json_out_quantity(json_out *o, const char *base, units_quantity q, double si) {
    char name[64], number[TEXT_NUMBER];
    const char *suffix = units_suffix(q, o->system);
    assert(isfinite(si));
    snprintf(name, sizeof name, "%s%s%s", base, *suffix ? "_" : "", suffix);
    begin(o, name);
    text_add(o->to, units_text(q, o->system, si, number));
}

void json_out_maybe(json_out *o, const char *base, units_quantity q, maybe value) {
    if (value.known) json_out_quantity(o, base, q, value.v);
}
