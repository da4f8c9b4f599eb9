/* handover_log.c - the records by number, the equations and rules by theirs, and the sources. */
#include "report/handover_parts.h"

#include <string.h>

static const table_column log_columns[] = {
    {"", 0.07, ALIGN_RIGHT, false},    {"Time, UTC", 0.15, ALIGN_LEFT, false},
    {"Leak", 0.09, ALIGN_LEFT, false}, {"What", 0.10, ALIGN_LEFT, false},
    {"By", 0.15, ALIGN_LEFT, false},   {"Says", 0.44, ALIGN_LEFT, false}};
static const table_column rule_columns[] = {
    {"", 0.06, ALIGN_LEFT, false}, {"Rule", 0.56, ALIGN_LEFT, false}, {"Source", 0.38, ALIGN_LEFT, true}};

enum { FEW_LEVELS = 6 }; /* readings of one tank one after another: more stand in one row */

/* Marks: published and read by us; read through a page that quotes it; value from memory; computed by us; our default. */
static const struct {
    const char *rule, *source;
} RULES[BY_COUNT] = {
    [BY_HEAD] = {"head = level of the water behind the face - lowest elevation of the leak on the dry face",
                 "hydrostatics; computed by us"},
    [BY_CRACK] = {"flow of a crack = cubic law with a flow factor along the wet length; an expectation, no "
                  "measurement",
                  "see Sources: crack flow"},
    [BY_TIMED] = {"flow = volume collected / time; a count of drips is a rank and never litres",
                  "common practice; that drips are no litres: our default"},
    [BY_SAVED] =
        {"saved = flow at the survey - flow at the newest test; a dry hand without drips counts as 0",
         "computed by us; the 0: our default"},
    [BY_CLASS] = {"drips or running water: fails class 3; paper marked: class 3; a damp patch: class 2; else "
                  "class 1; grades of "
                  "other classes in the same order",
                  "ZTV-ING Table 5-14 (read through a page that quotes it); the order: our default"},
    [BY_STRETCH] = {"the newest test of each metre counts; water lower than at the survey, or not recorded, "
                    "proves nothing; a leak "
                    "within a few metres of a repair may be its water",
                    "our default"},
    [BY_VERDICT] = {"broken: a metre fails; kept: every treated metre tested at enough water keeps; not "
                    "proven: anything else "
                    "treated; open: not treated",
                    "our default"},
    [BY_BUILT] = {"metres, widths, depths: newest finding; powder, water, packs: sum of what was used; a "
                  "corrected record "
                  "counts as corrected; the whole job: the sum of its leaks and the site",
                  "computed by us"},
    [BY_HOURS] = {"hours = as told, else people x (ended - begun)", "computed by us"},
    [BY_DEVIATION] = {"differs: actual and planned are more than a tenth of the planned apart, or a step was "
                      "added or left out",
                      "our default"},
    [BY_NET] = {"net drop = drop - evaporation + rain + what the warming of the water lifted it",
                "computed by us"},
    [BY_PAN] = {"evaporation = pan factor x (drop of the pan + rain into an open pan)", "computed by us"},
    [BY_THERMAL] = {"lift by warming = depth x (rho(T1) / rho(T2) - 1); walls do not move",
                    "density of water: Tanaka et al. 2001 (value from memory)"},
    [BY_LOSS] = {"loss a day = slope of the straight line through the corrected levels x plan area; "
                 "uncertainty of fit or "
                 "readings with pan, rain and temperature as independent, times 2",
                 "least squares; GUM, combined as independent; 0.2 mm a reading: our default"},
    [BY_CRITERION] = {"pass: loss + uncertainty within what is allowed and the test long enough; fail: loss "
                      "- uncertainty above it; "
                      "else undecided",
                      "the criterion named at the tank, with how it was read"},
    [BY_LOOKS] = {"looks 24 h, 7 d and 28 d after the first proof that keeps, and after the next high water",
                  "our default"},
    [BY_BILL] = {"amount = quantity measured x rate of the offer, rounded to whole cents by line; the line "
                 "says of which "
                 "records its quantity is; additions as in the offer",
                 "the offer; computed by us"},
};

