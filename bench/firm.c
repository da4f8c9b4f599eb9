/* firm.c - the finished jobs of an invented firm, as job files: its true rates are known, so that what is learned from the files can
 * be held to them. SYNTHETIC: no figure is of any firm.
 *
 * usage: firm FOLDER JOBS [SEED] [LEAKS]      defaults 1, 12; prints the truth as JSON
 *
 * Each job: one wall reached from the ground, a ladder or a lift, cracks and joints on it. Its hours are what the plan counts, times
 * the firm's factor of that work, of joints, lifts and cold walls, of the job and of the leak, drawn from the seed; powder is what
 * the plan counts without waste times the firm's waste. Most offers are kept with a range for their price. */
#include "plan/plan.h"
#include "record/record.h"
#include "store/log.h"
#include "store/offers.h"
#include "survey/catalogue.h"
#include "survey/check.h"
#include "survey/read_json.h"
#include "survey/write_json.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

/* Works whose hours one step, or two, tell. */
static const struct {
    const char *rate;
    estimate_work work;
    const char *steps[2];
} works[] = {
    {"cut_slot_h_m", HOURS_CUT, {"cut", NULL}},  {"wash_h_m2", HOURS_WASH, {"wash", NULL}},
    {"plug_h_each", HOURS_PLUG, {"plug", NULL}}, {"relief_h_each", HOURS_RELIEF, {"relief", "close_relief"}},
    {"pack_h_m", HOURS_PACK, {"pack", NULL}},    {"coat_h_m2", HOURS_COAT, {"first_coat", "last_coat"}},
};
enum { WORKS = sizeof works / sizeof *works };
#define LEAK_SD 0.30
#define JOB_SD 0.20

typedef struct {
    double factor[WORKS], joint, lift, cold; /* of hours, against the shipped rates */
    double waste, call_back, wetter;         /* 1.18; chances */
} firm;

typedef struct {
    gsl_rng *random;
    const firm *firm;
    store *job;
    const plan *p;
    double common, wall_c;
    size_t number, made;
    unsigned day, minute; /* of the work in hand */
} making;

static void die(const char *what, const fault *why) {
    fprintf(stderr, "firm: %s: %s\n", what, why ? why->text : "");
    exit(1);
}

/* ---- the survey ---- */

static void add_leak(text *json, gsl_rng *r, size_t i, size_t per_row) {
    double x = 1 + 3.0 * (double)(i % per_row), y = 0.4 + 0.9 * (double)(i / per_row);
    double length = 0.8 + 1.4 * gsl_rng_uniform(r);
    static const char *const seen[] = {"dry", "damp", "seep", "drip", "drip"};
    const char *wet = seen[gsl_rng_uniform_int(r, 5)];
    bool joint = gsl_rng_uniform(r) < 0.35;
    text_print(
        json,
        "%s{\"mark\": \"L%zu\", \"kind\": \"%s\",%s \"parts\": [{\"face\": \"N\", \"points\": [[%.2f, %.2f], "
        "[%.2f, %.2f]]}], \"stations\": [",
        i ? ", " : "", i + 1, joint ? "joint" : "crack", joint ? " \"waterstop\": \"none\"," : "", x, y,
        x + length, y);
    for (int k = 0; k < 3; k++)
        text_print(json,
                   "%s{\"chainage_m\": %.3f, \"width_mm\": 0.3, \"wetness\": \"%s\", \"bar\": \"none\"}",
                   k ? ", " : "", length * k / 2, wet);
    text_add(json, "]}");
}

