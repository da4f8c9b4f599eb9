#include "handover_job.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

typedef struct {
    handover_job *job;
    const plan *plan;
    arena *memory;
    int day; /* of March 2026 */
} filling;

static void *room(filling *f, size_t n, size_t size) {
    void *block = arena_get(f->memory, n, size);
    assert_non_null(block);
    return block;
}

static record *add(filling *f, record_what what, const char *mark, int hour) {
    record *list = arena_push(f->memory, f->job->records, &f->job->n_records, sizeof *list);
    assert_non_null(list);
    f->job->records = list;
    record *r = &list[f->job->n_records - 1];
    *r = (record){.id = arena_print(f->memory, "00000000-0000-4000-8000-%012zu", f->job->n_records),
                  .mark = mark,
                  .what = what,
                  .at = arena_print(f->memory, "2026-03-%02dT%02d:%02d:00Z", f->day, hour,
                                    (int)(f->job->n_records * 7 % 60)),
                  .by = f->job->n_records % 3 ? "worker A" : "worker B",
                  .seq = (long long)f->job->n_records};
    assert_true(r->id && r->at);
    return r;
}

static const long long *one_seq(filling *f, long long seq) {
    long long *s = room(f, 1, sizeof *s);
    *s = seq;
    return s;
}

static const struct {
    const char *code, *title;
    bool hold;
} STEPS[] = {{"scan", "Find bars and services", true}, {"cut", "Cut the slot", false},
             {"wash", "Wash and soak", false},         {"plug", "Plug", false},
             {"first_coat", "First coat", false},      {"pack", "Dry-pack", false},
             {"last_coat", "Last coat", true}};
enum { STEP_COUNT = sizeof STEPS / sizeof *STEPS };

static void add_steps(filling *f, built_leak *b, size_t n) {
    b->steps = room(f, n, sizeof *b->steps);
    for (size_t i = 0; i < n; i++) {
        const char *begun = add(f, RECORD_START, b->mark, 7 + (int)i)->at;
        record *r = add(f, STEPS[i].hold ? RECORD_HOLD : RECORD_FINISH, b->mark, 8 + (int)i);
        r->step = STEPS[i].code;
        b->steps[b->n_steps++] = (built_step){.code = STEPS[i].code,
                                              .title = STEPS[i].title,
                                              .started = begun,
                                              .finished = r->at,
                                              .by = r->by,
                                              .people = 2,
                                              .hours = 1.5,
                                              .planned = true,
                                              .ticked = STEPS[i].hold,
                                              .seq = r->seq};
    }
}

static void add_line(filling *f, built_leak *b, built_line line, long long seq) {
    built_line *lines = arena_push(f->memory, b->lines, &b->n_lines, sizeof *lines);
    assert_non_null(lines);
    b->lines = lines;
    line.mark = b->mark;
    line.seqs = seq ? one_seq(f, seq) : NULL;
    line.n_seqs = seq != 0;
    lines[b->n_lines - 1] = line;
}

static void add_note(filling *f, built_leak *b, record_what what, const char *words) {
    record *r = add(f, what, b->mark, 10);
    r->text = words;
    if (what == RECORD_FOUND) r->wetness = "seep";
    record *kept = room(f, 1, sizeof *kept); /* the list of records may yet move */
    *kept = *r;
    const record **notes = arena_push(f->memory, b->notes, &b->n_notes, sizeof *notes);
    assert_non_null(notes);
    b->notes = notes;
    notes[b->n_notes - 1] = kept;
}

