/* handover_faces.c - the elevations as built: each leak by its verdict, with its length as recorded and its photos. */
#include "report/frame.h"
#include "report/handover_parts.h"

#include <math.h>
#include <string.h>

static const double TITLE_PT = 22, GAP_MM = 4;
enum { FEW_ON_A_FACE = 14 }; /* more marks stand without length and photos: the list has them */

typedef struct {
    doc *d;
    const handover *h;
    sheet legend;
    double width_mm, height_mm; /* room for faces on a page */
    double x_mm, y_mm, row_mm;  /* next place, height of this row */
    size_t first, next;         /* faces on this page */
    bool open;
} board;

static size_t leaks_on(const plan *p, const survey_face *face) {
    size_t n = 0;
    for (size_t i = 0; i < p->n_leaks; i++) n += frame_has(p->leaks[i].defect, face);
    return n;
}

/* The length as found at the wall, where it is a record's. */
static const char *length_built(const handover *h, size_t leak) {
    const built_leak *b = &h->view->built->leaks[leak];
    if (!survey_is_line(h->view->plan->leaks[leak].defect->kind)) return "";
    for (size_t i = 0; i < b->n_lines; i++)
        if (b->lines[i].q == UNITS_LENGTH && b->lines[i].actual.known)
            return say_length(h->words, b->lines[i].actual.v);
    return "";
}

static bool on_page(const board *b, const survey_defect *d) {
    for (size_t i = b->first; i < b->next; i++)
        if (frame_has(d, &b->d->plan->survey->faces[i])) return true;
    return false;
}

static bool is_bare(const board *b) {
    for (size_t i = 0; i < b->d->plan->n_leaks; i++)
        if (b->h->view->accept->leaks[i].verdict == PROOF_OPEN && on_page(b, b->d->plan->leaks[i].defect))
            return true;
    return false;
}

/* Under the faces, when there is room: verdict, length as recorded, photos, and the page that has the rest. */
static void list_leaks(board *b) {
    enum { FEW = 24 }; /* in three columns */
    static const double PITCH = 11.5;
    doc *d = b->d;
    say *w = &d->words;
    size_t n = 0, at = 0;
    for (size_t i = 0; i < d->plan->n_leaks; i++) n += on_page(b, d->plan->leaks[i].defect);
    if (n == 0) return;
    size_t columns = n > FEW ? 4 : 3, rows = (n + columns - 1) / columns;
    double top = DOC_TOP + TITLE_PT + (b->y_mm + b->row_mm) * DOC_MM, width = doc_inner(d) / (double)columns;
    bool bare = is_bare(b);
    if (top + (double)(rows + bare) * PITCH > d->bottom - b->legend.height * DOC_MM - 6) return;
    for (size_t i = 0; i < d->plan->n_leaks; i++) {
        const char *mark = d->plan->leaks[i].defect->mark;
        if (!on_page(b, d->plan->leaks[i].defect)) continue;
        double x = DOC_MARGIN + width * (double)(at / rows), y = top + PITCH * (double)(at % rows);
        const char *words = say_print(w, "page %d · %s", d->card_pages[i],
                                      proof_verdict_words[b->h->view->accept->leaks[i].verdict]);
        words = handover_join(b->h, words, " · ", length_built(b->h, i));
        words = handover_join(b->h, words, " · ", handover_photo_numbers(b->h, mark));
        doc_short_at(d, (doc_style){7.5, true, 0x111111, ALIGN_LEFT}, x, y, width * 0.2, mark);
        doc_short_at(d, DOC_SMALL, x + width * 0.21, y, width * 0.77, words);
        at++;
    }
    if (bare)
        doc_short_at(
            d, DOC_SOFT, DOC_MARGIN, top + PITCH * (double)rows, doc_inner(d),
            "Slots and coats are drawn on faces without an open leak only: they are those of the plan, "
            "and of an open leak none was made.");
}

