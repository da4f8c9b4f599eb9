/* section_ring.c - the slot round a pipe, beside the pipe's wall: the other side is the same. */
#include "report/section_parts.h"
#include "report/slots.h"

#include <math.h>

static const double PIPE_MM = 13; /* of paper: what is shown of the pipe, at most */
static const double MOST_DEEP_MM = 40, MOST_ACROSS_MM = 18, OUT_MM = 9;

/* The pipe runs on through the wall and out of it; its axis where that is on the paper. */
static double draw_pipe(cut *c) {
    maybe diameter = c->leak->defect->diameter_m;
    double half = diameter.known ? fmin(diameter.v * c->mm / 2, PIPE_MM) : PIPE_MM,
           right = CUT_SIDE + 2 + half;
    double left = right - half, top = c->surface + OUT_MM;
    sheet_rectangle(c->sheet, INK_OPENING, (sheet_box){CUT_SIDE, c->foot, right - CUT_SIDE, top - c->foot});
    if (diameter.known && diameter.v * c->mm / 2 <= PIPE_MM)
        sheet_line(c->sheet, INK_WASHOUT, (sheet_point){left, c->foot - 1}, (sheet_point){left, top + 1});
    sheet_line(c->sheet, INK_OPENING, (sheet_point){right - 1, c->foot}, (sheet_point){right - 1, top});
    return right;
}

static void draw_fill(cut *c, double pipe, double width, double depth, double plug) {
    double foot = c->surface - depth, top = c->surface + 0.4, level = foot + plug;
    if (plug > 0) sheet_rectangle(c->sheet, INK_PLUG, (sheet_box){pipe, foot, width, plug});
    if (depth > plug) sheet_rectangle(c->sheet, INK_PACK, (sheet_box){pipe, level, width, depth - plug});
    sheet_point first[] = {
        {pipe, level}, {pipe + width + 0.3, level}, {pipe + width + 0.3, top}, {CUT_RIGHT, top}};
    sheet_path(c->sheet, INK_FIRST_COAT, first, 4, false);
    sheet_line(c->sheet, INK_LAST_COAT, (sheet_point){pipe, c->surface + 1.2},
               (sheet_point){CUT_RIGHT, c->surface + 1.2});
}

static void draw_names(cut *c, double pipe, double width, const slots_span *span) {
    say *w = c->words;
    double foot = c->surface - span->deepest_m * c->mm, plug = fmin(span->plug_m, span->deepest_m) * c->mm;
    maybe diameter = c->leak->defect->diameter_m;
    c->next_name = c->surface + 8;
    cut_name(c, (sheet_point){pipe - 0.5, c->surface + 8.4},
             diameter.known ? say_print(w, "pipe %s", cut_size(c, diameter.v)) : "pipe");
    cut_name(c, (sheet_point){CUT_RIGHT - 3, c->surface + 1.2}, "last coat");
    cut_name(c, (sheet_point){CUT_RIGHT - 2, c->surface + 0.4}, "first coat");
    cut_name(c, (sheet_point){pipe + width * 0.8, foot + plug + (c->surface - foot - plug) / 2},
             say_print(w, "dry-pack %s", cut_size(c, span->deepest_m - span->plug_m)));
    if (plug > 0)
        cut_name(c, (sheet_point){pipe + width * 0.8, foot + plug / 2},
                 say_print(w, "plug %s", cut_size(c, span->plug_m)));
    if (c->design->relief.wanted)
        cut_name(c, (sheet_point){pipe + width / 2, c->surface - c->design->relief.depth_m * c->mm + 1},
                 say_print(w, "relief %s", cut_size(c, c->design->relief.bore_m)));
    else
        cut_name(c, (sheet_point){pipe + 0.2, c->foot + 2}, "water along the pipe");
}

static void draw_relief(cut *c, double middle, double depth) {
    const design_relief *r = &c->design->relief;
    if (!r->wanted) return;
    double half = fmax(r->bore_m * c->mm / 2, 0.4), to = c->surface - r->depth_m * c->mm;
    sheet_point hole[] = {{middle - half, c->surface - depth},
                          {middle - half, to},
                          {middle + half, to},
                          {middle + half, c->surface - depth}};
    sheet_path(c->sheet, INK_RELIEF, hole, 4, false);
}

void section_of_ring(cut *c) {
    const repair_design *d = c->design;
    slots_span span = slots_taken_together(d);
    double deepest = fmax(span.deepest_m, d->relief.wanted ? d->relief.depth_m : 0);
    double scale = cut_scale(d->slot_width_m, MOST_ACROSS_MM, deepest, MOST_DEEP_MM);
    cut_begin(c, scale, fmax(deepest * 1000 / scale, 10) + 6, 14);
    double pipe = draw_pipe(c), width = d->slot_width_m * c->mm, depth = span.deepest_m * c->mm;
    sheet_line(c->sheet, INK_CRACK, (sheet_point){pipe + 0.2, c->surface - depth},
               (sheet_point){pipe + 0.2, c->foot});
    draw_relief(c, pipe + width / 2, depth);
    draw_fill(c, pipe, width, depth, fmin(span.plug_m, span.deepest_m) * c->mm);
    cut_across(c, pipe, pipe + width, c->surface + 4.2, cut_size(c, d->slot_width_m));
    cut_down(c, pipe - 3.5, c->surface, c->surface - depth, cut_size(c, span.deepest_m));
    draw_names(c, pipe, width, &span);
    cut_note(c, say_print(c->words, ", one side of the pipe; the slot is %s long along its middle.",
                          say_length(c->words, d->ring_length_m)));
}
