#include "report/board.h"

#include "report/elevation.h"
#include "report/frame.h"

#include <math.h>

static const double TITLE_PT = 22, GAP_MM = 4, PITCH = 11.5; /* of the list, points */

typedef struct {
    doc *d;
    const board_kind *kind;
    sheet legend;
    double width_mm, height_mm; /* room for faces on a page */
    double x_mm, y_mm, row_mm;  /* next place, height of this row */
    size_t first, next;         /* faces on this page */
    bool open;
} board;

static bool on_page(const board *b, size_t leak) {
    for (size_t i = b->first; i < b->next; i++)
        if (frame_has(b->d->plan->leaks[leak].defect, &b->d->plan->survey->faces[i])) return true;
    return false;
}

static bool is_noted(const board *b) {
    for (size_t i = 0; b->kind->noted && i < b->d->plan->n_leaks; i++)
        if (b->kind->noted(b->d, i) && on_page(b, i)) return true;
    return false;
}

/* Under the faces, when there is room: their leaks with the page that has the rest. */
static void list_leaks(board *b) {
    doc *d = b->d;
    size_t n = 0, at = 0;
    for (size_t i = 0; i < d->plan->n_leaks; i++) n += on_page(b, i);
    if (n == 0) return;
    size_t columns = b->kind->few && n > b->kind->few ? 4 : 3, rows = (n + columns - 1) / columns;
    double top = DOC_TOP + TITLE_PT + (b->y_mm + b->row_mm) * DOC_MM, width = doc_inner(d) / (double)columns;
    bool noted = is_noted(b);
    if (top + (double)(rows + noted) * PITCH > d->bottom - b->legend.height * DOC_MM - 6) return;
    for (size_t i = 0; i < d->plan->n_leaks; i++) {
        if (!on_page(b, i)) continue;
        double x = DOC_MARGIN + width * (double)(at / rows), y = top + PITCH * (double)(at % rows);
        doc_short_at(d, (doc_style){7.5, true, 0x111111, ALIGN_LEFT}, x, y, width * 0.2,
                     d->plan->leaks[i].defect->mark);
        doc_short_at(d, DOC_SMALL, x + width * 0.21, y, width * 0.77, b->kind->words(d, i));
        at++;
    }
    if (noted) doc_short_at(d, DOC_SOFT, DOC_MARGIN, top + PITCH * (double)rows, doc_inner(d), b->kind->note);
}

static void begin_page(board *b) {
    doc *d = b->d;
    if (b->open) list_leaks(b);
    doc_page(d, true);
    if (!b->open) d->first_face = d->page;
    if (!b->open) d->outline = doc_outline(d, 0, b->kind->outline);
    b->open = true;
    doc_text_at(d, DOC_HEAD, DOC_MARGIN, d->y - 8, doc_inner(d), b->kind->heading);
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
    if (!d->dry) b->kind->draw(d, face, scale, &drawing);
    doc_sheet(d, &drawing, DOC_MARGIN + b->x_mm * DOC_MM, DOC_TOP + TITLE_PT - 8 + b->y_mm * DOC_MM);
    const survey_face *of = &d->plan->survey->faces[face];
    doc_outline(d, d->outline, of->name ? of->name : of->id);
    d->words.memory = outer;
    arena_free(memory);
    b->x_mm += width + GAP_MM;
    b->row_mm = fmax(b->row_mm, height);
}

void board_faces(doc *d, const board_kind *kind) {
    board b = {.d = d, .kind = kind, .legend = {.memory = d->words.memory}};
    bool letter = d->plan->survey->site.letter_paper;
    double across = letter ? 792 : 297 * DOC_MM, high = letter ? 612 : 210 * DOC_MM;
    b.width_mm = (across - 2 * DOC_MARGIN) / DOC_MM;
    kind->legend(b.width_mm, &b.legend);
    b.height_mm = (high - DOC_TOP - DOC_FOOT - TITLE_PT) / DOC_MM - b.legend.height - 2;
    for (size_t i = 0; i < d->plan->survey->n_faces; i++)
        if (kind->shown(d->plan, i)) draw_face(&b, i);
    if (b.open) list_leaks(&b);
}
