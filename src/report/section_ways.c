/* section_ways.c - a flexible seal in its groove, and a drain channel over the open crack. */
#include "report/section_parts.h"

#include <math.h>

/* The sealant is tooled hollow and lies on the round backer: bonded at its two sides. */
static void draw_groove(cut *c, double half, double depth, double whole) {
    const flexible_result *g = &c->design->flexible.groove;
    double top = c->surface, left = c->middle - half, hollow = fmin(depth * 0.12, 1.2);
    sheet_rectangle(c->sheet, INK_OPENING, (sheet_box){left, top - whole, 2 * half, whole});
    double radius = half;
    if (g->backer_m > 0 && whole - depth > 0) {
        radius = fmin(half, (whole - depth) / 2);
        sheet_circle(c->sheet, INK_PLUGGED, (sheet_point){c->middle, top - depth - radius}, radius);
    }
    sheet_point sealant[] = {{left, top},
                             {left + half * 0.5, top - hollow * 0.75},
                             {c->middle, top - hollow},
                             {left + half * 1.5, top - hollow * 0.75},
                             {left + 2 * half, top},
                             {left + 2 * half, top - depth},
                             {left, top - depth}};
    sheet_path(c->sheet, INK_PACK, sealant, 7, true);
    for (int side = -1; side <= 1; side += 2)
        sheet_line(c->sheet, INK_WATER_FACE, (sheet_point){c->middle + side * half, top},
                   (sheet_point){c->middle + side * half, top - depth});
}

void section_of_flexible(cut *c) {
    const flexible_result *g = &c->design->flexible.groove;
    say *w = c->words;
    double whole_m = fmax(g->groove_depth_m, g->depth_m);
    double scale = cut_scale(g->width_m, 20, whole_m, 40);
    cut_begin(c, scale, whole_m * 1000 / scale + 6, 12);
    c->middle = (CUT_SIDE + CUT_RIGHT) / 2 + 2;
    double half = g->width_m * c->mm / 2, depth = g->depth_m * c->mm, whole = whole_m * c->mm;
    sheet_line(c->sheet, INK_CRACK, (sheet_point){c->middle, c->surface - whole},
               (sheet_point){c->middle + 0.5, c->foot});
    draw_groove(c, half, depth, whole);
    cut_across(c, c->middle - half, c->middle + half, c->surface + 4.2, cut_size(c, g->width_m));
    cut_down(c, c->middle - half - 3, c->surface, c->surface - depth, cut_size(c, g->depth_m));
    if (whole > depth)
        cut_down(c, c->middle - half - 8.5, c->surface, c->surface - whole, cut_size(c, whole_m));
    c->next_name = c->surface + 3;
    cut_name(c, (sheet_point){c->middle + half, c->surface - depth * 0.2}, "bonded to both sides");
    cut_name(c, (sheet_point){c->middle + half * 0.5, c->surface - depth * 0.65},
             say_print(w, "sealant %s", cut_size(c, g->depth_m)));
    if (g->backer_m > 0)
        cut_name(c, (sheet_point){c->middle + half * 0.4, c->surface - depth - half * 0.9},
                 say_print(w, "backer %s, not bonded", cut_size(c, g->backer_m)));
    else
        cut_name(c, (sheet_point){c->middle + half * 0.4, c->surface - depth}, "tape that breaks the bond");
    cut_name(c, (sheet_point){c->middle + 0.3, c->foot + 2}, "crack");
    cut_note(c, say_print(w, ". Movement %s; sealant of %s %%.",
                          cut_size(c, c->design->flexible.input.movement_m),
                          say_plain(w, c->design->flexible.input.class_fraction * 100, 1)));
}

static void draw_channel(cut *c, double inside, double wall) {
    double left = c->middle - inside / 2, right = c->middle + inside / 2, top = c->surface + inside;
    sheet_point shell[] = {{left - wall, c->surface},
                           {left - wall, top + wall},
                           {right + wall, top + wall},
                           {right + wall, c->surface},
                           {right, c->surface},
                           {right, top},
                           {left, top},
                           {left, c->surface}};
    sheet_path(c->sheet, INK_PLUGGED, shell, 8, true);
    for (int side = -1; side <= 1; side += 2) {
        double x = c->middle + side * (inside / 2 + wall);
        sheet_point bed[] = {{x, c->surface}, {x + side * 2.5, c->surface}, {x, c->surface + 2.5}};
        sheet_path(c->sheet, INK_PACK, bed, 3, true);
    }
    for (int i = 0; i < 3; i++) /* water that gathers at the wall */
        sheet_line(c->sheet, INK_TODAY, (sheet_point){left + 1, c->surface + 0.8 + i * 0.9},
                   (sheet_point){right - 1, c->surface + 0.8 + i * 0.9});
}

void section_of_drain(cut *c) {
    const design_drain *d = &c->design->drain;
    say *w = c->words;
    double scale = cut_scale(d->channel_m, 18, d->channel_m, 18), inside = d->channel_m * 1000 / scale,
           wall = 0.9;
    cut_begin(c, scale, 18, inside + wall + 8);
    c->middle = (CUT_SIDE + CUT_RIGHT) / 2;
    double right = c->middle + inside / 2, top = c->surface + inside;
    sheet_point crack[] = {{c->middle, c->surface},
                           {c->middle + 0.5, c->surface - 6},
                           {c->middle - 0.3, c->surface - 11},
                           {c->middle + 0.2, c->foot}};
    sheet_path(c->sheet, INK_CRACK, crack, 4, false);
    draw_channel(c, inside, wall);
    cut_across(c, c->middle - inside / 2, right, top + wall + 3, cut_size(c, d->channel_m));
    cut_down(c, c->middle - inside / 2 - wall - 4.5, top, c->surface, cut_size(c, d->channel_m));
    c->next_name = c->surface + 8;
    cut_name(c, (sheet_point){right + wall * 0.5, top - 1}, "channel");
    cut_name(c, (sheet_point){right - 1.5, c->surface + 2.6}, "water, to the outlet");
    cut_name(c, (sheet_point){right + wall + 1, c->surface + 0.7}, "edges bedded tight");
    cut_name(c, (sheet_point){c->middle + 0.5, c->surface - 6}, "crack left open");
    cut_note(c, d->flow_m3_s > 0
                    ? say_print(w, " of the channel. It carries %s; outlet of %s bore.",
                                say_value(w, UNITS_FLOW, d->flow_m3_s), cut_size(c, d->pipe_m))
                    : say_print(w, " of the channel; outlet of %s bore.", cut_size(c, d->pipe_m)));
}
