#include "survey/dxf.h"

#include <ctype.h>
#include <string.h>

enum { NAME_MOST = 31 }; /* R12 names are at most 31 characters (published DXF reference, from memory) */

static void group_text(text *to, int code, const char *value) {
    text_print(to, "%d\n%s\n", code, value);
}

static void group_number(text *to, int code, double value) {
    char number[TEXT_NUMBER];
    text_print(to, "%d\n%s\n", code, text_number(value, number));
}

static void group_whole(text *to, int code, int value) {
    text_print(to, "%d\n%d\n", code, value);
}

static void group_name(text *to, int code, const char *name) {
    char safe[NAME_MOST + 1];
    size_t used = 0;
    for (; *name && used < NAME_MOST; name++) {
        unsigned char c = (unsigned char)*name;
        safe[used++] = isalnum(c) || c == '-' || c == '$' ? (char)toupper(c) : '_';
    }
    safe[used] = '\0';
    group_text(to, code, safe);
}

static void group_point(text *to, int code, dxf_point p) {
    group_number(to, code, p.x);
    group_number(to, code + 10, p.y);
    group_number(to, code + 20, 0);
}

static void write_line_types(text *to) {
    group_text(to, 0, "TABLE");
    group_text(to, 2, "LTYPE");
    group_whole(to, 70, 2);
    for (int dashed = 0; dashed < 2; dashed++) {
        group_text(to, 0, "LTYPE");
        group_text(to, 2, dashed ? "DASHED" : "CONTINUOUS");
        group_whole(to, 70, 0);
        group_text(to, 3, dashed ? "Dashed" : "Solid line");
        group_whole(to, 72, 65); /* alignment "A", the only one there is */
        group_whole(to, 73, dashed ? 2 : 0);
        group_number(to, 40, dashed ? 60 : 0);
        if (!dashed) continue;
        group_number(to, 49, 40);
        group_number(to, 49, -20);
    }
    group_text(to, 0, "ENDTAB");
}

void dxf_begin(text *to, const dxf_layer *layers, size_t n_layers) {
    group_text(to, 0, "SECTION");
    group_text(to, 2, "HEADER");
    group_text(to, 9, "$ACADVER");
    group_text(to, 1, "AC1009");
    group_text(to, 0, "ENDSEC");
    group_text(to, 0, "SECTION");
    group_text(to, 2, "TABLES");
    write_line_types(to);
    group_text(to, 0, "TABLE");
    group_text(to, 2, "LAYER");
    group_whole(to, 70, (int)n_layers);
    for (size_t i = 0; i < n_layers; i++) {
        group_text(to, 0, "LAYER");
        group_name(to, 2, layers[i].name);
        group_whole(to, 70, 0);
        group_whole(to, 62, layers[i].colour);
        group_text(to, 6, layers[i].dashed ? "DASHED" : "CONTINUOUS");
    }
    group_text(to, 0, "ENDTAB");
    group_text(to, 0, "ENDSEC");
    group_text(to, 0, "SECTION");
    group_text(to, 2, "ENTITIES");
}

void dxf_line(text *to, const char *layer, dxf_point from, dxf_point to_point) {
    group_text(to, 0, "LINE");
    group_name(to, 8, layer);
    group_point(to, 10, from);
    group_point(to, 11, to_point);
}

void dxf_polyline(text *to, const char *layer, const dxf_point *points, size_t n_points, bool closed) {
    group_text(to, 0, "POLYLINE");
    group_name(to, 8, layer);
    group_whole(to, 66, 1); /* vertices follow */
    group_point(to, 10, (dxf_point){0, 0});
    group_whole(to, 70, closed ? 1 : 0);
    for (size_t i = 0; i < n_points; i++) {
        group_text(to, 0, "VERTEX");
        group_name(to, 8, layer);
        group_point(to, 10, points[i]);
    }
    group_text(to, 0, "SEQEND");
    group_name(to, 8, layer);
}

void dxf_circle(text *to, const char *layer, dxf_point centre, double radius) {
    group_text(to, 0, "CIRCLE");
    group_name(to, 8, layer);
    group_point(to, 10, centre);
    group_number(to, 40, radius);
}

/* One UTF-8 character; *at moves past it. A byte that is none reads as "?". */
static unsigned long next_character(const unsigned char **at) {
    const unsigned char *c = *at;
    size_t more = c[0] >= 0xF0 ? 3 : c[0] >= 0xE0 ? 2 : c[0] >= 0xC0 ? 1 : 0;
    unsigned long value = more == 3   ? c[0] & 0x07u
                          : more == 2 ? c[0] & 0x0Fu
                          : more == 1 ? c[0] & 0x1Fu
                                      : c[0];
    (*at)++;
    if (more == 0) return c[0] < 0x80 ? value : '?';
    for (size_t i = 1; i <= more; i++) {
        if ((c[i] & 0xC0) != 0x80) return '?';
        value = value << 6 | (c[i] & 0x3Fu);
        (*at)++;
    }
    return value;
}

/* A line end would end the group, "%%" begins a control code, "\U+" is our own escape. */
static void write_words(text *to, const char *words) {
    const unsigned char *at = (const unsigned char *)words;
    text_add(to, "1\n");
    while (*at) {
        unsigned long c = next_character(&at);
        char plain = (char)c;
        if (c < 0x20 || c == 0x7F)
            text_add(to, " ");
        else if (c == '%' && *at == '%')
            text_add(to, "%%%"); /* R12 writes a per cent sign as %%% */
        else if (c == '\\' || c == '^')
            text_add(to, c == '^' ? "^ " : "\\U+005C");
        else if (c < 0x80)
            text_add_bytes(to, &plain, 1);
        else if (c <= 0xFFFF)
            text_print(to, "\\U+%04lX", c);
        else
            text_add(to, "?"); /* the escape has four digits only */
    }
    text_add(to, "\n");
}

void dxf_text(text *to, const char *layer, dxf_point at, double height, double angle_deg, const char *words) {
    group_text(to, 0, "TEXT");
    group_name(to, 8, layer);
    group_point(to, 10, at);
    group_number(to, 40, height);
    write_words(to, words);
    group_number(to, 50, angle_deg);
}

void dxf_end(text *to) {
    group_text(to, 0, "ENDSEC");
    group_text(to, 0, "EOF");
}
