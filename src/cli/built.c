#include "cli/cli.h"
#include "cli/options.h"
#include "cli/today.h"
#include "cli/wrap.h"
#include "ops/proof.h"

#include <stdio.h>
#include <string.h>

enum { LABEL = 38, PLANNED = 16, ACTUAL = 16, BILL_LABEL = 43, MOMENT = 16 };

/* ---- lines planned and actual ---- */

static void print_line(const plan *p, const built_line *line) {
    printf("  ");
    wrap_cell(stdout, line->label, LABEL - 1); /* a long name never touches its figure */
    putchar(' ');
    const char *planned = built_show_planned(p, line), *actual = built_show_actual(p, line);
    wrap_cell(stdout, planned, *actual || line->deviates ? PLANNED : wrap_width(planned));
    if (!line->deviates) {
        printf("%s\n", actual);
        return;
    }
    wrap_cell(stdout, actual, ACTUAL);
    printf("differs\n");
    wrap_print(stdout, "      ", built_show_reason(line), 6);
}

static void print_heading(const char *name) {
    printf("\n");
    wrap_cell(stdout, name, LABEL + 2);
    wrap_cell(stdout, "planned", PLANNED);
    printf("as built\n");
}

static bool is_told(const built_leak *leak) {
    for (size_t i = 0; i < leak->n_steps; i++)
        if (leak->steps[i].seq > 0) return true;
    for (size_t i = 0; i < leak->n_lines; i++)
        if (leak->lines[i].actual.known) return true;
    return leak->n_notes > 0;
}

static void print_note(const plan *p, const record *r) {
    const char *label =
        arena_print(p->memory, "  %.10s %.5s ", r->at, strlen(r->at) >= MOMENT ? r->at + 11 : "");
    const char *said = arena_print(p->memory, "%s%s%s", r->by ? r->by : "", r->by ? ": " : "", r->text);
    wrap_print(stdout, label ? label : "  ", said ? said : "", 6);
}

static void print_leak(const plan *p, const built_leak *leak) {
    print_heading(leak->mark);
    for (size_t i = 0; i < leak->n_lines; i++) print_line(p, &leak->lines[i]);
    if (leak->wetter.known)
        printf("  Dry at the survey, found %s\n", leak->wetter.v > 0 ? "wet when cut" : "dry when cut");
    for (size_t i = 0; i < leak->n_notes; i++) print_note(p, leak->notes[i]);
}

/* ---- the job ---- */

static const char *join(const plan *p, const char *before, const char *more) {
    const char *all = arena_print(p->memory, "%s%s%s", before, *before ? ", " : "", more);
    return all ? all : before;
}

static const char *range(const plan *p, const char *before, const char *label, maybe low, maybe high,
                         units_quantity q) {
    char from[UNITS_SHOWN], to[UNITS_SHOWN];
    units_system u = p->survey->site.system;
    if (!low.known) return before;
    units_show(q, u, low.v, 0, from);
    units_show(q, u, high.v, 0, to);
    bool same = strcmp(from, to) == 0;
    const char *said = arena_print(p->memory, "%s %s%s%s%s", label, from, same ? "" : " to ", same ? "" : to,
                                   q == UNITS_PLAIN ? " %" : "");
    return said ? join(p, before, said) : before;
}

static void print_head(const plan *p, const built_job *b) {
    const char *label = arena_print(
                   p->memory, "%s, as built: ", p->survey->site.name ? p->survey->site.name : "The job"),
               *people = "", *weather = "";
    const char *when =
        b->first ? arena_print(p->memory, "%s to %s", b->first, b->last) : "nothing is recorded yet";
    wrap_print(stdout, label ? label : "", when ? when : "", 2);
    for (size_t i = 0; i < b->n_people; i++) people = join(p, people, b->people[i]);
    if (*people) wrap_print(stdout, "Recorded by ", people, 2);
    weather = range(p, weather, "air", b->air_low_c, b->air_high_c, UNITS_TEMPERATURE);
    weather = range(p, weather, "wall", b->wall_low_c, b->wall_high_c, UNITS_TEMPERATURE);
    weather = range(p, weather, "humidity", b->humidity_low, b->humidity_high, UNITS_PLAIN);
    if (*weather) wrap_print(stdout, "Weather: ", weather, 2);
    if (b->n_photos > 0) printf("Photos: %zu\n", b->n_photos);
    printf("Otherwise than planned: %zu, without a reason given: %zu\n", b->n_deviations, b->n_unreasoned);
}

