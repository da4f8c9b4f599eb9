/* gantt_legend.c - what each bar means, as many to a line as fit. */
#include "report/gantt_view.h"

#include <math.h>

enum { KEY_BOND = BAR_KINDS, KEY_CURE, KEY_DONE, KEY_OFF, KEYS };
static const double SAMPLE = 2.2, PITCH = 1.75; /* heights of type */

static const char *const WORDS[KEYS] = {[BAR_PREPARE] = "prepare, wash, soak, relief",
                                        [BAR_CUT] = "cut",
                                        [BAR_PLUG] = "plug",
                                        [BAR_COAT] = "coat",
                                        [BAR_PACK] = "dry-pack",
                                        [BAR_FILL] = "inject, seal, fix",
                                        [BAR_PROVE] = "prove it dry",
                                        [BAR_VISIT] = "keep moist",
                                        [BAR_OPEN] = "water may come back",
                                        [KEY_BOND] = "at once, one after the other",
                                        [KEY_CURE] = "cures",
                                        [KEY_DONE] = "recorded as done",
                                        [KEY_OFF] = "night, break; parted: days off"};

static bool shown(const gantt *g, int key) {
    if (key < BAR_KINDS) return g->drawn[key] && (g->form == GANTT_LEAKS || key != BAR_OPEN);
    if (key == KEY_BOND) return g->bonds;
    if (key == KEY_CURE) return g->cures && g->form == GANTT_LEAKS;
    return key == KEY_DONE ? g->done : g->n_stretches > 1;
}

static void sample(const gantt *g, int key, double x, double y, sheet *out) {
    double wide = SAMPLE * g->type, full = 1.15 * g->type;
    switch (key) {
    case KEY_BOND:
        gantt_draw_bar(g, BAR_COAT, x, wide * 0.4, y, out);
        gantt_draw_bar(g, BAR_PACK, x + wide * 0.48, wide * 0.5, y, out);
        gantt_draw_staple(g, x + wide * 0.2, x + wide * 0.74, y, out);
        break;
    case KEY_CURE: sheet_line(out, INK_CURE, (sheet_point){x, y}, (sheet_point){x + wide, y}); break;
    case KEY_DONE:
        gantt_draw_bar(g, BAR_CUT, x, wide, y, out);
        gantt_draw_done(g, x, wide, y, out);
        break;
    case KEY_OFF:
        sheet_rectangle(out, INK_OFF_WORK, (sheet_box){x + wide * 0.3, y - full / 2, wide * 0.15, full});
        sheet_rectangle(out, INK_OFF_WORK, (sheet_box){x + wide * 0.6, y - full / 2, wide * 0.15, full});
        break;
    default: gantt_draw_bar(g, (gantt_bar)key, x, wide, y, out);
    }
}

void gantt_draw_legend(const gantt *g, sheet *out) {
    double x = 0, y = -1.15 * g->type, before = (SAMPLE + 0.6) * g->type;
    out->width = g->room.width_mm;
    for (int key = 0; key < KEYS; key++) {
        if (!shown(g, key)) continue;
        double wide = sheet_text_width(WORDS[key], g->type, false);
        if (x > 0 && x + before + wide > g->room.width_mm) {
            x = 0;
            y -= PITCH * g->type;
        }
        sample(g, key, x, y + 0.36 * g->type, out);
        sheet_place place = {{x + before, y}, g->type, 0, 0, ALIGN_LEFT, false};
        sheet_text(out, INK_TEXT_SOFT, place, WORDS[key]);
        x += before + wide + 1.4 * g->type;
    }
    sheet_settle(out, -y + 1.1 * g->type);
}
