/* around.c - what stands round a face: folds with their neighbours, water levels, dimensions, scale bar,
 * caption. */
#include "report/frame.h"

#include <math.h>
#include <string.h>

static const double FOLD_TEXT_MM = 1.2;     /* from the edge to the text of a fold */
static const double DIMENSION_OFF_MM = 7.5; /* from the outline to the dimension line */
static const double BAR_LEAST_MM = 25, LEVEL_OFF_MM = 4.5;

static void take(frame *f, double x, double y, double width, double height) {
    label_take(&f->board, (sheet_box){x, y, width, height});
}

/* The neighbour's name outside the edge, along it. */
static void draw_fold(frame *f, const survey_point edge[2], const char *neighbour) {
    sheet_point a = frame_at(f, edge[0]), b = frame_at(f, edge[1]);
    sheet_line(f->sheet, INK_BLANK, a, b);
    sheet_line(f->sheet, INK_FOLD, a, b);
    label_ink(&f->board, a, b);
    double mid_x = (a.x + b.x) / 2, mid_y = (a.y + b.y) / 2, length = hypot(b.x - a.x, b.y - a.y);
    bool upright = fabs(b.y - a.y) > fabs(b.x - a.x);
    const survey_face *face = survey_find_face(f->plan->survey, neighbour);
    const char *words = say_print(f->words, "to %s", face && face->name ? face->name : neighbour);
    sheet_place place = {{mid_x, mid_y}, FRAME_TEXT_MM, fmax(length, 14), 0, ALIGN_MIDDLE, false};
    double width = fmin(sheet_text_width(words, place.height, false), place.room);
    if (upright) {
        bool left = mid_x < f->box.x + f->box.width / 2;
        place.angle_deg = 90;
        place.at.x += left ? -FOLD_TEXT_MM : FOLD_TEXT_MM + 0.75 * FRAME_TEXT_MM;
        take(f, left ? mid_x - 4 : mid_x, mid_y - width / 2, 4, width);
    } else {
        bool below = mid_y < f->box.y + f->box.height / 2;
        place.at.y += below ? -FOLD_TEXT_MM - 0.75 * FRAME_TEXT_MM : FOLD_TEXT_MM;
        take(f, mid_x - width / 2, below ? mid_y - 4 : mid_y, width, 4);
    }
    sheet_text(f->sheet, INK_FOLD, place, words);
}

static void draw_folds(frame *f) {
    for (size_t i = 0; i < f->plan->survey->n_folds; i++) {
        const survey_fold *fold = &f->plan->survey->folds[i];
        if (strcmp(fold->face_a, f->face->id) == 0) draw_fold(f, fold->a, fold->face_b);
        if (strcmp(fold->face_b, f->face->id) == 0) draw_fold(f, fold->b, fold->face_a);
    }
}

/* A level across a wall, with its name at the right; `shift_mm` moves the name off a neighbouring one. */
static void draw_level(frame *f, sheet_ink ink, const char *words, double level_m, double shift_mm) {
    double v = level_m - f->face->elevation_m;
    if (!(v >= f->low.v_m && v <= f->high.v_m)) return;
    double y = frame_at(f, (survey_point){f->low.u_m, v}).y, left = f->box.x, right = f->box.x + f->box.width;
    double out = right + LEVEL_OFF_MM; /* past the name of a fold */
    sheet_line(f->sheet, ink, (sheet_point){left, y}, (sheet_point){right, y});
    sheet_line(f->sheet, ink, (sheet_point){out, y}, (sheet_point){out + 4, y});
    sheet_path(f->sheet, INK_DIMENSION, (sheet_point[]){{out + 2, y}, {out + 1, y + 1.6}, {out + 3, y + 1.6}},
               3, true);
    sheet_place place = {
        {out + 4.5, y - 0.8 + shift_mm}, FRAME_TEXT_MM, f->sheet->width - out - 5, 0, ALIGN_LEFT, false};
    sheet_text(f->sheet, ink, place, words);
    take(f, out, y - 1 + fmin(0, shift_mm), f->sheet->width - out, 3 + fabs(shift_mm));
    label_ink(&f->board, (sheet_point){left, y}, (sheet_point){right, y});
}

static void draw_water(frame *f) {
    double today, design;
    survey_known known;
    if (f->face->lie != LIE_WALL) return;
    bool has_today = survey_level_today(f->plan->survey, f->face, &today, &known);
    bool has_design = survey_level_design(f->plan->survey, f->face, &design, &known);
    if (has_today && has_design && today == design) {
        draw_level(f, INK_DESIGN, say_print(f->words, "water %s", say_level(f->words, design)), design, 0);
        return;
    }
    double apart = fabs(design - today) * 1000 / f->scale, shift = apart < 3.2 ? (3.2 - apart) / 2 : 0;
    double up = design > today ? 1 : -1;
    if (has_design)
        draw_level(f, INK_DESIGN, say_print(f->words, "design %s", say_level(f->words, design)), design,
                   up * shift);
    if (has_today)
        draw_level(f, INK_TODAY, say_print(f->words, "today %s", say_level(f->words, today)), today,
                   -up * shift);
}

static void tick(sheet *s, sheet_point at) {
    sheet_line(s, INK_DIMENSION, (sheet_point){at.x - 0.8, at.y - 0.8},
               (sheet_point){at.x + 0.8, at.y + 0.8});
}