static survey *make_survey(gsl_rng *r, size_t number, size_t leaks) {
    static const char *const reached[] = {"ground", "ground", "ladder", "lift"};
    size_t per_row = (leaks + 3) / 4;
    text json = {0};
    fault why = {0};
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    if (!s || !faults || survey_catalogue_fill(s, &why) != OK) die("survey", &why);
    text_print(
        &json,
        "{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {\"name\": \"Synthetic job %zu\", "
        "\"place\": "
        "\"invented\", \"today\": {\"level_m\": 4.5, \"known\": \"measured\"}, \"design\": {\"level_m\": "
        "4.5, "
        "\"known\": \"told\"}}, \"faces\": [{\"id\": \"N\", \"lie\": \"wall\", \"behind\": \"ground\", "
        "\"thickness_m\": 0.3, \"elevation_m\": 0, \"access\": \"%s\", \"outline\": [[0,0],[%zu,0],[%zu,4],"
        "[0,4]]}], \"defects\": [",
        number, reached[gsl_rng_uniform_int(r, 4)], 3 * per_row + 2, 3 * per_row + 2);
    for (size_t i = 0; i < leaks; i++) add_leak(&json, r, i, per_row);
    text_add(&json, "]}");
    survey_read_json(s, "firm", text_get(&json), json.length, faults);
    survey_check(s, faults);
    if (fault_list_count(faults)) die(fault_list_text(faults, 0), NULL);
    fault_list_free(faults);
    text_free(&json);
    return s;
}

/* ---- the records ---- */

enum { AT = 64, ID = 96 };

/* Months of 28 days, from seven in the morning. */
static record begin(making *m, const char *mark, record_what what, char at[AT], char id[ID]) {
    unsigned minute = m->minute++;
    snprintf(at, AT, "2026-%02u-%02uT%02u:%02u:00Z", 1 + m->day / 28, 1 + m->day % 28, 7 + minute / 60 % 12,
             minute % 60);
    snprintf(id, ID, "%08zx-0000-4000-8000-%012zx", m->number, ++m->made);
    return (record){.id = id,
                    .mark = mark,
                    .what = what,
                    .at = at,
                    .by = "N. N.",
                    .device = "0a1b2c3d-4e5f-4a6b-8c7d-9e0f1a2b3c4d"};
}

static void keep(making *m, record *r) {
    text body = {0};
    fault why = {0};
    long long seq;
    bool already;
    record_write_body(r, &body);
    const store_record stored = {
        .id = r->id, .mark = r->mark, .body = text_get(&body), .received_at = r->at, .received_by = "N. N."};
    if (store_add_record(m->job, &stored, &seq, &already, &why) != OK) die("record", &why);
    text_free(&body);
}

static bool on_card(const making *m, size_t leak, const char *step) {
    const plan_card *card = &m->p->cards[leak];
    for (size_t i = 0; i < card->n_steps; i++)
        if (strcmp(card->steps[i].code, step) == 0) return true;
    return false;
}

static void finish(making *m, size_t leak, const char *step, double hours) {
    char at[AT], id[ID];
    record r = begin(m, m->p->survey->defects[leak].mark, RECORD_FINISH, at, id);
    r.step = step;
    r.hours = (maybe){true, hours};
    r.wall_c = (maybe){true, m->wall_c};
    keep(m, &r);
}

static double factor_of(making *m, size_t leak) {
    const survey_defect *d = &m->p->survey->defects[leak];
    double f = m->common;
    if (d->kind == KIND_JOINT) f *= m->firm->joint;
    if (m->p->survey->faces[0].access == ACCESS_LIFT) f *= m->firm->lift;
    if (m->wall_c < 10) f *= m->firm->cold;
    return f;
}

static void add_work(making *m, size_t leak, double longer) {
    const takeoff_leak *t = &m->p->takeoff.leaks[leak];
    /* Plugs are whole. */
    double pieces = ceil(t->slot_length_m * longer / ESTIMATE_PLUG_PIECE_M - 1e-9) /
                    fmax(1, ceil(t->slot_length_m / ESTIMATE_PLUG_PIECE_M - 1e-9));
    for (int w = 0; w < WORKS; w++) {
        double counted =
            m->p->price.leaks[leak].hours[works[w].work] * (works[w].work == HOURS_PLUG ? pieces : longer);
        double hours = counted * m->firm->factor[w] * factor_of(m, leak) *
                       exp(gsl_ran_gaussian(m->random, LEAK_SD) - LEAK_SD * LEAK_SD / 2);
        double part =
            works[w].work == HOURS_COAT ? t->first_coat_m2 / (t->first_coat_m2 + t->last_coat_m2) : 0.5;
        if (!(counted > 0)) continue;
        if (!works[w].steps[1]) part = 1;
        for (int k = 0; k < 2 && works[w].steps[k]; k++)
            if (on_card(m, leak, works[w].steps[k]))
                finish(m, leak, works[w].steps[k], hours * (k ? 1 - part : part));
    }
}