static void print_leaks(const plan *p, const built_job *b) {
    const char *silent = "";
    for (size_t i = 0; i < b->n_leaks; i++)
        if (is_told(&b->leaks[i]))
            print_leak(p, &b->leaks[i]);
        else
            silent = join(p, silent, b->leaks[i].mark);
    if (is_told(&b->site)) print_leak(p, &b->site);
    if (*silent) wrap_print(stdout, "\nNothing recorded: ", silent, 2);
    print_heading("The whole job");
    for (size_t i = 0; i < b->n_totals; i++) print_line(p, &b->totals[i]);
}

/* ---- what would be billed ---- */

static void print_bill(const plan *p, const built_bill *bill) {
    wrap_cell(stdout, bill->label, BILL_LABEL);
    printf(" %13s x %8s %10.2f\n", built_show_quantity(p, bill), built_show_rate(p, bill), bill->amount);
    if (!(bill->rate > 0)) wrap_print(stdout, "    ", bill->basis, 4);
}

static void print_sum(const plan *p, double money) {
    printf("Total, without tax, %-47s %11.2f\n", p->survey->site.currency, money);
}

static void print_bills(const plan *p, const built_job *b) {
    const char *silent = "";
    printf("\nTo be billed by what was recorded, at the rates of the offer\n");
    for (size_t i = 0; i < b->n_bills; i++)
        if (b->bills[i].quantity.known)
            print_bill(p, &b->bills[i]);
        else if (b->bills[i].offered > 0 && strcmp(b->bills[i].unit, "x") != 0)
            silent = join(p, silent, b->bills[i].label);
    print_sum(p, b->bill_total);
    if (*silent) wrap_print(stdout, "Not recorded, so not billed: ", silent, 2);
}

static status print_built(const plan *p, const ops_proof *proof, bool json, fault *why) {
    if (json) {
        text out = {0};
        status code = ops_built_json(p, proof, &out, why);
        if (code == OK) printf("%s\n", text_get(&out));
        text_free(&out);
        return code;
    }
    print_head(p, &proof->built);
    print_leaks(p, &proof->built);
    print_bills(p, &proof->built);
    return OK;
}

int cli_built(int argc, char **argv) {
    bool json = false;
    const options_item items[] = {{"--json", NULL, "as JSON", NULL, &json}};
    const options_table table = {
        "built",
        "JOB",
        "What was built, by the records, against what was planned: metres, depth, materials, hours, what "
        "was done otherwise and why, people, weather, and what would be billed by it at the rates of the "
        "offer.",
        items,
        sizeof items / sizeof *items,
        1,
        1};
    fault why = {0};
    size_t n;
    bool done;
    char today[TODAY_TEXT];
    ops_job job = {0};
    ops_proof proof = {0};
    const ops_plan_request request = {.planes = PLANES_OFF,
                                      .threads = 1}; /* no figure here comes from a plane */
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = today_read(NULL, today, &why);
    if (code == OK) code = ops_look(argv[1], &request, &job, &why);
    if (code == OK) code = ops_proof_look(argv[1], &job, today, &proof, &why);
    if (code == OK) code = print_built(job.plan, &proof, json, &why);
    ops_proof_free(&proof);
    ops_job_free(&job);
    return code == OK ? 0 : cli_fail(&why);
}