/* A dimension line from a to b with extension lines back to the outline. */
static void draw_dimension(frame *f, sheet_point a, sheet_point b, bool upright, double length_m) {
    sheet *s = f->sheet;
    sheet_line(s, INK_DIMENSION, a, b);
    tick(s, a);
    tick(s, b);
    double back = DIMENSION_OFF_MM - 1;
    sheet_point off = upright ? (sheet_point){back, 0} : (sheet_point){0, back};
    sheet_line(s, INK_DIMENSION, a, (sheet_point){a.x + off.x, a.y + off.y});
    sheet_line(s, INK_DIMENSION, b, (sheet_point){b.x + off.x, b.y + off.y});
    sheet_place place = {
        {(a.x + b.x) / 2, (a.y + b.y) / 2}, FRAME_TEXT_MM, 0, upright ? 90 : 0, ALIGN_MIDDLE, false};
    if (upright)
        place.at.x -= 0.9;
    else
        place.at.y += 0.9;
    sheet_text(s, INK_DIMENSION, place, say_length(f->words, length_m));
}

static void draw_dimensions(frame *f) {
    sheet_box b = f->box;
    double y = b.y - DIMENSION_OFF_MM, x = b.x - DIMENSION_OFF_MM;
    draw_dimension(f, (sheet_point){b.x, y}, (sheet_point){b.x + b.width, y}, false,
                   f->high.u_m - f->low.u_m);
    draw_dimension(f, (sheet_point){x, b.y}, (sheet_point){x, b.y + b.height}, true,
                   f->high.v_m - f->low.v_m);
    take(f, 0, 0, f->sheet->width, b.y - 4.5);
    take(f, 0, 0, b.x - 4.5, f->sheet->height);
}

/* The least round number that is not less. */
static double round_up(double least) {
    static const double steps[] = {1, 2, 2.5, 5};
    double power = pow(10, floor(log10(least)));
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++) {
        if (steps[i] * power >= least) return steps[i] * power;
    }
    return 10 * power;
}

/* Four blocks of a round length, and the scale in words. */
static void draw_scale_bar(frame *f) {
    sheet *s = f->sheet;
    double unit_mm = units_to_si(UNITS_LENGTH, f->words->system, 1) * 1000 / f->scale;
    double block = round_up(BAR_LEAST_MM / 4 / unit_mm);
    double step = block * unit_mm, x = f->box.x, y = 6;
    for (int i = 0; i < 4; i++) {
        sheet_rectangle(s, i % 2 ? INK_SCALE_LIGHT : INK_SCALE_DARK, (sheet_box){x + i * step, y, step, 1.2});
    }
    for (int i = 0; i <= 4; i += 2) {
        sheet_place place = {{x + i * step, y - 2.8}, FRAME_TEXT_MM, 0, 0, ALIGN_MIDDLE, false};
        const char *number = say_plain(f->words, i * block, 3);
        sheet_text(s, INK_TEXT_SOFT, place,
                   i == 4 ? say_print(f->words, "%s %s", number, say_unit(f->words, UNITS_LENGTH)) : number);
    }
    sheet_place place = {
        {x + 4 * step + 8, y - 0.6}, FRAME_TEXT_MM, s->width - x - 4 * step - 9, 0, ALIGN_LEFT, false};
    sheet_text(s, INK_TEXT_SOFT, place, say_print(f->words, "scale %s", say_scale(f->words, f->scale)));
}

/* `most` things are told of a level: itself, how it is known, whether it stands above the face. */
static const char *level_words(const frame *f, int most, bool given, double level_m, survey_known known) {
    if (!given) return "not known";
    bool above = f->face->lie == LIE_WALL && level_m - f->face->elevation_m > f->high.v_m;
    const char *level = say_level(f->words, level_m);
    if (most < 2) return level;
    return say_print(f->words, "%s (%s%s)", level, survey_known_words[known],
                     above && most > 2 ? ", above the top" : "");
}

/* A level is never cut short: on a narrow face less is said of where it comes from. */
static const char *levels(const frame *f, double room) {
    double today = 0, design = 0;
    survey_known today_known = KNOWN_ASSUMED, design_known = KNOWN_ASSUMED;
    bool has_today = survey_level_today(f->plan->survey, f->face, &today, &today_known);
    bool has_design = survey_level_design(f->plan->survey, f->face, &design, &design_known);
    const char *said = "";
    for (int most = 3; most > 0; most--) {
        said = say_print(f->words, "water today %s, design %s",
                         level_words(f, most, has_today, today, today_known),
                         level_words(f, most, has_design, design, design_known));
        if (sheet_text_width(said, FRAME_TEXT_MM, false) <= room) break;
    }
    return said;
}

static void draw_caption(frame *f) {
    sheet *s = f->sheet;
    const survey_face *face = f->face;
    say *w = f->words;
    sheet_place place = {
        {2, s->height - FRAME_TITLE_MM - 0.6}, FRAME_TITLE_MM, s->width - 4, 0, ALIGN_LEFT, true};
    place.at.y -= sheet_paragraph(s, INK_TEXT, place, 2, face->name ? face->name : face->id);
    place.at.y += FRAME_TITLE_MM - FRAME_TEXT_MM;
    place.height = FRAME_TEXT_MM;
    place.bold = false;
    sheet_text(s, INK_TEXT_SOFT, place,
               say_print(w, "%s, %s thick, dry face %s %s, %s behind", survey_lie_words[face->lie],
                         say_value(w, UNITS_SIZE, face->thickness_m), face->lie == LIE_WALL ? "from" : "at",
                         say_level(w, face->elevation_m), survey_behind_words[face->behind]));
    place.at.y -= 1.35 * FRAME_TEXT_MM;
    sheet_text(s, INK_TEXT_SOFT, place, levels(f, place.room));
    take(f, 0, place.at.y - 1, s->width, s->height - place.at.y + 1);
}

void frame_around(frame *f) {
    draw_caption(f);
    draw_dimensions(f);
    draw_water(f);
    draw_folds(f);
    draw_scale_bar(f);
}