/* What was found at the cut; a dry leak sometimes seeps then. */
static double add_found(making *m, size_t leak) {
    char at[AT], id[ID];
    const survey_defect *d = &m->p->survey->defects[leak];
    double planned = m->p->takeoff.leaks[leak].slot_length_m,
           longer = 0.97 + 0.15 * gsl_rng_uniform(m->random);
    record r = begin(m, d->mark, RECORD_FOUND, at, id);
    r.step = "cut";
    r.length_m = (maybe){planned > 0, planned * longer};
    r.wetness =
        m->p->leaks[leak].worst <= WET_DAMP && gsl_rng_uniform(m->random) > m->firm->wetter ? "damp" : "seep";
    keep(m, &r);
    return planned > 0 ? longer : 1;
}

static void add_used(making *m, size_t leak, double longer) {
    static const char *const steps[MIX_COUNT] = {"plug", "first_coat", "pack", "last_coat"};
    double shipped = 1 + takeoff_rate(m->p->survey, "waste_percent") / 100;
    for (int k = 0; k < MIX_COUNT; k++) {
        const takeoff_mix *mix = &m->p->takeoff.leaks[leak].mixes[k];
        char at[AT], id[ID];
        if (!mix->material) continue;
        record r = begin(m, m->p->survey->defects[leak].mark, RECORD_USED, at, id);
        r.step = steps[k];
        r.material = mix->material->id;
        r.powder_kg = (maybe){true, mix->powder_kg / shipped * longer * m->firm->waste *
                                        exp(gsl_ran_gaussian(m->random, 0.05) - 0.05 * 0.05 / 2)};
        keep(m, &r);
    }
}

static void add_proof(making *m, size_t leak, bool dry) {
    char at[AT], id[ID];
    record r = begin(m, m->p->survey->defects[leak].mark, RECORD_PROOF, at, id);
    r.step = "prove";
    r.hand = dry ? "dry" : "wet";
    r.blotter = dry ? "clean" : "marked";
    r.drips_per_min = (maybe){true, dry ? 0 : 8};
    r.water_level_m = (maybe){true, 4.5};
    keep(m, &r);
}

static void add_records(making *m) {
    for (size_t i = 0; i < m->p->n_leaks; i++) {
        if (!design_is_priced(&m->p->designs[i])) continue;
        m->day = 1 + (unsigned)i / 3;
        m->minute = 180 * (unsigned)(i % 3);
        double longer = add_found(m, i);
        add_work(m, i, longer);
        add_used(m, i, longer);
    }
    for (size_t i = 0; i < m->p->n_leaks; i++) {
        m->day = 100;
        m->minute = 2 * (unsigned)i;
        if (design_is_priced(&m->p->designs[i])) add_proof(m, i, true);
    }
    for (size_t i = 0; i < m->p->n_leaks; i++) {
        if (!design_is_priced(&m->p->designs[i]) || gsl_rng_uniform(m->random) > m->firm->call_back) continue;
        m->day = 130;
        m->minute = 2 * (unsigned)i;
        add_proof(m, i, false); /* it leaks again: the last coat is brushed once more */
        finish(m, i, on_card(m, i, "last_coat") ? "last_coat" : "pack", 0.2);
        m->day = 131;
        add_proof(m, i, true);
    }
}