static bool same_tank(const record *a, const record *b) {
    return a->what == RECORD_LEVEL && b->what == RECORD_LEVEL && a->tank && b->tank &&
           strcmp(a->tank, b->tank) == 0;
}

static void level_rows(const handover *h, handover_rows *to, const record *first, const record *last,
                       size_t n) {
    const char *numbers = say_print(h->words, "%lld\n-%lld", first->seq, last->seq);
    const char *says = say_print(h->words, "%zu readings of tank %s, to %s; the last: %s", n, first->tank,
                                 handover_time(h, last->at), handover_sum_up(h, last));
    handover_put(
        h, to, (const char *[]){numbers, handover_time(h, first->at), first->mark, "level", first->by, says},
        ROW_PLAIN);
}

static const char *said(const handover *h, const record *r) {
    const char *all = handover_sum_up(h, r);
    if (!r->about) return all;
    for (size_t i = 0; i < h->view->n_records; i++)
        if (strcmp(h->view->records[i].id, r->about) == 0)
            return handover_join(h, say_print(h->words, "about #%lld", h->view->records[i].seq), ": ", all);
    return all;
}

handover_rows handover_log(const handover *h) {
    handover_rows rows = {.title = "#", .columns = log_columns, .n_columns = 6};
    const record *all = h->view->records;
    for (size_t i = 0, end; i < h->view->n_records; i = end) {
        for (end = i + 1; end < h->view->n_records && same_tank(&all[i], &all[end]); end++) {
        }
        if (end - i > FEW_LEVELS) {
            level_rows(h, &rows, &all[i], &all[end - 1], end - i);
            continue;
        }
        end = i + 1;
        handover_put(h, &rows,
                     (const char *[]){say_print(h->words, "%lld", all[i].seq), handover_time(h, all[i].at),
                                      all[i].mark, record_what_words[all[i].what], all[i].by,
                                      said(h, &all[i])},
                     ROW_PLAIN);
    }
    return rows;
}

handover_rows handover_rules(const handover *h) {
    handover_rows rows = {.title = "", .columns = rule_columns, .n_columns = 3};
    for (int i = 1; i < BY_COUNT; i++)
        handover_put(h, &rows,
                     (const char *[]){say_print(h->words, "E%d", i), RULES[i].rule, RULES[i].source},
                     ROW_PLAIN);
    return rows;
}

static void sources(doc *d) {
    const char *const *list = plan_sources(d->plan->survey->site.system);
    doc_heading(d, DOC_SUBHEAD, "Sources");
    for (size_t i = 0; i < PLAN_SOURCES; i++)
        doc_paragraph(d, DOC_SMALL, say_print(&d->words, "•  %s", list[i]));
    survey_tightness agreed = d->plan->survey->site.tightness;
    if (agreed != TIGHT_NOT_AGREED)
        doc_paragraph(d, DOC_SMALL,
                      say_print(&d->words, "•  %s: %s", tightness_name(agreed), tightness_source(agreed)));
    doc_paragraph(d, DOC_SOFT, say_print(&d->words, "P, the plan of this job: %s", d->plan->price_hash));
}

void handover_sources(doc *d) {
    handover *h = handover_of(d);
    doc_heading(d, DOC_HEAD, "Equations and rules");
    doc_outline(d, 0, "Equations, sources, records");
    handover_rows rows = handover_rules(h);
    handover_draw(d, &rows, 7.5);
    sources(d);
    doc_heading(d, DOC_HEAD, "Records");
    rows = handover_log(h);
    if (rows.n == 0) doc_paragraph(d, DOC_BODY, "The job has no records.");
    handover_draw(d, &rows, 7);
    if (h->options->head_seq > 0)
        doc_paragraph(d, DOC_SMALL,
                      say_print(&d->words, "Hash of record #%lld, the last: %s", h->options->head_seq,
                                h->options->head_hash));
}
