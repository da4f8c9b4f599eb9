/* handover_leak.c - one leak: what was wrong, what remains, and all its tables one under another. */
#include "report/handover_parts.h"

#include <string.h>

static const double SIZE = 7.5, BAR_PT = 17;

static const table_column facts_columns[] = {
    {"", 0.19, ALIGN_LEFT, false}, {"", 0.68, ALIGN_LEFT, false}, {"From", 0.13, ALIGN_LEFT, true}};

static void fact(const handover *h, handover_rows *to, const char *label, const char *value,
                 const char *from) {
    handover_put(h, to, (const char *[]){label, value, from}, ROW_PLAIN);
}

static void seen(const handover *h, handover_rows *to, const leak_water *leak) {
    say *w = h->words;
    const char *length = leak->length_m > 0
                             ? say_print(w, ", %s long, wet over %s", say_length(w, leak->length_m),
                                         say_length(w, leak->wet_m))
                             : "";
    const char *width = leak->widest_m.known
                            ? say_print(w, ", up to %s wide", say_value(w, UNITS_SIZE, leak->widest_m.v))
                            : "";
    fact(h, to, "Seen", say_print(w, "%s%s%s", leak_grade_shown(leak->grade, w->system), length, width), "S");
    if (!leak->level_known)
        fact(h, to, "Water", "level not known at the survey", "S");
    else
        fact(h, to, "Water",
             say_print(w, "%s over the lowest point at the survey, %s by design",
                       say_length(w, leak->head_today_m), say_length(w, leak->head_design_m)),
             handover_said(h, "S", BY_HEAD));
}

static void flow(const handover *h, handover_rows *to, const leak_water *leak) {
    if (!leak->flow_m3_s.known) return;
    bool measured = leak->basis == FLOW_MEASURED;
    fact(h, to, "Flow",
         say_print(h->words, "%s, %s", say_value(h->words, UNITS_FLOW, leak->flow_m3_s.v),
                   measured ? "collected and timed" : "expected from the widths, not measured"),
         handover_said(h, measured ? "S" : "P", measured ? BY_TIMED : BY_CRACK));
}

static void moves(const handover *h, handover_rows *to, const diagnosis *of) {
    if (of->basis == MOVES_NOT_KNOWN) return;
    const char *year = of->movement_m.known ? say_print(h->words, ", %s in a year",
                                                        say_value(h->words, UNITS_SIZE, of->movement_m.v))
                                            : "";
    fact(h, to, "Movement",
         say_print(h->words, "%s%s%s", movement_verdict_words[of->verdict], year,
                   of->basis == MOVES_TOLD ? " (told)" : ""),
         "S");
}

static void questions(const handover *h, handover_rows *to, const char *mark) {
    const finding_list *all = &h->view->plan->findings;
    for (size_t i = 0; i < all->n; i++) {
        const finding *f = &all->items[i];
        if (strcmp(f->mark, mark) != 0 || !f->answer) continue;
        const survey_answer *a = f->answer;
        fact(h, to, f->level == FINDING_STOP ? "STOP, answered" : "ASK, answered",
             say_print(h->words, "%s\n%s (%s%s%s)", f->sentence, a->what ? a->what : "answered",
                       a->by ? a->by : "no name", a->on ? ", " : "", a->on ? a->on : ""),
             "S");
    }
}

static void found(const handover *h, handover_rows *to, const built_leak *b) {
    for (size_t i = 0; i < b->n_notes; i++) {
        const record *r = b->notes[i];
        if (r->what != RECORD_FOUND) continue;
        fact(h, to, "Found at the wall",
             say_print(h->words, "%s%s%s", handover_sum_up(h, r), r->by ? "; " : "", r->by ? r->by : ""),
             handover_from_one(h, r->seq, BY_NONE));
    }
}

handover_rows handover_wrong(const handover *h, size_t leak) {
    const plan *p = h->view->plan;
    const survey_defect *d = p->leaks[leak].defect;
    handover_rows rows = {.title = "What was wrong", .columns = facts_columns, .n_columns = 3};
    seen(h, &rows, &p->leaks[leak]);
    flow(h, &rows, &p->leaks[leak]);
    moves(h, &rows, &p->diagnoses[leak]);
    if (d->moved_from || d->found_on)
        fact(h, &rows, "Came later",
             say_print(h->words, "%s%s%s%s", d->found_on ? "found on " : "", d->found_on ? d->found_on : "",
                       d->moved_from ? (d->found_on ? ", moved from " : "moved from ") : "",
                       d->moved_from ? d->moved_from : ""),
             "S");
    if (d->tried) fact(h, &rows, "Tried before", d->tried, "S");
    questions(h, &rows, d->mark);
    found(h, &rows, &h->view->built->leaks[leak]);
    return rows;
}

/* ---- what remains ---- */

static void open_questions(const handover *h, handover_rows *to, const char *mark) {
    const finding_list *all = &h->view->plan->findings;
    for (size_t i = 0; i < all->n; i++) {
        const finding *f = &all->items[i];
        if (strcmp(f->mark, mark) != 0 || f->answer) continue;
        fact(h, to, f->level == FINDING_STOP ? "STOP, not answered" : "ASK, not answered", f->sentence,
             "S P");
    }
}

static void moved(const handover *h, handover_rows *to, const proof_leak *proof) {
    const char *list = "";
    for (size_t i = 0; i < proof->n_moved_to; i++) list = handover_join(h, list, ", ", proof->moved_to[i]);
    if (*list)
        fact(h, to, "Water moved",
             say_print(h->words, "this repair sent water to %s: sealing restores the head along the crack",
                       list),
             "S");
    if (proof->moved_from)
        fact(h, to, "Water moved",
             say_print(h->words, "%s the repair of %s",
                       proof->moved_is_hint ? "perhaps sent here by" : "sent here by", proof->moved_from),
             proof->moved_is_hint ? handover_said(h, "S", BY_STRETCH) : "S");
}

