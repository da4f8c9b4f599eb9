#include "report/sheet.h"

#include <math.h>
#include <string.h>

static sheet_item *put(sheet *s, sheet_kind kind, sheet_ink ink) {
    if (s->failed) return NULL;
    sheet_item *items = arena_push(s->memory, s->items, &s->n_items, sizeof *items);
    if (!items) {
        s->failed = true;
        return NULL;
    }
    s->items = items;
    sheet_item *item = &items[s->n_items - 1];
    item->kind = kind;
    item->ink = ink;
    item->mark = s->mark;
    return item;
}

sheet_item *sheet_rings(sheet *s, sheet_ink ink, size_t n_rings, bool closed) {
    sheet_ring *rings = arena_get(s->memory, n_rings, sizeof *rings);
    if (!rings) s->failed = true;
    sheet_item *item = put(s, ITEM_PATH, ink);
    if (!item) return NULL;
    item->rings = rings;
    item->n_rings = n_rings;
    item->closed = closed;
    return item;
}

sheet_item *sheet_path(sheet *s, sheet_ink ink, const sheet_point *points, size_t n, bool closed) {
    sheet_point *copy = arena_get(s->memory, n, sizeof *copy);
    if (!copy) s->failed = true;
    sheet_item *item = sheet_rings(s, ink, 1, closed);
    if (!item || !copy) return NULL;
    if (n) memcpy(copy, points, n * sizeof *copy);
    item->rings[0] = (sheet_ring){copy, n};
    return item;
}

sheet_item *sheet_line(sheet *s, sheet_ink ink, sheet_point from, sheet_point to) {
    return sheet_path(s, ink, (sheet_point[]){from, to}, 2, false);
}

sheet_item *sheet_rectangle(sheet *s, sheet_ink ink, sheet_box box) {
    double right = box.x + box.width, top = box.y + box.height;
    return sheet_path(s, ink, (sheet_point[]){{box.x, box.y}, {right, box.y}, {right, top}, {box.x, top}}, 4,
                      true);
}

sheet_item *sheet_circle(sheet *s, sheet_ink ink, sheet_point centre, double radius) {
    sheet_item *item = put(s, ITEM_CIRCLE, ink);
    if (!item) return NULL;
    item->at = centre;
    item->radius = radius;
    return item;
}

/* One character's code point; *next moves past it. The text is well-formed UTF-8. */
static uint32_t character(const char **next) {
    const unsigned char *at = (const unsigned char *)*next;
    int more = *at < 0x80 ? 0 : *at < 0xe0 ? 1 : *at < 0xf0 ? 2 : 3;
    uint32_t code = more == 0 ? *at : (uint32_t)(*at & (0x3f >> more));
    const unsigned char *end = at + 1;
    for (; more > 0 && (*end & 0xc0) == 0x80; more--, end++) code = code << 6 | (*end & 0x3fu);
    *next = (const char *)end;
    return code;
}

/* Advance in units of the font's size: no less than those of the fonts this document is set in (a test asks
 * the fonts). */
static double advance(uint32_t code) {
    if (code == 0xa0) return 0.46; /* a space that does not break */
    if (code >= 0x80) return 1.22;
    if (strchr("ijlI.,:;!'()[] t-/f", (int)code)) return 0.46;
    if (strchr("mwMWOQ@%", (int)code)) return 1.01;
    if (code >= 'A' && code <= 'Z') return 0.78;
    bool usual = (code >= 'a' && code <= 'z') || (code >= '0' && code <= '9') || strchr("_?*$", (int)code);
    return usual ? 0.66 : 0.85;
}

double sheet_text_width(const char *words, double height, bool bold) {
    double sum = 0;
    while (*words) sum += advance(character(&words));
    return sum * height * (bold ? 1.1 : 1);
}

/* As much of `words` as fits, with an ellipsis when cut. NULL without memory. */
static const char *fit(sheet *s, sheet_place place, const char *words) {
    if (!(place.room > 0) || sheet_text_width(words, place.height, place.bold) <= place.room)
        return arena_copy(s->memory, words);
    double room = place.room - sheet_text_width("…", place.height, place.bold), used = 0;
    const char *end = words, *next = words;
    while (*next) {
        used += advance(character(&next)) * place.height * (place.bold ? 1.1 : 1);
        if (!(used <= room)) break;
        end = next;
    }
    return arena_print(s->memory, "%.*s…", (int)(end - words), words);
}

sheet_item *sheet_text(sheet *s, sheet_ink ink, sheet_place place, const char *words) {
    const char *kept = fit(s, place, words);
    if (!kept) s->failed = true;
    sheet_item *item = put(s, ITEM_TEXT, ink);
    if (!item) return NULL;
    item->at = place.at;
    item->height = place.height;
    item->angle_deg = place.angle_deg;
    item->align = place.align;
    item->bold = place.bold;
    item->words = kept;
    return item;
}

/* Bytes of the first line of `words` that fit `room`, broken after a space where there is one. */
static size_t line_length(sheet_place place, const char *words) {
    const char *next = words;
    size_t fits = 0, space = 0;
    double used = 0;
    while (*next) {
        bool is_space = *next == ' ';
        used += advance(character(&next)) * place.height * (place.bold ? 1.1 : 1);
        if (!is_space && !(used <= place.room)) return space ? space : fits ? fits : (size_t)(next - words);
        fits = (size_t)(next - words);
        if (is_space) space = fits;
    }
    return fits;
}

size_t sheet_paragraph_lines(sheet_place place, size_t most, const char *words) {
    size_t lines = 0;
    for (; lines < most && *words; lines++) words += line_length(place, words);
    return lines;
}

double sheet_paragraph(sheet *s, sheet_ink ink, sheet_place place, size_t most, const char *words) {
    double pitch = 1.35 * place.height, used = 0;
    for (size_t line = 0; line < most && *words; line++) {
        size_t length = line + 1 < most ? line_length(place, words) : strlen(words);
        size_t seen = length; /* the space at the break needs no room */
        while (words[length] && seen > 0 && words[seen - 1] == ' ') seen--;
        const char *kept = arena_print(s->memory, "%.*s", (int)seen, words);
        if (!kept) s->failed = true;
        sheet_text(s, ink, place, kept ? kept : "");
        words += length;
        place.at.y -= pitch;
        used += pitch;
    }
    return used;
}

void sheet_settle(sheet *s, double height) {
    s->height = height;
    for (size_t i = 0; i < s->n_items; i++) {
        s->items[i].at.y += height;
        for (size_t r = 0; r < s->items[i].n_rings; r++)
            for (size_t k = 0; k < s->items[i].rings[r].n; k++) s->items[i].rings[r].points[k].y += height;
    }
    for (size_t i = 0; i < s->n_labels; i++) s->labels[i].y += height;
}
