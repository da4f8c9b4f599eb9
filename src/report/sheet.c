#include "report/sheet.h"

#include <math.h>
#include <string.h>

/* Colours are our own choice after the set of Okabe and Ito (distinct to colour-blind eyes, from memory);
 * each wetness also has its own dashes and width, so that a grey copy reads as well. */
const sheet_style sheet_inks[INK_COUNT] = {
    [INK_FACE] = {"face", "FACE", 7, 0x222222, 0xfbfbf9, 0.5, {0}},
    [INK_BLANK] = {"blank", "BLANK", 7, 0xffffff, -1, 0.8, {0}},
    [INK_OPENING] = {"opening", "OPENING", 8, 0x555555, 0xffffff, 0.3, {0}},
    [INK_COAT] = {"coat", "COAT", 151, 0x8fb3cc, 0xe3eef5, 0.15, {1.2, 0.8}},
    [INK_SLOT] = {"slot", "SLOT", 30, 0xa8894a, 0xf3dfae, 0.1, {0}},
    [INK_FOLD] = {"fold", "FOLD", 6, 0x7a3e8e, -1, 0.5, {4, 1, 0.8, 1}},
    [INK_DIMENSION] = {"dimension", "DIMENSION", 8, 0x444444, -1, 0.15, {0}},
    [INK_LEADER] = {"leader", "MARK", 7, 0x222222, -1, 0.15, {0}},
    [INK_LABEL] = {"label", "MARK", 7, 0x222222, 0xffffff, 0.2, {0}},
    [INK_LABEL_STOP] = {"label-stop", "MARK_STOP", 1, 0xb00020, 0xffe9e6, 0.5, {0}},
    [INK_RELIEF] = {"relief", "RELIEF", 5, 0x000000, 0xffffff, 0.3, {0}},
    [INK_TODAY] = {"water-today", "WATER_TODAY", 4, 0x0072b2, -1, 0.25, {2, 1}},
    [INK_DESIGN] = {"water-design", "WATER_DESIGN", 5, 0x003f66, -1, 0.35, {0}},
    [INK_TEXT] = {"text", "TITLE", 7, 0x111111, -1, 0, {0}},
    [INK_TEXT_SOFT] = {"note", "TITLE", 8, 0x444444, -1, 0, {0}},
    [INK_SCALE_DARK] = {"scale-dark", "SCALE", 7, 0x222222, 0x222222, 0.15, {0}},
    [INK_SCALE_LIGHT] = {"scale-light", "SCALE", 7, 0x222222, 0xffffff, 0.15, {0}},
    [INK_CONCRETE] = {"concrete", "CONCRETE", 8, 0x555555, 0xe4e2dc, 0.25, {0}},
    [INK_PLUG] = {"plug", "PLUG", 30, 0x222222, 0x7c8b99, 0.2, {0}},
    [INK_PACK] = {"pack", "PACK", 40, 0x222222, 0xc9a96a, 0.2, {0}},
    [INK_FIRST_COAT] = {"first-coat", "COAT", 151, 0x0072b2, -1, 0.5, {0}},
    [INK_LAST_COAT] = {"last-coat", "COAT", 151, 0x003f66, -1, 0.7, {1.4, 0.5}},
    [INK_CRACK] = {"crack", "CRACK", 1, 0x111111, -1, 0.3, {0}},
    [INK_HERE] = {"here", "HERE", 1, 0xb00020, -1, 0.8, {0}},
    [INK_DRY] = {"wet-dry", "WET_DRY", 8, 0x777777, -1, 0.3, {0.4, 1.2}},
    [INK_DAMP] = {"wet-damp", "WET_DAMP", 2, 0xb07d00, -1, 0.4, {1.2, 1}},
    [INK_SEEP] = {"wet-seep", "WET_SEEP", 4, 0x3a9bd6, -1, 0.5, {3, 1.2}},
    [INK_DRIP] = {"wet-drip", "WET_DRIP", 3, 0x007a58, -1, 0.6, {4, 1, 0.6, 1}},
    [INK_RUN] = {"wet-run", "WET_RUN", 30, 0xd55e00, -1, 0.7, {0}},
    [INK_JET] = {"wet-jet", "WET_JET", 1, 0x8b0a50, -1, 1.3, {0}},
};

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
        const char *kept = arena_print(s->memory, "%.*s", (int)length, words);
        if (!kept) s->failed = true;
        sheet_text(s, ink, place, kept ? kept : "");
        words += length;
        place.at.y -= pitch;
        used += pitch;
    }
    return used;
}
