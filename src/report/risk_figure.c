#include "report/risk_figure.h"

#include "report/contour.h"
#include "report/offer.h"
#include "report/offer_amounts.h"
#include "report/sheet_out.h"

#include <math.h>
#include <string.h>

const char risk_figure_title[] = "What the price may come out as";

enum { INPUTS = 8, STEPS = 4, LINES = 12 };
static const double BESIDE = 50; /* heights of type: a paper wider than this has both halves side by side */

typedef struct {
    const risk_result *r;
    say *words;
    sheet *s;
    double type;
} view;

/* A half of the figure: from `left` so wide, its top at `y`. */
typedef struct {
    double left, width, y;
} half;

static const char *whole_money(view *v, double amount) {
    const char *with_cents = say_money(v->words, round(amount));
    return say_print(v->words, "%.*s", (int)strcspn(with_cents, "."), with_cents);
}

static double put(view *v, sheet_ink ink, half at, double y, bool bold, const char *words) {
    sheet_place place = {{at.left, -y - 1.1 * v->type}, v->type, at.width, 0, ALIGN_LEFT, bold};
    return y + sheet_paragraph(v->s, ink, place, LINES, words);
}

static double draw_heading(view *v, double width) {
    const risk_result *r = v->r;
    sheet_place place = {{0, -1.35 * v->type}, 1.35 * v->type, width, 0, ALIGN_LEFT, true};
    double y = sheet_paragraph(v->s, INK_TEXT, place, 2, risk_figure_title);
    const char *said = say_print(v->words, "As planned %s\u00a0%s. P50 %s, P80 %s; contingency to P80: %s.",
                                 whole_money(v, r->total), v->words->currency, whole_money(v, r->price.p50),
                                 whole_money(v, r->price.p80), whole_money(v, r->contingency));
    return put(v, INK_TEXT, (half){0, width, 0}, y + 0.2 * v->type, false, said) + 0.8 * v->type;
}

/* ---- how often each price ---- */

typedef struct {
    double from, to; /* prices */
    half at;
    double foot, height; /* of the bars: y of their foot, the tallest */
} plot;

static double place_of(const plot *p, double price) {
    return p->at.left + (price - p->from) / (p->to - p->from) * p->at.width;
}

static plot make_plot(const view *v, half at, double height) {
    const risk_result *r = v->r;
    double to = r->bin_from + RISK_BINS * r->bin_width;
    plot p = {fmin(r->bin_from, r->total), fmax(to, r->total), at, 0, height};
    double pad = 0.03 * fmax(p.to - p.from, 1e-3 * fmax(fabs(p.to), 1));
    p.from -= pad;
    p.to += pad;
    return p;
}

static void draw_bar(view *v, const plot *p, double from, double to, double height, bool filled) {
    double left = place_of(p, from), right = place_of(p, to);
    if (!(right > left)) return;
    sheet_rectangle(v->s, filled ? INK_PLUGGED : INK_ORDER_EARLY,
                    (sheet_box){left, p->foot, right - left, height});
}

static void draw_bars(view *v, const plot *p) {
    const risk_result *r = v->r;
    size_t most = 1;
    for (size_t i = 0; i < RISK_BINS; i++) most = r->bins[i] > most ? r->bins[i] : most;
    for (size_t i = 0; i < RISK_BINS; i++) {
        double from = r->bin_from + (double)i * r->bin_width, to = from + r->bin_width;
        double height = p->height * (double)r->bins[i] / (double)most;
        if (!(height > 0)) continue;
        draw_bar(v, p, from, fmin(to, r->price.p80), height, true);
        draw_bar(v, p, fmax(from, r->price.p80), to, height, false);
    }
}

static void draw_axis(view *v, const plot *p) {
    double step = contour_step(p->to - p->from, STEPS), right = p->at.left + p->at.width;
    sheet_line(v->s, INK_DIMENSION, (sheet_point){p->at.left, p->foot}, (sheet_point){right, p->foot});
    for (double price = ceil(p->from / step) * step; price <= p->to; price += step) {
        double x = place_of(p, price);
        const char *words = step < 1 ? say_money(v->words, price) : whole_money(v, price);
        double half_width = sheet_text_width(words, v->type, false) / 2;
        sheet_line(v->s, INK_DIMENSION, (sheet_point){x, p->foot}, (sheet_point){x, p->foot - 0.3 * v->type});
        x = fmin(fmax(x, p->at.left + half_width), right - half_width);
        sheet_place place = {{x, p->foot - 1.4 * v->type}, v->type, 0, 0, ALIGN_MIDDLE, false};
        sheet_text(v->s, INK_TEXT_SOFT, place, words);
    }
}

typedef struct {
    double price;
    sheet_ink ink;
    const char *name;
} mark;
enum { MARKS = 4 };

/* The least price has the highest row: no line crosses words to the right of a lesser one. */
static void sort_marks(mark marks[MARKS]) {
    for (size_t i = 1; i < MARKS; i++)
        for (size_t k = i; k > 0 && marks[k].price < marks[k - 1].price; k--) {
            mark kept = marks[k];
            marks[k] = marks[k - 1];
            marks[k - 1] = kept;
        }
}

static double top_of(const view *v, const plot *p, size_t row) {
    return p->foot + p->height + (double)(MARKS - row) * 1.35 * v->type;
}

