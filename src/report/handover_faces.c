/* handover_faces.c - the elevations as built: each leak by its verdict, with its length as recorded and its photos. */
#include "report/board.h"
#include "report/frame.h"
#include "report/handover_parts.h"

#include <string.h>

enum { FEW_ON_A_FACE = 14 }; /* more marks stand without length and photos: the list has them */

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

static bool shown(const plan *p, size_t face) {
    return leaks_on(p, &p->survey->faces[face]) > 0;
}

static void draw(doc *d, size_t face, double scale, sheet *out) {
    const handover *h = handover_of(d);
    elevation_look look;
    if (handover_look(h, face, out->memory, &look))
        elevation_draw_built(d->plan, face, scale, &look, h->words, out);
    else
        out->failed = true;
}

/* Verdict, length as recorded, photos, and the page that has the rest. */
static const char *line_of(doc *d, size_t leak) {
    const handover *h = handover_of(d);
    const char *words = say_print(&d->words, "page %d · %s", d->card_pages[leak],
                                  proof_verdict_words[h->view->accept->leaks[leak].verdict]);
    words = handover_join(h, words, " · ", length_built(h, leak));
    return handover_join(h, words, " · ", handover_photo_numbers(h, d->plan->leaks[leak].defect->mark));
}

static bool is_open(doc *d, size_t leak) {
    return handover_of(d)->view->accept->leaks[leak].verdict == PROOF_OPEN;
}

void handover_faces(doc *d) {
    static const board_kind kind = {
        .outline = "Elevations as built",
        .heading = "As built, seen from the dry side",
        .few = 24,
        .legend = elevation_legend_built,
        .shown = shown,
        .draw = draw,
        .words = line_of,
        .noted = is_open,
        .note = "Slots and coats are drawn on faces without an open leak only: they are those of the plan, "
                "and of an open leak none was made."};
    board_faces(d, &kind);
}