static void add_offer(making *m, const survey *s) {
    text inputs = {0}, facts = {0};
    fault why = {0};
    long long number;
    double total = m->p->price.total, middle = total * exp(gsl_ran_gaussian(m->random, 0.03));
    survey_write_json(s, &inputs);
    text_print(&facts,
               "{\"total\": %.2f, \"p20\": %.2f, \"p50\": %.2f, \"p80\": %.2f, \"currency\": \"EUR\"}", total,
               middle * 0.93, middle, middle * 1.09);
    store_offer offer = {.kind = "offer",
                         .on = "2026-01-01",
                         .at = "2026-01-01T08:00:00Z",
                         .by = "N. N.",
                         .program_version = STANCH_VERSION,
                         .inputs = text_get(&inputs),
                         .options = "{}",
                         .facts = text_get(&facts),
                         .head_hash = "0000000000000000000000000000000000000000000000000000000000000000",
                         .pdf = {.bytes = "synthetic", .length = 9}};
    if (store_add_offer(m->job, &offer, &number, &why) != OK) die("offer", &why);
    text_free(&inputs);
    text_free(&facts);
}

/* ---- a job, a firm ---- */

static void make_job(making *m, const char *folder, size_t leaks) {
    char path[600];
    fault why = {0};
    plan *p = NULL;
    survey *s = make_survey(m->random, m->number, leaks);
    snprintf(path, sizeof path, "%s/synthetic-%05zu.stanch", folder, m->number);
    if (plan_make(s, &(plan_options){.planes = PLANES_OFF, .threads = 1}, &p, &why) != OK) die(path, &why);
    if (store_create(path, s, &why) != OK || store_open(path, false, &m->job, &why) != OK) die(path, &why);
    m->p = p;
    m->common = exp(gsl_ran_gaussian(m->random, JOB_SD) - JOB_SD * JOB_SD / 2);
    m->wall_c = gsl_rng_uniform(m->random) < 0.3 ? 6 : 16;
    if (store_begin(m->job, &why) != OK) die(path, &why);
    if (gsl_rng_uniform(m->random) < 0.8) add_offer(m, s);
    add_records(m);
    if (store_commit(m->job, &why) != OK) die(path, &why);
    store_close(m->job);
    plan_free(p);
    survey_free(s);
}

static double around(gsl_rng *r, double sd) {
    return exp(gsl_ran_gaussian(r, sd));
}

static void tell(const firm *f) {
    printf("{\"synthetic\": true, \"rates\": {");
    survey *s = survey_new();
    fault why = {0};
    if (!s || survey_catalogue_fill(s, &why) != OK) die("rates", &why);
    for (int w = 0; w < WORKS; w++)
        printf("%s\"%s\": %.5g", w ? ", " : "", works[w].rate, takeoff_rate(s, works[w].rate) * f->factor[w]);
    survey_free(s);
    printf(", \"waste_percent\": %.4g, \"call_back_percent\": %.4g, \"dry_wet_percent\": %.4g}, \"joint\": "
           "%.4g, \"lift\": "
           "%.4g, \"cold\": %.4g}\n",
           100 * (f->waste - 1), 100 * f->call_back, 100 * f->wetter, f->joint, f->lift, f->cold);
}

int main(int argc, char **argv) {
    fault why = {0};
    if (argc < 3 || argc > 5) {
        fprintf(stderr, "usage: firm FOLDER JOBS [SEED] [LEAKS]\n");
        return 2;
    }
    size_t jobs = strtoul(argv[2], NULL, 10), leaks = argc > 4 ? strtoul(argv[4], NULL, 10) : 12;
    gsl_set_error_handler_off();
    gsl_rng *r = gsl_rng_alloc(gsl_rng_mt19937);
    if (!r || store_use_memory_hooks(&why) != OK) die("memory", &why);
    gsl_rng_set(r, argc > 3 ? strtoul(argv[3], NULL, 10) : 1);
    mkdir(argv[1], 0777);
    firm f = {.joint = around(r, 0.2), .lift = around(r, 0.2), .cold = around(r, 0.2)};
    for (int w = 0; w < WORKS; w++) f.factor[w] = around(r, 0.4);
    f.waste = 1.05 + 0.25 * gsl_rng_uniform(r);
    f.call_back = 0.12 * gsl_rng_uniform(r);
    f.wetter = 0.25 * gsl_rng_uniform(r);
    for (size_t i = 0; i < jobs; i++) {
        making m = {.random = r, .firm = &f, .number = i + 1};
        make_job(&m, argv[1], leaks);
    }
    tell(&f);
    gsl_rng_free(r);
    return 0;
}
