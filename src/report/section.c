#include "report/section.h"

#include "report/section_parts.h"
#include "report/slots.h"

#include <math.h>

static const double MOST_DEEP_MM = 42, MOST_ACROSS_MM = 22, ABOVE_MM = 12, UNDER_MM = 5;

bool section_has(const repair_design *design) {
    return design_is_priced(design);
}

/* What is cut and filled, on paper; `mouth` and `base` are half widths. */
typedef struct {
    cut *c;
    double mouth, base, depth, plug, relief;
    double depth_m, plug_m;
} filling;

static double width_of(const repair_design *d) {
    if (d->method.name == METHOD_HOLE) return d->hole_diameter_m;
    return d->method.name == METHOD_CUT_BACK ? sqrt(fmax(d->patch_m2, 0)) : d->slot_width_m;
}

static double base_of(const repair_design *d) {
    bool cone = d->method.name == METHOD_HOLE && d->hole_shape == PLACE_CONE;
    return cone && d->hole_base_m > 0 ? d->hole_base_m : width_of(d);
}

/* Half the width `down` below the face. */
static double half_at(const filling *f, double down) {
    return f->depth > 0 ? f->mouth + (f->base - f->mouth) * down / f->depth : f->mouth;
}

/* What fills it between two depths. */
static void draw_layer(filling *f, sheet_ink ink, double from, double to) {
    cut *c = f->c;
    double upper = half_at(f, from), lower = half_at(f, to);
    sheet_point at[] = {{c->middle - upper, c->surface - from},
                        {c->middle + upper, c->surface - from},
                        {c->middle + lower, c->surface - to},
                        {c->middle - lower, c->surface - to}};
    sheet_path(c->sheet, ink, at, 4, true);
}

static void draw_fill(filling *f) {
    if (!(f->depth > 0)) return;
    if (f->plug > 0) draw_layer(f, INK_PLUG, f->depth - f->plug, f->depth);
    if (f->depth > f->plug) draw_layer(f, INK_PACK, 0, f->depth - f->plug);
}

/* First coat down the sides and over the fill's foot, last coat across; both 150 mm past the edge, broken off
 * here. */
static void draw_coats(filling *f) {
    cut *c = f->c;
    double down = f->depth - f->plug, top = c->surface + 0.4, foot = c->surface - down;
    double upper = f->mouth + 0.3, lower = half_at(f, down) + 0.3;
    sheet_point first[] = {{CUT_SIDE, top},           {c->middle - upper, top}, {c->middle - lower, foot},
                           {c->middle + lower, foot}, {c->middle + upper, top}, {CUT_RIGHT, top}};
    if (f->depth > 0)
        sheet_path(c->sheet, INK_FIRST_COAT, first, 6, false);
    else
        sheet_line(c->sheet, INK_FIRST_COAT, first[0], first[5]);
    sheet_line(c->sheet, INK_LAST_COAT, (sheet_point){CUT_SIDE, c->surface + 1.2},
               (sheet_point){CUT_RIGHT, c->surface + 1.2});
}

static void draw_relief(filling *f) {
    cut *c = f->c;
    if (!c->design->relief.wanted) return;
    double half = fmax(c->design->relief.bore_m * c->mm / 2, 0.4), from = c->surface - f->depth,
           to = c->surface - f->relief;
    sheet_point hole[] = {
        {c->middle - half, from}, {c->middle - half, to}, {c->middle + half, to}, {c->middle + half, from}};
    sheet_path(c->sheet, INK_RELIEF, hole, 4, false);
}

static void draw_names(filling *f) {
    cut *c = f->c;
    say *w = c->words;
    double down = f->depth - f->plug;
    c->next_name = c->surface + 5;
    cut_name(c, (sheet_point){CUT_RIGHT - 3, c->surface + 1.2}, "last coat");
    cut_name(c, (sheet_point){CUT_RIGHT - 2, c->surface + 0.4}, "first coat");
    if (down > 0)
        cut_name(c, (sheet_point){c->middle + half_at(f, down / 2) * 0.6, c->surface - down / 2},
                 say_print(w, "dry-pack %s", cut_size(c, f->depth_m - f->plug_m)));
    if (f->plug > 0)
        cut_name(
            c,
            (sheet_point){c->middle + half_at(f, down + f->plug / 2) * 0.6, c->surface - down - f->plug / 2},
            say_print(w, "plug %s", cut_size(c, f->plug_m)));
    if (c->design->relief.wanted)
        cut_name(c, (sheet_point){c->middle, c->surface - f->relief + 1},
                 say_print(w, "relief %s", cut_size(c, c->design->relief.bore_m)));
}