static void begin_page(board *b) {
    doc *d = b->d;
    if (b->open) list_leaks(b);
    doc_page(d, true);
    if (!b->open) d->first_face = d->page;
    if (!b->open) d->outline = doc_outline(d, 0, "Elevations as built");
    b->open = true;
    doc_text_at(d, DOC_HEAD, DOC_MARGIN, d->y - 8, doc_inner(d), "As built, seen from the dry side");
    doc_sheet(d, &b->legend, DOC_MARGIN, d->bottom - b->legend.height * DOC_MM);
    b->x_mm = b->y_mm = b->row_mm = 0;
}

/* Along the row, then a new row, then a new page. */
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

/* The mark's own line is short: "ph. 2-3" for "photos 2-3". */
static const char *words_of(const handover *h, size_t leak, bool few) {
    const char *mark = h->view->plan->leaks[leak].defect->mark;
    if (!few) return mark;
    const char *all = handover_join(h, mark, " · ", length_built(h, leak));
    const char *photos = handover_photo_numbers(h, mark), *number = strchr(photos, ' ');
    return number ? handover_join(h, all, " · ", say_print(h->words, "ph.%s", number)) : all;
}

bool handover_look(const handover *h, size_t face, arena *memory, elevation_look *out) {
    const plan *p = h->view->plan;
    const survey_face *of = &p->survey->faces[face];
    sheet_ink *traces = arena_get(memory, p->n_leaks, sizeof *traces),
              *boxes = arena_get(memory, p->n_leaks, sizeof *boxes);
    const char **words = arena_get(memory, p->n_leaks, sizeof *words);
    *out = (elevation_look){traces, boxes, words, false};
    if (!traces || !boxes || !words) return false;
    bool few = leaks_on(p, of) <= FEW_ON_A_FACE;
    for (size_t i = 0; i < p->n_leaks; i++) {
        if (!frame_has(p->leaks[i].defect, of)) continue;
        proof_verdict verdict = h->view->accept->leaks[i].verdict;
        traces[i] = INK_BUILT_KEPT + (sheet_ink)verdict;
        boxes[i] = INK_LABEL_KEPT + (sheet_ink)verdict;
        words[i] = words_of(h, i, few);
        out->bare = out->bare || verdict == PROOF_OPEN; /* coats of several leaks hang together */
    }
    return true;
}

static void draw(board *b, size_t face, double scale, sheet *out) {
    elevation_look look;
    if (handover_look(b->h, face, out->memory, &look))
        elevation_draw_built(b->d->plan, face, scale, &look, b->h->words, out);
    else
        out->failed = true;
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
    if (!d->dry) draw(b, face, scale, &drawing);
    doc_sheet(d, &drawing, DOC_MARGIN + b->x_mm * DOC_MM, DOC_TOP + TITLE_PT - 8 + b->y_mm * DOC_MM);
    const survey_face *of = &d->plan->survey->faces[face];
    doc_outline(d, d->outline, of->name ? of->name : of->id);
    d->words.memory = outer;
    arena_free(memory);
    b->x_mm += width + GAP_MM;
    b->row_mm = fmax(b->row_mm, height);
}

void handover_faces(doc *d) {
    board b = {.d = d, .h = handover_of(d), .legend = {.memory = d->words.memory}};
    bool letter = d->plan->survey->site.letter_paper;
    double across = letter ? 792 : 297 * DOC_MM, high = letter ? 612 : 210 * DOC_MM;
    b.width_mm = (across - 2 * DOC_MARGIN) / DOC_MM;
    elevation_legend_built(b.width_mm, &b.legend);
    b.height_mm = (high - DOC_TOP - DOC_FOOT - TITLE_PT) / DOC_MM - b.legend.height - 2;
    for (size_t i = 0; i < d->plan->survey->n_faces; i++)
        if (leaks_on(d->plan, &d->plan->survey->faces[i])) draw_face(&b, i);
    if (b.open) list_leaks(&b);
}