static void add_built(filling *f, size_t leak, bool whole) {
    built_leak *b = &f->job->built.leaks[leak];
    const leak_water *of = &f->plan->leaks[leak];
    add_steps(f, b, whole ? STEP_COUNT : 4);
    record *found = add(f, RECORD_FOUND, b->mark, 11);
    found->length_m = (maybe){true, of->length_m + 0.4};
    found->width_m = (maybe){true, 0.026};
    found->depth_m = (maybe){true, 0.038};
    long long seq = found->seq;
    if (of->length_m > 0)
        add_line(f, b,
                 (built_line){.label = "Slot length",
                              .q = UNITS_LENGTH,
                              .planned = {true, of->length_m},
                              .actual = {true, of->length_m + 0.4},
                              .deviates = 0.4 > 0.1 * of->length_m,
                              .reason = leak % 8 ? NULL : "the crack ran on behind the pipe"},
                 seq);
    add_line(
        f, b,
        (built_line){.label = "Depth", .q = UNITS_SIZE, .planned = {true, 0.037}, .actual = {true, 0.038}},
        seq);
    seq = add(f, RECORD_USED, b->mark, 12)->seq;
    f->job->records[seq - 1].material = f->plan->survey->materials[0].id;
    f->job->records[seq - 1].powder_kg = (maybe){true, 4.2};
    f->job->records[seq - 1].packs = (maybe){true, 0.25};
    add_line(f, b,
             (built_line){.label = "Plug powder",
                          .step = "plug",
                          .q = UNITS_MASS,
                          .planned = {true, 4.0},
                          .actual = {true, 4.2}},
             seq);
    if (!whole)
        add_line(f, b, (built_line){.label = "Last coat", .q = UNITS_MASS, .planned = {true, 1.8}}, 0);
    add_line(f, b,
             (built_line){.label = "Labour",
                          .q = UNITS_PLAIN,
                          .unit = "h",
                          .planned = {true, 9},
                          .actual = {true, 10.5},
                          .deviates = true},
             seq);
    b->hours = 10.5;
    b->hours_planned = 9;
    b->wetter = (maybe){leak % 8 == 0, 1};
    if (leak % 8 == 0) add_note(f, b, RECORD_FOUND, "wet behind the old patch, further left than drawn");
    if (leak % 8 == 1) add_note(f, b, RECORD_DEVIATION, "chipped by hand: the saw did not reach the corner");
}

static proof_test test_of(filling *f, record *r, proof_verdict verdict) {
    record *kept = room(f, 1, sizeof *kept);
    *kept = *r;
    bool low = verdict == PROOF_NOT_PROVEN, keeps = verdict == PROOF_KEPT;
    return (proof_test){.r = kept,
                        .level_m = r->water_level_m,
                        .level_needed_m = {true, 2.6},
                        .low_water = low,
                        .reached = keeps ? TIGHT_BS8102_2 : TIGHT_NOT_AGREED,
                        .keeps = keeps,
                        .sentence = low     ? "The water stood lower than at the survey: this proves nothing."
                                    : keeps ? "Hand dry, blotter clean."
                                            : "Water drips: the class agreed is not kept."};
}

static void add_proof(filling *f, proof_leak *l, const leak_water *of, proof_verdict verdict) {
    record *r = add(f, RECORD_PROOF, l->mark, 15);
    r->hand = verdict == PROOF_BROKEN ? "wet" : "dry";
    r->blotter = verdict == PROOF_BROKEN ? "marked" : "clean";
    if (verdict == PROOF_BROKEN) {
        r->drips_per_min = (maybe){true, 4};
        r->volume_m3 = (maybe){true, 0.0002};
        r->time_s = (maybe){true, 600};
    }
    r->water_level_m = (maybe){true, verdict == PROOF_NOT_PROVEN ? 1.1 : 2.65};
    l->tests = room(f, 1, sizeof *l->tests);
    l->tests[l->n_tests++] = test_of(f, r, verdict);
    l->treated = true;
    l->treated_on = "2026-03-10";
    l->length_m = of->length_m > 0 ? of->length_m + 0.4 : 1;
    l->kept_m = verdict == PROOF_KEPT ? l->length_m : 0;
    l->broken_m = verdict == PROOF_BROKEN ? l->length_m : 0;
    l->not_proven_m = verdict == PROOF_NOT_PROVEN ? l->length_m : 0;
    l->reached = verdict == PROOF_KEPT ? "BS 8102 grade 2" : "";
    l->before_m3_s = of->flow_m3_s;
    l->before_measured = of->basis == FLOW_MEASURED;
    l->after_m3_s = (maybe){verdict != PROOF_NOT_PROVEN, verdict == PROOF_KEPT ? 0 : 0.0002 / 600};
    l->saved_m3_s = (maybe){of->flow_m3_s.known && l->after_m3_s.known, of->flow_m3_s.v - l->after_m3_s.v};
}