static void draw_sizes(filling *f) {
    cut *c = f->c;
    const repair_design *d = c->design;
    double base_m = base_of(d), foot = c->surface - f->depth, widest = fmax(f->mouth, f->base);
    if (f->depth > 0) {
        const char *about = d->method.name == METHOD_CUT_BACK ? "about " : "";
        cut_across(c, c->middle - f->mouth, c->middle + f->mouth, c->surface + 4.2,
                   say_print(c->words, "%s%s", about, cut_size(c, width_of(d))));
        cut_down(c, c->middle - widest - 3, c->surface, foot, cut_size(c, f->depth_m));
    }
    if (base_m > width_of(d)) {
        sheet_place place = {{c->middle + 1.5, foot - 3}, CUT_TEXT, 0, 0, ALIGN_LEFT, false};
        sheet_text(c->sheet, INK_DIMENSION, place, say_print(c->words, "base %s", cut_size(c, base_m)));
    }
    if (f->relief > f->depth)
        cut_down(c, CUT_SIDE + 2.5, c->surface, c->surface - f->relief, cut_size(c, d->relief.depth_m));
}

/* What the drawing is of; the depths where it shows but the deepest. */
static void write_note(cut *c, const slots_span *span) {
    say *w = c->words;
    const char *deepest = span->least_m < span->deepest_m
                              ? say_print(w, " of the deepest stretch; depths %s",
                                          slots_size_range(w, span->least_m, span->deepest_m))
                              : "";
    cut_note(
        c, say_print(w, "%s. Coats reach %s past the edge each side.", deepest, cut_size(c, DESIGN_BAND_M)));
}

void section_of_slot(cut *c) {
    const repair_design *d = c->design;
    slots_span span = slots_taken_together(d);
    double relief_m = d->relief.wanted ? d->relief.depth_m : 0, deepest = fmax(span.deepest_m, relief_m);
    double widest = fmax(width_of(d), base_of(d));
    double scale = cut_scale(widest, MOST_ACROSS_MM, deepest, MOST_DEEP_MM), mm = 1000 / scale;
    bool cone = base_of(d) > width_of(d); /* the words on its base stand below it */
    cut_begin(c, scale, fmax(deepest * mm, 10) + UNDER_MM + (cone ? 1 : 0), ABOVE_MM);
    c->middle = (CUT_SIDE + CUT_RIGHT) / 2;
    filling f = {.c = c,
                 .mouth = span.deepest_m > 0 ? width_of(d) * mm / 2 : 0,
                 .base = base_of(d) * mm / 2,
                 .depth = span.deepest_m * mm,
                 .plug = fmin(span.plug_m, span.deepest_m) * mm,
                 .relief = relief_m * mm,
                 .depth_m = span.deepest_m,
                 .plug_m = span.plug_m};
    sheet_line(c->sheet, INK_CRACK, (sheet_point){c->middle, c->surface - f.depth},
               (sheet_point){c->middle + 0.6, c->foot});
    draw_relief(&f);
    draw_fill(&f);
    draw_coats(&f);
    draw_sizes(&f);
    draw_names(&f);
    write_note(c, &span);
}

void section_draw(const leak_water *leak, const repair_design *design, say *words, sheet *out) {
    cut c = {.leak = leak, .design = design, .words = words, .sheet = out};
    survey_method name = design->method.name;
    if (method_is_injection(name))
        section_of_injection(&c);
    else if (name == METHOD_FLEXIBLE)
        section_of_flexible(&c);
    else if (name == METHOD_DRAIN)
        section_of_drain(&c);
    else if (name == METHOD_RING)
        section_of_ring(&c);
    else
        section_of_slot(&c);
}
