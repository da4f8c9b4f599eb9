/* faces.c - the elevations, several small faces to a sheet, a legend at the foot of each. */
#include "report/elevation.h"
#include "report/frame.h"
#include "report/sections.h"

#include <math.h>

static const double TITLE_PT = 22, GAP_MM = 4;

typedef struct {
    doc *d;
    sheet legend;
    double width_mm, height_mm; /* room for faces on a page */
    double x_mm, y_mm, row_mm;  /* next place, height of this row */
    size_t first, next;         /* faces on this page */
    bool open;
} board;

static bool shown(const plan *p, size_t face) {
    for (size_t i = 0; i < p->n_leaks; i++) {
        if (frame_has(p->leaks[i].defect, &p->survey->faces[face])) return true;
    }
    for (size_t i = 0; i < p->takeoff.n_coats; i++) {
        if (p->takeoff.coats[i].face == face) return true;
    }
    return false;
}

static bool on_page(const board *b, const survey_defect *d) {
    for (size_t i = b->first; i < b->next; i++) {
        if (frame_has(d, &b->d->plan->survey->faces[i])) return true;
    }
    return false;
}

/* Under the faces, when there is room: their leaks with method, size and the page of the card. */
static void list_leaks(board *b) {
    enum { COLUMNS = 3 };
    static const double PITCH = 11.5;
    doc *d = b->d;
    size_t n = 0, at = 0;
    for (size_t i = 0; i < d->plan->n_leaks; i++) n += on_page(b, d->plan->leaks[i].defect);
    if (n == 0) return;
    size_t rows = (n + COLUMNS - 1) / COLUMNS;
    double top = DOC_TOP + TITLE_PT + (b->y_mm + b->row_mm) * DOC_MM, width = doc_inner(d) / COLUMNS;
    if (top + (double)rows * PITCH > d->bottom - b->legend.height * DOC_MM - 6) return;
    for (size_t i = 0; i < d->plan->n_leaks; i++) {
        const leak_water *leak = &d->plan->leaks[i];
        if (!on_page(b, leak->defect)) continue;
        double x = DOC_MARGIN + width * (double)(at / rows), y = top + PITCH * (double)(at % rows);
        doc_short_at(d, (doc_style){7.5, true, 0x111111, ALIGN_LEFT}, x, y, width * 0.2, leak->defect->mark);
        const char *words =
            say_print(&d->words, "page %d · %s, %s, %s", d->card_pages[i], say_kind_words[leak->defect->kind],
                      leak_grade_shown(leak->grade, d->plan->survey->site.system),
                      method_words[d->plan->designs[i].method.name]);
        doc_short_at(d, DOC_SMALL, x + width * 0.21, y, width * 0.77, words);
        at++;
    }
}

static void begin_page(board *b) {
    doc *d = b->d;
    if (b->open) list_leaks(b);
    doc_page(d, true);
    if (!b->open) d->first_face = d->page;
    if (!b->open) d->outline = doc_outline(d, 0, "Elevations");
    b->open = true;
    doc_text_at(d, DOC_HEAD, DOC_MARGIN, d->y - 8, doc_inner(d), "Elevations, seen from the dry side");
    doc_sheet(d, &b->legend, DOC_MARGIN, d->bottom - b->legend.height * DOC_MM);
    b->x_mm = b->y_mm = b->row_mm = 0;
}

/* Next free place for a sheet of this size: along the row, then a new row, then a new page. */
static void find_place(board *b, size_t face, double width_mm, double height_mm) {
    if (b->open && b->x_mm + width_mm <= b->width_mm && b->y_mm + height_mm <= b->height_mm) return;
    if (b->open && b->y_mm + b->row_mm + GAP_MM + height_mm <= b->height_mm) {
        b->x_mm = 0;
        b->y_mm += b->row_mm + GAP_MM;
        b->row_mm = 0;
        return;
    }
    begin_page(b);
    b->first = face;
}

/* One face in an arena of its own: a job may have hundreds. */
static void draw_face(board *b, size_t face) {
    doc *d = b->d;
    arena *memory = arena_new(), *outer = d->words.memory;
    if (!memory) {
        d->words.failed = true;
        return;
    }
    double scale = elevation_scale(d->plan, face, b->width_mm, b->height_mm), width, height;
    elevation_size(d->plan, face, scale, &width, &height);
    find_place(b, face, width, height);
    b->next = face + 1;
    d->words.memory = memory;
    sheet drawing = {.memory = memory};
    if (!d->dry) elevation_draw(d->plan, face, scale, &d->words, &drawing);
    double x = DOC_MARGIN + b->x_mm * DOC_MM, y = DOC_TOP + TITLE_PT - 8 + b->y_mm * DOC_MM;
    doc_sheet(d, &drawing, x, y);
    const survey_face *of = &d->plan->survey->faces[face];
    doc_outline(d, d->outline, of->name ? of->name : of->id);
    d->words.memory = outer;
    arena_free(memory);
    b->x_mm += width + GAP_MM;
    b->row_mm = fmax(b->row_mm, height);
}

void section_faces(doc *d) {
    board b = {.d = d, .legend = {.memory = d->words.memory}};
    bool letter = d->plan->survey->site.letter_paper;
    double across = letter ? 792 : 297 * DOC_MM, high = letter ? 612 : 210 * DOC_MM;
    b.width_mm = (across - 2 * DOC_MARGIN) / DOC_MM;
    elevation_legend(b.width_mm, &b.legend);
    b.height_mm = (high - DOC_TOP - DOC_FOOT - TITLE_PT) / DOC_MM - b.legend.height - 2;
    for (size_t i = 0; i < d->plan->survey->n_faces; i++) {
        if (shown(d->plan, i)) draw_face(&b, i);
    }
    if (b.open) list_leaks(&b);
}