static void looks_failed(const handover *h, handover_rows *to, const char *mark) {
    const accept_job *a = h->view->accept;
    const char *overdue = "";
    for (size_t i = 0; i < a->n_revisits; i++) {
        const revisit *r = &a->revisits[i];
        if (strcmp(r->mark, mark) != 0) continue;
        if (r->state == REVISIT_OVERDUE)
            overdue = handover_join(
                h, overdue, ", ",
                say_print(h->words, "%s (%s)", revisit_words[r->kind], r->on ? r->on : "no date"));
        if (r->state == REVISIT_DONE && !r->dry)
            fact(h, to, "Look not dry", say_print(h->words, "%s look", revisit_words[r->kind]),
                 r->done ? handover_from_one(h, r->done->seq, BY_LOOKS) : handover_said(h, "", BY_LOOKS));
    }
    if (*overdue) fact(h, to, "Looks overdue", overdue, handover_said(h, "", BY_LOOKS));
}

handover_rows handover_remains(const handover *h, size_t leak) {
    const proof_leak *proof = &h->view->accept->leaks[leak];
    handover_rows rows = {.title = "What remains", .columns = facts_columns, .n_columns = 3};
    static const char *const why[PROOF_VERDICTS] = {"", "Fails the class agreed", "Not proven",
                                                    "Open: not treated"};
    if (proof->verdict != PROOF_KEPT)
        handover_put(h, &rows,
                     (const char *[]){why[proof->verdict], proof->sentence, handover_said(h, "", BY_VERDICT)},
                     ROW_TOTAL);
    open_questions(h, &rows, proof->mark);
    moved(h, &rows, proof);
    looks_failed(h, &rows, proof->mark);
    return rows;
}

/* ---- on paper ---- */

/* A bar with the mark, what it is, and the verdict with the line that it has on the elevations. */
static void head(doc *d, const handover *h, size_t leak) {
    const survey_defect *of = d->plan->leaks[leak].defect;
    const proof_leak *proof = &h->view->accept->leaks[leak];
    sheet line = {.memory = d->words.memory, .width = 16, .height = 4};
    sheet_line(&line, INK_BUILT_KEPT + (sheet_ink)proof->verdict, (sheet_point){0, 2}, (sheet_point){16, 2});
    double inner = doc_inner(d), right = DOC_MARGIN + inner;
    doc_need(d, 120);
    if (d->y > DOC_TOP) d->y += 8;
    d->card_pages[leak] = d->page;
    doc_outline(d, d->outline, of->mark);
    doc_box(d, (sheet_box){DOC_MARGIN, d->y, inner, BAR_PT}, 0x222222, 0xf4f4f0);
    doc_short_at(d, DOC_SUBHEAD, DOC_MARGIN + 5, d->y + 1.5, inner * 0.2 - 8, of->mark);
    doc_short_at(d, DOC_SMALL, DOC_MARGIN + inner * 0.2, d->y + 4, inner * 0.5,
                 say_print(&d->words, "%s · %s · %s", say_kind_words[of->kind],
                           say_faces(&d->words, d->plan->survey, of),
                           method_words[d->plan->designs[leak].method.name]));
    doc_sheet(d, &line, right - 52 - 92, d->y + 3);
    doc_short_at(d, DOC_BOLD, right - 90, d->y + 2.5, 86, proof_verdict_words[proof->verdict]);
    d->y += BAR_PT + 2;
    if (proof->sentence && proof->verdict == PROOF_KEPT) doc_paragraph(d, DOC_SMALL, proof->sentence);
}

static void draw(doc *d, handover_rows rows) {
    handover_draw(d, &rows, SIZE);
}

/* In an arena of its own: a job may have hundreds. */
static void one(doc *d, size_t leak) {
    handover *h = handover_of(d);
    arena *memory = arena_new(), *outer = d->words.memory;
    if (!memory) {
        d->words.failed = true;
        return;
    }
    d->words.memory = memory;
    head(d, h, leak);
    draw(d, handover_wrong(h, leak));
    draw(d, handover_steps(h, &h->view->built->leaks[leak]));
    if (h->view->accept->leaks[leak].treated) draw(d, handover_built(h, &h->view->built->leaks[leak]));
    draw(d, handover_proved(h, leak));
    draw(d, handover_saved(h, leak));
    draw(d, handover_remains(h, leak));
    handover_photos(d, d->plan->leaks[leak].defect->mark);
    d->words.memory = outer;
    arena_free(memory);
}

void handover_leaks(doc *d) {
    doc_page(d, false);
    d->first_card = d->page;
    doc_heading(d, DOC_HEAD, "Leak by leak");
    d->outline = doc_outline(d, 0, "Leak by leak");
    if (d->plan->n_leaks == 0) doc_paragraph(d, DOC_BODY, "The survey has no leaks.");
    for (size_t i = 0; i < d->plan->n_leaks; i++) one(d, i);
}

/* What was recorded of the site and of no leak; nothing where there is none. */
void handover_site(doc *d) {
    handover *h = handover_of(d);
    const built_leak *b = &h->view->built->site;
    bool photos = *handover_photo_numbers(h, "site") != '\0';
    if (b->n_steps + b->n_lines + b->n_notes == 0 && !photos) return;
    doc_heading(d, DOC_HEAD, "The site");
    if (b->n_steps + b->n_notes) draw(d, handover_steps(h, b));
    draw(d, handover_built(h, b));
    handover_photos(d, "site");
}
