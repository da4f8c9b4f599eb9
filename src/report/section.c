#include "report/section.h"

#include "report/slots.h"

#include <math.h>

static const double WIDTH = 78, ABOVE = 12, BELOW = 9, SIDE = 3, NAME_X = 52, TEXT_MM = 2.2;
static const double MOST_DEEP_MM = 42; /* paper for the deepest part */

typedef struct {
    const repair_design *design;
    say *words;
    sheet *sheet;
    double scale, surface; /* surface: y of the concrete's dry face */
    double middle, half;   /* of the slot */
    double depth, plug;    /* on paper */
    double next_name;      /* y where the next name may stand */
} cut;

bool section_has(const repair_design *design) {
    return method_is_designed(design->method.name);
}

static double width_of(const repair_design *d) {
    if (d->method.name == METHOD_HOLE) return d->hole_diameter_m;
    return d->method.name == METHOD_CUT_BACK ? sqrt(fmax(d->patch_m2, 0)) : d->slot_width_m;
}

static double scale_for(double width_m, double deepest_m) {
    static const double scales[] = {1, 2, 2.5, 5, 10, 20, 25, 50, 100, 200, 500};
    size_t last = sizeof scales / sizeof *scales - 1;
    for (size_t i = 0; i < last; i++) {
        if (deepest_m * 1000 / scales[i] <= MOST_DEEP_MM && width_m * 1000 / scales[i] <= 22)
            return scales[i];
    }
    return scales[last];
}

/* A name at the right with a leader to the thing. */
static void name(cut *c, sheet_point thing, const char *words) {
    double y = fmin(c->next_name, c->surface + 8);
    c->next_name = y - 3.6;
    sheet_line(c->sheet, INK_LEADER, thing, (sheet_point){NAME_X - 0.6, y + 0.7});
    sheet_place place = {{NAME_X, y}, TEXT_MM, WIDTH - NAME_X, 0, ALIGN_LEFT, false};
    sheet_text(c->sheet, INK_TEXT, place, words);
}

static void draw_concrete(cut *c, double bottom) {
    sheet_rectangle(c->sheet, INK_CONCRETE,
                    (sheet_box){SIDE, bottom, NAME_X - 5 - SIDE, c->surface - bottom});
    sheet_line(c->sheet, INK_CRACK, (sheet_point){c->middle, c->surface - c->depth},
               (sheet_point){c->middle + 0.6, bottom});
}

static void draw_fill(cut *c) {
    double left = c->middle - c->half, width = 2 * c->half, foot = c->surface - c->depth;
    if (!(c->depth > 0)) return;
    if (c->plug > 0) sheet_rectangle(c->sheet, INK_PLUG, (sheet_box){left, foot, width, c->plug});
    if (c->depth > c->plug)
        sheet_rectangle(c->sheet, INK_PACK, (sheet_box){left, foot + c->plug, width, c->depth - c->plug});
}

/* First coat down the sides and over the fill's foot, last coat across; both 150 mm past the edge, broken off
 * here. */
static void draw_coats(cut *c) {
    double left = c->middle - c->half, right = c->middle + c->half, foot = c->surface - c->depth + c->plug;
    double from = SIDE, to = NAME_X - 5;
    sheet_point first[] = {{from, c->surface + 0.4}, {left - 0.3, c->surface + 0.4},  {left - 0.3, foot},
                           {right + 0.3, foot},      {right + 0.3, c->surface + 0.4}, {to, c->surface + 0.4}};
    if (c->depth > 0)
        sheet_path(c->sheet, INK_FIRST_COAT, first, 6, false);
    else
        sheet_line(c->sheet, INK_FIRST_COAT, first[0], first[5]);
    sheet_line(c->sheet, INK_LAST_COAT, (sheet_point){from, c->surface + 1.2},
               (sheet_point){to, c->surface + 1.2});
}

static void draw_relief(cut *c, double deep_mm) {
    const design_relief *relief = &c->design->relief;
    if (!relief->wanted) return;
    double half = fmax(relief->bore_m * 500 / c->scale, 0.4), foot = c->surface - deep_mm;
    sheet_point hole[] = {{c->middle - half, c->surface - c->depth},
                          {c->middle - half, foot},
                          {c->middle + half, foot},
                          {c->middle + half, c->surface - c->depth}};
    sheet_path(c->sheet, INK_RELIEF, hole, 4, false);
}

static void tick(sheet *s, double x, double y) {
    sheet_line(s, INK_DIMENSION, (sheet_point){x - 0.7, y - 0.7}, (sheet_point){x + 0.7, y + 0.7});
}