static const char *const sentences[PROOF_VERDICTS] = {
    "Every treated metre was tested at enough water and keeps BS 8102 grade 2.",
    "The whole length drips: it fails BS 8102 grade 2.", "Tested at low water only: not proven.",
    "Nothing was placed or injected here by the records."};

static void add_photo(filling *f, const char *mark, const char *file, const char *caption) {
    record *r = add(f, RECORD_PHOTO, mark, 16);
    built_photo *photos =
        arena_push(f->memory, f->job->built.photos, &f->job->built.n_photos, sizeof *photos);
    assert_non_null(photos);
    r->photo = file;
    r->text = caption;
    f->job->built.photos = photos;
    photos[f->job->built.n_photos - 1] = (built_photo){
        .mark = mark, .file = file, .caption = caption, .at = r->at, .by = r->by, .seq = r->seq};
}

static void add_looks(filling *f, const proof_leak *l, size_t leak) {
    static const char *const days[] = {"2026-03-13", "2026-03-19", "2026-04-09", NULL};
    for (int kind = 0; l->verdict == PROOF_KEPT && kind < REVISITS; kind++) {
        accept_job *a = &f->job->accept;
        revisit *list = arena_push(f->memory, a->revisits, &a->n_revisits, sizeof *list);
        assert_non_null(list);
        a->revisits = list;
        revisit *r = &list[a->n_revisits - 1];
        *r = (revisit){.mark = l->mark, .kind = (revisit_kind)kind, .on = days[kind]};
        r->state = kind == 0 ? REVISIT_DONE : kind == 1 && leak % 8 ? REVISIT_OVERDUE : REVISIT_WAITING;
        r->dry = true;
        if (kind == 0) r->done = l->tests[0].r;
    }
}

static void add_leak(filling *f, size_t i) {
    const leak_water *of = &f->plan->leaks[i];
    proof_leak *l = &f->job->accept.leaks[i];
    proof_verdict verdict = (proof_verdict)(i % PROOF_VERDICTS);
    f->day = 2 + (int)i % 10;
    f->job->built.leaks[i].mark = l->mark = of->defect->mark;
    l->reached = "";
    l->verdict = verdict;
    l->sentence = sentences[verdict];
    f->job->accept.counts[verdict]++;
    if (verdict == PROOF_OPEN) return;
    add_built(f, i, verdict != PROOF_NOT_PROVEN);
    f->day = 12;
    add_proof(f, l, of, verdict);
    if (verdict == PROOF_KEPT) add_photo(f, l->mark, "one.jpg", "after the last coat");
    if (verdict == PROOF_BROKEN) add_photo(f, l->mark, "two.png", "drips at the lower end");
    if (verdict == PROOF_BROKEN) add_photo(f, l->mark, "three.jpg", "");
    add_looks(f, l, i);
}

/* The tank of trade/acceptance.md 2: 10 x 5 m, 4 m deep: 6.0 mm in 3 days, pan 3.0, rain 1.0: net 4.0 mm, 0.0333 % a day. */
static void add_tank(filling *f) {
    enum { READINGS = 9 };
    accept_job *a = &f->job->accept;
    survey_tank *tank = room(f, 1, sizeof *tank);
    const record **readings = room(f, READINGS, sizeof *readings);
    watertest_rule *rule = room(f, 1, sizeof *rule);
    const char **findings = room(f, 1, sizeof *findings);
    *tank = (survey_tank){.id = "T1",
                          .name = "Clear water tank",
                          .capacity_m3 = 200,
                          .plan_area_m2 = 50,
                          .depth_m = 4,
                          .filled_on = "2026-03-14"};
    *rule = (watertest_rule){.id = CRITERION_AWWA_D110,
                             .name = "ANSI/AWWA D110-04",
                             .asks = "Fill, stand 24 h, measure over 72 h; no damp spot.",
                             .source = "read through a page that quotes it",
                             .unit = ALLOWED_PERCENT_DAY,
                             .allowed = 0.05};
    findings[0] = "The pan was filled up between two readings; that step is left out.";
    for (int i = 0; i < READINGS; i++) {
        f->day = 18 + i / 3;
        record *r = add(f, RECORD_LEVEL, "site", 6 + i % 3 * 6);
        r->tank = "T1";
        r->level_m = (maybe){true, 4 - 0.006 * i / (READINGS - 1)};
        r->tank_water_c = (maybe){true, 12};
        record *kept = room(f, 1, sizeof *kept);
        *kept = *r;
        readings[i] = kept;
    }
    a->tanks = room(f, 1, sizeof *a->tanks);
    a->tanks[a->n_tanks++] = (accept_tank){
        .tank = tank,
        .readings = readings,
        .n_readings = READINGS,
        .judged = true,
        .rule = rule,
        .result = {.drop_m = 0.006,
                   .evaporation_m = 0.003,
                   .rain_m = 0.001,
                   .net_drop_m = 0.004,
                   .fitted_drop_m = 0.00396,
                   .uncertainty_m = 0.0006,
                   .hours = 72,
                   .loss_m3_s = 0.2 / 259200,
                   .loss_percent_day = 0.0333,
                   .allowed = 0.05,
                   .allowed_unit = ALLOWED_PERCENT_DAY,
                   .found = 0.0333,
                   .found_uncertainty = {true, 0.005},
                   .verdict = WATERTEST_PASS,
                   .reason = "The loss with its uncertainty is within what is allowed, over 72 h.",
                   .findings = findings,
                   .n_findings = 1}};
}