/* To the right of its line; where there is no room, to the left on a patch of paper. */
static void draw_words(view *v, const plot *p, double x, double top, const char *words) {
    double width = sheet_text_width(words, v->type, false), gap = 0.4 * v->type;
    bool fits = x + gap + width <= p->at.left + p->at.width;
    double left = fits ? x + gap : fmax(x - gap - width, p->at.left);
    if (!fits)
        sheet_rectangle(v->s, INK_PATCH,
                        (sheet_box){left, top - 1.1 * v->type, x - gap - left, 1.1 * v->type});
    sheet_place place = {{left, top - 0.9 * v->type}, v->type, 0, 0, ALIGN_LEFT, false};
    sheet_text(v->s, INK_TEXT, place, words);
}

static void draw_marks(view *v, const plot *p) {
    const risk_result *r = v->r;
    mark marks[MARKS] = {{r->price.p20, INK_DESIGN, "P20"},
                         {r->price.p50, INK_DESIGN, "P50"},
                         {r->price.p80, INK_DESIGN, "P80"},
                         {r->total, INK_HERE, "as planned"}};
    sort_marks(marks);
    for (size_t i = 0; i < MARKS; i++) {
        double x = place_of(p, marks[i].price);
        sheet_line(v->s, marks[i].ink, (sheet_point){x, p->foot}, (sheet_point){x, top_of(v, p, i)});
    }
    for (size_t i = 0; i < MARKS; i++)
        draw_words(v, p, place_of(p, marks[i].price), top_of(v, p, i),
                   say_print(v->words, "%s %s", marks[i].name, whole_money(v, marks[i].price)));
}

static double draw_prices(view *v, half at) {
    plot p = make_plot(v, at, 16 * v->type);
    double rows = MARKS * 1.35 * v->type + 0.3 * v->type;
    p.foot = -at.y - rows - p.height;
    draw_bars(v, &p);
    draw_axis(v, &p);
    draw_marks(v, &p);
    double y = -p.foot + 1.9 * v->type;
    return put(v, INK_TEXT_SOFT, at, y, false,
               say_print(v->words,
                         "Price in %s, without tax. How often it came out so in %zu runs; filled up to P80, "
                         "which four in five stay "
                         "below.",
                         v->words->currency, v->r->options.runs));
}

/* ---- what carries it ---- */

static double draw_share(view *v, half at, double y, const char *label, double share, double most) {
    double type = v->type, figure = sheet_text_width("100 %", type, false), bar_width = 0.28 * at.width;
    double room = at.width - bar_width - figure - type;
    sheet_place place = {{at.left, -y - type}, type, room, 0, ALIGN_LEFT, false};
    sheet_text(v->s, INK_TEXT, place, label);
    double left = at.left + room + 0.5 * type, width = most > 0 ? bar_width * share / most : 0;
    if (width > 0) sheet_rectangle(v->s, INK_PLUGGED, (sheet_box){left, -y - 1.05 * type, width, 0.9 * type});
    place = (sheet_place){{at.left + at.width, -y - type}, type, figure, 0, ALIGN_RIGHT, false};
    sheet_text(v->s, INK_TEXT, place, say_print(v->words, "%.0f\u00a0%%", 100 * share));
    return y + 1.45 * type;
}

static double draw_shares(view *v, half at) {
    const risk_result *r = v->r;
    double y = at.y;
    if (r->n_inputs == 0)
        return put(v, INK_TEXT, at, y, false, "Nothing has a low and a high: every run has the same price.");
    y = put(v, INK_TEXT, at, y, true, "What carries the risk") + 0.3 * v->type;
    for (size_t i = 0; i < r->n_inputs && i < INPUTS; i++) {
        const char *label = offer_rate_label(v->words, &(survey_rate){.id = "", .label = r->inputs[i].label});
        y = draw_share(v, at, y, label, r->inputs[i].share, r->inputs[0].share);
    }
    double most = 0;
    for (size_t g = 0; g < RISK_GROUPS; g++) most = fmax(most, r->group_shares[g]);
    y = put(v, INK_TEXT, at, y + 0.5 * v->type, true, "By kind") + 0.3 * v->type;
    for (size_t g = 0; g < RISK_GROUPS; g++)
        y = draw_share(v, at, y, risk_group_words[g], r->group_shares[g], most);
    return y;
}

bool risk_figure_draw(const risk_result *risk, risk_figure_size size, say *words, sheet *out) {
    view v = {risk, words, out, size.type_mm};
    bool beside = size.width_mm > BESIDE * size.type_mm;
    double gap = 2 * v.type, width = beside ? (size.width_mm - gap) / 2 : size.width_mm;
    out->width = size.width_mm;
    double top = draw_heading(&v, size.width_mm), y = draw_prices(&v, (half){0, width, top});
    double below = draw_shares(&v, beside ? (half){width + gap, width, top} : (half){0, width, y + v.type});
    sheet_settle(out, fmax(y, below) + 0.5 * v.type);
    return !out->failed && !words->failed;
}

status report_risk_svg(const plan *p, const risk_result *risk, text *out, fault *why) {
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    say words = {.memory = memory, .system = p->survey->site.system, .currency = p->survey->site.currency};
    sheet drawing = {.memory = memory};
    bool whole = risk_figure_draw(risk, RISK_FIGURE_FILE, &words, &drawing);
    if (whole) {
        sheet_svg_begin(drawing.width, drawing.height, risk_figure_title, out);
        sheet_svg(&drawing, 0, out);
        sheet_svg_end(out);
    }
    whole = whole && !words.failed && !out->failed;
    arena_free(memory);
    return whole ? OK : fault_memory(why);
}