static void draw_width(cut *c, double width_m) {
    double left = c->middle - c->half, right = c->middle + c->half, y = c->surface + 4.2;
    sheet_line(c->sheet, INK_DIMENSION, (sheet_point){left, y}, (sheet_point){right, y});
    for (int i = 0; i < 2; i++) {
        double x = i ? right : left;
        sheet_line(c->sheet, INK_DIMENSION, (sheet_point){x, c->surface + 1.8}, (sheet_point){x, y + 0.8});
        tick(c->sheet, x, y);
    }
    sheet_place place = {{c->middle, y + 1}, TEXT_MM, 0, 0, ALIGN_MIDDLE, false};
    const char *about = c->design->method.name == METHOD_CUT_BACK ? "about " : "";
    sheet_text(c->sheet, INK_DIMENSION, place,
               say_print(c->words, "%s%s", about, say_value(c->words, UNITS_SIZE, width_m)));
}

static void draw_depth(cut *c, double x, double deep_mm, double depth_m) {
    sheet_line(c->sheet, INK_DIMENSION, (sheet_point){x, c->surface}, (sheet_point){x, c->surface - deep_mm});
    tick(c->sheet, x, c->surface);
    tick(c->sheet, x, c->surface - deep_mm);
    sheet_place place = {{x - 0.8, c->surface - deep_mm / 2}, TEXT_MM, 0, 90, ALIGN_MIDDLE, false};
    sheet_text(c->sheet, INK_DIMENSION, place, say_value(c->words, UNITS_SIZE, depth_m));
}

static void draw_names(cut *c, double depth_m, double plug_m, double relief_mm) {
    say *w = c->words;
    double foot = c->surface - c->depth, right = c->middle + c->half * 0.6;
    c->next_name = c->surface + 5;
    name(c, (sheet_point){NAME_X - 8, c->surface + 1.2}, "last coat");
    name(c, (sheet_point){NAME_X - 7, c->surface + 0.4}, "first coat");
    if (c->depth > c->plug)
        name(c, (sheet_point){right, foot + c->plug + (c->depth - c->plug) / 2},
             say_print(w, "dry-pack %s", say_value(w, UNITS_SIZE, depth_m - plug_m)));
    if (c->plug > 0)
        name(c, (sheet_point){right, foot + c->plug / 2},
             say_print(w, "plug %s", say_value(w, UNITS_SIZE, plug_m)));
    if (c->design->relief.wanted)
        name(c, (sheet_point){c->middle, c->surface - relief_mm + 1},
             say_print(w, "relief %s", say_value(w, UNITS_SIZE, c->design->relief.bore_m)));
}

/* What the drawing is of; the depths where it shows but the deepest. */
static void write_note(cut *c, const slots_span *span) {
    say *w = c->words;
    const char *deepest = span->least_m < span->deepest_m
                              ? say_print(w, " of the deepest stretch; depths %s",
                                          slots_size_range(w, span->least_m, span->deepest_m))
                              : "";
    const char *note = say_print(w, "Section 1:%s%s. Coats reach %s past the edge each side.",
                                 say_plain(w, c->scale, 1), deepest, say_value(w, UNITS_SIZE, DESIGN_BAND_M));
    sheet_paragraph(c->sheet, INK_TEXT_SOFT,
                    (sheet_place){{SIDE, 4.5}, TEXT_MM, WIDTH - SIDE, 0, ALIGN_LEFT, false}, 2, note);
}

void section_draw(const repair_design *design, say *words, sheet *out) {
    slots_span span = slots_taken_together(design);
    double width_m = width_of(design), depth_m = span.deepest_m, plug_m = span.plug_m;
    double relief_m = design->relief.wanted ? design->relief.depth_m : 0, deepest = fmax(depth_m, relief_m);
    cut c = {.design = design, .words = words, .sheet = out, .scale = scale_for(width_m, deepest)};
    double mm = 1000 / c.scale, body = fmax(deepest * mm, 10) + 5;
    out->width = WIDTH;
    out->height = BELOW + body + ABOVE;
    out->scale = c.scale;
    c.surface = BELOW + body;
    c.middle = (SIDE + NAME_X - 5) / 2;
    c.half = depth_m > 0 ? width_m * mm / 2 : 0;
    c.depth = depth_m * mm;
    c.plug = fmin(plug_m, depth_m) * mm;
    draw_concrete(&c, BELOW);
    draw_relief(&c, relief_m * mm);
    draw_fill(&c);
    draw_coats(&c);
    if (depth_m > 0) {
        draw_width(&c, width_m);
        draw_depth(&c, c.middle - c.half - 3, c.depth, depth_m);
    }
    if (relief_m > depth_m) draw_depth(&c, SIDE + 2.5, relief_m * mm, relief_m);
    draw_names(&c, depth_m, plug_m, relief_m * mm);
    write_note(&c, &span);
}