static void add_job(filling *f) {
    built_job *b = &f->job->built;
    static const char *people[] = {"worker A", "worker B"};
    static built_bill bills[] = {{"Slot, plug, coat", "m", "offer, labour", {true, 21.5}, 85.5, 1838.25, 20},
                                 {"Injection", "m", "offer, labour", {false, 0}, 120, 0, 3},
                                 {"Return visits", "visit", "offer, return visits", {true, 2}, 240, 480, 2}};
    static built_material materials[1];
    static built_line totals[] = {
        {.mark = "", .label = "Slot", .q = UNITS_LENGTH, .planned = {true, 20}, .actual = {true, 21.5}},
        {.mark = "",
         .label = "Labour",
         .q = UNITS_PLAIN,
         .unit = "h",
         .planned = {true, 45},
         .actual = {true, 52.5},
         .deviates = true}};
    bills[0].unit = bills[1].unit = f->plan->survey->site.system == UNITS_US ? "ft" : "m";
    materials[0] = (built_material){.material = f->plan->survey->materials[0].id,
                                    .planned_kg = 20,
                                    .used_kg = 21,
                                    .packs = 1.25,
                                    .net_kg = {true, 18}};
    b->people = people;
    b->n_people = 2;
    b->bills = bills;
    b->n_bills = 3;
    b->bill_subtotal = 2318.25;
    b->bill_total = 2550.08;
    b->materials = materials;
    b->n_materials = 1;
    b->totals = totals;
    b->n_totals = 2;
    b->first = "2026-03-02";
    b->last = "2026-03-12";
    b->air_low_c = (maybe){true, 4};
    b->air_high_c = (maybe){true, 13};
    b->n_deviations = 4;
    b->n_unreasoned = 2;
}

handover_job *handover_job_fill(const plan *p, arena *memory) {
    filling f = {.plan = p, .memory = memory, .day = 2};
    handover_job *job = f.job = room(&f, 1, sizeof *job);
    job->accept.leaks = room(&f, p->n_leaks, sizeof *job->accept.leaks);
    job->built.leaks = room(&f, p->n_leaks, sizeof *job->built.leaks);
    job->accept.n_leaks = job->built.n_leaks = p->n_leaks;
    job->accept.agreed = p->survey->site.tightness;
    job->accept.class_id = job->accept.agreed ? job->accept.agreed : TIGHT_ZTV_2;
    job->accept.verdict = p->n_leaks > 1 ? PROOF_BROKEN : PROOF_KEPT;
    job->accept.sentence =
        "Some leaks fail the class agreed, others were not proven or not treated: see What remains.";
    for (size_t i = 0; i < p->n_leaks; i++) add_leak(&f, i);
    add_tank(&f);
    add_job(&f);
    job->accept.saved_m3_s = (maybe){true, 3.1e-4};
    job->accept.n_flows = 13;
    job->accept.before_m3_s = (maybe){true, 3.3e-4};
    return job;
}

handover_view handover_job_view(const plan *p, const handover_job *job) {
    return (handover_view){.plan = p,
                           .accept = &job->accept,
                           .built = &job->built,
                           .records = job->records,
                           .n_records = job->n_records};
}
